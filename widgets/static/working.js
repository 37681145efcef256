// @ts-check
// The ledger: lines from the equations to the results, each with its verdict and the lines that it follows from.
import { step } from "./frame.js";
import { lineList } from "./lines.js";
import { WORDS } from "./words.js";

export default step((frame) => lineList(frame, { noun: "line", check: WORDS.checkLines(frame.atOnce), ordered: true }));
