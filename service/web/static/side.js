// Beside it: the build after this one, the short queue, and what a person has to look at.

import { byId, el, fill, isDrawn } from "./html.js";
import { drawGrid } from "./grid.js";
import { fit } from "./fit.js";

const SHOWN_THEN = 3; // beside a next build
const SHOWN_ALONE = 6;
const SHOWN_NOTICES = 3;

export function drawSide(after, order) {
  const notices = noticesOf(order);
  if (isDrawn("side", after, notices)) return;
  const { build, title } = after;
  byId("next-title").textContent = title;
  fill("next-board", build ? nextBoard(build) : el("p", { class: "calm" }, after.words));
  byId("next").hidden = !build && !after.words;
  const shown = build ? SHOWN_THEN : SHOWN_ALONE;
  const more = after.then.length - shown;
  fill("then",
    after.then.slice(0, shown).map((card) =>
      el("li", {}, el("span", { class: "what" }, card.title), el("span", { class: "for" }, card.rounds.join(", ")))),
    more > 0 ? el("li", { class: "more" }, `and ${more} more`) : []);
  byId("queue").hidden = !after.then.length;
  const rest = notices.length - SHOWN_NOTICES;
  fill("notice-list",
    notices.slice(0, SHOWN_NOTICES).map(({ word, text }) => el("li", {}, el("b", {}, word), " ", text)),
    rest > 0 ? el("li", { class: "more" }, `and ${rest} more`) : []);
  byId("notices").hidden = !notices.length;
  fitSide();
}

export function fitSide() {
  fit(byId("next-board"), { largest: 0.031, smallest: 0.014 });
}

function nextBoard(build) {
  const loud = build.drinks.filter((drink) => drink.is_alone);
  const words = [...new Set(loud.map((drink) => (drink.allergies.length ? `ALLERGY ${drink.allergies.join(", ")}` : "NOTE, unread")))];
  return [
    el("p", { class: "for" }, build.rounds.join(" · ")),
    ...words.map((word) => el("p", { class: "loud" }, el("b", {}, word))),
    build.grid ? drawGrid(build.grid, { isShort: true }) : el("p", {}, build.title),
  ];
}

// What may hurt somebody comes first, then what waits for an answer, then what is good to know.
const URGENT = ["well", "flame", "plan"];

function noticesOf(order) {
  const said = (alerts) => alerts.map((alert) => ({ word: "Bar:", text: alert.words }));
  // Unread lines stand below, each with its words; an alert that counts them says nothing more.
  const alerts = order.alerts.filter((alert) => alert.kind !== "unread");
  return [
    ...said(alerts.filter((alert) => URGENT.includes(alert.kind))),
    ...order.unread.map((line) => ({
      word: `Unread, ${line.number} ${line.place}:`,
      text: `${line.quantity} × “${line.text}”${line.nearest.length ? `; ${line.nearest[0].name}?` : ""}`,
    })),
    ...asideByReason(order.set_aside),
    ...said(alerts.filter((alert) => !URGENT.includes(alert.kind))),
  ];
}

// Ten drinks that wait for the same bottle are one thing to know.
function asideByReason(cards) {
  const reasons = new Map();
  for (const card of cards) {
    const key = `${card.number} ${card.reason}`;
    if (!reasons.has(key)) reasons.set(key, { word: `Set aside, ${card.number} ${card.place}:`, names: [], reason: card.reason });
    reasons.get(key).names.push(card.name);
  }
  return [...reasons.values()].map(({ word, names, reason }) => ({ word, text: `${[...new Set(names)].join(", ")}; ${reason}` }));
}
