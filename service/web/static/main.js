// Puts the page together: the feed brings the order, the halves draw it, a finger answers.

import { byId, clean, el, fill, say } from "./html.js";
import { keepClock, now, setClock, timeOfDay } from "./clock.js";
import { drawAlone, tickAlone } from "./alone.js";
import { drawNow, fitNow } from "./now.js";
import { drawNotices, fitNotices } from "./notices.js";
import { drawSide, fitSide } from "./side.js";
import { drawWhole, fitWhole } from "./whole.js";
import { follow } from "./feed.js";
import { makeTaps } from "./taps.js";
import { tickRounds } from "./rounds.js";
import { workOf } from "./work.js";

const bar = document.body.dataset.bar;
const bartender = new URLSearchParams(location.search).get("bartender");
let order = null;
let mine = null;
let work = null;
let shown = "";
let lossAsked = "";
let lastContact = Date.now();

const taps = makeTaps({ bar, bartender, onSaid: (words) => say("said", words), onDone: () => feed.look() });

function draw(newest) {
  order = newest;
  document.title = clean(`${order.name}: counter`);
  if (!bartender) {
    document.body.dataset.view = "whole";
    drawNotices(order, taps);
    drawWhole(order);
    return tick();
  }
  mine = order.bartenders.find((one) => one.id === bartender);
  if (!mine) return noOrder(`There is no bartender called ${bartender} at ${order.name}. Open this page without “?bartender=” to pick a station.`);
  document.body.dataset.view = "station";
  fill("station", el("a", { href: `/counter/${encodeURIComponent(bar)}` }, mine.station_name || mine.station));
  fill("alone", drawAlone(mine, order, (build) => taps.made(build.id, { startNext: false })));
  drawStation();
  return tick();
}

function drawStation() {
  work = workOf(mine, order);
  if (nameOf(work) !== shown) {
    shown = nameOf(work);
    lossAsked = "";
    taps.changed();
  }
  drawNow(work, order);
  drawNotices(order, taps);
  drawSide(work.after);
  drawTaps();
}

const nameOf = ({ kind, build }) => (build ? `${kind} ${build.id}` : kind);

function drawTaps() {
  say("made-word", work.tap ? work.tap.word : work.title);
  setOff("made", !work.tap);
  drawWhat();
  setOff("put-back", work.kind !== "in_hand");
  say("put-back", lossAsked ? "Put back, all lost" : "Put back");
}

// What does not fit under the word is said shorter, never cut.
function drawWhat() {
  const tap = work.tap;
  say("made-what", tap ? tap.what : "");
  const isFull = byId("made-word").offsetHeight + byId("made-what").offsetHeight > byId("made").clientHeight;
  if (isFull && tap?.short) say("made-what", tap.short);
}

// A button that is off keeps its place and its focus.
const setOff = (id, isOff) => byId(id).setAttribute("aria-disabled", String(isOff));
const isOff = (id) => byId(id).getAttribute("aria-disabled") === "true";

function noOrder(words) {
  document.body.dataset.view = "problem";
  fill("whole", el("h1", {}, "No build order"), el("p", {}, words));
}

// A service that answers and has no order: what stood here stays, and is said to be old.
function problem(words) {
  if (!order) return noOrder(words);
  byId("stale").hidden = false;
  return fill("stale", el("b", {}, "What you see may be old."), ` ${words}`);
}

function tick() {
  if (order) say("clock", timeOfDay(now(), order.timezone));
  tickAlone();
  tickRounds();
  // What ran by itself becomes the hands' work when its time has come, without a word from anyone.
  if (mine && nameOf(workOf(mine, order)) !== shown) drawStation();
}

function contact(isAlive) {
  if (isAlive) lastContact = Date.now();
  byId("stale").hidden = isAlive;
  document.body.classList.toggle("is-stale", !isAlive);
  if (isAlive) return;
  const timezone = order ? order.timezone : undefined;
  const since = timeOfDay(now() - (Date.now() - lastContact), timezone, true);
  const last = order && lastOrder();
  fill("stale", el("b", {}, `No connection since ${since}.`),
    ` What you see is old and taps do not count. ${last ? `Last order: ${last.number} at ${timeOfDay(Date.parse(last.placed_at), timezone, true)}.` : ""}`);
}

const lastOrder = () => order.rounds.reduce((late, one) => (!late || one.placed_at > late.placed_at ? one : late), null);

byId("made").addEventListener("click", () => {
  if (isOff("made")) return;
  if (work.tap.act === "start") taps.start(work.tap.build.id);
  else taps.made(work.tap.build.id);
});
byId("undo").addEventListener("click", () => taps.undo());
byId("put-back").addEventListener("click", () => {
  if (isOff("put-back")) return;
  const isIn = !work.build.put_back_until || Date.parse(work.build.put_back_until) <= now();
  if (isIn && lossAsked !== work.build.id) {
    lossAsked = work.build.id;
    say("said", "Ice is in: what was poured is lost. Tap again to put it back all the same.");
    drawTaps();
  } else {
    taps.putBack(work.build.id, isIn);
  }
});
addEventListener("resize", () => {
  fitNotices();
  fitWhole();
  if (document.body.dataset.view !== "station") return;
  drawWhat();
  fitNow();
  fitSide();
});

byId("whole").addEventListener("scroll", fitWhole);

await setClock(bar).catch(() => {});
keepClock(bar);
const feed = follow({ bar, onOrder: draw, onContact: contact, onProblem: problem });
setInterval(tick, 500);
