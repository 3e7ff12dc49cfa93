// The scenario: what the form shows, and what it says when it is read.

import { byId, say } from "../html.js";
import { get, ofBar } from "./ask.js";
import { addCrowd, moveDoors, readGuests, showGuests, told as toldGuests } from "./guests.js";
import { mark, wrongTime } from "./hours.js";
import { addBarback, addNewcomer, readPeople, showPeople, toldPeople } from "./people.js";
import { keepTime } from "./rows.js";
import { addTrouble, readTroubles, showTroubles, toldTroubles } from "./troubles.js";
import { listed, plural } from "./words.js";

let usual = null;
let counter = null;
let menu = null;

export async function makeBuilder() {
  [usual, counter, menu] = await Promise.all([get(ofBar("/rushes/usual")), get(ofBar("/counter")), get(ofBar("/menu"))]);
  for (const id of ["doors", "last-orders", "hard-stop"]) keepTime(byId(id));
  show({});
  byId("builder").addEventListener("input", tell);
  byId("builder").addEventListener("change", tell);
  byId("doors").addEventListener("change", () => moveDoors(byId("doors").value || usual.doors, tell));
  byId("add-crowd").addEventListener("click", () => focusIn(addCrowd({ at: "22:10", rounds: 12, name: "a train" }, tell)));
  byId("add-person").addEventListener("click", () => focusIn(addNewcomer(tell)));
  byId("add-barback").addEventListener("click", () => focusIn(addBarback({}, tell)));
  byId("add-trouble").addEventListener("click", () => focusIn(addTrouble(byId("trouble-kind").value, {}, tell)));
  return { counter, menu };
}

const focusIn = (row) => row.querySelector("input, select").focus();

// A rush that was asked before comes back into the form, to be changed and started again.
export function show(asked) {
  const scenario = merged(usual, asked.scenario || {});
  byId("name").value = asked.scenario?.name || "A Friday";
  byId("doors").value = scenario.doors.slice(0, 5);
  byId("last-orders").value = scenario.last_orders.slice(0, 5);
  byId("hard-stop").value = scenario.hard_stop.slice(0, 5);
  byId("order-and-pay").checked = scenario.has_order_and_pay;
  byId("gives-up").checked = Boolean(scenario.patience.bar_top_s);
  byId("never").value = scenario.taps.never_pct;
  showGuests(scenario.guests, scenario.doors, tell);
  showPeople(counter, scenario, tell);
  showTroubles(scenario.troubles, counter, menu, tell);
  for (const box of policies()) box.checked = (asked.policies || ["live", "look-ahead"]).includes(box.value);
  byId("nights").value = asked.nights ?? 12;
  byId("within").value = asked.within_s ? asked.within_s / 60 : "";
  byId("limit").value = (asked.limit_s ?? 300) / 60;
  byId("what-if").checked = Boolean(asked.what_if);
  byId("rota").checked = Boolean(asked.rota);
  for (const input of costs()) input.value = scenario.costs[input.dataset.cost] ?? "";
  tell();
}

const merged = (base, over) => {
  if (over === null || typeof over !== "object" || Array.isArray(over)) return over;
  const found = { ...base };
  for (const [key, value] of Object.entries(over)) {
    found[key] = base?.[key] && typeof base[key] === "object" && !Array.isArray(base[key]) ? merged(base[key], value) : value;
  }
  return found;
};

const costs = () => [...document.querySelectorAll("[data-cost]")];
const policies = () => [...document.querySelectorAll('[name="policy"]')];

// Only what the form knows is told; everything else stays as usual in this house.
export function read() {
  const chosen = policies().filter((box) => box.checked).map((box) => box.value);
  const within = Number(byId("within").value);
  const asked = {
    scenario: {
      name: byId("name").value.trim() || "A night",
      doors: byId("doors").value,
      last_orders: byId("last-orders").value,
      hard_stop: byId("hard-stop").value,
      guests: readGuests(),
      ...readPeople(),
      has_order_and_pay: byId("order-and-pay").checked,
      patience: { bar_top_s: byId("gives-up").checked ? usual.patience.bar_top_s ?? [480, 600] : null },
      taps: { never_pct: Number(byId("never").value) },
      troubles: readTroubles(),
      costs: Object.fromEntries(costs().filter((input) => input.value).map((input) => [input.dataset.cost, Number(input.value)])),
    },
    policies: chosen,
    nights: Number(byId("nights").value),
    limit_s: Number(byId("limit").value) * 60,
  };
  if (within > 0) asked.within_s = within * 60;
  // Ranking and rota run many more nights: by an experienced bartender's way where it was chosen.
  const by = chosen.includes("look-ahead") ? "look-ahead" : chosen[0];
  if (byId("what-if").checked) asked.what_if = by;
  if (byId("rota").checked) asked.rota = by;
  return asked;
}

// What one would say aloud before starting; empty where it can be started.
export function trouble(asked) {
  if (!asked.policies.length) return "Pick at least one way of working to simulate.";
  if (!asked.scenario.shifts.length) return "Nobody is on. Switch a bartender on under “People on”.";
  if (!asked.scenario.doors || !asked.scenario.last_orders || !asked.scenario.hard_stop) return "Say when doors open, when last orders are and when hands stop.";
  const { doors, last_orders: lastOrders, hard_stop: hardStop } = asked.scenario;
  const wrong = wrongTime(byId("builder"), { doors, lastOrders, hardStop });
  mark(byId("builder"), wrong);
  return wrong?.words || "";
}

function tell() {
  toldGuests(byId("last-orders").value);
  toldPeople();
  toldTroubles();
  byId("costs").hidden = !byId("what-if").checked;
  const asked = read();
  say("hours-said", `${asked.scenario.doors} to ${asked.scenario.last_orders}`);
  say("never-said", `${byId("never").value} of 100`);
  say("how-said", `${listed(asked.policies)}; ${asked.within_s ? `until ± ${asked.within_s / 60} min` : plural(asked.nights, "night")}`);
}
