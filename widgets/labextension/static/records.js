// The answers as the notebook's metadata keeps them: pure functions from a record to new metadata.
// The Python side reads the same shapes when it harvests a notebook.

/**
 * One committed answer.
 * @typedef {object} Entry
 * @property {1} format
 * @property {string} id       one per commit
 * @property {string} when     ISO time, UTC
 * @property {number} n        counts up within the lesson: the newest wins
 * @property {string} problem  the scene's name
 * @property {string} step     one of STEPS
 * @property {string | null} item  a thing or a symbol; null: the whole step
 * @property {unknown} value   the answer in the contract's shape, for the item or for the whole step
 * @property {number} [hints]  how many were shown
 * @property {string} [lesson] the lesson's id, which a copy of the notebook keeps
 */

export const STEPS = ["directions", "forces", "equations", "ties", "working", "results", "sense"];
const FOUND = "found"; // not an answer: what was done to find a slip
const LISTED = ["ties", "working", "sense"]; // kept as a list; the others as {name: …}

const LIMIT = 60_000; // characters of one value: a working of many lines is far below
const RESERVED = new Set(["__proto__", "constructor", "prototype"]);

/** @param {unknown} text @returns {text is string} */
const isName = (text) => typeof text === "string" && text !== "" && text.length <= 200 && !RESERVED.has(text);

/**
 * A page may dispatch anything; only what has the shape of an entry is written.
 * @param {any} record
 * @returns {Entry | null}
 */
export function checked(record) {
  if (record === null || typeof record !== "object" || record.format !== 1) return null;
  const { problem, step, n } = record;
  const item = record.item ?? null;
  if (!isName(problem) || ![...STEPS, FOUND].includes(step) || !(item === null || isName(item))) return null;
  if (!Number.isSafeInteger(n) || n < 0) return null;
  const value = JSON.stringify(record.value ?? null);
  if (value.length > LIMIT) return null;
  const hints = Number.isSafeInteger(record.hints) ? record.hints : 0;
  const [id, when, lesson] = [record.id, record.when, record.lesson].map((text) => String(text ?? "").slice(0, 100));
  return { format: 1, id, when, n, problem, step, item, value: JSON.parse(value), hints, lesson };
}

/** @param {string} a @param {string} b */
const alphabetic = (a, b) => (a < b ? -1 : a > b ? 1 : 0);

/** @param {Entry} a @param {Entry} b older first; the clock only breaks a tie between two tabs */
const byAge = (a, b) => a.n - b.n || alphabetic(a.when, b.when) || alphabetic(a.id, b.id);

/** @param {Entry} entry */
const place = (entry) => JSON.stringify([entry.problem, entry.step, entry.item]);

/**
 * The newest entry of each (problem, step, item), oldest first.
 * @param {Entry[]} entries
 * @returns {Entry[]}
 */
export function newest(entries) {
  const kept = new Map();
  for (const entry of [...entries].sort(byAge)) kept.set(place(entry), entry);
  return [...kept.values()].sort(byAge);
}

/**
 * What a student has answered in one problem, in the contract's shape: entries replayed oldest first, without
 * steps and items that were emptied again. `assemble` in autograde/records/entries.py does the same.
 * @param {Entry[]} entries
 * @param {string} problem
 * @returns {Record<string, any>}
 */
function answersOf(entries, problem) {
  const found = {};
  for (const { step, item, value } of newest(entries).filter((entry) => entry.problem === problem)) {
    if (item === null || LISTED.includes(step)) found[step] = value;
    else found[step] = { ...found[step], [item]: value };
  }
  const answers = {};
  for (const step of STEPS) {
    const value = LISTED.includes(step) ? found[step] : present(found[step]);
    if (!empty(value)) answers[step] = value;
  }
  return answers;
}

/**
 * Answers that stand alone (as the contract allows) as entries older than any commit. `entries_from` in
 * autograde/records/entries.py gives the same.
 * @param {string} problem @param {any} answers @param {string} lesson
 * @returns {Entry[]}
 */
function entriesFrom(problem, answers, lesson) {
  const found = [];
  for (const step of STEPS) {
    const value = answers?.[step];
    const parts = LISTED.includes(step) ? [[null, value]] : value !== null && typeof value === "object" && !Array.isArray(value) ? Object.entries(value) : [];
    for (const [item, part] of parts) {
      if (empty(part)) continue;
      found.push(checked({ format: 1, id: `answers ${step} ${item ?? ""}`.trimEnd(), when: "", n: 0, problem, step, item, value: part, hints: 0, lesson }));
    }
  }
  return found.filter((entry) => entry !== null);
}

/** @param {any} value */
const empty = (value) => value === null || value === undefined || value === "" || Object.keys(value).length === 0;

/** @param {Record<string, any> | undefined} table */
const present = (table) => Object.fromEntries(Object.entries(table ?? {}).filter(([, value]) => !empty(value)));

/**
 * New `metadata.plusway` with some entries taken in. Problems without entries keep their answers.
 * @param {Record<string, any> | undefined} metadata
 * @param {Entry[]} more
 */
export function withEntries(metadata, more) {
  const before = metadata ?? {};
  const old = (Array.isArray(before.entries) ? before.entries : []).map(checked).filter((entry) => entry !== null);
  const answers = { ...before.answers };
  const alone = Object.keys(answers).filter((problem) => isName(problem) && !old.some((entry) => entry.problem === problem));
  const entries = newest([...alone.flatMap((problem) => entriesFrom(problem, answers[problem], String(before.id ?? ""))), ...old, ...more]);
  for (const problem of new Set(entries.map((entry) => entry.problem))) answers[problem] = answersOf(entries, problem);
  return { ...before, entries, answers };
}

/** @param {Record<string, any> | undefined} metadata @returns {Entry[]} */
export const entriesOf = (metadata) => withEntries(metadata, []).entries;
