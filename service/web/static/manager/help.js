// What would help: single changes ranked, the rota, the prep list.

import { el } from "../html.js";
import { byWords } from "./results.js";
import { choice, scrolled } from "./rows.js";
import { intervalBar } from "./svg.js";
import { halfWidth, percentWithin, signed } from "./words.js";

export function drawWhatIf({ what_if: found }) {
  if (!found) return "";
  const ends = found.rows.flatMap(({ saved_min: one }) => [one.low ?? one.mean, one.high ?? one.mean, 0]);
  const scale = { from: Math.min(...ends), to: Math.max(...ends) };
  const isClear = ({ saved_min: one }) => halfWidth(one) !== null && (one.low > 0 || one.high < 0);
  const hasCost = found.rows.some((row) => row.cost !== null);
  const [best] = found.rows;
  return el("section", { class: "sheet", "aria-labelledby": "what-if-title" },
    el("h2", { id: "what-if-title" }, "What would help"),
    el("p", {}, best && isClear(best) && best.saved_min.mean > 0
      ? [el("b", {}, capital(best.words)), ` saves a guest the most: ${saved(best)} of ${found.guest_min.mean.toFixed(1)} min.`]
      : "No single change makes a difference that stands out from chance."),
    scrolled("Single changes by minutes saved for a guest", el("table", { class: "bars ranking" }, el("caption", { class: "hidden-label" }, "Single changes by minutes saved for a guest"),
      el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "Change"), el("th", { scope: "col" }, "Minutes saved for a guest"), el("td", {}), hasCost ? el("th", { scope: "col", class: "number" }, "A night") : "")),
      el("tbody", {}, found.rows.map((row) => el("tr", {}, el("th", { scope: "row" }, capital(row.words)),
        el("td", { class: "picture" }, intervalBar(row.saved_min, scale, { isClear: isClear(row) })),
        el("td", { class: "number" }, saved(row), isClear(row) ? "" : el("span", { class: "soft block" }, "may be chance")),
        hasCost ? el("td", { class: "number" }, row.cost === null ? "–" : `${found.money}${row.cost.toFixed(0)}`) : ""))))),
    el("p", { class: "soft" }, `Worked ${byWords(found.policy)} on the same ${found.nights} nights; ${found.ended}. A hollow dot may be chance. The interval ${found.note}.`));
}

const capital = (text) => text[0].toUpperCase() + text.slice(1);

function saved({ saved_min: one }) {
  const half = halfWidth(one);
  return `${signed(one.mean)}${half === null ? "" : ` ± ${half.toFixed(1)}`} min`;
}

export function drawRota({ rota }) {
  if (!rota) return "";
  const most = Math.max(...rota.bartenders, ...rota.barbacks, 1);
  const strip = (label, counts) => el("tr", {}, el("th", { scope: "row" }, label), counts.map((count) => {
    const level = el("i", { "aria-hidden": "true" });
    level.style.setProperty("block-size", `${(100 * count) / most}%`);
    // The number stands at the foot: on the ground where the column does not reach it.
    return el("td", {}, level, el("b", { class: count / most < 0.45 ? "on-ground" : false }, count));
  }));
  return el("section", { class: "sheet", "aria-labelledby": "rota-title" },
    el("h2", { id: "rota-title" }, "The fewest hands"),
    el("p", {}, rota.is_found
      ? `${rota.hours.toFixed(1)} hours of hands keep ${Math.round(rota.goal * 100)}% within promise in every hour; everybody all night is ${rota.hours_before.toFixed(1)}.`
      : `No rota was found that keeps ${Math.round(rota.goal * 100)}% within promise in every hour.`),
    el("div", { class: "scroll", tabindex: 0, role: "region", "aria-label": "Hands by quarter of an hour" }, el("table", { class: "strip" }, el("caption", { class: "hidden-label" }, "Hands by quarter of an hour"),
      el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "On"), rota.clocks.map((clock) => el("th", { scope: "col" }, clock.endsWith(":00") ? clock.slice(0, 2) : "", el("span", { class: "hidden-label" }, clock))))),
      el("tbody", {}, strip("Bartenders", rota.bartenders), strip("Barbacks", rota.barbacks)))),
    el("ul", { class: "shifts" }, rota.shifts.map((shift) => el("li", {}, el("b", {}, capital(shift.who)), ` ${shift.since} to ${shift.until}`))),
    el("table", {}, el("caption", { class: "hidden-label" }, "Within promise by hour, on fresh nights"),
      el("thead", {}, el("tr", {}, ["From", "Within promise, on nights the search has not seen"].map((words) => el("th", { scope: "col" }, words)))),
      el("tbody", {}, rota.by_hour.map((hour) => el("tr", {}, el("th", { scope: "row" }, hour.clock), el("td", {}, hour.within_promise ? `${percentWithin(hour.within_promise)}${hour.is_kept ? "" : ": not kept"}` : "nobody ordered"))))),
    el("p", { class: "soft" }, `Worked ${byWords(rota.policy)}; ${rota.looked_at} rotas tried on ${rota.nights} nights or fewer each, then held against ${rota.fresh_nights} others. The interval ${rota.note}.`));
}

const NIGHTS_FOR = { 50: 1, 80: 4, 90: 9, 95: 19, 99: 99 };

export function drawPrep({ prep, nights, policies }) {
  if (!prep?.length) return "";
  const sure = choice([["50", "half of the nights"], ["80", "8 of 10 nights"], ["90", "9 of 10 nights"], ["95", "19 of 20 nights"], ["99", "99 of 100 nights"]], nights >= 9 ? "90" : nights >= 4 ? "80" : "50");
  const body = el("div", { class: "prep" });
  const note = el("p", { class: "soft", role: "status" });
  const draw = () => {
    const isKnown = prep.some((row) => row.by_sure[sure.value] !== null);
    note.textContent = isKnown ? "" : `To be that sure takes ${NIGHTS_FOR[sure.value]} nights: run more, or be less sure.`;
    const parts = Map.groupBy ? Map.groupBy(prep, (row) => row.part) : grouped(prep);
    body.replaceChildren(...[...parts].map(([part, rows]) => el("details", { open: parts.size < 3 || rows.length < 14 },
      el("summary", {}, el("h3", {}, capital(part)), el("span", { class: "soft" }, `${rows.length}`)),
      el("table", {}, el("caption", { class: "hidden-label" }, part),
        el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "What"), el("th", { scope: "col", class: "number" }, "Have ready"), el("th", { scope: "col", class: "number" }, "Average"))),
        el("tbody", {}, rows.map((row) => el("tr", {}, el("th", { scope: "row" }, row.name),
          el("td", { class: "number" }, ready(row), isShort(row) ? el("b", { class: "block" }, `you have ${row.stock}`) : ""),
          el("td", { class: "number soft" }, amount(row.average, row.unit)))))))));
  };
  const ready = (row) => (row.by_sure[sure.value] === null ? "–" : amount(row.by_sure[sure.value], row.unit));
  const isShort = (row) => row.stock !== null && row.by_sure[sure.value] !== null && row.by_sure[sure.value] > row.stock;
  sure.addEventListener("change", draw);
  draw();
  return el("section", { class: "sheet", "aria-labelledby": "prep-title" },
    el("div", { class: "sheet-head" }, el("h2", { id: "prep-title" }, "Before doors"), el("label", { class: "field inline" }, "Enough on", sure)),
    el("p", { class: "soft" }, `From ${nights} ${nights === 1 ? "night" : "nights"} ${byWords(policies[0].policy)}. An average would run out every second night.`), note, body);
}

function grouped(rows) {
  const found = new Map();
  for (const row of rows) found.set(row.part, [...(found.get(row.part) || []), row]);
  return found;
}

// Rounded up, as one prepares: never a drop less than it takes.
function amount(value, unit) {
  if (unit === "litres") return value < 0.995 ? amount(value * 1000, "ml") : `${(Math.ceil(value * 10 - 1e-6) / 10).toFixed(1)} l`;
  if (unit === "ml") return value >= 995 ? amount(value / 1000, "litres") : `${Math.ceil(value / 10 - 1e-6) * 10} ml`;
  if (unit === "kg") return `${Math.ceil(value - 1e-6)} kg`;
  if (unit === "bottles") return `${(Math.ceil(value * 4 - 1e-6) / 4).toString()} bottles`;
  return `${Math.ceil(value - 1e-6)}${unit === "pieces" ? "" : ` ${unit}`}`;
}
