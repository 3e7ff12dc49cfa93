// A text with numbered lines, and what is wrong with a line said at the line itself.

import { byId, el } from "../html.js";

const text = () => byId("text");
let marked = [];

export function makeEditor(onInput) {
  text().addEventListener("input", () => {
    draw();
    onInput(text().value);
  });
  text().addEventListener("scroll", follow);
  addEventListener("resize", follow);
}

export const written = () => text().value;

export function write(words) {
  text().value = words;
  marked = [];
  text().scrollTop = 0;
  text().setSelectionRange(0, 0);
  draw();
}

export function mark(faults, warnings) {
  const worst = new Map();
  for (const one of warnings) if (one.line) worst.set(one.line, { ...one, kind: "warning" });
  for (const one of faults) if (one.line) worst.set(one.line, { ...one, kind: "fault" });
  marked = [...worst.values()];
  draw();
}

export function goTo(line) {
  const rows = text().value.split("\n");
  const begin = rows.slice(0, line - 1).reduce((sum, row) => sum + row.length + 1, 0);
  text().focus();
  text().setSelectionRange(begin, begin + (rows[line - 1] || "").length);
  text().scrollTop = Math.max(0, (line - 4) * lineHeight());
  text().scrollLeft = 0;
}

const lineHeight = () => parseFloat(getComputedStyle(text()).lineHeight);

function draw() {
  const rows = text().value.split("\n");
  const kinds = new Map(marked.map((one) => [one.line, one.kind]));
  const gutter = byId("gutter");
  const key = `${rows.length} ${JSON.stringify([...kinds])}`;
  if (gutter.dataset.key !== key) {
    gutter.dataset.key = key;
    gutter.replaceChildren(el("div", {}, rows.map((_, i) => {
      const kind = kinds.get(i + 1);
      return el("span", { class: kind || false }, kind === "fault" ? `! ${i + 1}` : kind ? `? ${i + 1}` : `${i + 1}`);
    })));
  }
  byId("bands").replaceChildren(el("div", {}, marked.map((one) => {
    const band = el("p", { class: one.kind }, el("span", {}, one.said));
    band.style.setProperty("top", `${(one.line - 1) * lineHeight()}px`);
    band.style.setProperty("--from", `${(rows[one.line - 1] || "").length + 3}ch`);
    return band;
  })));
  follow();
}

function follow() {
  const { scrollTop, scrollLeft } = text();
  byId("gutter").firstChild?.style.setProperty("transform", `translateY(${-scrollTop}px)`);
  byId("bands").firstChild?.style.setProperty("transform", `translate(${-scrollLeft}px, ${-scrollTop}px)`);
}
