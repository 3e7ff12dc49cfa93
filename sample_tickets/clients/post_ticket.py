"""Post one ticket, and try again until it is certain that the bar has it.

    python post_ticket.py http://127.0.0.1:8000/v1/bars/saltmarch ticket.json

Needs httpx. Exit codes: 0 the bar has it, 1 the bar says what is wrong with it, 2 the bar could not
be reached: print it on paper.
"""

# ruff: noqa: T201 (an example that talks to its terminal)

import json
import sys
import time
import uuid
from pathlib import Path

import httpx

PATIENCE_S = 20.0
"""After so long without an answer a ticket belongs on paper."""
PASSES = (408, 409, 429)
"""Too slow, the same ticket still under way, too many at once: to be tried again."""


def post_ticket(bar: str, ticket: dict) -> httpx.Response | None:
    """Give the bar's answer; None where none came in time."""
    # One key a ticket, the same for every try: an answer that got lost doubles nothing.
    headers = {"Idempotency-Key": f"{ticket.get('till', 'till')} {uuid.uuid4()}"}
    until = time.monotonic() + PATIENCE_S
    wait_s = 0.2
    while True:
        try:
            answer = httpx.post(f"{bar}/tickets", json=ticket, headers=headers, timeout=5)
        except httpx.TransportError as error:
            print(f"no answer yet ({type(error).__name__}), trying again", file=sys.stderr)
        else:
            # A fault of the bar's own or of the way there passes; a fault of the ticket does not.
            if answer.status_code < 500 and answer.status_code not in PASSES:
                return answer
        if time.monotonic() + wait_s > until:
            return None
        time.sleep(wait_s)
        wait_s = min(2 * wait_s, 5)


def main() -> int:
    """Post the ticket of a file."""
    bar, file = sys.argv[1:]
    ticket = json.loads(Path(file).read_text(encoding="utf-8"))
    answer = post_ticket(bar, ticket)
    if answer is None:
        print("the bar could not be reached: print the ticket on paper", file=sys.stderr)
        return 2
    found = answer.json()
    if answer.is_error:
        # Problem details (RFC 9457): what was expected, what came, what to do.
        print(f"{found['title']}: {found['detail']}", file=sys.stderr)
        for fault in found.get("errors", []):
            print(f"  {fault['path']}: {fault['detail']}", file=sys.stderr)
        return 1
    print(f"taken as {found['id']}, {len(found['drinks'])} drinks")
    for line in found["unread"]:
        print(f"  not read, stands in the tray: {line['text']}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
