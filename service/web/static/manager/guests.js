// Who comes: emptier or fuller, quarter by quarter, crowds at once.

import { byId, el, fill, say } from "../html.js";
import { addRow, field, number, readAll, time } from "./rows.js";

const A_ROUND = 2.4; // drinks, of usual rounds; only for the words beside the slider
let usual = [];
let doors = "19:00";

export const clockAt = (from, quarters) => {
  const [hours, minutes] = from.split(":").map(Number);
  const at = (hours * 60 + minutes + quarters * 15) % 1440;
  return `${String(Math.floor(at / 60)).padStart(2, "0")}:${String(at % 60).padStart(2, "0")}`;
};

export function showGuests(guests, from, onChange) {
  usual = [...guests.drinks_an_hour];
  doors = from;
  byId("scale").value = guests.scale;
  byId("bar-top").value = guests.bar_top_pct;
  fill("crowds");
  guests.crowds.forEach((crowd) => addCrowd(crowd, onChange));
  drawQuarters(onChange);
}

export function readGuests() {
  return {
    drinks_an_hour: usual,
    scale: Number(byId("scale").value),
    bar_top_pct: Number(byId("bar-top").value),
    crowds: readAll(byId("crowds")),
  };
}

export function moveDoors(from, onChange) {
  doors = from;
  drawQuarters(onChange);
}

export function addCrowd(crowd, onChange) {
  const at = time(crowd.at, "", { within: "lastOrders" });
  const rounds = number(crowd.rounds, { min: 1, max: 200 });
  const name = el("input", { value: crowd.name || "a train", maxlength: 40 });
  return addRow(byId("crowds"), () => ({ at: at.value, rounds: Number(rounds.value), name: name.value, over_s: crowd.over_s ?? 300 }), onChange,
    field("What", name), field("At", at), field("Rounds", rounds));
}

// Nobody orders after last orders, whatever the quarters say.
export function told(lastOrders) {
  const minutesOf = (clock) => Number(clock.slice(0, 2)) * 60 + Number(clock.slice(3, 5));
  const quarters = Math.ceil(((minutesOf(lastOrders || doors) - minutesOf(doors) + 1440) % 1440) / 15);
  const scale = Number(byId("scale").value);
  const crowds = readAll(byId("crowds")).reduce((sum, crowd) => sum + crowd.rounds * A_ROUND, 0);
  const drinks = Math.round((scale * usual.slice(0, quarters).reduce((sum, rate) => sum + rate, 0)) / 4 + crowds);
  say("scale-said", scale === 1 ? "as usual" : `${scale.toFixed(2)} ×`);
  say("guests-said", `about ${drinks} drinks`);
  say("bar-top-said", `${byId("bar-top").value}%`);
  drawArrivals(scale);
}

function drawArrivals(scale) {
  const most = Math.max(60, ...usual) * 2;
  fill("arrivals", usual.map((rate, quarter) => {
    const bar = el("i", {});
    bar.style.setProperty("block-size", `${Math.min(100, (100 * rate * scale) / most)}%`);
    const usually = el("u", {});
    usually.style.setProperty("inset-block-end", `${(100 * rate) / most}%`);
    return el("span", {}, bar, usually, (quarter * 15 + Number(doors.slice(3))) % 60 === 0 ? el("b", {}, clockAt(doors, quarter).slice(0, 2)) : "");
  }));
}

// Four quarters a row, an hour a row, as a rota is written.
function drawQuarters(onChange) {
  const rows = [];
  for (let first = 0; first < usual.length; first += 4) rows.push(usual.slice(first, first + 4).map((rate, i) => [first + i, rate]));
  const input = (quarter, rate) => el("input", {
    type: "number", min: 0, max: 5000, step: 5, value: rate, "aria-label": `Drinks an hour from ${clockAt(doors, quarter)}`,
    on: { input: (event) => {
      usual[quarter] = Math.max(0, Number(event.target.value) || 0);
      onChange();
    } },
  });
  const caption = byId("quarters").caption;
  byId("quarters").replaceChildren(caption, el("tbody", {}, rows.map((row) =>
    el("tr", {}, el("th", { scope: "row" }, clockAt(doors, row[0][0])), row.map(([quarter, rate]) => el("td", {}, input(quarter, rate)))))));
}
