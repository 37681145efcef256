// @ts-check
// Small helpers to build the page. Text is always set as text, never as HTML.

const SVG = "http://www.w3.org/2000/svg";
const FOCUSABLE = new Set(["input", "select", "textarea", "button", "summary", "a"]);
let serial = 0;

/** An id that no other element of the page has. @param {string} stem */
export function freshId(stem) {
  serial += 1;
  return `plusway-${stem}-${serial}-${Math.random().toString(36).slice(2, 7)}`;
}

/**
 * An element: h("p", {class: "x", onclick: f}, "text", child). `on…` are listeners, false and null attributes are left out.
 * Every element that can take the focus tells JupyterLab to leave its single keys alone.
 * @param {string} tag @param {Record<string, any>} [attributes] @param {...any} children
 * @returns {any}
 */
export function h(tag, attributes = {}, ...children) {
  return dress(document.createElement(tag), tag, attributes, children);
}

/** The same for SVG. @param {string} tag @param {Record<string, any>} [attributes] @param {...any} children @returns {any} */
export function s(tag, attributes = {}, ...children) {
  return dress(document.createElementNS(SVG, tag), tag, attributes, children);
}

function dress(element, tag, attributes, children) {
  if (FOCUSABLE.has(tag) || "tabindex" in attributes) element.setAttribute("data-lm-suppress-shortcuts", "true");
  for (const [name, value] of Object.entries(attributes)) {
    if (value === false || value === null || value === undefined) continue;
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else if (name === "value" && "value" in element) element.value = value;
    else element.setAttribute(name, value === true ? "" : String(value));
  }
  element.append(...children.flat().filter((child) => child !== null && child !== undefined && child !== false));
  return element;
}

/** Replace an element's children. @param {Element} element @param {...any} children */
export function fill(element, ...children) {
  element.replaceChildren(...children.flat().filter((child) => child !== null && child !== undefined && child !== false));
}

/** @param {any} a @param {any} b */
export const same = (a, b) => JSON.stringify(a ?? null) === JSON.stringify(b ?? null);

/**
 * Run `work` alone: what is asked for while it runs is done once more afterwards, with the latest arguments, and never lost.
 * @param {(...given: any[]) => Promise<void>} work
 */
export function alone(work) {
  let running = false;
  let next = null;
  return async (/** @type {any[]} */ ...given) => {
    next = given;
    if (running) return;
    running = true;
    try {
      while (next) {
        const now = next;
        next = null;
        await work(...now);
      }
    } finally {
      running = false;
    }
  };
}

/** @param {() => void} work @param {number} wait ms */
export function later(work, wait) {
  let timer = 0;
  const run = () => {
    clearTimeout(timer);
    timer = window.setTimeout(work, wait);
  };
  run.cancel = () => clearTimeout(timer);
  return run;
}
