// The lesson's own cells as the reader meets them: their code folded away, and points that never lag behind the answers.
import { marked, pointsOf } from "./lessonCells.js";
import { lessonCells } from "./running.js";

const SOON = 500; // ms after the last commit: once the verdict is there, and several commits at one go

/** @param {any} model a cell's model @returns {boolean} */
const isGrade = (model) => model.type === "code" && model.getMetadata("nbgrader")?.grade === true;

/** Mark the lesson's own cells for the style sheet. @param {any} panel a NotebookPanel */
export function dress(panel) {
  for (const cell of panel.content.widgets) {
    const own = cell.model.type === "code" && (marked(cell.model.metadata) || (isGrade(cell.model) && pointsOf(cell.model.sharedModel.getSource()) !== null));
    cell.toggleClass("pwlab-own", own);
  }
}

/**
 * Grade cells that show points and whose code is nothing but that: their points can be brought up to date.
 * @param {any} panel
 * @param {string[] | null} wanted only those of these problems
 */
function shownPoints(panel, wanted = null) {
  const problems = new Map();
  for (const { statements } of lessonCells(panel).cells)
    for (const statement of statements) if (statement.does === "problem") problems.set(statement.name, statement.problem);
  return panel.content.widgets.filter((cell) => {
    if (!isGrade(cell.model) || cell.model.outputs.length === 0) return false;
    const points = pointsOf(cell.model.sharedModel.getSource());
    // A name that the lesson's own cells do not bind may be anything.
    return points !== null && problems.has(points.name) && (wanted === null || wanted.includes(problems.get(points.name)));
  });
}

/** Keeps shown points up to date with the answers of one notebook. */
export class Points {
  /** @param {any} panel @param {any} CodeCell the host's class of code cells @param {() => void} renewed called when some were run again */
  constructor(panel, CodeCell, renewed) {
    this.panel = panel;
    this.CodeCell = CodeCell;
    this.renewed = renewed;
    this.timer = 0;
    /** @type {Set<string>} problems with answers since the points were last shown */
    this.behind = new Set();
    panel.disposed.connect(() => clearTimeout(this.timer));
  }

  /** An answer to this problem was kept. @param {string} problem */
  later(problem) {
    this.behind.add(problem);
    clearTimeout(this.timer);
    this.timer = setTimeout(() => {
      const problems = [...this.behind];
      this.behind.clear();
      void this.now(problems).catch((error) => console.warn("plusway:", error));
    }, SOON);
  }

  /**
   * Run the cells that show points again; not by the notebook's own command, which would take the focus out of a field.
   * @param {string[] | null} problems null: of all
   */
  async now(problems = null) {
    const session = this.panel.sessionContext;
    if (this.panel.isDisposed || !session.session?.kernel) return;
    const cells = shownPoints(this.panel, problems);
    for (const cell of cells) await this.CodeCell.execute(cell, session);
    if (cells.length > 0 && !this.panel.isDisposed) this.renewed();
  }
}
