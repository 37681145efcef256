// @ts-check
// Forces as they are typed into a diagram, "T up, m2g down": each is a force and a direction, in whatever order and spelling they come.
import { WORDS } from "./words.js";

const MANY = 9; // strands of one rope that can be typed as "2T up"
const LONG = 30; // characters; no force has a longer name
const PART_OF = /[\s*·×]*\\?(?:sin|cos)(?![a-z]).*$/i; // "m g sin θ, down the slope": the weight, drawn by one of its parts
const NO_FORCE = /^(?:m_?\d*[*·×]?a_?\d*|ma|f?_?net|sum|inertia|(?:net|total|resultant)force)$/i;
const BETWEEN = /(?:[:=(]|\s(?:acts?|acting|pulls?|pulling|pushes|pushing|points?|pointing))$/i;

/**
 * @typedef {{symbols: string[][], ways: string[][], names: Record<string, string>, nameOf: (symbol: string) => string, example: string}} Known
 *   symbols: [symbol, what it is, the class's letters]; ways: [word, label, how else it may be typed]; names: {symbol: how else it may be typed}
 * @typedef {{force: string, word: string}} Said  either may be ""
 */

/**
 * The arrows of a text, or what is wrong with it in words. `chosen`: what stands chosen beside it and waits to be used, for the part
 * that a text leaves out.
 * @param {string} text @param {Known} known @param {{symbol: string, word: string}} chosen
 * @returns {{arrows: string[][], says: string}}
 */
export function arrowsTyped(text, known, chosen) {
  const arrows = [];
  const fail = (/** @type {string} */ says) => ({ arrows: [], says });
  for (const { force, word, part } of paired(text, known)) {
    if (word === null) return fail(WORDS.twoWays(part));
    if (force.length > LONG) return fail(WORDS.noArrow(part.slice(0, 60), known.example));
    const found = force ? forcesCalled(force, known) : { symbols: chosen.symbol ? [chosen.symbol] : [], times: 1 };
    const way = word || chosen.word;
    const begun = word || found.symbols.length ? null : beginning(force, known);
    if (begun) return fail(WORDS.noWay(known.nameOf(begun), known.ways.map(([, label]) => label)));
    if (NO_FORCE.test(squeeze(force)) && !found.symbols.length) return fail(WORDS.sumOfForces(force));
    if (!(force && word) && !found.symbols.length) return fail(WORDS.noArrow(part.slice(0, 60), known.example));
    if (found.symbols.length !== 1) return fail(noForce(force, found.symbols, known));
    if (!way) return fail(WORDS.noWay(known.nameOf(found.symbols[0]), known.ways.map(([, label]) => label)));
    for (let time = 0; time < found.times; time += 1) arrows.push([found.symbols[0], way]);
  }
  return arrows.length ? { arrows, says: "" } : fail(WORDS.anArrow(known.example));
}

/** Parts between commas; a force and a direction that a comma parts belong together: "m2 g, down". @param {string} text @param {Known} known */
function paired(text, known) {
  const out = [];
  for (const part of text.split(/[,;\n]+/).map((one) => one.trim().replace(/\s+/g, " ")).filter(Boolean)) {
    const said = parted(part, known.ways);
    const last = out[out.length - 1];
    if (last && said.word && !said.force && last.force && last.word === "") Object.assign(last, { word: said.word, part: `${last.part}, ${part}` });
    else out.push({ ...said, part });
  }
  return out;
}

/** "W_1 down" -> force and direction; the direction is null where two are named. @param {string} part @param {string[][]} ways */
function parted(part, ways) {
  const endings = ways
    .flatMap(([word, label, also]) => [label, word, `to the ${word}`, ...also.split("; ")].map((ending) => [ending, word]))
    .sort((a, b) => b[0].length - a[0].length);
  const plain = part.replace(/\)$/, "");
  for (const [ending, word] of endings) {
    const force = without(plain, ending);
    if (force === null) continue;
    const second = parted(force, ways);
    return { force, word: second.word === "" ? word : null };
  }
  return { force: part, word: "" };
}

/** What is left of a text without the direction at its end or its beginning, null where it has none there. @param {string} text @param {string} way */
function without(text, way) {
  const small = text.toLowerCase();
  const gap = /\w/.test(way) ? " " : "";
  if (small === way) return "";
  if (small.endsWith(gap + way) || small.endsWith(`(${way}`)) return trimmed(text.slice(0, -way.length));
  if (small.startsWith(way + gap) || small.startsWith(`${way}:`)) return text.slice(way.length).replace(/^[\s:=]+/, "");
  return null;
}

/** @param {string} text */
function trimmed(text) {
  const shorter = text.trim().replace(BETWEEN, "").trim();
  return shorter === text ? text : trimmed(shorter);
}

/** The force that a text without a known direction begins with: "N perpendicularly", "T down" on a wheel. @param {string} text @param {Known} known */
function beginning(text, known) {
  const words = text.split(" ");
  for (let many = words.length - 1; many > 0; many -= 1) {
    const { symbols } = forcesCalled(words.slice(0, many).join(" "), known);
    if (symbols.length === 1) return symbols[0];
  }
  return null;
}

/** The symbols that go by a name, and how often: their own letters, else a usual name such as "tension" or "m_2 g". @param {string} force @param {Known} known */
function forcesCalled(force, known) {
  const direct = called(force, known);
  const counted = /^([2-9])\s*[*·×]?\s*(.+)$/.exec(force);
  if (direct.length || !counted) return { symbols: direct, times: 1 };
  return { symbols: called(counted[2], known), times: Math.min(Number(counted[1]), MANY) };
}

/** @param {string} force @param {Known} known @returns {string[]} */
function called(force, known) {
  const squeezed = squeeze(force);
  const exact = known.symbols.filter(([name, , own]) => squeeze(name) === squeezed || squeeze(own) === squeezed);
  if (exact.length) return [exact[0][0]];
  const whole = force.replace(PART_OF, "");
  if (whole !== force && whole) return called(whole, known);
  const usual = squeezed.length > 2 ? squeezed.toLowerCase() : squeezed;
  return Object.entries(known.names)
    .filter(([, names]) => names.split("; ").some((name) => squeeze(name) === usual))
    .map(([symbol]) => symbol);
}

/** @param {string} force @param {string[]} several @param {Known} known */
function noForce(force, several, { symbols, nameOf }) {
  const near = several.length ? several : nearTo(force, symbols);
  return WORDS.noForce(force, near.map(nameOf), symbols.slice(0, -1).map(([symbol, words]) => `${nameOf(symbol)} (${words})`));
}

/** Those that differ in capitals only, or begin with the same letter. @param {string} force @param {string[][]} symbols */
function nearTo(force, symbols) {
  const small = squeeze(force).toLowerCase();
  const alike = symbols.filter(([name, , own]) => squeeze(name).toLowerCase() === small || squeeze(own).toLowerCase() === small);
  return (alike.length ? alike : symbols.filter(([, , own]) => own[0].toLowerCase() === small[0])).map(([name]) => name).filter((name) => name !== "other");
}

const squeeze = (/** @type {string} */ symbol) => symbol.normalize("NFKC").replace(/[_\s{}*·×⋅]/g, "");
