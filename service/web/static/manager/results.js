// What came out of a rush, picture by picture, each with a sentence that says the same.

import { byId, el, fill } from "../html.js";
import { forgetCharts } from "./chart.js";
import { drawBusy, drawWaits } from "./busy.js";
import { drawPrep, drawRota, drawWhatIf } from "./help.js";
import { drawByTime, drawDistribution } from "./times.js";
import { scrolled } from "./rows.js";
import { FEW_NIGHTS, halfWidth, listed, minutesWithin, percentWithin, plural } from "./words.js";

const NAMES = { live: "the live planner", "look-ahead": "look-ahead", "by the round": "by the round", "by the ticket": "by the ticket", "as it was": "as it was" };
const PROMISED = 0.9;
export const nameOf = (policy) => NAMES[policy] || policy;

export const byWords = (policy) => (nameOf(policy).startsWith("by ") ? nameOf(policy) : `by ${nameOf(policy)}`);
const capital = (text) => text[0].toUpperCase() + text.slice(1);

export function forgetResults() {
  forgetCharts();
  fill("results");
}

// A real night beside its replay: the same pictures, and another headline.
export function drawResults(rush, house) {
  forgetResults();
  const results = rush.results;
  if (!results) return;
  fill("results", headline(results, house),
    ...pictures(results, house),
    drawWhatIf(results),
    drawRota(results),
    drawPrep(results));
}

export function pictures(results, house) {
  return [drawByTime(results, house), drawDistribution(results, house), drawBusy(results), drawWaits(results)].filter(Boolean);
}

function headline(results, house) {
  const [first] = results.policies;
  const share = first.whole.within_promise;
  return el("section", { class: "sheet headline", "aria-labelledby": "verdict-title" },
    el("h2", { id: "verdict-title" }, verdict(share, results.nights)),
    el("p", {}, `${capital(byWords(first.policy))}, `, el("b", {}, percentWithin(share)), " of rounds have their last drink within the promise ",
      el("span", { class: "soft" }, `(${promises(house)}; it holds at 90%)`), `; nine of ten are done in `, el("b", {}, minutesWithin(first.whole.p90_s)),
      first.whole.busiest_p90_s ? [`, in the busiest hour from ${results.busiest} in `, el("b", {}, minutesWithin(first.whole.busiest_p90_s))] : "", "."),
    ...results.compared.map((one) => el("p", {}, compared(one))),
    lost(first),
    scrolled("Whole night by way of working", el("table", { class: "whole" },
      el("caption", { class: "hidden-label" }, "Whole night by way of working"),
      el("thead", {}, el("tr", {}, ["", "Within promise", "On average", "Half within", "Nine of ten within", "99 of 100 within", "Sat too long", "Given up"].map((words) => el(words ? "th" : "td", { scope: words ? "col" : false }, words)))),
      el("tbody", {}, results.policies.map((policy) => el("tr", {}, el("th", { scope: "row" }, nameOf(policy.policy)),
        el("td", {}, figure(policy.whole.within_promise, percentWithin)),
        ...["mean_s", "p50_s", "p90_s", "p99_s"].map((name) => el("td", {}, figure(policy.whole[name], minutesWithin))),
        ...["sat_too_long", "given_up"].map((name) => el("td", {}, figure(policy.whole[name], count)))))))),
    ...results.policies.filter((policy) => policy.broken.length).map((policy) => el("p", {}, el("b", {}, "A fault of ours, tell us if it stays: "), policy.broken.join("; "))),
    el("p", { class: "soft" }, howSure(results)));
}

function howSure({ nights, note }) {
  if (nights === 1) return "One night alone says nothing about chance: run more nights for an interval.";
  if (nights < FEW_NIGHTS) return `So few nights say little: from ${FEW_NIGHTS} on, figures have a 95% interval beside them.`;
  return `Every ± is a 95% interval over ${nights} nights: it ${note}.`;
}

// The mean, and under it how sure: "11.7 min", "± 0.4".
function figure(interval, words) {
  if (!interval) return "–";
  const [mean, within] = words(interval).split(" ± ");
  return within ? [`${mean}${within.endsWith("%") ? "%" : within.endsWith(" min") ? " min" : ""}`, el("small", {}, `± ${within.replace(/ min$/, "")}`)] : mean;
}
const count = (interval) => {
  const half = halfWidth(interval);
  return half === null ? interval.mean.toFixed(0) : `${interval.mean.toFixed(1)} ± ${half.toFixed(1)}`;
};

function verdict(share, nights) {
  if (!share) return "Nobody ordered.";
  const half = halfWidth(share);
  if (half === null && nights > 1) return `${share.mean >= PROMISED ? "It held" : "It did not hold"} on average over ${nights} nights, which are too few to say.`;
  if (half === null) return share.mean >= PROMISED ? "It held on the one night that was run." : "It did not hold on the one night that was run.";
  if (share.mean - half >= PROMISED) return "It holds.";
  if (share.mean + half < PROMISED) return "It does not hold.";
  return `Too close to call after ${plural(nights, "night")}.`;
}

function promises(house) {
  const rules = house?.counter.rules || {};
  return `bar top ${(rules.promise_bar_top_s ?? 360) / 60} min, floor ${(rules.promise_floor_s ?? 600) / 60} min, quick drinks ${(rules.promise_quick_s ?? 180) / 60} min`;
}

function compared(one) {
  const ratio = one.ratio.busiest_p90_s || one.ratio.p90_s;
  const difference = one.difference.p90_s;
  if (!difference) return "";
  const half = halfWidth(difference);
  const isClear = half !== null && Math.abs(difference.mean) > half;
  const way = difference.mean <= 0 ? "sooner" : "later";
  const size = `${Math.abs(difference.mean / 60).toFixed(1)}${half === null ? "" : ` ± ${(half / 60).toFixed(1)}`} min`;
  return [`On the same nights, nine of ten rounds are done `, el("b", {}, `${size} ${way}`), ` than by ${nameOf(one.theirs).replace(/^by /, "")}`,
    ratio ? ` (in the busiest hour ${Math.round(Math.abs(1 - ratio.mean) * 100)}% ${ratio.mean <= 1 ? "less" : "more"})` : "",
    isClear || half === null ? "." : "; that may be chance."];
}

function lost(first) {
  const words = [["given_up", "given up by their guests"], ["left_open", "still open when hands stop"]]
    .filter(([name]) => first.whole[name]?.mean >= 0.5)
    .map(([name, said]) => `${plural(Math.round(first.whole[name].mean), "round is", "rounds are")} ${said}`);
  return words.length ? el("p", {}, `On an average night ${listed(words)}. They count as not within the promise and have no time.`) : "";
}
