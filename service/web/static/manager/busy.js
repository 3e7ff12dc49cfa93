// How busy everything is, quarter by quarter, and what is waited for.

import { el } from "../html.js";
import { nameOf } from "./results.js";
import { choice } from "./rows.js";
import { shareBar } from "./svg.js";
import { halfWidth, listed, percent, percentWithin } from "./words.js";

const FIRST = 10;
const HARDLY = 0.02;
const NOT_COUNTED = { round: "the rest of the round", runs_alone: "what runs by itself" };

const wordsOf = (results, name) => {
  const said = results.words?.[name] || name.replaceAll("_", " ").replace("@", ", ");
  return said[0].toUpperCase() + said.slice(1);
};

export function drawBusy(results) {
  const by = choice(results.policies.map(({ policy }) => [policy, nameOf(policy)]));
  const table = el("div", { class: "scroll", tabindex: 0, role: "region", "aria-label": "How busy each resource is" });
  const more = el("button", { type: "button", class: "quiet", "aria-expanded": "false" });
  let showsAll = false;
  const draw = () => {
    const { uses, groups } = results.policies.find((one) => one.policy === by.value);
    const clocks = groups.filter((one) => one.when === "quarter" && one.channel === "").map((one) => one.clock);
    const rows = uses.filter((use) => use.busy && use.busy.mean > HARDLY).sort((a, b) => peak(b) - peak(a));
    const shown = showsAll ? rows : rows.slice(0, FIRST);
    more.hidden = rows.length <= FIRST;
    more.textContent = showsAll ? "Show only the busiest" : `Show all ${rows.length}`;
    more.setAttribute("aria-expanded", String(showsAll));
    table.replaceChildren(el("table", { class: "strip" }, el("caption", { class: "hidden-label" }, `How busy, ${nameOf(by.value)}`),
      el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "Busy"), clocks.map((clock) => el("th", { scope: "col" }, clock.endsWith(":00") ? clock.slice(0, 2) : "", el("span", { class: "hidden-label" }, clock))), el("th", { scope: "col", class: "number" }, "Night"))),
      el("tbody", {}, shown.map((use) => el("tr", {}, el("th", { scope: "row" }, wordsOf(results, use.name)), clocks.map((clock, i) => cell(use.by_quarter[i], clock)), el("td", { class: "number" }, percentWithin(use.busy)))))));
  };
  more.addEventListener("click", () => {
    showsAll = !showsAll;
    draw();
  });
  by.addEventListener("change", draw);
  draw();
  if (!results.policies.some((policy) => policy.uses.length)) return null;
  return el("section", { class: "sheet", "aria-labelledby": "busy" },
    el("div", { class: "sheet-head" }, el("h2", { id: "busy" }, "How busy, quarter by quarter"),
      results.policies.length > 1 ? el("label", { class: "field" }, el("span", { class: "hidden-label" }, "Way of working"), by) : ""),
    el("p", { class: "soft" }, "A full column is busy all the time; from 90% on the number stands in it."), table, more);
}

const peak = (use) => Math.max(...use.by_quarter.map((share) => share ?? 0));

function cell(share, clock) {
  if (share === null || share === undefined) return el("td", { class: "off" }, el("span", { class: "hidden-label" }, `${clock}: not there`));
  const level = el("i", { "aria-hidden": "true" });
  // More than it has room for may stand on the pass.
  level.style.setProperty("block-size", `${Math.min(100, Math.round(share * 100))}%`);
  const isFull = share >= 0.9;
  return el("td", { class: isFull ? "full" : false, title: `${clock}: ${percent(share)}` }, level,
    isFull ? el("b", {}, Math.round(share * 100)) : el("span", { class: "hidden-label" }, percent(share)));
}

export function drawWaits(results) {
  // A real log does not know what a drink waited for: its replay does.
  const first = results.policies.find((policy) => policy.waits.length);
  if (!first) return null;
  const rows = first.waits.filter((wait) => wait.share).slice(0, 7).filter((wait) => wait.share.mean > 0.005);
  if (!rows.length) return null;
  const words = (wait) => wordsOf(results, `${wait.what} ${wait.name}`);
  const [top] = rows;
  const rest = Object.entries(NOT_COUNTED)
    .map(([what, said]) => [said, first.waits.filter((wait) => wait.what === what).reduce((sum, wait) => sum + wait.waited_s.mean, 0)])
    .filter(([, waited_s]) => waited_s > 60);
  return el("section", { class: "sheet", "aria-labelledby": "waits" },
    el("h2", { id: "waits" }, "What drinks wait for"),
    el("p", {}, "Most of the waiting is for ", el("b", {}, lowered(words(top))), `: ${percentWithin(top.share)} of it (${nameOf(first.policy)}).`),
    el("table", { class: "bars" }, el("caption", { class: "hidden-label" }, "Share of waiting seconds"),
      el("thead", { class: "hidden-label" }, el("tr", {}, ["Waits for", "As a bar", "Share"].map((head) => el("th", { scope: "col" }, head)))),
      el("tbody", {}, rows.map((wait) => el("tr", {}, el("th", { scope: "row" }, words(wait)), el("td", { class: "picture" }, shareBar(wait.share.mean, halfWidth(wait.share) === null ? {} : wait.share)), el("td", { class: "number" }, percentWithin(wait.share)))))),
    rest.length ? el("p", { class: "soft" }, `Not counted, since more of nothing would help: ${listed(rest.map(([said, waited_s]) => `${Math.round(waited_s / 60)} min a night for ${said}`))}.`) : "");
}

const lowered = (text) => text[0].toLowerCase() + text.slice(1);
