// What has run out: 86, n left, a bottle on its way, and back.

import { byId, el, fill, say } from "../html.js";
import { get, ofBar, put } from "./ask.js";
import { listed, plural } from "./words.js";

const LOOK_MS = 5000;
const WORDS = { 86: "86", bottle_out: "bottle out" };
let menu = null;
let timezone = "UTC";
let looking = 0;

const byName = (name) => menu.ingredients.find((one) => one.name.toLowerCase() === name.trim().toLowerCase() || one.id === name.trim());

export async function openStock(zone) {
  timezone = zone;
  menu = await get(ofBar("/menu"));
  fill("ingredients", menu.ingredients.map((one) => el("option", { value: one.name })));
  await look();
  clearInterval(looking);
  looking = setInterval(() => byId("stock").hidden || document.hidden || look().catch(() => {}), LOOK_MS);
}

async function look() {
  const { short } = await get(ofBar("/stock"));
  fill("short", short.length ? rows(short) : el("caption", {}, "Nothing is short."));
}

function rows(short) {
  return [
    el("thead", {}, el("tr", {}, ["Ingredient", "State", "Takes off", ""].map((words) => el(words ? "th" : "td", { scope: words ? "col" : false }, words)))),
    el("tbody", {}, short.map((one) => el("tr", {},
      el("th", { scope: "row" }, one.name),
      el("td", {}, stateWords(one)),
      el("td", {}, one.state === "86" ? drinksWith(one.ingredient) : ""),
      el("td", {}, el("button", { type: "button", on: { click: () => set(one.ingredient, { state: "back" }) } }, "Back", el("span", { class: "hidden-label" }, ` in: ${one.name}`)))))),
  ];
}

function stateWords(one) {
  if (one.state === "left") return `${one.left} left`;
  if (one.state === "bottle_out") {
    const at = new Intl.DateTimeFormat("en-GB", { hour: "2-digit", minute: "2-digit", hourCycle: "h23", timeZone: timezone }).format(new Date(one.back_at));
    return `bottle out, back at ${at}`;
  }
  return WORDS[one.state];
}

function drinksWith(id) {
  const names = menu.recipes.filter((recipe) => recipe.pours.some((pour) => pour.ingredient === id)).map((recipe) => recipe.name);
  if (!names.length) return "no drink of the menu";
  return names.length > 4 ? `${listed(names.slice(0, 3))} and ${names.length - 3} more` : listed(names);
}

async function set(ingredient, body) {
  try {
    const told = await put(ofBar(`/stock/${encodeURIComponent(ingredient)}`), { ...body, screen: "manager" });
    say("stock-said", `${told.said}.`);
    if (body.state !== "back") byId("ingredient").value = "";
    say("takes-off", "");
    await look();
  } catch (problem) {
    say("stock-said", problem.message);
  }
}

function setChosen(body) {
  const found = byName(byId("ingredient").value);
  if (found) return set(found.id, body);
  byId("ingredient").focus();
  return say("stock-said", "Pick an ingredient of the menu first.");
}

byId("ingredient").addEventListener("input", () => {
  const found = byName(byId("ingredient").value);
  const count = found ? menu.recipes.filter((recipe) => recipe.pours.some((pour) => pour.ingredient === found.id)).length : 0;
  say("takes-off", found ? `Without ${found.name}, ${count ? `${plural(count, "drink")} cannot be made: ${drinksWith(found.id)}.` : "every drink of the menu can still be made."}` : "");
});
byId("stock-86").addEventListener("click", () => setChosen({ state: "86" }));
byId("stock-left").addEventListener("click", () => setChosen({ state: "left", left: Number(byId("left").value) }));
byId("stock-out").addEventListener("click", () => setChosen({ state: "bottle_out", minutes: Number(byId("minutes").value) }));
