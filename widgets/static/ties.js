// @ts-check
// How the motions hang together: one relation on each line.
import { step } from "./frame.js";
import { lineList } from "./lines.js";
import { WORDS } from "./words.js";

export default step((frame) => lineList(frame, { noun: "tie", check: WORDS.check(frame.atOnce), ordered: false }));
