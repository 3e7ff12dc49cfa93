// Small forms in a list: one row a crowd, a person, something that goes wrong.

import { el } from "../html.js";

export const field = (label, input, hidden = false) =>
  el("label", { class: "field" }, hidden ? el("span", { class: "hidden-label" }, label) : label, input);

// A clock time as a rota says it; 2210, 22.10 and 22 are put right when one leaves the field.
// `is` and `within` say what `hours.js` holds it against.
export function time(value = "", usually = "", { is, within } = {}) {
  const made = el("input", { class: "time", inputmode: "numeric", maxlength: 5, autocomplete: "off", placeholder: usually, value: (value || "").slice(0, 5) || false, "data-is": is || false, "data-within": within || false });
  keepTime(made);
  return made;
}

export function keepTime(input) {
  input.addEventListener("change", () => {
    const found = input.value.trim().match(/^(\d{1,2})[:.h]?(\d{2})?$/);
    const right = found && Number(found[1]) < 24 && Number(found[2] || 0) < 60;
    if (right) input.value = `${found[1].padStart(2, "0")}:${found[2] || "00"}`;
    input.setCustomValidity(right || !input.value.trim() ? "" : "A time such as 22:10");
    input.setAttribute("aria-invalid", String(!input.validity.valid));
  });
}

export const number = (value, { min, max, step = 1 }) => el("input", { type: "number", value, min, max, step });

export function choice(options, chosen) {
  const made = el("select", {}, options.map(([value, words]) => el("option", { value }, words)));
  made.value = chosen ?? options[0]?.[0] ?? "";
  return made;
}

// A table that a phone is too narrow for is moved sideways by itself, and not the page with it.
export const scrolled = (label, table) => el("div", { class: "scroll", tabindex: 0, role: "region", "aria-label": label }, table);

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
