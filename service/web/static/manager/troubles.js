// What goes wrong: a bottle, a keg, glass in the ice, somebody called away.

import { byId, fill, say } from "../html.js";
import { placeOf, stationName } from "./people.js";
import { addRow, choice, field, number, readAll, time } from "./rows.js";
import { plural } from "./words.js";

const KINDS = ["runs_out", "kegs_blown", "glass_in_wells", "called_away"];
let counter = null;
let menu = null;

export function showTroubles(troubles, told, drinks, onChange) {
  counter = told;
  menu = drinks;
  fill("troubles");
  for (const kind of KINDS) troubles[kind].forEach((one) => addTrouble(kind, one, onChange));
  toldTroubles();
}

export function readTroubles() {
  const rows = readAll(byId("troubles"));
  return Object.fromEntries(KINDS.map((kind) => [kind, rows.filter((row) => row.kind === kind).map((row) => row.what)]));
}

export function toldTroubles() {
  const { length } = readAll(byId("troubles"));
  say("troubles-said", length ? plural(length, "thing") : "nothing");
}

export function addTrouble(kind, one, onChange) {
  return MAKERS[kind](one, onChange);
}

const row = (kind, read, onChange, ...fields) => addRow(byId("troubles"), () => ({ kind, what: read() }), onChange, ...fields);
const minutesOf = (seconds, usual) => number(Math.round((seconds ?? usual) / 60), { min: 1, max: 240 });

const MAKERS = {
  runs_out(one, onChange) {
    const ingredient = choice(menu.ingredients.map((i) => [i.id, i.name]), one.ingredient);
    const at = time(one.at || "22:00", "", { within: "hardStop" });
    const back = number(one.back_after_s ? Math.round(one.back_after_s / 60) : "", { min: 1, max: 240 });
    back.placeholder = "86";
    return row("runs_out", () => ({ ingredient: ingredient.value, at: at.value, back_after_s: back.value ? Number(back.value) * 60 : null }), onChange,
      field("Runs out", ingredient), field("At", at), field("Back after, minutes", back));
  },
  kegs_blown(one, onChange) {
    const tap = choice((counter.taps || []).map((id) => [id, menu.ingredients.find((i) => i.id === id)?.name || id]), one.tap);
    const at = time(one.at || "22:15", "", { within: "hardStop" });
    const change = minutesOf(one.change_s, 240);
    return row("kegs_blown", () => ({ tap: tap.value, at: at.value, change_s: Number(change.value) * 60 }), onChange,
      field("Keg of", tap), field("At", at), field("Minutes to change", change));
  },
  glass_in_wells(one, onChange) {
    const wells = [
      ...counter.stations.flatMap((station) => (station.wells || [{ ice: "cubed" }]).map((well) => [`${station.id} ${well.ice}`, `${stationName(station.id)}, ${well.ice}`])),
      ...(counter.shared_wells || []).map((well) => [`shared ${well.ice}`, `shared, ${well.ice}`]),
    ];
    const well = choice(wells, one.station ? `${one.station} ${one.ice}` : undefined);
    const at = time(one.at || "22:30", "", { within: "hardStop" });
    const out = minutesOf(one.out_s, 900);
    return row("glass_in_wells", () => {
      const [station, ice] = well.value.split(" ");
      return { station, ice, at: at.value, out_s: Number(out.value) * 60 };
    }, onChange, field("Glass in the well of", well), field("At", at), field("Out for, minutes", out));
  },
  called_away(one, onChange) {
    const person = choice(counter.people.map((p) => [p.id, placeOf(p)]), one.person);
    const at = time(one.at || "22:15", "", { within: "hardStop" });
    const away = minutesOf(one.for_s, 600);
    return row("called_away", () => ({ person: person.value, at: at.value, for_s: Number(away.value) * 60 }), onChange,
      field("Called away from", person), field("At", at), field("For, minutes", away));
  },
};
