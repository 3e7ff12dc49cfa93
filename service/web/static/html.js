// Elements made of data. Text goes in as text, never as markup: a note is whatever a guest said.
// Controls and signs that turn the direction of writing are left out: they would act on the screen.

const CONTROLS = /[\u0000-\u001f\u007f-\u009f\u2028\u2029]+/g;
const DIRECTIONS = /[\u061c\u200b\u200e\u200f\u202a-\u202e\u2060-\u206f\ufeff]+/g;

export const clean = (text) => String(text).replace(DIRECTIONS, "").replace(CONTROLS, " ");
const cleaned = (children) =>
  children.flat().filter((child) => child !== null && child !== "").map((child) => (child instanceof Node ? child : clean(child)));

export function el(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === false || value === null || value === undefined) continue;
    if (name === "class") made.className = value;
    else if (name === "on") for (const [kind, act] of Object.entries(value)) made.addEventListener(kind, act);
    else made.setAttribute(name, value === true ? "" : value);
  }
  made.append(...cleaned(children));
  return made;
}

export const byId = (id) => document.getElementById(id);

export const fill = (id, ...children) => byId(id).replaceChildren(...cleaned(children));

// Writing the same words again would make a screen reader say them again.
export function say(id, text) {
  const words = clean(text);
  if (byId(id).textContent !== words) byId(id).textContent = words;
}

// Most orders change another's station: what would be drawn the same is left as it stands.
const drawn = new Map();
export function isDrawn(what, ...data) {
  const key = JSON.stringify(data);
  if (drawn.get(what) === key) return true;
  drawn.set(what, key);
  return false;
}
