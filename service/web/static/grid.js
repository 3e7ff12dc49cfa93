// Draws a pour grid as a table: a row per bottle in reaching order, a column per vessel. Vessels of
// the same drink stand under one heading.

import { el } from "./html.js";

const PARTS = { first: "start first", pour: "", last: "last" };

const LONG_CAUTION = 42;

export function drawGrid(grid, { isShort = false } = {}) {
  const groups = groupsOf(grid.columns);
  const table = el("table", { class: "grid" });
  const heads = groups.map((group) =>
    el("th", { scope: "colgroup", colspan: group.columns.length },
      el("span", { class: "name" }, group.count > 1 ? `${group.count}\u00a0×\u00a0` : "", group.name),
      group.changes.map((change) => el("span", { class: "change" }, change)),
      el("span", { class: "vessel" }, sentence([vesselsOf(group), ...(isShort ? [] : group.cautions.filter(isBrief))]))));
  table.append(el("thead", {}, el("tr", {}, el("td", {}), heads)));
  const hasParts = new Set(grid.rows.map((row) => row.part)).size > 1;
  let part = null;
  let body = null;
  for (const row of grid.rows) {
    if (row.part !== part) {
      part = row.part;
      body = el("tbody", { class: `part ${part}` });
      table.append(body);
    }
    const word = PARTS[part] && hasParts && !isShort && !body.children.length ? el("i", {}, PARTS[part]) : "";
    body.append(el("tr", {},
      el("th", { scope: "row" }, row.name, word),
      row.cells.map((cell) => el("td", { class: cell ? "takes" : "" }, amount(cell)))));
  }
  if (isShort) return table;
  const glasses = (group) => (group.count > 1 ? `${group.count} × ${group.glass}` : group.glass);
  table.append(el("tbody", { class: "after" },
    afterRow("mix", groups, (group) => sentence([group.agitation, group.strain])),
    afterRow("glass", groups, (group) => sentence([glasses(group), ...group.garnishes]))));
  return table;
}

function groupsOf(columns) {
  const groups = [];
  for (const column of columns) {
    const last = groups.at(-1);
    const isSame = last && last.name === column.name && last.glass === column.glass
      && last.changes.join() === column.changes.join();
    if (isSame) {
      last.columns.push(column);
      last.count += column.drinks.length;
    } else {
      groups.push({ ...column, columns: [column], count: column.drinks.length });
    }
  }
  return groups;
}

function vesselsOf(group) {
  const names = group.columns.map((column) => column.vessel);
  if (names.length < 2) return names[0];
  const kind = names[0].replace(/ \d+$/, "");
  return `${kind}s ${names.map((name) => name.slice(kind.length + 1)).join(" · ")}`;
}

// "100 ml": the number is read from afar, the unit stands smaller beside it; "8 leaves muddle" may
// break before its verb, and nowhere else.
function amount(cell) {
  const [, measured, verb] = cell.match(/^(.*?)(?: (muddle|float|coat))?$/);
  const bits = measured.split(/((?:\d+ × )?[\d./]+(?: \d+\/\d+)?)/).filter(Boolean)
    .map((bit) => (/\d/.test(bit) || measured === bit ? el("b", {}, bit) : el("span", { class: "unit" }, bit)));
  return [el("span", { class: "measured" }, bits), verb ? el("span", { class: "unit" }, ` ${verb}`) : ""];
}

// What fits under a heading stands there; a sentence of caution stands over the whole grid.
export const isBrief = (caution) => caution.length < LONG_CAUTION;

const sentence = (words) => words.filter(Boolean).join(", ");

function afterRow(name, groups, wordsOf) {
  const words = groups.map(wordsOf);
  if (!words.some(Boolean)) return "";
  return el("tr", {},
    el("th", { scope: "row" }, name),
    words.map((said, at) => el("td", { colspan: groups[at].columns.length }, said)));
}
