// The set-up page: one part at a time as text, looked at as one types; what has run out beside it.

import { byId, el, fill, say } from "../html.js";
import { ask, get, ofBar, post, put } from "./ask.js";
import { askBeforeLeaving, here, later } from "./frame.js";
import { goTo, makeEditor, mark, write, written } from "./editor.js";
import { dayOf, plural } from "./words.js";
import { openStock } from "./stock.js";

const TITLES = { menu: "Menu", counter: "Counter", standards: "Time standards" };
const CHECK_AFTER_MS = 350;
let part = "";
let told = null;
let timezone = "UTC";
let checking = null;

const isUnsaved = () => Boolean(told) && written() !== told.text;

async function check(words) {
  checking?.abort();
  checking = new AbortController();
  const mine = part;
  try {
    const found = (await ask("POST", ofBar(`/setup/${mine}/check`), { body: { text: words }, signal: checking.signal })).data;
    if (mine === part && words === written()) draw(found);
  } catch (problem) {
    if (problem.name !== "AbortError") say("verdict", problem.message);
  }
}

function draw({ faults, warnings, changes, not_now }) {
  mark(faults, warnings);
  const verdict = byId("verdict");
  verdict.className = faults.length ? "is-fault" : "is-right";
  say("verdict", verdictOf(faults, warnings, changes, not_now));
  fill("faults", [...faults.map((one) => row(one, "fault")), ...warnings.map((one) => row(one, "warning"))]);
  fill("differs", not_now ? [] : changes.map((words) => el("li", {}, words)));
  setOff("save", faults.length > 0 || Boolean(not_now) || !isUnsaved());
  setOff("revert", !isUnsaved());
}

function verdictOf(faults, warnings, changes, notNow) {
  if (faults.length) return `${plural(faults.length, "fault")}: it cannot be told like this.`;
  if (notNow) return `Right in itself, but not now: ${notNow}`;
  const worth = warnings.length ? ` ${plural(warnings.length, "thing")} worth a look.` : "";
  if (!isUnsaved()) return `This is what the bar is told.${worth}`;
  return changes.length ? `It fits. Saving it changes:${worth ? worth : ""}` : `It fits, and changes nothing but the text.${worth}`;
}

function row(one, kind) {
  const where = one.line ? `Line ${one.line}` : "Elsewhere";
  const words = [el("b", {}, kind === "fault" ? `! ${where}` : `? ${where}`), ` ${one.place ? `${one.place}: ` : ""}${one.said}`];
  return el("li", { class: kind },
    one.line ? el("button", { type: "button", on: { click: () => goTo(one.line) } }, words) : el("p", {}, words));
}

// A button that is off keeps its place and its focus.
function setOff(id, isOff) {
  byId(id).setAttribute("aria-disabled", String(isOff));
}
const isOff = (id) => byId(id).getAttribute("aria-disabled") === "true";

async function open(name) {
  part = name;
  byId("stock").hidden = name !== "stock";
  byId("text-part").hidden = name === "stock";
  for (const link of document.querySelectorAll(".parts a")) {
    if (link.hash === `#${name}`) link.setAttribute("aria-current", "true");
    else link.removeAttribute("aria-current");
  }
  told = null;
  if (name === "stock") return openStock(timezone);
  say("part-title", TITLES[name]);
  say("saved", "");
  return show(await get(ofBar(`/setup/${name}`)));
}

async function show(found) {
  told = found;
  write(found.text);
  say("part-since", `Version ${found.version}, told ${dayOf(found.since, timezone)}${found.note ? `: ${found.note}` : ""}`);
  byId("note").value = "";
  await Promise.all([check(found.text), versions()]);
}

async function versions() {
  const found = (await get(ofBar(`/setup/${part}/versions`))).versions;
  fill("versions", found.map((one) => el("li", {},
    el("p", {}, el("b", {}, `Version ${one.version}`), ` ${dayOf(one.since, timezone)}`, one.is_present ? el("em", {}, "told now") : "",
      one.note ? el("span", { class: "soft" }, one.note) : ""),
    one.is_present ? "" : el("button", { type: "button", on: { click: () => look(one.version) } }, "Look", el("span", { class: "hidden-label" }, ` at version ${one.version}`)),
    one.is_present ? "" : el("button", { type: "button", on: { click: () => restore(one.version) } }, "Bring back", el("span", { class: "hidden-label" }, ` version ${one.version}`)))));
}

// An old version lies in the editor like anything one typed: looked at, changed, saved or left.
async function look(version) {
  if (isUnsaved() && !confirm("Leave what you typed? It was not saved.")) return;
  const found = await get(ofBar(`/setup/${part}/versions/${version}`));
  write(found.text);
  byId("note").value = `from version ${version}`;
  say("saved", `Version ${version} lies in the editor; nothing is told yet.`);
  await check(found.text);
}

async function restore(version) {
  if (isUnsaved() && !confirm("Leave what you typed? It was not saved.")) return;
  await doing(async () => {
    const found = await post(ofBar(`/setup/${part}/versions/${version}/restore`));
    await show(found);
    say("saved", `Version ${version} is told again, as version ${found.version}.`);
  });
}

async function save() {
  if (isOff("save")) return;
  await doing(async () => {
    const found = await put(ofBar(`/setup/${part}`), { text: written(), based_on: told.version, note: byId("note").value });
    await show(found);
    say("saved", `Saved and told as version ${found.version}.`);
  });
}

async function doing(act) {
  try {
    await act();
  } catch (problem) {
    say("saved", problem.message);
  }
}

here();
askBeforeLeaving(isUnsaved);
makeEditor(later(check, CHECK_AFTER_MS));
byId("save").addEventListener("click", save);
byId("revert").addEventListener("click", () => isOff("revert") || show(told));
timezone = (await get(ofBar())).timezone;
const chosen = () => (location.hash.slice(1) in TITLES ? location.hash.slice(1) : "stock");
addEventListener("hashchange", () => {
  if (isUnsaved() && !confirm("Leave what you typed? It was not saved.")) return history.replaceState(null, "", `#${part}`);
  return doing(() => open(chosen()));
});
await doing(() => open(chosen()));
