// Beside it: the build after this one, and the short queue.

import { byId, el, fill, isDrawn } from "./html.js";
import { drawGrid } from "./grid.js";
import { fit } from "./fit.js";

const SHOWN_THEN = 3; // beside a next build
const SHOWN_ALONE = 6;

export function drawSide(after) {
  if (isDrawn("side", after)) return;
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
