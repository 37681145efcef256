// How far a lesson has come: one row a step, from its cells, its entries and what its widgets show.
import { entriesOf } from "./records.js";
import { lessonCells } from "./running.js";
import { metadataOf } from "./saving.js";

/** What a student reads for each step. */
export const NAMES = {
  directions: "Positive directions",
  forces: "Forces",
  equations: "Equations",
  ties: "Ties",
  working: "Working",
  results: "Results",
  sense: "Does it make sense?",
};

/** Said in words, so that nobody needs colour: `state` -> words. */
export const WORDS = {
  blank: "not begun",
  some: "begun",
  slip: "to mend",
  kept: "answered",
  done: "done",
};
const SHOWN_WORKED = "shown worked";

/** @param {State} state */
const finished = (state) => state === "done" || state === "kept";

/** A row's state as its reader has it. @param {Row} row */
export const said = ({ state, worked }) => (worked && finished(state) ? SHOWN_WORKED : WORDS[state]);

/**
 * How many steps the student has to do, and has done: what the teacher shows worked is neither.
 * @param {Row[]} rows
 */
export function progress(rows) {
  const own = rows.filter(({ worked }) => !worked);
  return { finished: own.filter(({ state }) => finished(state)).length, of: own.length };
}

/**
 * @typedef {"blank" | "some" | "slip" | "kept" | "done"} State
 * @typedef {{problem: string, step: string, item: string | null, state: State, worked: boolean, cell: any, index: number}} Row
 */

/** @type {State[]} the least finished first: what a step of several widgets is called */
const ORDER = ["slip", "some", "blank", "kept", "done"];

/** @param {Element} root a widget's root @returns {State} */
function stateOf(root) {
  const state = root.getAttribute("data-state") ?? "blank";
  return state in WORDS ? /** @type {State} */ (state) : "blank";
}

/**
 * @param {any} panel a NotebookPanel
 * @returns {Row[]} in the order of the notebook
 */
export function rowsOf(panel) {
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
      const states = roots.map(stateOf);
      const state = ORDER.find((word) => states.includes(word)) ?? (answered ? "kept" : "blank");
      const worked = roots.length > 0 && roots.every((root) => root.hasAttribute("data-worked"));
      rows.push({ problem, step, item, state, worked, cell, index });
    }
  }
  return rows;
}

/**
 * The first step after `index` that is not finished, from the top again when there is none below.
 * @param {Row[]} rows @param {number} index
 */
export function nextUnfinished(rows, index) {
  const open = rows.filter(({ state }) => !finished(state));
  return open.find((row) => row.index > index) ?? open[0];
}

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
