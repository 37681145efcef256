// @ts-check
// A list of lines that are kept and judged together: ties, working, sense checks. The last row is always empty, for the next line.
import { alone, h, fill, same } from "./dom.js";
import { Drafts } from "./link.js";
import { announce, lineInput, verdictBox } from "./linefield.js";
import { prose } from "./mathview.js";
import { wordsOf } from "./verdict.js";
import { WORDS } from "./words.js";

/**
 * @param {import("./frame.js").Frame} frame
 * @param {{noun: string, check: string, ordered: boolean}} options noun: "line", "tie", "check"; ordered: lines may be moved and inserted
 */
export function lineList(frame, { noun, check, ordered }) {
  const drafts = new Drafts(frame.shown, null);
  const rows = [];
  let field = frame.shown.fields[0];
  let seen = null;
  const list = h("ol", { class: "pw-rows" });
  const button = h("button", { type: "button", class: "pw-check", onclick: () => void commit(null) }, check);
  const stale = h("p", { class: "pw-stale" });
  const pending = h("div", { class: "pw-pending" });
  frame.body.append(list, h("div", { class: "pw-row" }, button), stale, pending);

  /** The lines as typed, without the empty ones. */
  const lines = () => rows.map((row) => row.line.input.value.trim()).filter((text) => text !== "");

  function makeRow(text = "", reading = "") {
    const row = { line: null, node: h("li", { class: "pw-ledger" }), verdict: h("div", { class: "pw-verdicts" }), shownText: null, seen: null };
    row.line = lineInput(frame, {
      label: noun,
      onEnter: () => void commit(row),
      onInput: () => {
        changed();
        grow();
      },
    });
    row.line.input.addEventListener("paste", (/** @type {ClipboardEvent} */ event) => {
      const pasted = (event.clipboardData?.getData("text/plain") ?? "").split(/\r?\n/).map((text) => text.trim()).filter(Boolean);
      if (pasted.length < 2) return;
      event.preventDefault(); // several lines at once: one row for each
      row.line.setText(pasted[0]);
      pasted.slice(1).forEach((text, at) => place(makeRow(text), rows.indexOf(row) + 1 + at));
      changed();
      grow();
    });
    const act = (/** @type {string} */ label, /** @type {string} */ face, /** @type {() => void} */ work) =>
      h("button", { type: "button", class: "pw-tool", title: label, "aria-label": label, "data-tool": face, onclick: work }, h("span", { "aria-hidden": "true" }, face));
    row.tools = h("div", { class: "pw-tools" });
    row.label = () => `${noun} ${rows.indexOf(row) + 1}`;
    row.renew = () => {
      const place = rows.indexOf(row);
      row.line.node.querySelector("label").textContent = row.label();
      const last = place === rows.length - 1;
      const held = row.tools.contains(document.activeElement) ? document.activeElement?.getAttribute("data-tool") : null;
      fill(
        row.tools,
        ordered && place > 0 && !last ? act(WORDS.moveUp(row.label()), "↑", () => move(row, -1)) : null,
        ordered && place < rows.length - 2 ? act(WORDS.moveDown(row.label()), "↓", () => move(row, 1)) : null,
        ordered && !last ? act(WORDS.insertAbove(noun, row.label()), "+", () => insert(row)) : null,
        last ? null : act(WORDS.deleteRow(row.label()), "×", () => remove(row)),
      );
      if (held) (row.tools.querySelector(`[data-tool="${held}"]`) ?? row.line.input).focus();
    };
    row.node.append(h("div", { class: "pw-row" }, h("span", { class: "pw-count", "aria-hidden": "true" }), row.line.node, row.tools), row.verdict);
    if (text) row.line.setText(text, reading);
    return row;
  }

  function place(row, at) {
    rows.splice(at, 0, row);
    list.insertBefore(row.node, list.children[at] ?? null);
  }

  /** Keep one empty row at the end. */
  function grow() {
    if (rows.length === 0 || rows[rows.length - 1].line.input.value.trim() !== "") place(makeRow(), rows.length);
    renew();
  }

  function renew() {
    rows.forEach((row, at) => {
      row.node.querySelector(".pw-count").textContent = String(at + 1);
      row.renew();
    });
  }

  function move(row, by) {
    const from = rows.indexOf(row);
    const to = from + by;
    rows.splice(from, 1);
    rows.splice(to, 0, row);
    // Moving the neighbour keeps the focus where it is.
    const other = rows[from];
    if (by < 0) list.insertBefore(other.node, row.node.nextSibling);
    else list.insertBefore(other.node, row.node);
    renew();
    changed();
    frame.say(WORDS.moved(row.label()));
  }

  function insert(row) {
    const fresh = makeRow();
    place(fresh, rows.indexOf(row));
    renew();
    fresh.line.input.focus();
  }

  function remove(row) {
    const at = rows.indexOf(row);
    const text = row.line.input.value;
    rows.splice(at, 1);
    row.line.close();
    row.node.remove();
    grow();
    changed();
    rows[Math.min(at, rows.length - 1)].line.input.focus();
    frame.say(WORDS.deleted(text));
  }

  function changed() {
    drafts.write(rows.map((row) => row.line.input.value));
    showStale();
  }

  function showStale() {
    const value = field.value ?? [];
    const differs = !same(lines(), value) && value.length > 0;
    stale.textContent = differs ? WORDS.changed(frame.atOnce) : "";
    for (const row of rows) row.node.toggleAttribute("data-stale", row.shownText !== null && row.line.input.value.trim() !== row.shownText);
  }

  const commit = alone(async (from) => {
    const value = lines();
    if (!value.length && !field.value) {
      frame.say(WORDS.nothingYet);
      rows[0].line.input.focus();
      return;
    }
    button.setAttribute("aria-busy", "true");
    const answer = await frame.commit(null, value, drafts);
    button.removeAttribute("aria-busy");
    if (answer.kind !== "committed") return;
    if (same(lines(), value)) drafts.clear();
    show();
    if (from && from.line.input.value.trim() !== "") {
      // Enter on a line that holds leads on to the next line; on one that needs mending it stays.
      const filled = rows.filter((row) => row.line.input.value.trim() !== "");
      const verdict = field.verdicts[filled.indexOf(from)];
      announce(frame, { ...field, verdicts: verdict ? [verdict] : [] }, from.label());
      const good = !frame.atOnce || verdict?.verdict === "right" || verdict?.verdict === "follows";
      if (good && document.activeElement === from.line.input) rows[rows.indexOf(from) + 1]?.line.input.focus();
    } else if (frame.atOnce) {
      frame.say(field.verdicts.map((step) => (step.verdict === "blank" ? step.says : `${noun} ${step.item + 1}: ${wordsOf(step.verdict)}.`)).join(" "));
    } else announce(frame, field);
  });

  frame.onReturn(() => {
    if (!drafts.owed) return;
    if (!same(lines(), field.value ?? [])) void commit(null);
    else drafts.owed = false;
  });

  /** Put the judge's verdicts below the lines that they are on. */
  function show() {
    const filled = rows.filter((row) => row.line.input.value.trim() !== "");
    const value = field.value ?? [];
    let told = false; // what "carries on" means is said at the first of these lines
    rows.forEach((row) => {
      const at = filled.indexOf(row);
      const step = at >= 0 ? field.verdicts.find((candidate) => candidate.item === at && candidate.verdict !== "blank") : undefined;
      const shown = step && value[at] === row.line.input.value.trim() ? step : row.line.input.value.trim() ? row.seen : null;
      const carriesOn = shown?.verdict === "follows" && !shown.says;
      const mine = carriesOn ? { ...shown, again: told } : shown;
      told ||= carriesOn;
      row.shownText = mine ? (mine.text ?? null) : null;
      if (mine && value[at] === row.line.input.value.trim()) row.line.settle();
      if (same(mine, row.seen)) return;
      row.seen = mine ?? null;
      fill(row.verdict, mine ? verdictBox(frame, { ...field, verdicts: [mine] }) : null);
      if (mine?.reading) row.line.setText(row.line.input.value, mine.reading);
    });
    const missing = field.value ? field.verdicts.filter((step) => step.verdict === "blank") : [];
    fill(pending, ...missing.map((step) => h("p", {}, prose(step.says || WORDS.another(noun)))));
    showStale();
  }

  function put(texts, readings) {
    for (const row of rows.splice(0)) {
      row.line.close();
      row.node.remove();
    }
    texts.forEach((text, at) => place(makeRow(text, readings[at] ?? ""), rows.length));
    grow();
  }

  return {
    update(shown) {
      const next = shown.fields[0];
      const now = { value: next.value, verdicts: next.verdicts };
      if (same(now, seen)) return;
      const begin = seen === null;
      const old = seen?.value ?? [];
      field = next;
      seen = now;
      const readings = (field.verdicts ?? []).map((step) => step.reading);
      const draft = begin ? drafts.read() : null;
      if (Array.isArray(draft) && draft.some((text) => typeof text === "string" && text.trim())) put(draft.map(String).filter((text) => text.trim()), []);
      else if (begin || (!same(old, field.value) && same(lines(), old))) put(field.value ?? [], readings);
      show();
    },
  };
}
