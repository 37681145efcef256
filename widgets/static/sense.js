// @ts-check
// Checks that a true result must pass.
import { step } from "./frame.js";
import { lineList } from "./lines.js";
import { WORDS } from "./words.js";

export default step((frame) => lineList(frame, { noun: "check", check: WORDS.check(frame.atOnce), ordered: false }));
