// What runs by itself: a stout that settles, a coffee that draws. Its seconds are counted here, from
// the times in the order.

import { el } from "./html.js";
import { minutesAndSeconds, secondsTo } from "./clock.js";
import { stretchesOf } from "./work.js";

export function runningAlone(bartender, order) {
  const mine = bartender.now.flatMap((build) => build.stretches.map((stretch) => ({ build, stretch })));
  const others = stretchesOf(bartender, order).filter(({ build }) => build.bartender !== bartender.id);
  return [...mine, ...others].filter(({ stretch }) => stretch.index > 0 && stretch.state === "to_come" && stretch.ready_at);
}

export function drawAlone(bartender, order, onDone) {
  const serving = bartender.serving ? [handingOver(bartender)] : [];
  return [...serving, ...runningAlone(bartender, order).map(({ build, stretch }) => {
    const item = el("li", { class: "alone" },
      el("button", { type: "button", on: { click: () => onDone(build) } },
        el("span", { class: "count" }), " ",
        el("span", { class: "what" }, el("b", {}, stretch.title), " ", build.rounds.join(", "))));
    item.dataset.ready = stretch.ready_at;
    if (stretch.window_until) item.dataset.until = stretch.window_until;
    tick(item);
    return item;
  })];
}

// Not by itself, but it too has its seconds: a round handed over and paid before the next build.
function handingOver(bartender) {
  const item = el("li", { class: "alone serving" },
    el("p", {}, el("span", { class: "count" }), " ", el("span", { class: "what" }, el("b", {}, "hand over"), " ", bartender.serving)));
  item.dataset.ready = bartender.serving_until;
  tick(item);
  return item;
}

export function tickAlone() {
  document.querySelectorAll(".alone").forEach(tick);
}

function tick(item) {
  const toGo = secondsTo(item.dataset.ready);
  if (item.classList.contains("serving")) item.hidden = toGo <= 0;
  const left = item.dataset.until ? secondsTo(item.dataset.until) : null;
  let words = minutesAndSeconds(toGo);
  if (toGo <= 0) words = left === null ? "Ready:" : left > 0 ? `Within ${minutesAndSeconds(left)}:` : "Overdue:";
  item.querySelector(".count").textContent = words;
  item.classList.toggle("ready", toGo <= 0);
}
