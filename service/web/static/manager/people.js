// Who works: a row a bartender, told by the station; shift, breaks and pace. Nobody stands by name.

import { byId, el, fill, say } from "../html.js";
import { addRow, choice, field, number, readAll, time } from "./rows.js";
import { plural } from "./words.js";

let counter = null;
let newcomers = 0;

export const stationName = (id) => counter?.stations.find((one) => one.id === id)?.name || id;

export function placeOf(person) {
  const alike = counter.people.filter((one) => one.station === person.station);
  return alike.length > 1 ? `${stationName(person.station)}, no. ${alike.indexOf(person) + 1}` : stationName(person.station);
}

export function showPeople(told, scenario, onChange) {
  counter = told;
  newcomers = 0;
  fill("people");
  fill("barbacks");
  const shifts = new Map(scenario.shifts.map((shift) => [shift.person, shift]));
  for (const person of counter.people) {
    const shift = shifts.get(person.id);
    addPerson(person, { ...shift, isOn: !scenario.shifts.length || Boolean(shift) }, onChange);
  }
  for (const person of scenario.more_people) addPerson({ ...person, isNew: true }, { ...shifts.get(person.id), isOn: true }, onChange);
  const barbacks = scenario.barbacks ?? Array.from({ length: counter.barbacks ?? 0 }, () => ({}));
  barbacks.forEach((one) => addBarback(one, onChange));
  toldPeople();
}

export function addNewcomer(onChange) {
  newcomers += 1;
  return addPerson({ id: `one-more-${newcomers}`, station: counter.stations[0].id, isNew: true }, { isOn: true }, onChange);
}

export function readPeople() {
  const rows = readAll(byId("people"));
  return {
    shifts: rows.filter((row) => row.isOn).map(({ shift }) => shift),
    more_people: rows.filter((row) => row.isOn && row.isNew).map((row) => ({ id: row.shift.person, station: row.station })),
    barbacks: readAll(byId("barbacks")),
  };
}

function addPerson(person, shift, onChange) {
  const usualPace = person.pace ?? 1;
  const label = person.isNew ? "one more bartender" : placeOf(person);
  const isOn = el("input", { type: "checkbox", checked: shift.isOn });
  const station = choice(counter.stations.map((one) => [one.id, one.name || one.id]), person.station);
  const since = time(shift.since, "doors", { is: "since" });
  const until = time(shift.until, "the end", { is: "until" });
  // Against the own usual pace: as usual stands at the same place for everybody.
  const pace = el("input", { type: "range", min: 0.7, max: 1.6, step: 0.05, value: (shift.pace ?? usualPace) / usualPace, "aria-label": `Pace, ${label}` });
  const paceSaid = el("output", {});
  const breaks = (shift.breaks || []).map((one) => ({ at: breakAt(one.at), minutes: number(one.minutes, { min: 5, max: 240, step: 5 }) }));
  const breakList = el("span", { class: "breaks" });
  const drawBreaks = () => breakList.replaceChildren(...breaks.map(({ at, minutes }) => el("span", { class: "pair" }, field("Break at", at), field("minutes", minutes))));
  const addBreak = el("button", { type: "button", class: "quiet", on: { click: () => {
    breaks.push({ at: breakAt("22:00"), minutes: number(20, { min: 5, max: 240, step: 5 }) });
    drawBreaks();
    breaks.at(-1).at.focus();
    onChange();
  } } }, "Add a break", el("span", { class: "hidden-label" }, ` for ${label}`));
  const isUsual = () => Math.abs(Number(pace.value) - 1) < 0.01;
  const paceWords = () => {
    const value = Number(pace.value);
    paceSaid.value = isUsual() ? "as usual" : value < 1 ? `${Math.round((1 - value) * 100)}% faster` : `${Math.round((value - 1) * 100)}% slower`;
  };
  pace.addEventListener("input", paceWords);
  paceWords();
  drawBreaks();
  const read = () => ({
    isOn: isOn.checked,
    isNew: Boolean(person.isNew),
    station: station.value,
    shift: {
      person: person.id,
      since: since.value,
      until: until.value,
      pace: isUsual() ? null : Math.round(Number(pace.value) * usualPace * 1000) / 1000,
      breaks: breaks.filter(({ at }) => at.value).map(({ at, minutes }) => ({ at: at.value, minutes: Number(minutes.value) })),
    },
  });
  const row = addRow(byId("people"), read, onChange,
    el("label", { class: "tick who" }, isOn, person.isNew ? "One more, at" : label),
    person.isNew ? field("Station", station, true) : "",
    field("From", since), field("Until", until), breakList, addBreak,
    el("label", { class: "field pace" }, "Pace", el("span", { class: "slide" }, pace, paceSaid)));
  isOn.addEventListener("change", () => row.classList.toggle("is-off", !isOn.checked));
  row.classList.toggle("is-off", !isOn.checked);
  // Who is of the counter is switched off, not removed.
  if (!person.isNew) row.lastElementChild.remove();
  return row;
}

const breakAt = (at) => time(at, "", { within: "hardStop" });

export function addBarback(one, onChange) {
  const since = time(one.since, "doors", { is: "since" });
  const until = time(one.until, "the end", { is: "until" });
  return addRow(byId("barbacks"), () => ({ since: since.value, until: until.value }), onChange, field("From", since), field("Until", until));
}

export function toldPeople() {
  const { shifts, barbacks } = readPeople();
  say("people-said", `${plural(shifts.length, "bartender")}, ${plural(barbacks.length, "barback")}`);
}
