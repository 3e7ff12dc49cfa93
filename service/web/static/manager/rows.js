// Small forms in a list: one row a crowd, a person, something that goes wrong.

import { el } from "../html.js";

export const field = (label, input, hidden = false) =>
  el("label", { class: "field" }, hidden ? el("span", { class: "hidden-label" }, label) : label, input);

export const time = (value = "", name = "") => el("input", { type: "time", value: value || false, name });

export const number = (value, { min, max, step = 1 }) => el("input", { type: "number", value, min, max, step });

export function choice(options, chosen) {
  const made = el("select", {}, options.map(([value, words]) => el("option", { value }, words)));
  made.value = chosen ?? options[0]?.[0] ?? "";
  return made;
}

// `read` gives what the row says; it hangs on the row itself, so that the list is its own memory.
export function addRow(list, read, onChange, ...children) {
  const row = el("li", {}, el("div", { class: "line" }, children),
    el("button", { type: "button", class: "quiet", on: { click: () => {
      const next = row.nextElementSibling || row.previousElementSibling;
      row.remove();
      (next?.querySelector("input, select, button") || list.parentElement.querySelector("button.quiet"))?.focus();
      onChange();
    } } }, "Remove"));
  row.read = read;
  list.append(row);
  onChange();
  return row;
}

export const readAll = (list) => [...list.children].map((row) => row.read()).filter(Boolean);
