// The large half of the screen: what the hands do now, or do next.

import { byId, el, fill, isDrawn, say } from "./html.js";
import { drawGrid, isBrief } from "./grid.js";
import { fit } from "./fit.js";
import { roundChip } from "./rounds.js";

// Letters by the height of the screen. On a 24-inch 1920x1080 screen (0.277 mm a pixel) the largest
// are 0.074 x 1080 = 79 px, capitals of 57 px = 15.9 mm: 27 minutes of arc at 2 m. 48 px are 9.6 mm
// and 16 minutes; below that a board goes only where it is fuller than a build may be.
const LARGEST = 0.074;
const SMALLEST = 0.03;

const ALLERGY_WORDS = "Clean kit, made alone, said aloud at the hand-over; tell the guest we cannot promise no traces.";
const NOTE_WORDS = "Nobody could read this as a change: ask. Made alone.";

export function drawNow(work, order) {
  const tickets = new Set(work.build ? work.build.drinks.map((drink) => drink.ticket) : []);
  const rounds = order.rounds.filter((round) => tickets.has(round.ticket));
  if (isDrawn("now", work.kind, work.title, work.words, work.build, rounds)) return;
  say("now-title", work.title);
  fill("now-rounds", work.build ? roundsOf(work.build, order) : []);
  fill("loud", work.build ? loudWords(work.build) : []);
  fill("board", [boardOf(work)].flat());
  byId("now").dataset.kind = work.kind;
  fitNow();
}

export function fitNow() {
  fit(byId("board"), { largest: LARGEST, smallest: SMALLEST });
}

export function roundsOf(build, order) {
  const seen = new Set();
  const still = build.drinks.filter((drink) => drink.state !== "made");
  return still.filter((drink) => !seen.has(drink.ticket) && seen.add(drink.ticket)).map((drink) => {
    const round = order.rounds.find((one) => one.ticket === drink.ticket);
    const mine = build.drinks.filter((one) => one.ticket === drink.ticket).length;
    const whole = round ? round.num_drinks : mine;
    const drinks = mine < whole ? `${mine} of its ${whole}` : "";
    return round ? roundChip(round, { drinks }) : el("li", { class: "round" }, `${drink.number} ${drink.place}`);
  });
}

// Said in words and by shape, not by colour alone.
function loudWords(build) {
  const words = new Map();
  for (const drink of build.drinks) {
    const named = drink.allergies.join(", ");
    if (named) words.set(`allergy ${named}`, loud("allergy", `ALLERGY ${named}`, ALLERGY_WORDS));
    if (drink.note) words.set(`note ${drink.note}`, loud("note", `NOTE “${drink.note}”`, NOTE_WORDS));
  }
  const columns = build.grid ? build.grid.columns : [];
  for (const caution of new Set(columns.flatMap((column) => column.cautions))) {
    if (isBrief(caution)) continue;
    words.set(`c ${caution}`, el("p", { class: "caution" }, ...withHead(caution)));
  }
  return [...words.values()];
}

const loud = (kind, head, rest) => el("p", { class: `loud ${kind}` }, el("b", {}, head), " ", el("small", {}, rest));

// "Flame: one in the whole bar": what it is about stands out.
function withHead(caution) {
  const [head, ...rest] = caution.split(":");
  return rest.length ? [el("b", {}, head), rest.join(":")] : [caution];
}

function boardOf(work) {
  if (work.kind === "finish") return finishing(work.build, work.stretch);
  if (work.build && work.build.grid) return drawGrid(work.build.grid);
  return el("p", { class: "calm" }, work.words);
}

// What ran by itself needs its glass, its top and its garnish now, and nothing that is in it already.
function finishing(build, stretch) {
  const isOpen = (id) => build.drinks.some((drink) => drink.id === id && drink.state !== "made");
  const { columns, rows } = build.grid;
  const kept = columns.map((column, at) => at).filter((at) => columns[at].drinks.some(isOpen));
  const grid = {
    columns: kept.map((at) => ({ ...columns[at], agitation: "" })),
    rows: rows.map((row) => ({ ...row, cells: kept.map((at) => row.cells[at]) }))
      .filter((row) => row.part === "last" && row.cells.some(Boolean)),
  };
  const steps = stretch.say.length > 1 ? stretch.say : [];
  return [drawGrid(grid), el("ol", { class: "say" }, steps.map((line) => el("li", {}, line)))];
}
