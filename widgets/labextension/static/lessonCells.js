// Which cells a lesson may run by itself when it is opened.
//
// A notebook can come by mail, so a mark in its metadata proves nothing. A cell is run only when its
// whole source is a sequence of the harmless statements below; every argument is a literal.
//
//     from plusway.widgets import Problem            (or one of SHOWN, from its own module)
//     NAME = Problem(LITERALS)
//     NAME.STEP(LITERALS)
//     WorkedExample(LITERALS)                        (or another of SHOWN, with what it may be given)
//     NAME = measured(LITERALS), and then NAME       (or another that SHOWN lets keep)

/** What may be called on a problem -> the step that it shows (null: none). */
const CALLS = new Map([
  ["directions", "directions"],
  ["forces", "forces"],
  ["equation", "equations"],
  ["equations", "equations"],
  ["ties", "ties"],
  ["working", "working"],
  ["results", "results"],
  ["sense", "sense"],
  ["closing", null],
  ["picture", null],
  ["find_slip", null],
  ["story", null],
]);
const ANYTHING = () => true;
const NOTHING = (/** @type {Call} */ { count }) => count === 0; // practice() would write where it is told
/** A table typed here, or runs that ship: a name could be that of any file, on any machine. */
const OWN_DATA = (/** @type {Call} */ { first, named }) => first !== null && /\n|^invented-[a-z]+$/.test(first) && Object.keys(named).length === 0;

/** What only shows something, no step of the lesson -> the module that it comes from, what it may be given, and whether it may get a name. */
const SHOWN = new Map([
  ["WorkedExample", { from: "plusway.widgets", may: ANYTHING }],
  ["explore", { from: "plusway.lessons.explore", may: ANYTHING }],
  ["practice", { from: "plusway.lessons.practice", may: NOTHING }],
  ["plan", { from: "plusway.lessons.lab", may: ANYTHING }],
  ["measured", { from: "plusway.lessons.lab", may: OWN_DATA, keep: true }],
  ["fell", { from: "plusway.lessons.lab", may: OWN_DATA, keep: true }],
  ["fitted", { from: "plusway.lessons.lab", may: NOTHING }], // it is given a name, so it never runs by itself; it may be imported
]);
const CONSTANTS = new Set(["True", "False", "None"]);
const CLOSING = { "(": ")", "[": "]", "{": "}" };

const TOKEN = new RegExp(
  [
    String.raw`(?<space>[ \t]+|\\\r?\n)`,
    String.raw`(?<comment>#[^\r\n]*)`,
    String.raw`(?<line>\r?\n)`,
    // Plain strings only: no prefix (an f-string runs code), no backslash beyond the ordinary escapes.
    String.raw`(?<long>"""(?:[^"\\]|"(?!""))*"""|'''(?:[^'\\]|'(?!''))*''')`,
    String.raw`(?<text>"(?:[^"\\\r\n]|\\["'\\nt])*"|'(?:[^'\\\r\n]|\\["'\\nt])*')(?!["'])`,
    String.raw`(?<number>-?(?:\d+(?:\.\d*)?|\.\d+)(?![\w.]))`,
    String.raw`(?<name>[A-Za-z_][A-Za-z_0-9]*)(?!["'])`,
    String.raw`(?<mark>[()\[\]{},:=.])`,
  ].join("|"),
  "y",
);

/**
 * @typedef {{kind: string, text: string}} Token
 * @typedef {{first: string | null, named: Record<string, string>, count: number}} Call  those arguments that are strings, and how many there are
 * @typedef {{does: "import"} | {does: "show", name: string, kept?: string} | {does: "problem", name: string, problem: string}
 *   | {does: "step", name: string, step: string | null, item: string | null}} Statement
 */

/** @param {string} source @returns {Token[] | null} null: something that no harmless cell holds */
function tokens(source) {
  const found = [];
  let depth = 0;
  let startOfLine = true;
  TOKEN.lastIndex = 0;
  while (TOKEN.lastIndex < source.length) {
    const match = TOKEN.exec(source);
    if (match === null) return null;
    const [kind, text] = Object.entries(match.groups).find(([, value]) => value !== undefined);
    if (kind === "space") {
      if (startOfLine && depth === 0 && !/^[ \t]*(?:\r?\n|#|$)/.test(source.slice(match.index))) return null;
      continue;
    }
    if (kind === "comment") continue;
    if (kind === "line") {
      startOfLine = true;
      if (depth === 0) found.push({ kind, text });
      continue;
    }
    startOfLine = false;
    if ("([{".includes(text)) depth += 1;
    if (")]}".includes(text)) depth -= 1;
    found.push({ kind, text });
  }
  found.push({ kind: "line", text: "" });
  return found;
}

/** A reader of literals over a list of tokens; `fail` ends it. */
class Reader {
  /** @param {Token[]} list */
  constructor(list) {
    this.list = list;
    this.at = 0;
  }

  get next() {
    return this.list[this.at] ?? { kind: "end", text: "" };
  }

  /** @param {string} text */
  skip(text) {
    if (this.next.text !== text || !["mark", "name"].includes(this.next.kind)) return false;
    this.at += 1;
    return true;
  }

  /** @param {string} text */
  need(text) {
    if (!this.skip(text)) throw new SyntaxError(text);
  }

  name() {
    if (this.next.kind !== "name") throw new SyntaxError("name");
    this.at += 1;
    return this.list[this.at - 1].text;
  }

  /** Items up to the closing mark. @param {string} end @param {() => void} item */
  items(end, item) {
    while (!this.skip(end)) {
      item();
      if (!this.skip(",") && this.next.text !== end) throw new SyntaxError(end);
    }
  }

  /** @returns {string | null} the text of a string, null for any other literal */
  literal(depth = 0) {
    const { kind, text } = this.next;
    if (depth > 20) throw new SyntaxError("depth");
    this.at += 1;
    if (kind === "text") return text.slice(1, -1);
    if (kind === "long") return text.slice(3, -3);
    if (kind === "number" || (kind === "name" && CONSTANTS.has(text))) return null;
    if (kind !== "mark" || !(text in CLOSING)) throw new SyntaxError("literal");
    this.items(CLOSING[text], () => {
      this.literal(depth + 1);
      if (text === "{" && this.skip(":")) this.literal(depth + 1);
    });
    return null;
  }

  /** Arguments in parentheses. @returns {Call} */
  call() {
    const call = { first: null, named: {}, count: 0 };
    this.need("(");
    this.items(")", () => {
      const name = this.list[this.at + 1]?.text === "=" ? this.name() : "";
      if (name !== "") this.need("=");
      const text = this.literal();
      if (text !== null && name !== "") call.named[name] = text;
      else if (call.count === 0) call.first = text;
      else if (call.count === 1 && text !== null) call.named.id ??= text;
      call.count += 1;
    });
    return call;
  }

  /** What shows something, given what it may be. @param {string} name @returns {Statement} */
  shown(name) {
    if (!SHOWN.get(name).may(this.call())) throw new SyntaxError("arguments");
    return { does: "show", name };
  }

  /** @param {Set<string>} kept names that this cell has given to what it shows @returns {Statement} */
  statement(kept) {
    const name = this.name();
    if (name === "from") {
      let module = this.name();
      while (this.skip(".")) module += `.${this.name()}`;
      this.need("import");
      do {
        const imported = this.name();
        const home = imported === "Problem" ? "plusway.widgets" : SHOWN.get(imported)?.from;
        if (module !== home) throw new SyntaxError("import");
      } while (this.skip(","));
      return { does: "import" };
    }
    if (SHOWN.has(name) && this.next.text === "(") return this.shown(name);
    if (kept.has(name) && this.next.kind === "line") return { does: "show", name };
    if (this.skip("=")) {
      if (SHOWN.get(this.next.text)?.keep) return { ...this.shown(this.name()), kept: name };
      this.need("Problem");
      const { first, named } = this.call();
      return { does: "problem", name, problem: named.id ?? named.scene ?? first ?? name };
    }
    this.need(".");
    const step = CALLS.get(this.name());
    if (step === undefined) throw new SyntaxError("step");
    const { first, named } = this.call();
    return { does: "step", name, step, item: named.thing ?? first };
  }
}

/**
 * The statements of a harmless cell, or null when the cell holds anything else.
 * @param {string} source
 * @returns {Statement[] | null}
 */
export function harmless(source) {
  if (source.length > 20_000) return null;
  const list = tokens(source);
  if (list === null) return null;
  const reader = new Reader(list);
  const found = [];
  const kept = new Set();
  try {
    while (reader.next.kind !== "end") {
      if (reader.next.kind === "line") reader.at += 1;
      else {
        const statement = reader.statement(kept);
        if (statement.kept) kept.add(statement.kept);
        found.push(statement);
        if (reader.next.kind !== "line") return null;
      }
    }
  } catch (problem) {
    if (problem instanceof SyntaxError) return null;
    throw problem;
  }
  return found;
}

/**
 * What a grade cell shows, where its whole source is `NAME.points(LITERALS)`; null for any other source.
 * @param {string} source
 * @returns {{name: string} | null}
 */
export function pointsOf(source) {
  const list = source.length > 2000 ? null : tokens(source);
  if (list === null) return null;
  const reader = new Reader(list.filter(({ kind }) => kind !== "line"));
  try {
    const name = reader.name();
    reader.need(".");
    reader.need("points");
    reader.call();
    return reader.next.kind === "end" ? { name } : null;
  } catch (problem) {
    if (problem instanceof SyntaxError) return null;
    throw problem;
  }
}

/** Whether a cell's metadata marks it as the lesson's own. @param {Record<string, any>} metadata */
export const marked = (metadata) =>
  metadata.plusway !== undefined || (Array.isArray(metadata.tags) && metadata.tags.includes("plusway"));
