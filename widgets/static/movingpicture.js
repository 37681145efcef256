// @ts-check
// The scene's picture with its things in motion (widgets/moving.py says how ropes and pulleys follow them).
import { s, freshId } from "./dom.js";
import { drawThing, path } from "./scenepicture.js";

/**
 * @param {any} picture @param {any} motion @param {string} title @param {string} says the same in words
 * @returns {{svg: SVGElement, at: (t: number) => void}} `at` shows the scene t seconds after its start
 */
export function movingPicture(picture, motion, title, says) {
  const [titleId, saysId] = [freshId("title"), freshId("says")];
  const bar = motion.bar;
  const high = picture.height + (bar ? 26 : 0);
  const svg = s(
    "svg",
    { viewBox: [picture.left, picture.top, picture.width, high].map((length) => length.toFixed(1)).join(" "), class: "pw-scene", role: "img", "aria-labelledby": `${titleId} ${saysId}`, focusable: "false", style: `--pw-size: ${picture.size}` },
    s("title", { id: titleId }, `${title}: ${picture.title}`),
    s("desc", { id: saysId }, says),
  );
  for (const { points, fill } of picture.grounds)
    svg.append(s("path", { d: path(points) + (fill ? "Z" : ""), class: fill ? "pw-ground" : "pw-ceiling" }));
  const lines = [...picture.brackets.map((line) => [line, "pw-bracket"]), ...picture.ropes.map((line) => [line, "pw-rope"])].map(([line, look]) => {
    const drawn = s("path", { d: path(line.points), class: look });
    svg.append(drawn);
    return { line, drawn };
  });
  const pulleys = picture.pulleys.map((pulley) => {
    const drawn = s("g", {}, s("circle", { cx: pulley.x, cy: pulley.y, r: pulley.r, class: "pw-pulley" }), s("circle", { cx: pulley.x, cy: pulley.y, r: 2.5, class: "pw-hub" }));
    svg.append(drawn);
    return { pulley, drawn };
  });
  const things = [...picture.things].sort((a, b) => Number("w" in a) - Number("w" in b)).map((thing) => {
    const spoke = thing.r === undefined ? null : s("path", { d: path([[thing.x, thing.y], [thing.x, thing.y - thing.r]]), class: "pw-spoke" });
    const drawn = s("g", { "data-thing": thing.name }, ...drawThing(thing, picture.size), spoke ?? "");
    svg.append(drawn);
    return { thing, drawn, spoke };
  });
  if (bar) {
    const [x, y] = [picture.left + 14, picture.top + picture.height + 8];
    svg.append(
      s("path", { d: `M${x} ${y - 4}V${y + 4}M${x} ${y}H${x + bar.length}M${x + bar.length} ${y - 4}V${y + 4}`, class: "pw-scale" }),
      s("text", { x: x + bar.length + 8, y: y + 5, class: "pw-scalename", style: "text-anchor:start" }, bar.label),
    );
  }
  const gone = (/** @type {string} */ name, /** @type {number} */ t) => motion.things[name].v * t + (motion.things[name].a * t * t) / 2;

  return {
    svg,
    at(t) {
      const ways = Object.fromEntries(Object.keys(picture.along).map((name) => [name, gone(name, t) * picture.scale]));
      const shifted = (point, moves, at) => {
        let [x, y] = point;
        for (const [name, steps] of Object.entries(moves ?? {})) {
          const step = at === undefined ? steps : steps[at];
          x += step[0] * ways[name];
          y += step[1] * ways[name];
        }
        return [x, y];
      };
      for (const { line, drawn } of lines) if (line.moves) drawn.setAttribute("d", path(line.points.map((point, at) => shifted(point, line.moves, at))));
      for (const { pulley, drawn } of pulleys) {
        const [x, y] = shifted([0, 0], pulley.moves);
        if (pulley.moves) drawn.setAttribute("transform", `translate(${x.toFixed(2)} ${y.toFixed(2)})`);
      }
      for (const { thing, drawn, spoke } of things) {
        const body = picture.carried[thing.name] ?? thing.name;
        const along = picture.along[body];
        if (along) drawn.setAttribute("transform", `translate(${(along[0] * ways[body]).toFixed(2)} ${(along[1] * ways[body]).toFixed(2)})`);
        const degrees = spoke ? (gone(thing.name, t) * motion.turns[thing.name] * 180) / Math.PI : 0;
        spoke?.setAttribute("transform", `rotate(${degrees.toFixed(1)} ${thing.x} ${thing.y})`);
      }
    },
  };
}
