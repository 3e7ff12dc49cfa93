// Time to last drink: by when it was ordered, and how long for how many.

import { el } from "../html.js";
import { asTable, lines } from "./chart.js";
import { stroke } from "./svg.js";
import { nameOf } from "./results.js";
import { choice } from "./rows.js";
import { halfWidth, percent } from "./words.js";

const FIGURES = [["p90_s", "nine of ten rounds done within"], ["p50_s", "half of the rounds done within"], ["mean_s", "done in, on average"], ["within_promise", "share within promise"]];
const CHANNELS = [["", "all rounds"], ["bar_top", "bar top"], ["floor", "floor"]];
const FEW = 0.05;

const promiseOf = (house, channel) => (channel ? (house?.counter.rules?.[`promise_${channel}_s`] ?? (channel === "bar_top" ? 360 : 600)) : null);

export function legend(results) {
  return el("ul", { class: "legend" }, results.policies.map((policy, index) => el("li", {}, stroke(index), nameOf(policy.policy))));
}

export function drawByTime(results, house) {
  const figure = choice(FIGURES, "p90_s");
  const channel = choice(CHANNELS, "");
  const host = el("div", { class: "chart" });
  const said = el("p", { class: "readout", "aria-hidden": "true" });
  const table = el("div", {});
  const note = el("p", { class: "soft" });
  const draw = () => {
    host.replaceChildren();
    const isShare = figure.value === "within_promise";
    const scale = isShare ? 1 : 60;
    const words = (value) => (value === null || value === undefined ? "–" : isShare ? percent(value) : `${value.toFixed(1)} min`);
    const rows = quartersOf(results, channel.value);
    const xs = rows.map((_, i) => i);
    const at = (one, policy) => one.by[policy]?.figures[figure.value];
    const series = results.policies.map(({ policy }, index) => {
      const found = rows.map((one) => at(one, policy));
      const hasBand = found.some((one) => one && halfWidth(one) !== null);
      const end = (name) => found.map((one) => (one && one[name] !== null ? Math.max(0, one[name] / scale) : null));
      return { index, label: nameOf(policy), values: found.map((one) => (one ? one.mean / scale : null)), ...(hasBand ? { low: end("low"), high: end("high") } : {}) };
    });
    note.textContent = series.some((one) => one.low) ? "The shaded band is the 95% interval over the nights." : "";
    const promise = promiseOf(house, channel.value);
    const marks = isShare ? [{ at: 0.9, words: "9 of 10" }] : promise ? [{ at: promise / 60, words: `promise ${promise / 60} min` }] : [];
    const rest = `Time to last drink by when the round was ordered. Point at the picture for one quarter of an hour.`;
    said.textContent = rest;
    lines(host, {
      xs, series, marks, height: 320, most: isShare ? 1.02 : undefined,
      xWords: (x) => rows[x]?.clock ?? "", yWords: isShare ? percent : (y) => `${y} min`,
      splits: rows.map((one, i) => (rows.length <= 10 || one.clock.endsWith(":00") ? i : -1)).filter((i) => i >= 0),
      readout: (x) => (said.textContent = x === null ? rest : `Ordered from ${rows[x].clock}: ${series.map((one) => `${one.label} ${words(one.values[x])}`).join(", ")}`),
    });
    table.replaceChildren(asTable("Time to last drink by quarter of an hour", ["Ordered from", ...series.map((one) => one.label)],
      rows.map((row, i) => [row.clock, ...series.map((one) => `${words(one.values[i])}${one.low && one.low[i] !== null && one.values[i] !== null ? ` (${words(one.low[i])} to ${words(one.high[i])})` : ""}`)])));
  };
  figure.addEventListener("change", draw);
  channel.addEventListener("change", draw);
  const section = el("section", { class: "sheet", "aria-labelledby": "by-time" },
    el("div", { class: "sheet-head" }, el("h2", { id: "by-time" }, "Last drink, by time of night"),
      el("div", { class: "line" }, el("label", { class: "field" }, el("span", { class: "hidden-label" }, "Figure"), figure), el("label", { class: "field" }, el("span", { class: "hidden-label" }, "Rounds of"), channel))),
    legend(results), said, host, note, table);
  requestAnimationFrame(draw);
  return section;
}

// A quarter in which hardly anybody ordered has no time worth a line.
function quartersOf(results, channel) {
  const rows = new Map();
  for (const { policy, groups } of results.policies) {
    for (const group of groups) {
      if (group.when !== "quarter" || group.channel !== channel) continue;
      const row = rows.get(group.quarter) || { clock: group.clock, by: {}, rounds: 0 };
      row.by[policy] = group;
      row.rounds = Math.max(row.rounds, group.figures.rounds?.mean ?? 0);
      rows.set(group.quarter, row);
    }
  }
  const found = [...rows.entries()].sort(([a], [b]) => a - b).map(([, row]) => row);
  while (found.length && found.at(-1).rounds < FEW) found.pop();
  return found;
}

export function drawDistribution(results, house) {
  const some = results.policies.filter((policy) => policy.quantiles_s.length);
  if (!some.length) return null;
  const host = el("div", { class: "chart" });
  const last = Math.max(...some.map((policy) => policy.quantiles_s.at(-2) ?? policy.quantiles_s.at(-1)));
  const xs = Array.from({ length: 121 }, (_, i) => (i * last) / 120 / 60);
  const series = results.policies.map(({ policy, quantiles_s }, index) => ({ index, label: nameOf(policy), values: xs.map((x) => shareWithin(quantiles_s, x * 60)) }));
  const rest = "How many of all rounds have their last drink within how many minutes. Dotted: the promises.";
  const said = el("p", { class: "readout", "aria-hidden": "true" }, rest);
  const across = [["bar_top", "bar top"], ["floor", "floor"]].map(([channel, words]) => ({ at: promiseOf(house, channel) / 60, words }));
  requestAnimationFrame(() => lines(host, {
    xs, series, across, most: 1.02, height: 260, xWords: (x) => `${x} min`, yWords: percent,
    readout: (x) => (said.textContent = x === null ? rest : `Within ${xs[x].toFixed(1)} min: ${series.map((one) => `${one.label} ${percent(one.values[x])}`).join(", ")}`),
  }));
  const levels = [10, 25, 50, 75, 90, 95, 99];
  return el("section", { class: "sheet", "aria-labelledby": "distribution" },
    el("h2", { id: "distribution" }, "How long for how many"), legend(results), said, host,
    asTable("Time within which so many of 100 rounds are done", ["Of 100 rounds", ...some.map((one) => nameOf(one.policy))],
      levels.map((level) => [`${level}`, ...some.map((one) => `${(one.quantiles_s[level] / 60).toFixed(1)} min`)])));
}

function shareWithin(quantiles, seconds) {
  if (!quantiles.length) return null;
  const at = quantiles.findIndex((quantile) => quantile > seconds);
  if (at === 0) return 0;
  if (at < 0) return 1;
  const [before, after] = [quantiles[at - 1], quantiles[at]];
  return (at - 1 + (after > before ? (seconds - before) / (after - before) : 0)) / 100;
}
