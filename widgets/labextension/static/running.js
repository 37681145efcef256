// Running a lesson's own cells, so that its widgets appear; never any other cell.
import { harmless, marked } from "./lessonCells.js";

/**
 * @typedef {import("./lessonCells.js").Statement} Statement
 * @typedef {{cell: any, index: number, statements: Statement[]}} LessonCell
 */

/** Whether a cell of a page, such as the lab, is its reader's to change: other code in it is nothing odd. @param {any} model */
const open = (model) => model.getMetadata("plusway")?.page !== undefined && model.getMetadata("editable") !== false;

/**
 * The lesson's own code cells, in order, and how many are marked but are not plain lesson cells.
 * @param {any} panel a NotebookPanel
 * @returns {{cells: LessonCell[], odd: number}}
 */
export function lessonCells(panel) {
  const cells = [];
  let odd = 0;
  const bound = new Set();
  panel.content.widgets.forEach((cell, index) => {
    if (cell.model.type !== "code" || !marked(cell.model.metadata)) return;
    if (cell.model.getMetadata("nbgrader")?.grade === true) return; // it prints points, for the marking
    const statements = harmless(cell.model.sharedModel.getSource());
    const known = statements?.every((statement) => {
      if (statement.does === "problem") bound.add(statement.name);
      return statement.does !== "step" || bound.has(statement.name);
    });
    if (known) cells.push({ cell, index, statements });
    else if (!open(cell.model)) odd += 1;
  });
  return { cells, odd };
}

const CODE = /\.(?:py|pyc|pyd|so|dll|pth)$/i;
const PACKAGE = /^[A-Za-z_]\w*$/;

/**
 * Whether a Python file beside the notebook could stand in for a library when `plusway` is imported: the
 * kernel looks in the notebook's folder first. Then nothing runs without a click.
 * @param {any} contents the contents manager
 * @param {string} folder
 * @returns {Promise<string | null>} the name of such a file
 */
export async function shadows(contents, folder) {
  const listing = await contents.get(folder, { content: true });
  const items = listing.content ?? [];
  const file = items.find((item) => item.type !== "directory" && CODE.test(item.name));
  if (file) return file.name;
  for (const item of items.filter(({ type, name }) => type === "directory" && PACKAGE.test(name))) {
    const inside = await contents.get(item.path, { content: true });
    const start = (inside.content ?? []).find(({ name }) => /^__init__\./.test(name));
    if (start) return `${item.name}/${start.name}`;
  }
  return null;
}

/**
 * Run cells in order, as the host does it.
 * @param {any} panel
 * @param {LessonCell[]} cells
 * @param {{notebook: any, cells: any}} host exports of the host's notebook and cells packages
 */
export async function run(panel, cells, host) {
  const widgets = cells.map(({ cell }) => cell);
  if (typeof host.notebook.NotebookActions.runCells === "function") {
    await host.notebook.NotebookActions.runCells(panel.content, widgets, panel.sessionContext);
    return;
  }
  for (const cell of widgets) await host.cells.CodeCell.execute(cell, panel.sessionContext);
}
