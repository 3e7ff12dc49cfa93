// What stands on a till's paper, as it was printed, and the menu to pick a name from.

import { el } from "./html.js";

let menu = null;

export const paperOf = (lines) =>
  lines.length ? el("ol", { class: "paper", "aria-label": "On paper" }, lines.map((line) => el("li", {}, line))) : "";

// Every recipe of the menu, for a word that comes near none of them: at once where nothing else can be
// picked, else behind a button, so that what is near stays in sight. It is asked for when it is shown.
export function menuOf(bar, near, onPick) {
  const place = el("div", { class: "menu" });
  const show = () => recipesOf(bar).then((recipes) =>
    place.replaceChildren(...recipes
      .filter((one) => !near.includes(one.id))
      .map((one) => el("button", { type: "button", on: { click: () => onPick(one.id) } }, one.name)))).catch(() => {});
  if (near.length) place.replaceChildren(el("button", { type: "button", on: { click: show } }, "Another drink"));
  else show();
  return place;
}

// A spirit, then what goes with it: for a word that means neither recipe. Nothing is sent before the mixer.
export function pouredOf(bar, onPick) {
  const place = el("div", { class: "menu" });
  const tap = (word, onTap) => el("button", { type: "button", on: { click: onTap } }, word);
  const mixersOf = (spirit, ingredients) => ["single", "double"].flatMap((measure) => [
    el("p", {}, `${spirit.name}, ${measure}, with`),
    ...ingredients.filter((one) => MIXERS.includes(one.kind)).map((one) =>
      tap(one.name, () => onPick({ spirit: spirit.id, mixer: one.id, measure }))),
    tap("nothing", () => onPick({ spirit: spirit.id, measure })),
  ]);
  const show = () => wholeMenuOf(bar).then(({ ingredients }) =>
    place.replaceChildren(...ingredients.filter((one) => one.kind === "spirit").map((one) =>
      tap(one.name, () => place.replaceChildren(...mixersOf(one, ingredients)))))).catch(() => {});
  place.replaceChildren(tap("A spirit and mixer", show));
  return place;
}

const MIXERS = ["mixer", "juice", "beer"];

function wholeMenuOf(bar) {
  return fetch(`/v1/bars/${encodeURIComponent(bar)}/menu`, { signal: AbortSignal.timeout(5000) })
    .then((answer) => answer.json());
}

function recipesOf(bar) {
  menu = menu || fetch(`/v1/bars/${encodeURIComponent(bar)}/menu`, { signal: AbortSignal.timeout(5000) })
    .then((answer) => answer.json())
    .then(({ recipes }) => recipes.map(({ id, name }) => ({ id, name })).sort((one, other) => one.name.localeCompare(other.name)))
    .catch((fault) => {
      menu = null;
      throw fault;
    });
  return menu;
}

const WORDS = { gap: "Missing:", printer: "Printer:", clock: "Clock:" };

// An alert about a print, a number, a printer or a till's clock: seen, it goes; a print that broke off can be taken.
export const alertOf = (alert, isSafety) => ({
  key: alert.id,
  word: WORDS[alert.kind] || "Print:",
  text: alert.words,
  isSafety,
  why: "",
  choices: (taps) => [
    // The paper of a second print is known: the question about it comes first.
    alert.second ? "" : paperOf(alert.lines),
    alert.can_be_taken ? button("Take it as it is", "what can be read becomes a ticket", () => taps.takePrint(alert.print)) : "",
    alert.second ? button("Take it off", "it is a second print: nothing of it is made", () => taps.voidTicket(alert.second, "a second print")) : "",
    alert.second ? button("Make both", "the same round once more", () => taps.seen(alert.id)) : button("Seen", "somebody looks after it", () => taps.seen(alert.id)),
    alert.second ? paperOf(alert.lines) : "",
  ],
});

const button = (word, small, onTap) =>
  el("button", { type: "button", on: { click: onTap } }, el("b", {}, word), el("small", {}, small));
