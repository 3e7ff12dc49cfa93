// Post one ticket, and try again until it is certain that the bar has it.
//
//     node post_ticket.mjs http://127.0.0.1:8000/v1/bars/saltmarch ticket.json
//
// Needs Node 18 or newer, nothing else. Exit codes: 0 the bar has it, 1 the bar says what is wrong
// with it, 2 the bar could not be reached: print it on paper.

import { randomUUID } from "node:crypto";
import { readFile } from "node:fs/promises";

const PATIENCE_MS = 20_000; // after so long without an answer a ticket belongs on paper
const PASSES = [408, 409, 429]; // too slow, the same ticket still under way, too many at once

async function postTicket(bar, ticket) {
  // One key a ticket, the same for every try: an answer that got lost doubles nothing.
  const headers = {
    "Content-Type": "application/json",
    "Idempotency-Key": `${ticket.till ?? "till"} ${randomUUID()}`,
  };
  const until = Date.now() + PATIENCE_MS;
  for (let wait = 200; ; wait = Math.min(2 * wait, 5000)) {
    try {
      const answer = await fetch(`${bar}/tickets`, {
        method: "POST",
        headers,
        body: JSON.stringify(ticket),
        signal: AbortSignal.timeout(5000),
      });
      // A fault of the bar's own or of the way there passes; a fault of the ticket does not.
      if (answer.status < 500 && !PASSES.includes(answer.status)) return { ok: answer.ok, found: await answer.json() };
    } catch (error) {
      console.error(`no answer yet (${error.cause?.code ?? error.name}), trying again`);
    }
    if (Date.now() + wait > until) return null;
    await new Promise((resolve) => setTimeout(resolve, wait));
  }
}

const [bar, file] = process.argv.slice(2);
const answer = await postTicket(bar, JSON.parse(await readFile(file, "utf8")));
if (answer === null) {
  console.error("the bar could not be reached: print the ticket on paper");
  process.exitCode = 2;
} else if (!answer.ok) {
  // Problem details (RFC 9457): what was expected, what came, what to do.
  console.error(`${answer.found.title}: ${answer.found.detail}`);
  for (const fault of answer.found.errors ?? []) console.error(`  ${fault.path}: ${fault.detail}`);
  process.exitCode = 1;
} else {
  console.log(`taken as ${answer.found.id}, ${answer.found.drinks.length} drinks`);
  for (const line of answer.found.unread) {
    console.log(`  not read, stands in the tray: ${line.text}`);
  }
}
