// How old a round is: by number and by length. The mark on the bar is the promise; what goes past
// it is late. No colour says it.

import { el } from "./html.js";
import { secondsSince } from "./clock.js";

const TRACK = 1.6; // the bar's full length, in promises

export function roundChip(round, { drinks = "" } = {}) {
  if (round.is_made) return el("li", { class: "round" }, el("b", {}, round.number), " ", round.place, el("span", { class: "drinks" }, "made, waits to be carried"));
  const chip = el("li", { class: "round" },
    el("b", {}, round.number), " ", el("span", { class: "place" }, round.place),
    drinks ? el("span", { class: "drinks" }, drinks) : "",
    el("span", { class: "age" }),
    el("span", { class: "bar", "aria-hidden": "true" }, el("i", {}), el("u", {})));
  chip.dataset.placed = round.placed_at;
  chip.dataset.promised = round.promised_by;
  chip.querySelector("u").style.insetInlineStart = `${100 / TRACK}%`;
  tick(chip);
  return chip;
}

export function tickRounds() {
  document.querySelectorAll(".round[data-placed]").forEach(tick);
}

function tick(chip) {
  const age = Math.max(0, secondsSince(chip.dataset.placed));
  const promise = (Date.parse(chip.dataset.promised) - Date.parse(chip.dataset.placed)) / 1000;
  const late = age - promise;
  const words = late > 0
    ? `${minutes(age)} min, ${Math.ceil(late / 60)} late`
    : `${minutes(age)} of ${minutes(promise)} min`;
  const said = chip.querySelector(".age");
  if (said.textContent !== words) said.textContent = words;
  chip.classList.toggle("late", late > 0);
  chip.querySelector("i").style.inlineSize = `${Math.min(1, age / promise / TRACK) * 100}%`;
}

const minutes = (seconds) => Math.floor(seconds / 60);
