// @ts-check
// The student's force diagram: a body, faint places round it to click, and the arrows that have been added.
import { s, fill, freshId } from "./dom.js";
import { head, path } from "./scenepicture.js";
import { symbolParts } from "./mathview.js";
import { WORDS } from "./words.js";

const SIZE = 280;
const MID = SIZE / 2;
const HALF = 27;
const LENGTH = 66;
const SLOPE = 25; // degrees: how a slope is drawn here; only the words count

/** The unit vector of each direction word; wheels have arcs instead. */
const angle = (SLOPE * Math.PI) / 180;
const WAYS = {
  up: [0, -1], down: [0, 1], left: [-1, 0], right: [1, 0],
  upslope: [Math.cos(angle), -Math.sin(angle)], downslope: [-Math.cos(angle), Math.sin(angle)],
  away: [-Math.sin(angle), -Math.cos(angle)], into: [Math.sin(angle), Math.cos(angle)],
};

/**
 * @param {string} label the thing's name
 * @param {string[][]} options direction words and labels
 * @param {(word: string) => void} onPlace a click beside the body
 */
export function forcePicture(label, options, onPlace) {
  const words = options.map(([word]) => word);
  const tilted = words.includes("upslope");
  const wheel = words.includes("clockwise");
  const [title, says] = [freshId("title"), freshId("says")];
  const description = s("desc", { id: says });
  const places = s("g", { "aria-hidden": "true" });
  const drawn = s("g", { "aria-hidden": "true" });
  const body = wheel
    ? s("circle", { cx: MID, cy: MID, r: HALF + 8, class: "pw-thing" })
    : s("rect", { x: MID - HALF, y: MID - HALF, width: 2 * HALF, height: 2 * HALF, rx: 3, class: "pw-thing", transform: tilted ? `rotate(${-SLOPE} ${MID} ${MID})` : false });
  for (const [word, way] of options) {
    const place = s("g", { class: "pw-target" }, s("title", {}, WORDS.addChosen(way)), s("path", { d: path(guide(word, 0)), class: "pw-hit" }), s("path", { d: path(guide(word, 0)), class: "pw-guide" }));
    place.addEventListener("click", () => onPlace(word));
    places.append(place);
  }
  const svg = s(
    "svg",
    { viewBox: `0 0 ${SIZE} ${SIZE}`, class: "pw-diagram", role: "img", "aria-labelledby": `${title} ${says}`, focusable: "false" },
    s("title", { id: title }, WORDS.yourDiagram(label)),
    description,
    places,
    body,
    drawn,
  );
  return {
    svg,
    /** @param {{symbol: string, word: string, name: string, way: string}[]} arrows */
    draw(arrows) {
      description.textContent = arrows.length ? arrows.map(({ name, way }) => `${name} ${way}`).join(", ") : WORDS.noArrows;
      const count = {};
      fill(
        drawn,
        ...arrows.flatMap(({ symbol, word }) => {
          const nth = (count[word] = (count[word] ?? 0) + 1) - 1;
          const points = guide(word, nth);
          const { x, y, anchor } = labelAt(word, points, nth);
          const [stem, index] = symbol === "other" ? ["?", ""] : symbolParts(symbol);
          return [
            s("path", { d: path(points), class: "pw-force" }),
            s("path", { d: head(points, 10), class: "pw-forcehead" }),
            s("text", { x, y, class: "pw-forcename", style: anchor ? `text-anchor: ${anchor}` : false }, stem.slice(0, 8), index ? s("tspan", { class: "pw-sub", dy: 4 }, index.slice(0, 6)) : null),
          ];
        }),
      );
    },
  };
}

/** The line of the nth arrow in a direction: from the body's edge outwards, later ones beside the first. */
function guide(word, nth) {
  const aside = nth === 0 ? 0 : (nth % 2 ? 1 : -1) * Math.ceil(nth / 2) * 26;
  if (word === "clockwise" || word === "counterclockwise") {
    const sense = word === "clockwise" ? 1 : -1;
    const r = HALF + 24 + nth * 15;
    return Array.from({ length: 12 }, (_, at) => {
      const t = sense * (0.25 + at * 0.13);
      return [MID + r * Math.sin(t), MID - r * Math.cos(t)];
    });
  }
  const [ux, uy] = WAYS[word] ?? WAYS.up;
  const [sx, sy] = [-uy * aside, ux * aside];
  const from = HALF + 3;
  return [[MID + ux * from + sx, MID + uy * from + sy], [MID + ux * (from + LENGTH) + sx, MID + uy * (from + LENGTH) + sy]];
}

/** At the tip; of further arrows up or down beside the tip, on the outer side, so that no two names run together. */
function labelAt(word, points, nth) {
  const [x, y] = points[points.length - 1];
  if (nth > 0 && (word === "up" || word === "down")) return { x: x + 8 * Math.sign(x - MID), y: y + 5, anchor: x > MID ? "start" : "end" };
  const [ux, uy] = WAYS[word] ?? [Math.sign(x - MID), 0.4];
  return { x: x + ux * 20, y: y + uy * 18 + 5, anchor: "" };
}
