// Elements made of data. Text goes in as text, never as markup: a note is whatever a guest said.

export function el(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === false || value === null || value === undefined) continue;
    if (name === "class") made.className = value;
    else if (name === "on") for (const [kind, act] of Object.entries(value)) made.addEventListener(kind, act);
    else made.setAttribute(name, value === true ? "" : value);
  }
  made.append(...children.flat().filter((child) => child !== null && child !== ""));
  return made;
}

export const byId = (id) => document.getElementById(id);

export const fill = (id, ...children) => byId(id).replaceChildren(...children.flat());

// Writing the same words again would make a screen reader say them again.
export function say(id, words) {
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
