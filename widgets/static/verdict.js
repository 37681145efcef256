// @ts-check
// A verdict: a drawn sign, words, and the reason. The sign is a body: at rest on its line, roped to the next, sliding off, or not yet drawn.
import { h, s, fill } from "./dom.js";
import { formula, prose } from "./mathview.js";
import { WORDS } from "./words.js";

const DRAWN = {
  right: () => [s("rect", { x: 6, y: 4.5, width: 8, height: 8, rx: 1 }), s("path", { d: "M2 15.5H18", class: "pw-stroke" })],
  follows: () => [
    s("rect", { x: 2, y: 7, width: 6, height: 6, rx: 1 }),
    s("rect", { x: 12.5, y: 7, width: 5.5, height: 6, rx: 1, class: "pw-hollow" }),
    s("path", { d: "M8 10H12.5", class: "pw-stroke" }),
  ],
  slip: () => [
    s("rect", { x: 8.2, y: 3.2, width: 7, height: 7, rx: 1, transform: "rotate(26 11.7 6.7)" }),
    s("path", { d: "M2 7.5L18 16", class: "pw-stroke" }),
  ],
  unread: () => [s("rect", { x: 5, y: 4.5, width: 10, height: 10, rx: 1, class: "pw-dashed" })],
  blank: () => [s("path", { d: "M2 15.5H18", class: "pw-stroke" })],
  given: () => [s("rect", { x: 6, y: 4.5, width: 8, height: 8, rx: 1, class: "pw-dashed" }), s("path", { d: "M2 15.5H18", class: "pw-stroke" })],
  kept: () => [s("rect", { x: 6, y: 4.5, width: 8, height: 8, rx: 1, class: "pw-hollow" }), s("path", { d: "M2 15.5H18", class: "pw-stroke" })],
};

/** The drawn sign of a verdict; the words beside it say the same. @param {string} verdict */
export function sign(verdict) {
  const draw = DRAWN[/** @type {keyof typeof DRAWN} */ (verdict)] ?? DRAWN.blank;
  return s("svg", { viewBox: "0 0 20 20", width: 20, height: 20, class: "pw-sign", "aria-hidden": "true", focusable: "false" }, ...draw());
}

/** @param {string} verdict */
export const wordsOf = (verdict) => WORDS.verdicts[verdict] ?? verdict;

/** 1.5 -> "1.5", or "1,5" with a decimal comma; 2 -> "2" @param {number} points @param {boolean} comma */
const figure = (points, comma) => String(Math.round(points * 100) / 100).replace(".", comma ? "," : ".");

/** Steps whose points are one sum for all their lines: a share of it beside each line would shrink as more is written. */
const SHARED = new Set(["ties", "sense"]);

/** The points of such a step as a whole, "" for any other. @param {any[]} steps @param {boolean} comma */
export function pointsOfAll(steps, comma) {
  const sum = (/** @type {"points" | "of"} */ key) => steps.reduce((so, step) => so + (step[key] ?? 0), 0);
  return steps.length && SHARED.has(steps[0].step) ? pointsOf({ points: sum("points"), of: Math.round(100 * sum("of")) / 100 }, comma) : "";
}

/** "1 of 2 points", or "" where the step is worth nothing. @param {any} step @param {boolean} [comma] */
export function pointsOf(step, comma = false) {
  if (!step.of || SHARED.has(step.step)) return "";
  return `${figure(step.points, comma)} of ${figure(step.of, comma)} point${step.of === 1 ? "" : "s"}`;
}

/** A line with the characters that a verdict is about marked. @param {string} text @param {[number, number]} at */
function marked(text, at) {
  const characters = [...text]; // places count characters, not the halves of a surrogate pair
  const [from, to] = at;
  if (!(from >= 0 && to > from && to <= characters.length)) return null;
  return h(
    "p",
    { class: "pw-place", dir: "ltr" },
    characters.slice(0, from).join(""),
    h("mark", {}, characters.slice(from, to).join("")),
    characters.slice(to).join(""),
  );
}

/**
 * A verdict with its reason.
 * @param {any} step the judge's step in the contract's JSON
 * @param {{hints: boolean, deeper?: (level: number) => void, lead?: string, comma?: boolean}} options comma: a decimal comma; deeper is told which explanation was opened
 */
export function verdictView(step, { hints, deeper = () => {}, lead = "", comma = false }) {
  const slips = step.slips ?? [];
  const view = h("div", { class: "pw-verdict", "data-verdict": step.verdict });
  const points = pointsOf(step, comma);
  view.append(
    h(
      "p",
      { class: "pw-word" },
      sign(step.verdict),
      lead ? h("span", { class: "pw-lead" }, `${lead}: `) : null,
      h("strong", {}, wordsOf(step.verdict)),
      points ? h("span", { class: "pw-points" }, points) : null,
      step.from?.length ? h("span", { class: "pw-from" }, `from ${step.from.join(", ")}`) : null,
    ),
  );
  const reasons = h("div", { class: "pw-reasons" });
  if (step.verdict === "follows" && !step.says && !step.again) reasons.append(h("p", {}, WORDS.follows));
  if (step.says) {
    if (step.at && step.verdict === "unread") reasons.append(marked(step.text, step.at) ?? "");
    reasons.append(h("p", {}, prose(step.says)));
  }
  for (const slip of slips) reasons.append(slipView(step, slip, hints, deeper));
  for (const remark of step.remarks ?? []) reasons.append(h("p", { class: "pw-remark" }, prose(remark)));
  if (reasons.childNodes.length) view.append(reasons);
  return view;
}

function slipView(step, slip, hints, deeper) {
  const view = h("div", { class: "pw-slip" });
  if (slip.at) view.append(marked(step.text, slip.at) ?? "");
  view.append(h("p", {}, prose(slip.says)));
  if (!hints) return view;
  const levels = [[WORDS.why, slip.why], [WORDS.how, slip.how]].filter(([, text]) => text);
  const row = h("div", { class: "pw-deeper" });
  const offer = (/** @type {number} */ place) => {
    if (place >= levels.length) return fill(row);
    const [label, text] = levels[place];
    fill(
      row,
      h(
        "button",
        {
          type: "button",
          class: "pw-quiet",
          onclick: (/** @type {Event} */ event) => {
            const said = h("p", { class: "pw-said", tabindex: "-1" }, prose(text));
            row.before(said);
            deeper(place + 2);
            offer(place + 1);
            const held = event.currentTarget;
            if (held instanceof HTMLElement) (row.querySelector("button") ?? said).focus();
          },
        },
        label,
      ),
    );
  };
  view.append(row);
  offer(0);
  return view;
}

/** "holds. …": a verdict in words only, for a screen reader. @param {any} step @param {string} [lead] @param {boolean} [comma] */
export function verdictWords(step, lead = "", comma = false) {
  const reasons = [step.says, ...(step.slips ?? []).map((/** @type {any} */ slip) => slip.says), ...(step.remarks ?? [])].filter(Boolean);
  return [`${lead ? `${lead}: ` : ""}${wordsOf(step.verdict)}.`, pointsOf(step, comma) ? `${pointsOf(step, comma)}.` : "", ...reasons].filter(Boolean).join(" ");
}

/** How the kernel reads a line: a formula. @param {string} mathml */
export function readingView(mathml) {
  const made = formula(mathml);
  return made ? h("span", { class: "pw-formula" }, made) : null;
}
