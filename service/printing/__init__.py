"""Printed tickets: from the bytes a till sends to a printer to lines the menu can be asked about.

Reading order: `events` (what printer bytes say), `commands` (how long every command is),
`scanner` (bytes to events, in pieces of any size), `codepages`, `splitting` (where a print ends),
`paper` (events to lines of text), `patterns` (safe regular expressions), `profile` (how a till
prints), `prints` (what was read), `labels`, `abroad`, `vocabulary` and `words` (what tills commonly
say), `redaction`, `times`, `lexicon` (a profile made ready), then the reading itself: `changes`,
`items`, `names` (a drink's name, and what is said behind it), `heads`, `marks`, `gathering` (an
item while its lines come), `kinds`, `showing` and `reading`; `learning/` proposes a profile from
samples.

Around it stands the print port: `house`, `raw`, `keeping`, `status`, `line`, `port`, `room`,
`intake`, `forwarding`.
"""
