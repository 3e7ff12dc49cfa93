// The whole counter: every station with what it does, and every round. Here one picks a station.

import { el, fill } from "./html.js";
import { roundChip } from "./rounds.js";
import { atHandOf } from "./work.js";

export function drawWhole(order) {
  const here = `/counter/${encodeURIComponent(order.bar)}`;
  fill("whole",
    el("h1", {}, order.name),
    el("p", {}, "Pick your station. This view shows everyone's."),
    el("ul", { class: "stations" }, order.bartenders.map((one) =>
      el("li", {},
        el("a", { href: `${here}?bartender=${encodeURIComponent(one.id)}` },
          el("b", {}, one.station_name || one.station),
          el("span", {}, one.is_on ? doing(one, order) : "off the floor"),
          el("small", {}, one.next ? `next: ${one.next.title}` : "nothing waits"))))),
    el("h2", {}, `Rounds (${order.rounds.length})`),
    el("ul", { class: "rounds" }, order.rounds.map((round) =>
      roundChip(round, { drinks: `${round.num_made} of ${round.num_drinks} made` }))));
}

function doing(bartender, order) {
  const atHand = atHandOf(bartender, order);
  if (atHand) return `now: ${atHand.build.title}`;
  return bartender.serving ? `handing over ${bartender.serving}` : "hands free";
}
