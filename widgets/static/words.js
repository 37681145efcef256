// @ts-check
// Every sentence and label that the browser's side says by itself; what the kernel says stands in widgets/words.py and in autograde/.

const SILENT = "The kernel isn’t answering";
// With the extension a bar above the lesson has the one button that does all of it.
const restart = () => (/** @type {any} */ (globalThis).plusway?.restore ? "The bar above the lesson has a button that mends it." : "Choose Kernel > Restart, then Run All.");

export const WORDS = {
  // the kernel
  silentStep: () => `${SILENT}. Your typed line is still here. If you have sent it, it is checked when the lesson is back. ${restart()}`,
  silentBar: () => `${SILENT}. What you have checked is kept. ${restart()}`,
  silentExplorer: () => `${SILENT}. ${restart()}`,
  silentExample: () => `${SILENT}, so the solution can’t be rewritten. ${restart()}`,

  // every step
  // Where verdicts wait until the marking, nothing is checked at once.
  check: (/** @type {boolean} */ atOnce) => (atOnce ? "Check" : "Keep"),
  checkLines: (/** @type {boolean} */ atOnce) => (atOnce ? "Check all lines" : "Keep all lines"),
  nothingYet: "Nothing is written here yet.",
  changed: (/** @type {boolean} */ atOnce) => (atOnce ? "Changed since it was checked." : "Changed since it was kept."),
  changedFrom: (/** @type {string} */ text) => `Changed since it was checked. The verdict below is on: ${text}`,
  kept: "Kept.",
  keptText: (/** @type {string} */ text) => `Kept: ${text}`,
  markedLater: "Kept. It will be marked later.",
  worked: "The lesson gives this step, to study; it counts for no points. You may still change it.",
  hints: ["A hint: where to look", "A hint: why", "A hint: how to go on"],
  why: "Why is that so?",
  how: "How do I mend it?",

  // states and verdicts
  states: /** @type {Record<string, string>} */ ({ blank: "not begun", some: "begun", slip: "something to mend", done: "done", kept: "kept" }),
  verdicts: /** @type {Record<string, string>} */ ({
    right: "holds",
    follows: "carries on",
    slip: "a slip",
    unread: "can’t be read yet",
    blank: "not answered yet",
    kept: "kept, to be marked later",
    given: "given",
  }),
  follows: "It is drawn correctly from what you wrote before, and earns its marks; an earlier line needs mending.",

  // directions and equations
  plusFor: (/** @type {string} */ thing) => `Plus for the ${thing}`,
  useDirections: (/** @type {number} */ things) => (things === 1 ? "Use this direction" : "Use these directions"),
  openDirections: (/** @type {string[]} */ things) => `Choose a direction for the ${things.join(" and the ")} too.`,
  equationFor: (/** @type {string} */ thing) => `Equation for the ${thing}`,

  // force diagrams
  addArrow: "Add arrow",
  add: "Add",
  orType: "or type them",
  added: (/** @type {string} */ arrow) => `Added: ${arrow}.`,
  remove: (/** @type {string} */ arrow) => `Remove ${arrow}`,
  removed: (/** @type {string} */ arrow) => `Removed: ${arrow}.`,
  addChosen: (/** @type {string} */ way) => `Add the chosen force ${way}`,
  checkDiagram: (/** @type {boolean} */ atOnce) => (atOnce ? "Check the diagram" : "Keep the diagram"),
  diagramOf: (/** @type {string} */ thing) => `Diagram of the ${thing}`,
  yourDiagram: (/** @type {string} */ thing) => `Your force diagram of the ${thing}`,
  inYourDiagram: (/** @type {string} */ thing) => `Forces in your diagram of the ${thing}`,
  noArrows: "No arrows yet.",
  emptyDiagram: "The diagram is empty. Add an arrow first.",
  tooManyArrows: "That is more arrows than a diagram can hold; remove some.",
  directionToo: "Choose a direction too.",
  forceFirst: "Choose a force first.",
  anArrow: (/** @type {string} */ example) => `Write a force and a direction, for example: ${example}`,
  noArrow: (/** @type {string} */ part, /** @type {string} */ example) =>
    `“${part}” can’t be read as a force and a direction. Write for example: ${example}`,
  twoWays: (/** @type {string} */ part) => `“${part}” names two directions. Write one force and one direction.`,
  noWay: (/** @type {string} */ force, /** @type {string[]} */ ways) => `In which direction does ${force} act? Write it behind the force: ${ways.join(", ")}.`,
  addedAsTyped: (/** @type {string[]} */ arrows, /** @type {string} */ way) =>
    `Added as you typed it: ${arrows.join(", ")}. The direction chosen in the list is another one, ${way}; it was not used.`,

  sumOfForces: (/** @type {string} */ typed) =>
    `“${typed}” is no force of its own: m a is what all forces together come to. Draw only what something else does to this thing.`,

  /** @type {(force: string, near: string[], all: string[]) => string} */
  noForce: (force, near, all) =>
    `“${force}” is no force of this problem.${near.length ? ` Did you mean ${near.join(" or ")}?` : ""} Its forces: ${all.join(", ")}.`,

  // lists of lines
  moveUp: (/** @type {string} */ row) => `Move ${row} up`,
  moveDown: (/** @type {string} */ row) => `Move ${row} down`,
  moved: (/** @type {string} */ row) => `Moved: it is now ${row}.`,
  insertAbove: (/** @type {string} */ noun, /** @type {string} */ row) => `Insert a ${noun} above ${row}`,
  deleteRow: (/** @type {string} */ row) => `Delete ${row}`,
  deleted: (/** @type {string} */ text) => (text ? `Deleted: ${text}.` : "Deleted."),
  another: (/** @type {string} */ noun) => `Another ${noun} is still to come.`,

  // the closing picture
  play: "Play",
  pause: "Pause",
  again: "From the start",
  still: "Your system asks for little motion, so nothing moves until you press Play.",
  ended: (/** @type {string} */ seconds) => `The motion has ended, at ${seconds} seconds.`,
  forcesOn: (/** @type {string} */ thing) => `Forces on the ${thing}`,
  forcesToScale: (/** @type {string} */ thing) => `The forces on the ${thing}, to scale`,

  // a worked example
  force: "Force",
  torqueOf: "Torque of",
  signsOn: (/** @type {string} */ thing, /** @type {string} */ plus) => `On the ${thing}, with plus ${plus}`,
  furtherChecks: "Further checks: limits and energy",
  acrossItsLine: "across its line: not in the equation",
  given: "Given: ",

  // a slip to be found
  oneLineWrong: "One line of this solution is wrong, and what follows from it is wrong with it. Read it as if you had written it yourself.",
  whichLine: "Which line is wrong?",
  thisLine: "This line is wrong",
  chooseFirst: "Choose one of them first.",
  whatIsWrong: (/** @type {number} */ line) => `What is wrong in line ${line}? Whoever wrote it …`,
  whoWrote: (/** @type {number} */ line, /** @type {string} */ means) => `Line ${line}: who wrote it ${means}`,
  found: /** @type {Record<string, string>} */ ({ pointed: "the line", named: "the slip", mended: "mended" }),
  notThat: "not that",
  thatIsIt: "That is the slip",
  mended: (/** @type {number} */ line) => `Line ${line}, mended`,
  checkMended: "Check the mended line",

  // exploring
  data: "Data",
  predict: "Commit my prediction and show the curve",
  curveOver: "Draw the curve for other values of",
  curveInWords: "The curve in words",
  withData: (/** @type {string[]} */ values) => `With these data: ${values.join(", ")}.`,
};
