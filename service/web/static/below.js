// A list that is longer than its place: only whole rows are seen, and how many stand below is said
// on a button that goes there.

import { el } from "./html.js";

export function belowButton(scroller) {
  return el("button", { class: "below", type: "button", on: { click: () => scroller.scrollBy(0, scroller.clientHeight / 2) } });
}

export function fitBelow(scroller, list) {
  const button = scroller.querySelector(".below");
  if (!button) return;
  const edge = button.getBoundingClientRect().top;
  const hidden = [...list.children].filter((row) => row.getBoundingClientRect().bottom > edge + 1);
  for (const row of list.children) row.classList.toggle("is-below", hidden.includes(row));
  button.textContent = `and ${hidden.length} more below`;
  button.classList.toggle("is-off", !hidden.length);
}
