// From a bartender's part of the order: what stands large, what the tap says, what comes after.

import { secondsTo } from "./clock.js";

const ALMOST_S = 5;
const NOTHING_BEHIND = "Nothing waits behind it.";

export function workOf(bartender, order) {
  const atHand = atHandOf(bartender, order);
  if (atHand) {
    const { build, stretch } = atHand;
    const next = { title: "Next", build: bartender.next, then: bartender.then, words: NOTHING_BEHIND };
    if (stretch.index > 0) {
      const title = `Now: ${stretch.title}`;
      return { kind: "finish", title, build, stretch, tap: madeTap(build, bartender), after: next };
    }
    return { kind: "in_hand", title: "Now", build, tap: madeTap(build, bartender), after: next };
  }
  const due = dueOf(bartender, order);
  if (due) {
    const after = { title: "Next", build: bartender.next, then: bartender.then, words: NOTHING_BEHIND };
    const tap = { act: "made", build: due.build, word: "Made", what: due.stretch.title };
    return { kind: "finish", title: `Now: ${due.stretch.title}`, build: due.build, stretch: due.stretch, tap, after };
  }
  const after = {
    title: "Then",
    build: null,
    then: bartender.then,
    words: bartender.next && !bartender.then.length ? NOTHING_BEHIND : "",
  };
  if (bartender.next) {
    const tap = { act: "start", build: bartender.next, word: "Start", what: bartender.next.title, short: countOf(bartender.next) };
    return { kind: "next", title: "Next", build: bartender.next, tap, after };
  }
  const title = isGettingReady(order) ? "Getting ready" : "Nothing to make";
  return { kind: "rest", title, words: restWords(bartender, order), tap: null, after };
}

export const hasOpen = (order) => order.rounds.some((round) => !round.is_made);

// Before the first plan the rounds wait, though no hands have anything to do yet.
export function isGettingReady(order) {
  const isSaid = order.alerts.some(({ kind, words }) => kind === "plan" && words.startsWith("the planner is getting ready"));
  return hasOpen(order) && (!order.planner || isSaid);
}

// Builds in hand anywhere of which this bartender does, or is to do, a stretch: a stout is topped by
// whoever has a hand free.
export function stretchesOf(bartender, order) {
  const builds = order.bartenders.flatMap((one) => one.now);
  return builds.flatMap((build) => build.stretches.map((stretch) => ({ build, stretch })))
    .filter(({ stretch }) => stretch.bartender === bartender.id);
}

export const atHandOf = (bartender, order) =>
  stretchesOf(bartender, order).find(({ stretch }) => stretch.state === "in_hand");

function madeTap(build, bartender) {
  const what = bartender.next ? `then ${bartender.next.title}` : "then nothing waits";
  return { act: "made", build, word: "Made", what, short: bartender.next && `then ${countOf(bartender.next)}` };
}

const countOf = ({ drinks: { length } }) => (length > 1 ? `${length} drinks` : "1 drink");

// With nothing at hand, what ran by itself and is ready is what the hands do.
function dueOf(bartender, order) {
  return stretchesOf(bartender, order).find(({ stretch }) =>
    stretch.index > 0 && stretch.state === "to_come" && secondsTo(stretch.ready_at) <= ALMOST_S);
}

function restWords(bartender, order) {
  if (!bartender.is_on) return "Off the floor. Nothing is planned for this station.";
  if (bartender.serving && secondsTo(bartender.serving_until) > 0) return `Hand over ${bartender.serving} and take the money.`;
  if (isGettingReady(order)) return "Getting ready: what came in is kept and planned in a moment.";
  if (bartender.now.length) return "Hands free: what runs by itself is not ready yet.";
  return hasOpen(order) ? "Nothing for this station at the moment." : "The rail is empty.";
}
