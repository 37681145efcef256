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

const ALONG = new Set(["left", "right", "upslope", "downslope"]);
const ROUND = 34; // the radius of the arc of an angle
const BASE = 52;

/**
 * How a given force is tilted away from the surface (negative: into it), in degrees; the letter of the angle; the same in words.
 * @typedef {{degrees: number, letter: string, says: string}} Tilt
 */

/**
 * @param {string} label the thing's name
 * @param {string[][]} options direction words and labels
 * @param {(word: string) => void} onPlace a click beside the body
 * @param {Record<string, Tilt>} [tilts] of the forces that are given with an angle, by their letters
 */
export function forcePicture(label, options, onPlace, tilts = {}) {
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
      const tiltOf = ({ symbol, word }) => (ALONG.has(word) && Object.hasOwn(tilts, symbol) ? tilts[symbol] : null);
      description.textContent = arrows.length ? arrows.map((arrow) => `${arrow.name} ${arrow.way}${tiltOf(arrow) ? ` (${tiltOf(arrow)?.says})` : ""}`).join(", ") : WORDS.noArrows;
      const count = {};
      fill(
        drawn,
        ...arrows.flatMap(({ symbol, word }) => {
          const tilt = tiltOf({ symbol, word });
          const way = `${word} ${tilt?.degrees ?? 0}`;
          const nth = (count[way] = (count[way] ?? 0) + 1) - 1;
          const points = guide(word, nth, tilt?.degrees);
          const { x, y, anchor } = labelAt(word, points, nth, tilt?.degrees);
          const [stem, index] = symbol === "other" ? ["?", ""] : symbolParts(symbol);
          return [
            ...(tilt ? angleOf(word, points[0], tilt) : []),
            s("path", { d: path(points), class: "pw-force" }),
            s("path", { d: head(points, 10), class: "pw-forcehead" }),
            s("text", { x, y, class: "pw-forcename", style: anchor ? `text-anchor: ${anchor}` : false }, stem.slice(0, 8), index ? s("tspan", { class: "pw-sub", dy: 4 }, index.slice(0, 6)) : null),
          ];
        }),
      );
    },
  };
}

/** The unit vector of a direction, tilted away from the surface by some degrees. */
function heading(word, degrees = 0) {
  const [ux, uy] = WAYS[word] ?? WAYS.up;
  const [ox, oy] = word.endsWith("slope") ? WAYS.away : WAYS.up;
  const t = (degrees * Math.PI) / 180;
  return degrees ? [ux * Math.cos(t) + ox * Math.sin(t), uy * Math.cos(t) + oy * Math.sin(t)] : [ux, uy];
}

/** An arrow's angle with the surface: a dashed line along it, an arc and the letter. @param {string} word @param {number[]} corner @param {Tilt} tilt */
function angleOf(word, [x, y], tilt) {
  const at = (/** @type {number} */ degrees, /** @type {number} */ far) => heading(word, degrees).map((step, axis) => [x, y][axis] + step * far);
  const curve = Array.from({ length: 9 }, (_, k) => at((tilt.degrees * k) / 8, ROUND));
  const [lx, ly] = at(tilt.degrees / 2, ROUND + (Math.abs(tilt.degrees) < 20 ? 24 : 13));
  const [stem, index] = symbolParts(tilt.letter);
  return [
    s("path", { d: path([[x, y], at(0, BASE)]), class: "pw-base" }),
    s("path", { d: path(curve), class: "pw-given-angle" }),
    s("text", { x: lx, y: ly + 5, class: "pw-letter" }, stem, index ? s("tspan", { class: "pw-sub", dy: 4 }, index) : null),
  ];
}

/** The line of the nth arrow in a direction: from the body's edge outwards, later ones beside the first. */
function guide(word, nth, degrees = 0) {
  const aside = nth === 0 ? 0 : (nth % 2 ? 1 : -1) * Math.ceil(nth / 2) * 26;
  if (word === "clockwise" || word === "counterclockwise") {
    const sense = word === "clockwise" ? 1 : -1;
    const r = HALF + 24 + nth * 15;
    return Array.from({ length: 12 }, (_, at) => {
      const t = sense * (0.25 + at * 0.13);
      return [MID + r * Math.sin(t), MID - r * Math.cos(t)];
    });
  }
  const [ux, uy] = heading(word, degrees);
  const [sx, sy] = [-uy * aside, ux * aside];
  const t = (degrees * Math.PI) / 180;
  const from = HALF / Math.max(Math.abs(Math.cos(t)), Math.abs(Math.sin(t))) + 3;
  return [[MID + ux * from + sx, MID + uy * from + sy], [MID + ux * (from + LENGTH) + sx, MID + uy * (from + LENGTH) + sy]];
}

/** At the tip; of further arrows up or down beside the tip, on the outer side, so that no two names run together. */
function labelAt(word, points, nth, degrees = 0) {
  const [x, y] = points[points.length - 1];
  if (nth > 0 && (word === "up" || word === "down")) return { x: x + 8 * Math.sign(x - MID), y: y + 5, anchor: x > MID ? "start" : "end" };
  const [ux, uy] = word in WAYS ? heading(word, degrees) : [Math.sign(x - MID), 0.4];
  return { x: x + ux * 20, y: y + uy * 18 + 5, anchor: "" };
}
