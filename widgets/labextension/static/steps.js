// How far a lesson has come: one row a step, from its cells, its entries and what its widgets show.
import { entriesOf } from "./records.js";
import { lessonCells } from "./running.js";
import { metadataOf } from "./saving.js";

/** What a student reads for each step: the titles of autograde/method.py. */
export const NAMES = {
  directions: "Positive directions",
  forces: "Force diagrams",
  equations: "Equations",
  ties: "Ties",
  working: "Working",
  results: "Results",
  sense: "Sense checks",
};

/** Said in the words of the step's own card, so that nobody needs colour: `state` -> words. "answered": no kernel has judged it yet. */
const WORDS = {
  blank: "not begun",
  some: "begun",
  slip: "something to mend",
  answered: "answered",
  kept: "kept",
  done: "done",
};
const GIVEN = "given";

/** @param {State} state */
export const finished = (state) => state === "done" || state === "kept";

/** A row's state as its reader has it. @param {Row} row */
export const said = ({ state, worked }) => (worked && finished(state) ? GIVEN : WORDS[state]);

/**
 * How many steps the student has to do, has done, and has answered without a verdict yet: what the lesson gives is none of them.
 * @param {Row[]} rows
 */
export function progress(rows) {
  const own = rows.filter(({ worked }) => !worked);
  const count = (/** @type {(state: State) => boolean} */ holds) => own.filter(({ state }) => holds(state)).length;
  return { finished: count(finished), answered: count((state) => state === "answered"), of: own.length };
}

/**
 * @typedef {"blank" | "some" | "slip" | "answered" | "kept" | "done"} State
 * @typedef {{problem: string, step: string, item: string | null, state: State, worked: boolean, cell: any, index: number}} Row
 */

/** @type {State[]} the least finished first: what a step of several widgets is called */
const ORDER = ["slip", "some", "blank", "answered", "kept", "done"];

/** @param {string | null} state @returns {State} */
const stateOf = (state) => (state !== null && state in WORDS ? /** @type {State} */ (state) : "blank");

/**
 * @param {import("./lesson.js").Lesson} lesson
 * @returns {Row[]} in the order of the notebook
 */
export function rowsOf({ panel, heard }) {
  const entries = entriesOf(metadataOf(panel));
  const problems = new Map();
  const rows = [];
  for (const { cell, index, statements } of lessonCells(panel).cells) {
    for (const statement of statements) {
      if (statement.does === "problem") problems.set(statement.name, statement.problem);
      if (statement.does !== "step" || statement.step === null) continue;
      const { step, item } = statement;
      // A cell that has scrolled out of sight is taken out of the page, so the cell is asked, not the document.
      const selector = `.plusway[data-step="${step}"]${item === null ? "" : `[data-item="${CSS.escape(item)}"]`}`;
      const roots = [...cell.node.querySelectorAll(selector)];
      const problem = roots[0]?.getAttribute("data-problem") ?? problems.get(statement.name) ?? statement.name;
      const answered = entries.some(
        (entry) => entry.problem === problem && entry.step === step && (item === null || entry.item === item),
      );
      // What the page shows; of a step that has not been in sight yet, what the kernel has said of it.
      const known = roots.length > 0
        ? roots.map((root) => ({ state: root.getAttribute("data-state"), worked: root.hasAttribute("data-worked") }))
        : heard.of(problem, step, item);
      const states = known.map(({ state }) => stateOf(state));
      const state = ORDER.find((word) => states.includes(word)) ?? (answered ? "answered" : "blank");
      const worked = known.length > 0 && known.every((one) => one.worked);
      rows.push({ problem, step, item, state, worked, cell, index });
    }
  }
  return rows;
}

/**
 * The first step after `index` that is not finished, from the top again when there is none below; one that only waits for its verdict
 * comes last.
 * @param {Row[]} rows @param {number} index
 */
export function nextUnfinished(rows, index) {
  const open = rows.filter(({ state }) => !finished(state));
  const unanswered = open.filter(({ state }) => state !== "answered");
  return unanswered.find((row) => row.index > index) ?? unanswered[0] ?? open[0];
}

const TITLE = /^title\s*=\s*("(?:[^"\\]|\\.)*")/m;

/**
 * The title of a problem: as its scene has it in the notebook's metadata, else the scene's name in plain words.
 * @param {any} panel @param {string} problem
 */
export function titleOf(panel, problem) {
  const text = metadataOf(panel)?.problems?.[problem]?.scene_toml;
  const found = typeof text === "string" ? TITLE.exec(text.slice(0, 2000)) : null;
  const again = problem.startsWith("check-") ? "Check yourself: " : ""; // a lesson may have the scene twice
  try {
    if (found) return again + JSON.parse(found[1]);
  } catch {
    // an escape that only the scene file knows: the name will do
  }
  const words = inWords((problem.split(/[\\/]/).pop() ?? problem).replace(/\.toml$/, ""));
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** A name as people read it: "red_lantern" -> "red lantern". @param {string} name */
export const inWords = (name) => name.replaceAll(/[-_]+/g, " ");

/**
 * Show a step and put the keyboard's focus into it.
 * @param {any} panel @param {Row} row
 */
export async function jump(panel, row) {
  const notebook = panel.content;
  notebook.activeCellIndex = row.index;
  notebook.mode = "command";
  const scroll = notebook.scrollToItem?.bind(notebook) ?? notebook.scrollToCell?.bind(notebook);
  await (notebook.scrollToItem ? scroll(row.index, "start") : scroll(row.cell)).catch(() => undefined);
  const inside = row.cell.node.querySelector(
    '.plusway :is(input, textarea, select, button, a[href], [tabindex]:not([tabindex="-1"])):not([disabled])',
  );
  (inside ?? row.cell.node).focus({ preventScroll: false });
}
