// How a night went: the real log against the promise, and against its own tickets by look-ahead.

import { byId, el, fill, say } from "../html.js";
import { ask, bar, get, ofBar, post } from "./ask.js";
import { forgetCharts } from "./chart.js";
import { here } from "./frame.js";
import { nameOf, pictures } from "./results.js";
import { scrolled } from "./rows.js";
import { longDay, minutes, minutesWithin, percent, percentWithin, plural } from "./words.js";

const LOOK_MS = 1000;
const REPLAYS = { policies: ["look-ahead"], nights: 12, limit_s: 240 };
const PROMISED = 0.9;
let house = null;
let shown = "";

const dayOfPage = () => decodeURIComponent(location.pathname.split("/nights/")[1] || "");

async function show(day) {
  shown = day;
  say("replay-said", "");
  forgetCharts();
  fill("night", el("p", { class: "soft" }, "Reading the log…"));
  const night = await get(ofBar(`/nights/${day}`));
  if (shown !== day) return;
  let replay = null;
  if (night.replay?.state === "done") replay = await get(`/v1/rushes/${night.replay.rush}`);
  draw(night, replay?.results);
  byId("replay").hidden = byId("replay-is").hidden = !night.drinks;
  say("replay", replay ? "Replay it again" : "Replay it by look-ahead");
  // It is only watched here: the machine plans the bar, and whoever looks asked for no simulation.
  if (["waiting", "running"].includes(night.replay?.state)) await watch(day, night.replay.rush);
}

async function startReplay(day) {
  try {
    const { rush } = await post(ofBar("/rushes"), { ...REPLAYS, night: day });
    await watch(day, rush);
  } catch (problem) {
    say("replay-said", problem.message);
  }
}

async function watch(day, rush) {
  let etag = null;
  while (shown === day) {
    const told = await ask("GET", `/v1/rushes/${rush}`, { etag });
    if (told.data) {
      etag = told.etag;
      const { state, said, results } = told.data;
      if (state === "done") {
        say("replay-said", "");
        say("replay", "Replay it again");
        return draw(await get(ofBar(`/nights/${day}`)), results);
      }
      const isUnder = ["waiting", "running"].includes(state);
      say("replay-said", isUnder ? `The same tickets by look-ahead: ${said}` : `The replay ${state === "cancelled" ? "was cancelled" : "did not end"}: ${said}`);
      if (!isUnder) return;
    }
    await new Promise((done) => setTimeout(done, LOOK_MS));
  }
}

function draw(night, replay) {
  forgetCharts();
  const real = night.results;
  const results = {
    policies: [real, ...(replay?.policies || [])],
    words: { ...replay?.words, ...night.words },
    nights: 1,
    busiest: night.busiest,
  };
  say("night-title", longDay(night.business_day));
  say("night-said", `${plural(night.tickets, "ticket")}, ${plural(night.drinks, "drink")}, from ${night.opens}.`);
  const isQuiet = real.quantiles_s.length === 0;
  fill("night", headline(night, real, replay), honest(night), ...(isQuiet ? [] : pictures(results, house)));
}

function headline(night, real, replay) {
  const { within_promise: within, p90_s, busiest_p90_s: busiest, sat_too_long: sat, left_open: open } = real.whole;
  const [ahead] = replay?.policies || [];
  const rows = [real, ...(ahead ? [ahead] : [])];
  return el("section", { class: "sheet headline", "aria-labelledby": "verdict-title" },
    el("h2", { id: "verdict-title" }, p90_s ? (within.mean >= PROMISED ? "The promise was kept." : "The promise was not kept.") : "No round was done."),
    p90_s ? el("p", {}, el("b", {}, percent(within.mean)), " of rounds had their last drink within the promise (it counts as kept at 90%); nine of ten were done in ", el("b", {}, minutes(p90_s.mean)),
      busiest ? [`, in the busiest hour from ${night.busiest} in `, el("b", {}, minutes(busiest.mean))] : "", ".") : "",
    ahead && p90_s ? el("p", {}, "The same tickets by look-ahead, an experienced bartender's way, simulated: ", el("b", {}, percentWithin(ahead.whole.within_promise)), " within the promise, nine of ten in ", el("b", {}, minutesWithin(ahead.whole.p90_s)), ".") : "",
    open?.mean ? el("p", {}, `${plural(open.mean, "round is", "rounds are")} still open in the log.`) : "",
    p90_s ? scrolled("The night in figures", el("table", { class: "whole" }, el("caption", { class: "hidden-label" }, "The night in figures"),
      el("thead", {}, el("tr", {}, ["", "Within promise", "On average", "Half within", "Nine of ten within", "Sat too long", "Passed by"].map((words) => el(words ? "th" : "td", { scope: words ? "col" : false }, words)))),
      el("tbody", {}, rows.map(({ policy, whole }) => el("tr", {}, el("th", { scope: "row" }, nameOf(policy)),
        el("td", {}, percentWithin(whole.within_promise)), ...["mean_s", "p50_s", "p90_s"].map((name) => el("td", {}, whole[name] ? minutesWithin(whole[name]) : "–")),
        el("td", {}, (policy === real.policy ? sat : whole.sat_too_long).mean.toFixed(0)), el("td", {}, whole.overtakes.mean.toFixed(0))))))) : "");
}

// What the figures rest on stands before the pictures, not under them.
function honest(night) {
  const { made, estimated, share } = night.estimates;
  return el("section", { class: "sheet", "aria-labelledby": "honest-title" },
    el("h2", { id: "honest-title" }, "What this rests on"),
    el("div", { class: "honest" },
      el("p", {}, made ? [el("b", {}, `${percent(share)} of the made times are estimates`), ` (${estimated} of ${made}): those drinks were not tapped one by one.`] : "Nothing was tapped as made."),
      night.unread ? el("p", {}, `${plural(night.unread, "ticket")} could not be read and ${night.unread === 1 ? "is" : "are"} not counted.`) : "",
      el("p", {}, night.honest),
      el("p", {}, "What drinks waited for, and how busy tins, wells and machines were, is tapped by nobody: the log has none of it. A replay of the same tickets simulates it."),
      el("p", {}, "The replay takes the time standards for true, the hands for those who made something that night, and that nothing went wrong. Where your hands are faster or slower than the standards say, it is off by that.")),
    made ? estimateStrip(night) : "");
}

function estimateStrip({ estimates, clocks }) {
  return el("div", { class: "scroll", tabindex: 0, role: "region", "aria-label": "Estimates by quarter of an hour" }, el("table", { class: "strip" }, el("caption", { class: "hidden-label" }, "Share of made times that are estimates"),
    el("thead", {}, el("tr", {}, el("td", {}), clocks.map((clock) => el("th", { scope: "col" }, clock.endsWith(":00") ? clock.slice(0, 2) : "", el("span", { class: "hidden-label" }, clock))))),
    el("tbody", {}, el("tr", {}, el("th", { scope: "row" }, "Estimates"), estimates.by_quarter.map((share) => {
      if (share === null) return el("td", { class: "off" }, el("span", { class: "hidden-label" }, "nothing made"));
      const level = el("i", { "aria-hidden": "true" });
      level.style.setProperty("block-size", `${Math.round(share * 100)}%`);
      return el("td", { title: percent(share) }, level, el("span", { class: "hidden-label" }, percent(share)));
    })))));
}

async function begin() {
  const [{ nights }, counter] = await Promise.all([get(ofBar("/nights?limit=400")), get(ofBar("/counter"))]);
  house = { counter };
  if (!nights.length) {
    byId("nights").disabled = true;
    return fill("night", el("p", {}, "No ticket has come yet. After the first night, this page shows how it went."));
  }
  fill("nights", nights.map((one) => el("option", { value: one.business_day }, `${longDay(one.business_day)} (${plural(one.tickets, "ticket")})`)));
  const asked = dayOfPage();
  const day = asked || nights[0].business_day;
  byId("nights").value = day;
  await show(day);
}

const doing = async (act) => {
  try {
    await act();
  } catch (problem) {
    say("replay-said", problem.message);
    fill("night");
  }
};

here();
byId("nights").addEventListener("change", () => {
  const day = byId("nights").value;
  history.pushState(null, "", `/manager/${encodeURIComponent(bar)}/nights/${day}`);
  return doing(() => show(day));
});
addEventListener("popstate", () => dayOfPage() && doing(() => show((byId("nights").value = dayOfPage()))));
byId("replay").addEventListener("click", () => startReplay(shown));
await doing(begin);
