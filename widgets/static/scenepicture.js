// @ts-check
// The scene as SVG, from the description that the kernel makes (widgets/picture.py).
import { s, freshId } from "./dom.js";
import { prose, symbolParts } from "./mathview.js";

const HEAD = 9;

/** @param {[number, number][]} points */
export const path = (points) => points.map(([x, y], at) => `${at ? "L" : "M"}${x.toFixed(1)} ${y.toFixed(1)}`).join("");

/** A polyline that ends so much earlier, so that the head of an arrow ends where the arrow does. @param {[number, number][]} points @param {number} by @returns {[number, number][]} */
function shortened(points, by) {
  const [x, y] = points[points.length - 1];
  const rest = points.slice(0, -1);
  while (rest.length > 1 && Math.hypot(x - rest[rest.length - 1][0], y - rest[rest.length - 1][1]) <= by) rest.pop();
  const [px, py] = rest[rest.length - 1];
  const part = Math.max(0.1, 1 - by / (Math.hypot(x - px, y - py) || 1));
  return [...rest, [px + (x - px) * part, py + (y - py) * part]];
}

/** A triangle at the end of a polyline. @param {[number, number][]} points @param {number} [size] */
export function head(points, size = HEAD) {
  const [x, y] = points[points.length - 1];
  const [px, py] = points[points.length - 2];
  const length = Math.hypot(x - px, y - py) || 1;
  const [ux, uy] = [(x - px) / length, (y - py) / length];
  const [bx, by] = [x - ux * size * 0.2, y - uy * size * 0.2];
  const tip = [x + ux * size * 0.9, y + uy * size * 0.9];
  return `M${tip[0].toFixed(1)} ${tip[1].toFixed(1)}L${(bx - uy * size * 0.62).toFixed(1)} ${(by + ux * size * 0.62).toFixed(1)}L${(bx + uy * size * 0.62).toFixed(1)} ${(by - ux * size * 0.62).toFixed(1)}Z`;
}

/**
 * @param {any} picture
 * @param {{onArrow?: (thing: string, word: string) => void}} [options]
 */
export function scenePicture(picture, { onArrow } = {}) {
  const [title, says] = [freshId("title"), freshId("says")];
  const svg = s(
    "svg",
    { viewBox: [picture.left, picture.top, picture.width, picture.height].map((length) => length.toFixed(1)).join(" "), class: "pw-scene", role: "img", "aria-labelledby": `${title} ${says}`, focusable: "false", style: `--pw-size: ${picture.size}` },
    s("title", { id: title }, picture.title),
    s("desc", { id: says }, prose(picture.says)),
  );
  for (const { points, fill } of picture.grounds)
    svg.append(s("path", { d: path(points) + (fill ? "Z" : ""), class: fill ? "pw-ground" : "pw-ceiling" }));
  for (const { points } of picture.brackets) svg.append(s("path", { d: path(points), class: "pw-bracket" }));
  for (const { points } of picture.ropes) svg.append(s("path", { d: path(points), class: "pw-rope" }));
  for (const { x, y, r } of picture.pulleys)
    svg.append(s("circle", { cx: x, cy: y, r, class: "pw-pulley" }), s("circle", { cx: x, cy: y, r: 2.5, class: "pw-hub" }));
  // Wheels first: a body that rolls is drawn on its wheel's axle.
  for (const thing of [...picture.things].sort((a, b) => Number("w" in a) - Number("w" in b))) svg.append(...drawThing(thing, picture.size));
  svg.append(...(picture.marks ?? []).flatMap((mark) => drawMark(mark, picture.size)));
  const arrows = new Map();
  for (const thing of picture.things)
    for (const [word, points] of Object.entries(thing.arrows)) {
      const arrow = s(
        "g",
        { class: "pw-arrow", "data-thing": thing.name, "data-word": word },
        // A broad unseen stroke makes the arrow easy to hit; the radio buttons do the same for the keyboard.
        s("path", { d: path(points), class: "pw-hit" }),
        s("path", { d: path(points), class: "pw-shaft" }),
        s("path", { d: head(points, HEAD * picture.size), class: "pw-tip" }),
      );
      if (onArrow) arrow.addEventListener("click", () => onArrow(thing.name, word));
      arrows.set(`${thing.name} ${word}`, arrow);
      svg.append(arrow);
    }
  return {
    svg,
    /** @param {Record<string, string>} chosen */
    choose(chosen) {
      for (const arrow of arrows.values()) arrow.toggleAttribute("data-chosen", chosen[arrow.dataset.thing] === arrow.dataset.word);
    },
  };
}

/** A given force or motion, an angle, or a letter beside a rope (widgets/lettered.py). @param {any} mark @param {number} size */
function drawMark(mark, size) {
  const [stem, index] = symbolParts(mark.symbol);
  const [x, y] = mark.at;
  const arrow = mark.kind === "force" || mark.kind === "motion";
  const line = arrow ? shortened(mark.points, HEAD * size * 0.9) : mark.points;
  return [
    mark.base.length ? s("path", { d: path(mark.base), class: "pw-base" }) : null,
    line.length ? s("path", { d: path(line), class: `pw-given-${mark.kind}` }) : null,
    arrow ? s("path", { d: head(line, HEAD * size), class: "pw-givenhead" }) : null,
    s("text", { x, y, class: "pw-letter", style: `text-anchor:${mark.anchor}` }, stem, index ? s("tspan", { class: "pw-sub", dy: 4 * size }, index) : null),
  ].filter((part) => part !== null);
}

/** The shapes of a thing with its name. @param {any} thing @param {number} size of its letters */
export function drawThing(thing, size) {
  const turned = thing.turn ? `rotate(${thing.turn} ${thing.x} ${thing.y})` : false;
  const shape =
    thing.pulley
      ? s("circle", { cx: thing.x, cy: thing.y, r: thing.w / 2, class: "pw-pulley" })
      : thing.r === undefined
      ? s("rect", { x: thing.x - thing.w / 2, y: thing.y - thing.h / 2, width: thing.w, height: thing.h, rx: 3, class: "pw-thing", transform: turned })
      : s("circle", { cx: thing.x, cy: thing.y, r: thing.r, class: "pw-thing" });
  const parts = [shape];
  if (thing.car.length) parts.unshift(s("path", { d: path(thing.car), class: "pw-car" }));
  for (const r of thing.steps) parts.push(s("circle", { cx: thing.x, cy: thing.y, r, class: "pw-inner" }));
  if (thing.r !== undefined || thing.pulley) parts.push(s("circle", { cx: thing.x, cy: thing.y, r: 3, class: "pw-hub" }));
  if (thing.index) parts.push(s("text", { x: thing.x, y: thing.y + (thing.r === undefined && !thing.pulley ? 6 * size : 10 + 12 * size), class: "pw-index" }, thing.index));
  const [x, y] = thing.labelAt;
  parts.push(s("text", { x, y, class: "pw-name", style: `text-anchor:${thing.labelAnchor}` }, thing.label));
  return parts;
}
