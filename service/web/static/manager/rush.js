// The rush page: a night is told, started, watched, and read.

import { byId, el, fill, say } from "../html.js";
import { ask, get, ofBar, post } from "./ask.js";
import { makeBuilder, read, show, trouble } from "./builder.js";
import { here } from "./frame.js";
import { drawResults, forgetResults, nameOf } from "./results.js";
import { intervalBar } from "./svg.js";
import { dayOf, duration, halfWidth, minutesWithin, signed } from "./words.js";

const LOOK_MS = 700;
const STATES = { waiting: "waits", running: "running", done: "done", cancelled: "cancelled", failed: "failed", broken_off: "broken off" };
let following = "";
let house = null;
let timezone = "UTC";
let isOn = false;

const isEnded = (rush) => !["waiting", "running"].includes(rush.state);

async function start(event) {
  event.preventDefault();
  if (byId("start").getAttribute("aria-disabled") === "true") return;
  const asked = read();
  const words = trouble(asked);
  if (words) return say("start-said", words);
  say("start-said", "");
  try {
    await follow((await post(ofBar("/rushes"), asked)).rush);
  } catch (problem) {
    say("start-said", problem.message);
    if (problem.state.rush) await follow(problem.state.rush);
  }
}

async function follow(id) {
  following = id;
  history.replaceState(null, "", `?rush=${encodeURIComponent(id)}`);
  byId("run").hidden = false;
  forgetResults();
  byId("run").scrollIntoView({ block: innerWidth < 1100 ? "start" : "nearest" });
  let etag = null;
  while (following === id) {
    let told;
    try {
      told = await ask("GET", `/v1/rushes/${encodeURIComponent(id)}`, { etag });
    } catch (problem) {
      say("run-state", problem.message);
      if (problem.status === 404) return;
      await pause();
      continue;
    }
    if (following !== id) return;
    if (told.data) {
      etag = told.etag;
      draw(told.data);
      if (isEnded(told.data)) return listRushes();
    }
    await pause();
  }
}

const pause = () => new Promise((done) => setTimeout(done, LOOK_MS));

function draw(rush) {
  isOn = !isEnded(rush);
  byId("running").hidden = !isOn;
  byId("start").setAttribute("aria-disabled", String(isOn));
  say("run-title", rush.name);
  say("run-state", isOn ? rush.said : endedWords(rush));
  if (isOn) drawProgress(rush);
  else drawResults(rush, house);
}

function endedWords(rush) {
  const took = rush.begun_at && rush.ended_at ? `, in ${duration((Date.parse(rush.ended_at) - Date.parse(rush.begun_at)) / 1000)}` : "";
  return rush.state === "done" ? `Done: ${rush.said}${took}.` : `${STATES[rush.state][0].toUpperCase()}${STATES[rush.state].slice(1)}: ${rush.said}.`;
}

function drawProgress({ progress, asked }) {
  const bar = byId("progress");
  if (!progress) {
    bar.removeAttribute("value");
    return fill("so-far", el("p", { class: "soft" }, "The first night takes a moment longer."));
  }
  // How many rotas will be tried nobody knows.
  if (progress.of === null) bar.removeAttribute("value");
  else [bar.max, bar.value] = [progress.of, progress.done];
  const rows = Object.entries(progress.running || {}).slice(0, 4);
  const ends = rows.flatMap(([, one]) => [one.low ?? one.mean, one.high ?? one.mean, 0]);
  const scale = { from: Math.min(...ends), to: Math.max(...ends) };
  const seen = rows.map(([name, one]) => el("div", { class: "running-row" },
    el("span", {}, runningWords(name, progress, asked)),
    intervalBar(one, scale),
    el("b", {}, progress.part === "what would help" ? `${signed(one.mean)} min` : minutesWithin(one))));
  const isInterval = rows.some(([, one]) => halfWidth(one) !== null);
  return fill("so-far", isInterval ? [...seen, el("p", { class: "soft" }, `${capital(progress.note)}.`)] : seen);
}

const capital = (words) => words[0].toUpperCase() + words.slice(1);

function runningWords(name, progress, asked) {
  if (progress.part !== "ways of working") return name;
  return asked.policies?.length !== 1 ? `so far, nine of ten rounds are this much later (−: sooner) than by ${plainName(name)}` : `so far, nine of ten rounds are done within (${plainName(name)})`;
}

const plainName = (policy) => nameOf(policy).replace(/^by /, "");

async function listRushes() {
  const { rushes } = await get(ofBar("/rushes"));
  fill("history", rushes.length ? [
    el("thead", {}, el("tr", {}, ["Night", "When", "How it ended", ""].map((words) => el(words ? "th" : "td", { scope: words ? "col" : false }, words)))),
    el("tbody", {}, rushes.slice(0, 12).map((one) => el("tr", {},
      el("th", { scope: "row" }, one.name),
      el("td", {}, dayOf(one.told_at, timezone)),
      el("td", {}, STATES[one.state]),
      el("td", {}, el("a", { href: `?rush=${encodeURIComponent(one.rush)}` }, "Look", el("span", { class: "hidden-label" }, ` at ${one.name}`)))))),
  ] : el("caption", {}, "None yet."));
  return rushes;
}

async function cancel() {
  byId("cancel").setAttribute("aria-disabled", "true");
  say("run-state", "stopping");
  try {
    await ask("DELETE", `/v1/rushes/${encodeURIComponent(following)}`);
  } catch (problem) {
    say("run-state", problem.message);
  } finally {
    byId("cancel").removeAttribute("aria-disabled");
  }
}

here();
byId("builder").addEventListener("submit", start);
byId("cancel").addEventListener("click", cancel);
try {
  const [found, told] = await Promise.all([makeBuilder(), get(ofBar())]);
  house = found;
  timezone = told.timezone;
  const rushes = await listRushes();
  const asked = new URLSearchParams(location.search).get("rush");
  const under = rushes.find((one) => !isEnded(one));
  if (asked) {
    const rush = await get(`/v1/rushes/${encodeURIComponent(asked)}`);
    if (!rush.night) show(rush.asked);
    await follow(asked);
  } else if (under) await follow(under.rush);
} catch (problem) {
  say("start-said", problem.message);
}
