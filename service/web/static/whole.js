// The whole counter: every station with what it does, and every round. Here one picks a station.

import { belowButton, fitBelow } from "./below.js";
import { byId, el, fill, isDrawn } from "./html.js";
import { roundChip, tickRounds } from "./rounds.js";
import { atHandOf, hasOpen, isGettingReady } from "./work.js";

export function drawWhole(order) {
  const { bar, name, bartenders, rounds, set_aside, unread, alerts, planner } = order;
  if (isDrawn("whole", bar, name, bartenders, rounds, set_aside, unread, alerts, planner)) return;
  const here = `/counter/${encodeURIComponent(bar)}`;
  const rows = [...rounds.map((round) => roundChip(round, { drinks: drinksOf(round, order) })), ...unreadRounds(order)];
  const { scrollTop } = byId("whole");
  fill("whole",
    el("h1", {}, name),
    el("p", {}, "Pick your station. This view shows everyone's."),
    el("ul", { class: "stations" }, bartenders.map((one) =>
      el("li", {},
        el("a", { href: `${here}?bartender=${encodeURIComponent(one.id)}` },
          el("b", {}, one.station_name || one.station),
          el("span", {}, one.is_on ? doing(one, order) : "off the floor"),
          el("small", {}, nextWords(one, order)))))),
    el("h2", {}, `Rounds (${rows.length})`),
    el("ul", { class: "rounds" }, rows),
    belowButton(byId("whole")));
  byId("whole").scrollTop = scrollTop;
  tickRounds();
  fitWhole();
}

export const fitWhole = () => fitBelow(byId("whole"), document.querySelector(".rounds"));

function drinksOf(round, order) {
  const here = (cards) => cards.filter((card) => card.ticket === round.ticket);
  const numAside = here(order.set_aside).length;
  return [
    `${round.num_made} of ${round.num_drinks} made`,
    round.is_on_hold ? "held back" : numAside ? `${numAside} set aside` : "",
    unreadWords(here(order.unread)),
  ].filter(Boolean).join(", ");
}

const unreadWords = (lines) => (lines.length ? `${lines.reduce((sum, line) => sum + line.quantity, 0)} unread` : "");

// A ticket of which nothing could be read has no drinks yet, and waits all the same.
function unreadRounds({ rounds, unread }) {
  const tickets = new Map();
  for (const line of unread) {
    if (rounds.some((round) => round.ticket === line.ticket)) continue;
    tickets.set(line.ticket, [...(tickets.get(line.ticket) || []), line]);
  }
  return [...tickets.values()].map((lines) =>
    el("li", { class: "round" }, el("b", {}, lines[0].number), " ", el("span", { class: "place" }, lines[0].place),
      el("span", { class: "drinks" }, unreadWords(lines))));
}

function doing(bartender, order) {
  const atHand = atHandOf(bartender, order);
  if (atHand) return `now: ${atHand.build.title}`;
  if (bartender.serving) return `handing over ${bartender.serving}`;
  return isGettingReady(order) ? "getting ready" : "hands free";
}

function nextWords(bartender, order) {
  if (bartender.next) return `next: ${bartender.next.title}`;
  if (isGettingReady(order)) return "rounds wait for the first plan";
  return hasOpen(order) ? "nothing for this station" : "nothing waits";
}
