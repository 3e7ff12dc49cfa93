// Small drawings: an interval as a line with its mean, a share as a bar. Words stand beside them.

const NS = "http://www.w3.org/2000/svg";

export function svg(tag, attributes = {}, ...children) {
  const made = document.createElementNS(NS, tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  made.append(...children.flat().filter(Boolean));
  return made;
}

const WIDE = 1000;

// One row of a ranking: zero is a line of its own; what may be chance is hollow.
export function intervalBar({ mean, low, high }, { from, to }, { isClear = true } = {}) {
  const span = to - from || 1;
  const x = (value) => 20 + ((WIDE - 40) * (value - from)) / span;
  const zero = from <= 0 && to >= 0 ? svg("line", { class: "zero", x1: x(0), x2: x(0), y1: 0, y2: 40 }) : null;
  const ends = low === null || low === undefined ? [] : [
    svg("line", { class: "whisker", x1: x(low), x2: x(high), y1: 20, y2: 20 }),
    svg("line", { class: "whisker", x1: x(low), x2: x(low), y1: 11, y2: 29 }),
    svg("line", { class: "whisker", x1: x(high), x2: x(high), y1: 11, y2: 29 }),
  ];
  const dot = svg("line", { class: isClear ? "mean" : "mean may-be-chance", x1: x(mean), x2: x(mean) + 0.01, y1: 20, y2: 20 });
  const hollow = isClear ? null : svg("line", { class: "hollow", x1: x(mean), x2: x(mean) + 0.01, y1: 20, y2: 20 });
  return svg("svg", { class: "interval", viewBox: `0 0 ${WIDE} 40`, preserveAspectRatio: "none", "aria-hidden": "true" }, zero, ...ends, dot, hollow);
}

export function shareBar(share, { low, high } = {}) {
  const bar = svg("rect", { class: "share", x: 0, y: 6, width: Math.max(2, WIDE * share), height: 28 });
  const ends = low === undefined || low === null ? null : svg("line", { class: "whisker", x1: WIDE * Math.max(0, low), x2: WIDE * Math.min(1, high), y1: 20, y2: 20 });
  return svg("svg", { class: "interval", viewBox: `0 0 ${WIDE} 40`, preserveAspectRatio: "none", "aria-hidden": "true" }, bar, ends);
}

// The line of a policy as a legend shows it.
export function stroke(index, kind = "line") {
  return svg("svg", { class: `stroke is-${kind} s${index}`, viewBox: "0 0 48 12", "aria-hidden": "true" }, svg("line", { x1: 1, x2: 47, y1: 6, y2: 6 }));
}
