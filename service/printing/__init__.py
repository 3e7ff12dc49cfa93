"""Printed tickets: from the bytes a till sends to a printer to lines the menu can be asked about.

Reading order: `events` (what printer bytes say), `commands` (how long every command is),
`scanner` (bytes to events, in pieces of any size), `codepages`, `splitting` (where a print ends),
`paper` (events to lines of text), `patterns` (safe regular expressions), `profile` (how a till
prints), `prints` (what was read), `redaction`, `times`, then the reading itself: `sorting`,
`items`, `heads` and `reading`; `learning/` proposes a profile from samples.
"""
