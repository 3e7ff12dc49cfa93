// What would never happen in a night: it lies outside its hours, or ends before it begins.

import { el } from "../html.js";

const minutesOf = (clock) => Number(clock.slice(0, 2)) * 60 + Number(clock.slice(3, 5));
const labelOf = (input) => input.closest("label").firstChild.textContent.trim();
const rowOf = (input) => input.closest("li")?.querySelector(".who")?.textContent.trim() || "";
const named = (input, words) => (rowOf(input) ? `${rowOf(input)}: ${words}` : words);

// The first field that cannot be as it is, with what one would say of it; null where all is well.
export function wrongTime(form, hours) {
  const fields = [...form.querySelectorAll("input.time")].filter((input) => !input.closest(".is-off"));
  const unread = fields.find((input) => !input.validity.valid);
  if (unread) return { input: unread, words: named(unread, `“${unread.value}” for “${labelOf(unread)}” is no time of the night: write it like 22:10.`) };
  const told = fields.filter((input) => input.value);
  for (const input of told) {
    const words = input.dataset.is === "until" ? shiftWords(input, hours) : input.dataset.within ? outsideWords(input, hours) : "";
    if (words) return { input, words: named(input, words) };
  }
  return null;
}

function outsideWords(input, hours) {
  const until = hours[input.dataset.within];
  if (since(hours, input.value) < since(hours, until)) return "";
  return `“${labelOf(input)} ${input.value}” is outside the night, which goes from ${hours.doors} to ${until}.`;
}

function shiftWords(input, hours) {
  const stop = since(hours, hours.hardStop);
  const until = since(hours, input.value);
  const from = input.closest("li").querySelector('[data-is="since"]').value;
  const begins = from ? since(hours, from) : 0;
  // Later than hands stop is until the end; but six in the evening is before the doors.
  if (until > stop) return 1440 - until < until - stop ? `“Until ${input.value}” is before the doors open at ${hours.doors}.` : "";
  return begins <= stop && until <= begins ? `“Until ${input.value}” comes before “From ${from || hours.doors}”.` : "";
}

const since = ({ doors }, clock) => (minutesOf(clock) - minutesOf(doors) + 1440) % 1440;

// Its field is marked, says what is wrong beside it and stands before one's eyes; what was marked
// before is no more.
export function mark(form, wrong) {
  form.querySelector("#wrong-words")?.remove();
  for (const field of form.querySelectorAll("input.time")) {
    field.removeAttribute("aria-describedby");
    field.setAttribute("aria-invalid", String(field === wrong?.input || !field.validity.valid));
  }
  if (!wrong) return;
  const { input, words } = wrong;
  for (let part = input.closest("details"); part; part = part.parentElement.closest("details")) part.open = true;
  input.closest(".line").append(el("p", { class: "wrong", id: "wrong-words" }, words));
  input.setAttribute("aria-describedby", "wrong-words");
  input.focus({ preventScroll: true });
  input.scrollIntoView({ block: "center" });
}
