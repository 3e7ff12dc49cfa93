// Lines over time or minutes, drawn by uPlot: each policy with its own colour and its own dashes, its
// interval as a band. What is drawn stands as a table below for whoever reads instead of looks.

import { el } from "../html.js";

const DASHES = [[], [10, 5], [3, 4], [12, 4, 3, 4]];
const drawn = new Set();

const css = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();
const NAMES = ["--one", "--two", "--three", "--four"];
export const colourOf = (index) => css(NAMES[index % NAMES.length]);

export function forgetCharts() {
  for (const chart of drawn) chart.destroy();
  drawn.clear();
}

// `series`: [{ index, label, values, low, high }], all as long as `xs`. `marks`: lines to hold against.
export function lines(host, { xs, series, xWords, yWords, readout, marks = [], across = [], height = 300, most, splits }) {
  let chart = null;
  const draw = () => {
    if (chart) {
      drawn.delete(chart);
      chart.destroy();
    }
    chart = new uPlot(options(), data(), host);
    drawn.add(chart);
  };
  const data = () => [xs, ...series.flatMap((one) => (one.low ? [one.values, one.low, one.high] : [one.values]))];
  // After few nights an interval is far wider than what it is about: the lines keep the room.
  const highest = () => {
    const tops = (name) => Math.max(0, ...series.flatMap((one) => one[name] || []).map((value) => value ?? 0));
    return Math.max(1, Math.min(Math.max(tops("values"), tops("high")), 1.7 * tops("values")) * 1.06, ...marks.map((mark) => mark.at * 1.15));
  };
  const options = () => {
    const ink = css("--soft");
    const axis = { stroke: ink, font: "13px Roboto, 'Segoe UI', 'Liberation Sans', Arial, sans-serif", grid: { stroke: css("--line"), width: 1 }, ticks: { stroke: css("--line"), width: 1 } };
    const rows = [{}];
    const bands = [];
    for (const one of series) {
      const colour = colourOf(one.index);
      rows.push({ label: one.label, stroke: colour, width: 3, dash: DASHES[one.index % 4], points: { show: xs.length < 3 }, spanGaps: false });
      if (one.low) {
        const at = rows.length;
        rows.push({ stroke: "transparent", width: 0, points: { show: false } }, { stroke: "transparent", width: 0, points: { show: false } });
        bands.push({ series: [at + 1, at], fill: withAlpha(colour, 0.2) });
      }
    }
    return {
      width: Math.max(260, host.clientWidth), height, series: rows, bands,
      legend: { show: false },
      cursor: { points: { size: 9 }, drag: { x: false, y: false }, y: false },
      scales: { x: { time: false }, y: { range: () => [0, most ?? highest()] } },
      axes: [
        { ...axis, values: (_u, at) => at.map(xWords), space: 56, size: 34, ...(splits ? { splits: () => splits } : {}) },
        { ...axis, values: (_u, at) => at.map(yWords), size: 64 },
      ],
      hooks: {
        draw: [(u) => {
          for (const mark of marks) drawMark(u, mark);
          across.forEach((mark, i) => drawAcross(u, mark, i));
        }],
        setCursor: [(u) => readout(u.cursor.idx ?? null)],
      },
    };
  };
  draw();
  const sizes = new ResizeObserver(() => chart && Math.abs(host.clientWidth - chart.width) > 2 && host.clientWidth > 0 && chart.setSize({ width: Math.max(260, host.clientWidth), height }));
  sizes.observe(host);
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => host.isConnected && draw());
}

function drawMark(u, { at, words }) {
  const y = u.valToPos(at, "y", true);
  if (y < u.bbox.top) return;
  line(u, [u.bbox.left, y], [u.bbox.left + u.bbox.width, y]);
  write(u, words, u.bbox.left + 6 * devicePixelRatio, y - 5 * devicePixelRatio);
}

// The first stands to the left of its line, the next to the right: they may be close together.
function drawAcross(u, { at, words }, i) {
  const x = u.valToPos(at, "x", true);
  if (x > u.bbox.left + u.bbox.width) return;
  line(u, [x, u.bbox.top], [x, u.bbox.top + u.bbox.height]);
  write(u, words, x + (i ? 6 : -6) * devicePixelRatio, u.bbox.top + u.bbox.height - 10 * devicePixelRatio, i ? "left" : "right");
}

function line({ ctx }, [x1, y1], [x2, y2]) {
  ctx.save();
  ctx.strokeStyle = css("--ink");
  ctx.lineWidth = 1.5 * devicePixelRatio;
  ctx.setLineDash([2 * devicePixelRatio, 4 * devicePixelRatio]);
  ctx.beginPath();
  ctx.moveTo(x1, y1);
  ctx.lineTo(x2, y2);
  ctx.stroke();
  ctx.restore();
}

function write({ ctx }, words, x, y, align = "left") {
  ctx.save();
  ctx.font = `${13 * devicePixelRatio}px Roboto, 'Segoe UI', 'Liberation Sans', Arial, sans-serif`;
  ctx.fillStyle = css("--ink");
  ctx.textAlign = align;
  ctx.fillText(words, x, y);
  ctx.restore();
}

function withAlpha(hex, alpha) {
  const [r, g, b] = [1, 3, 5].map((at) => parseInt(hex.slice(at, at + 2), 16));
  return `rgba(${r}, ${g}, ${b}, ${alpha})`;
}

// The same numbers to be read: rows by x, a column a policy.
export function asTable(title, head, rows) {
  return el("details", { class: "as-table" }, el("summary", {}, "As a table"),
    el("div", { class: "scroll", tabindex: 0, role: "region", "aria-label": title }, el("table", {}, el("caption", { class: "hidden-label" }, title),
      el("thead", {}, el("tr", {}, head.map((words) => el("th", { scope: "col" }, words)))),
      el("tbody", {}, rows.map(([first, ...rest]) => el("tr", {}, el("th", { scope: "row" }, first), rest.map((words) => el("td", {}, words))))))));
}
