// What needs a person: first what is a matter of safety (the drinks that hold what a guest named),
// all of it always there; then lines nobody could read, then what is good to know. It takes two taps: the first opens what can
// be done, the second does it, so that no slip confirms an allergen.

import { byId, el, fill, isDrawn, say } from "./html.js";
import { fit } from "./fit.js";
import { fitSide } from "./side.js";
import { alertOf, menuOf, paperOf, pouredOf } from "./paper.js";

const SHOWN = 3; // of what is not a matter of safety
const WORDY = 3; // more matters of safety than this say their reason only when opened
const CROWDED = 6; // more than this take the place of the next build, too
const TO_CONFIRM = /: a person must confirm$/;
const DANGERS = ["well", "flame"];
const NAMES_ALLERGY = /\ballerg/i;

let opened = "";
let isWhole = false;
let last = null;

export function drawNotices(order, taps) {
  last = { order, taps };
  const notices = noticesOf(order);
  const notice = notices.find((one) => one.key && one.key === opened);
  if (!notice) opened = "";
  if (isDrawn("notices", notices, opened, isWhole)) return;
  const hadFocus = byId("asked").contains(document.activeElement);
  if (notice) taps.changed();
  drawList(notices);
  fill("asked", notice ? panelOf(notice, taps) : []);
  byId("asked").hidden = !notice;
  if (notice) byId("asked-title").focus();
  else if (hadFocus) byId("notice-list").querySelector("button")?.focus();
  fitNotices();
  fitSide();
}

// Smaller letters before anything has to be scrolled to.
export function fitNotices() {
  fit(byId("notices"), { largest: 0.031, smallest: 0.02 });
}

function drawList(notices) {
  const safety = notices.filter((one) => one.isSafety);
  const others = notices.filter((one) => !one.isSafety);
  const limit = safety.length > CROWDED ? 0 : safety.length > WORDY ? 1 : SHOWN;
  const shown = isWhole ? others : others.slice(0, limit);
  const rest = others.length - limit;
  say("notices-title", notices.length > 1 ? `Needs a person: ${notices.length}` : "Needs a person");
  fill("notice-list",
    [...safety, ...shown].map((one) => itemOf(one, safety.length > WORDY)),
    rest > 0 ? el("li", { class: "more" }, button(isWhole ? "fewer" : `and ${rest} more`, "", () => (isWhole = !isWhole))) : []);
  byId("notices").hidden = !notices.length;
  byId("notices").parentElement.dataset.safety = safety.length > CROWDED ? "crowded" : safety.length ? "some" : "none";
}

function itemOf({ key, word, text, hint = "", why = "", isSafety }, isShort) {
  const words = [el("b", {}, word), " ", text, hint || (isSafety && why && !isShort ? `; ${why}` : "")];
  return el("li", { class: isSafety ? "safety" : "" }, key ? el("button", { type: "button", on: { click: () => open(key) } }, words) : words);
}

function open(key) {
  opened = key;
  drawNotices(last.order, last.taps);
}

// A tap on the page itself, not on the service: what it changes is drawn at once.
const button = (word, small, onTap) =>
  el("button", { type: "button", on: { click: () => { onTap(); drawNotices(last.order, last.taps); } } },
    el("b", {}, word), small ? el("small", {}, small) : "");

function panelOf(notice, taps) {
  const title = el("h2", { id: "asked-title", tabindex: "-1", class: notice.isSafety ? "loud" : "" }, el("b", {}, notice.word), " ", notice.text);
  return [title, el("p", {}, notice.why), ...notice.choices(taps), button("Not now", "", () => (opened = "")), notice.more?.(taps) ?? ""];
}

function noticesOf(order) {
  const said = (alerts) => alerts.map((alert) => {
    const isSafety = DANGERS.includes(alert.kind);
    return alert.id ? alertOf(alert, isSafety) : { word: "Bar:", text: alert.words, isSafety };
  });
  // Unread lines stand here, each with its words; an alert that counts them says nothing more.
  const alerts = said(order.alerts.filter((alert) => alert.kind !== "unread"));
  const toAsk = order.set_aside.filter((card) => TO_CONFIRM.test(card.reason));
  return [
    ...alike(toAsk).map(askOf),
    ...alerts.filter((one) => one.isSafety),
    ...order.unread.map(unreadOf).sort((one, other) => other.isSafety - one.isSafety),
    ...alike(order.set_aside.filter((card) => !toAsk.includes(card)), false).map(asideOf),
    ...alerts.filter((one) => !one.isSafety),
  ];
}

// Ten drinks that wait for the same bottle are one thing to know.
function alike(cards, byName = true) {
  const groups = new Map();
  for (const card of cards) {
    const key = [card.ticket, card.reason, byName ? card.name : ""].join(" ");
    groups.set(key, [...(groups.get(key) || []), card]);
  }
  return [...groups].map(([key, group]) => ({ key, group }));
}

const asideOf = ({ group: [card, ...others] }) => ({
  word: `Set aside, ${card.number} ${card.place}:`,
  text: `${[...new Set([card, ...others].map((one) => one.name))].join(", ")}; ${card.reason}`,
});

function askOf({ key, group }) {
  const [card] = group;
  const many = group.length > 1;
  return {
    key,
    isSafety: true,
    word: `ALLERGY, ${card.number} ${card.place}:`,
    text: many ? `${group.length} × ${card.name}` : card.name,
    why: card.reason.replace(TO_CONFIRM, ""),
    choices: (taps) => [
      el("p", {}, "Ask the guest, then:"),
      button("Confirm", "the guest knows and wants it so", () => taps.confirm(card.drink)),
      button(many ? `Void one of ${group.length}` : "Void", "it is not made", () => taps.voidDrink(card.drink)),
    ],
  };
}

function unreadOf(line) {
  const { quantity, text, nearest, reason, word, printed } = line;
  const isName = reason.startsWith("expected a recipe ");
  const pick = (id) => (taps) => (word ? taps.means(line, id) : taps.read(line, { recipe: id }));
  return {
    key: line.line,
    isSafety: NAMES_ALLERGY.test(text),
    word: `Unread, ${line.number} ${line.place}:`,
    text: `${quantity} × “${text}”`,
    hint: nearest.length ? `; ${nearest[0].name}?` : "",
    why: printed.length ? "" : reason,
    choices: (taps) => [
      paperOf(printed),
      el("p", {}, questionOf(line, isName)),
      ...nearest.map((near) => button(near.name, "", () => pick(near.recipe)(taps))),
      button("Drop", "the line is taken off", () => taps.drop(line.line)),
    ],
    more: (taps) => (isName && word ? el("div", {}, [
      pouredOf(taps.bar, (means) => taps.means(line, means)),
      menuOf(taps.bar, nearest.map((near) => near.recipe), (id) => pick(id)(taps)),
    ]) : ""),
  };
}

function questionOf({ word, nearest, printed }, isName) {
  if (!word) return nearest.length ? "It is:" : "Ask, and correct it at the till.";
  const stays = printed.length ? " It is remembered." : "";
  if (nearest.length) return `What is “${word}”?${stays}`;
  return isName ? `Nothing on the menu comes near “${word}”. Which drink is it?${stays}` : `Nothing comes near “${word}”. Ask, and correct it at the till.`;
}
