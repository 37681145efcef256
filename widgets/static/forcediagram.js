// @ts-check
// One thing with its forces to scale, each with its size, from the student's own numbers; the same in words below it.
import { h, s, freshId } from "./dom.js";
import { prose, symbolParts } from "./mathview.js";
import { head, path } from "./scenepicture.js";
import { WORDS } from "./words.js";

const LETTER = 8; // the width of a letter of a label, more or less
const LINE = 17;

/**
 * One figure for each thing. All are as wide as the widest, so that a narrow column shrinks all of them alike and one newton stays one length.
 * @param {import("./messages.js").Diagram[]} diagrams
 */
export function forceDiagrams(diagrams) {
  const figures = diagrams.map(forceDiagram);
  const pictures = figures.map((figure) => figure.querySelector("svg"));
  const widest = Math.max(...pictures.map((svg) => svg.viewBox.baseVal.width));
  for (const svg of pictures) {
    const { x, y, width, height } = svg.viewBox.baseVal;
    svg.setAttribute("viewBox", `${x - (widest - width) / 2} ${y} ${widest} ${height}`);
    svg.style.width = `${Math.round(widest)}px`;
  }
  return figures;
}

/** @param {import("./messages.js").Diagram} diagram */
function forceDiagram(diagram) {
  const boxes = [box(diagram.outline)];
  const labels = [];
  const seen = new Set();
  for (const arrow of diagram.arrows) {
    boxes.push(box(arrow.points));
    const words = `${arrow.symbol} = ${arrow.size}`;
    if (seen.has(words)) continue; // the strands of one rope share a label
    seen.add(words);
    labels.push({ arrow, ...free(arrow.points, words.length * LETTER, labels) });
  }
  boxes.push(...labels.map((label) => label.box));
  const [left, right] = [Math.min(...boxes.map((b) => b[0])) - 8, Math.max(...boxes.map((b) => b[2])) + 8];
  const [top, low] = [Math.min(...boxes.map((b) => b[1])) - 8, Math.max(...boxes.map((b) => b[3])) + 8];
  const bottom = low + (diagram.bar ? 24 : 0);
  const [title, says] = [freshId("title"), freshId("says")];
  const svg = s(
    "svg",
    { viewBox: `${left} ${top} ${right - left} ${bottom - top}`, class: "pw-toscale", role: "img", "aria-labelledby": `${title} ${says}`, focusable: "false", style: `width:${Math.round(right - left)}px` },
    s("title", { id: title }, WORDS.forcesToScale(diagram.label)),
    s("desc", { id: says }, prose(diagram.says[0])),
    s("path", { d: `${path(diagram.outline)}Z`, class: "pw-thing" }),
    ...diagram.arrows.flatMap(({ points }) => [s("path", { d: path(points), class: "pw-force" }), s("path", { d: head(points, 10), class: "pw-forcehead" })]),
    ...labels.map(({ arrow, x, y, anchor }) => {
      const [stem, index] = symbolParts(arrow.symbol);
      return s("text", { x, y, class: "pw-forcename", style: `text-anchor:${anchor}` }, stem, index ? s("tspan", { class: "pw-sub", dy: 4 }, index) : null, s("tspan", { class: "pw-size", dy: index ? -4 : 0 }, ` = ${arrow.size}`));
    }),
  );
  if (diagram.bar) {
    const [x, y] = [left + 8, low + 10];
    svg.append(
      s("path", { d: `M${x} ${y - 4}V${y + 4}M${x} ${y}H${x + diagram.bar.length}M${x + diagram.bar.length} ${y - 4}V${y + 4}`, class: "pw-scale" }),
      s("text", { x: x + diagram.bar.length + 8, y: y + 5, class: "pw-scalename", style: "text-anchor:start" }, diagram.bar.label),
    );
  }
  return h("figure", { class: "pw-figure" }, h("figcaption", {}, WORDS.forcesOn(diagram.label)), h("div", { class: "pw-picture" }, svg), ...diagram.says.map((text) => h("p", {}, prose(text))));
}

const box = (points) => {
  const [xs, ys] = [points.map(([x]) => x), points.map(([, y]) => y)];
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
};

/** Where a label of that width is free, beyond an arrow's tip and then farther out. */
function free(points, wide, others) {
  const [x, y] = points[points.length - 1];
  const [px, py] = points[points.length - 2];
  const length = Math.hypot(x - px, y - py) || 1;
  const [ux, uy] = [(x - px) / length, (y - py) / length];
  const anchor = ux > 0.4 ? "start" : ux < -0.4 ? "end" : "middle";
  for (let turn = 0; ; turn += 1) {
    const far = 22 + turn * LINE;
    const up = anchor === "middle" ? Math.sign(uy) * far : uy * 14 + turn * LINE * (uy < 0 ? -1 : 1);
    const [lx, ly] = [x + (anchor === "middle" ? 0 : ux * 14), y + up + (uy > 0.4 ? 10 : 5)];
    const start = lx - (anchor === "start" ? 0 : anchor === "end" ? wide : wide / 2);
    const made = [start, ly - 14, start + wide, ly + 5];
    const clash = others.some(({ box: [a, b, c, d] }) => made[0] < c && a < made[2] && made[1] < d && b < made[3]);
    if (!clash || turn > 6) return { x: lx, y: ly, anchor, box: made };
  }
}
