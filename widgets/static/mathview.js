// @ts-check
// Formulas: MathML from the kernel, copied element by element, and symbols such as W_1 made here.

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

/** A sentence in which symbols such as W_1 stand with a lowered index: "W₁". @param {string} text */
export const prose = (text) => text.replace(/\b\p{L}+_[\p{L}\d]{1,6}\b/gu, symbolText);

const LEVEL = "0123456789ks";
const LOWERED = "₀₁₂₃₄₅₆₇₈₉ₖₛ";

/** A symbol as plain text, for an option of a list: "W₁". @param {string} name */
export function symbolText(name) {
  const [stem, index] = symbolParts(name);
  const lowered = [...index.replace(" ", "")].map((letter) => LOWERED[LEVEL.indexOf(letter)]);
  return stem + (lowered.every(Boolean) ? lowered.join("") : `_${index}`);
}
