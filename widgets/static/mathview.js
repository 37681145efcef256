// @ts-check
// Formulas: MathML from the kernel, copied element by element, and symbols such as W_1 made here.
import { h } from "./dom.js";

const MATHML = "http://www.w3.org/1998/Math/MathML";
const ALLOWED = new Set(
  "math mrow mi mn mo mtext mspace msub msup msubsup mfrac msqrt mstyle mpadded mphantom mover munder mtable mtr mtd".split(" "),
);
const ATTRIBUTES = new Set(
  "display mathvariant stretchy fence separator lspace rspace width form alttext dir scriptlevel displaystyle linethickness".split(" "),
);
const GREEK = { alpha: "α", beta: "β", gamma: "γ", theta: "θ", phi: "φ", mu: "μ", tau: "τ", omega: "ω" };

/** A formula from MathML text, or null where there is none. Only known elements and attributes are taken over. @param {string} text */
export function formula(text) {
  if (!text) return null;
  const parsed = new DOMParser().parseFromString(text, "application/xml").documentElement;
  return parsed.localName === "math" ? copy(parsed) : null;
}

function copy(source) {
  const element = document.createElementNS(MATHML, source.localName);
  for (const { name, value } of source.attributes) if (ATTRIBUTES.has(name)) element.setAttribute(name, value);
  for (const child of source.childNodes) {
    if (child.nodeType === Node.TEXT_NODE) element.append(child.textContent);
    else if (child.nodeType === Node.ELEMENT_NODE && ALLOWED.has(child.localName)) element.append(copy(child));
  }
  return element;
}

/** @param {string} tag @param {...any} children */
function m(tag, ...children) {
  const element = document.createElementNS(MATHML, tag);
  element.append(...children);
  return element;
}

/** The parts of a symbol's name: "mu_k" -> ["μ", "k"]. @param {string} name */
export function symbolParts(name) {
  const [stem, ...rest] = name.split("_");
  return [GREEK[/** @type {keyof typeof GREEK} */ (stem)] ?? stem, rest.join(" ")];
}

/** A symbol such as W_1 as a formula. @param {string} name */
export function symbolFormula(name) {
  const [stem, index] = symbolParts(name);
  return m("math", index ? m("msub", m("mi", stem), m(/^\d+$/.test(index) ? "mn" : "mi", index)) : m("mi", stem));
}

// Not \b: it knows no letter but those of English, and would leave μ_k and θ_1 as they are.
const SYMBOL = /(?<![\p{L}\p{N}_])\p{L}+(?:_[\p{L}\p{N}]{1,6}){1,2}(?![\p{L}\p{N}_])/gu;
const POWER_OF_UNIT = /(?<=(?<!\p{L})(?:m|cm|s|kg|rad))\^(-?)(\d)(?!\.?\d)/gu;
const RAISED = "⁰¹²³⁴⁵⁶⁷⁸⁹";

/** A sentence in which symbols such as W_1 stand with a lowered index, "W₁", and units such as m/s^2 with a raised power. @param {string} text */
export const prose = (text) => text.replace(SYMBOL, symbolText).replace(POWER_OF_UNIT, (_, minus, power) => `${minus && "⁻"}${RAISED[Number(power)]}`);

const SHORT = 40; // characters that may stay on one line, also on a narrow screen

/** Data one after the other, so that none breaks off behind its "m =", and no comma stands alone. @param {string} text */
export const dataApart = (text) =>
  prose(text).split(", ").flatMap((part, at, parts) => {
    const said = at < parts.length - 1 ? `${part},` : part;
    if (!part.includes(" = ") || part.length >= SHORT) return [at > 0 ? " " : null, said];
    const [size, ...whose] = said.split(" ("); // where even one datum is too long for a line, its size stays whole
    return [at > 0 ? " " : null, h("span", { class: "pw-datum" }, h("span", { class: "pw-equals" }, size), ...whose.map((one) => ` (${one}`))];
  });

const LEVEL = "0123456789ks";
const LOWERED = "₀₁₂₃₄₅₆₇₈₉ₖₛ";

/** A symbol as plain text, for an option of a list: "W₁". @param {string} name */
export function symbolText(name) {
  const [stem, index] = symbolParts(name);
  const lowered = [...index.replace(" ", "")].map((letter) => LOWERED[LEVEL.indexOf(letter)]);
  return stem + (lowered.every(Boolean) ? lowered.join("") : `_${index}`);
}
