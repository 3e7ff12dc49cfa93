#!/bin/sh
# Post one ticket, and try again until it is certain that the bar has it.
#
#     sh post_ticket.sh http://127.0.0.1:8000/v1/bars/saltmarch ticket.json
#
# Needs curl. Exit codes: 0 the bar has it, 1 the bar says what is wrong with it, 2 the bar could not
# be reached: print it on paper.

bar=$1 ticket=$2
# One key a ticket, the same for every try: an answer that got lost doubles nothing.
key="$(hostname) $(date +%s) $$"
body=$(mktemp)
trap 'rm -f "$body"' EXIT

patience=20 # seconds; after so long without an answer a ticket belongs on paper
until=$(($(date +%s) + patience))
while :; do
    status=$(curl --silent --show-error --output "$body" --write-out '%{http_code}' --max-time 5 \
        --header 'Content-Type: application/json' --header "Idempotency-Key: $key" \
        --data-binary "@$ticket" "$bar/tickets")
    case $status in
        2*) echo "taken: $(cat "$body")"; exit 0 ;;
        # No answer, a fault of the bar's own, too slow, still under way, too many at once: it passes.
        000 | 5* | 408 | 409 | 429) ;;
        *) echo "not taken: $(cat "$body")" >&2; exit 1 ;; # problem details (RFC 9457)
    esac
    [ "$(date +%s)" -lt "$until" ] || break
    sleep 1
done
echo "the bar could not be reached: print the ticket on paper" >&2
exit 2
