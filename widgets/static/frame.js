// @ts-check
// What every step has round it: title, earlier answers, notices, hints, the link to the kernel and to the page.
import { h, fill, same, freshId } from "./dom.js";
import { dataApart, prose } from "./mathview.js";
import { Link } from "./link.js";
import { pointsOfAll, readingView, sign, wordsOf } from "./verdict.js";
import { WORDS } from "./words.js";

const STATES = { blank: "blank", some: "blank", slip: "slip", done: "right", kept: "kept" };

/** Earlier answers under one label belong together: those after it have none. @param {any[]} earlier */
function groups(earlier) {
  const out = [];
  for (const row of earlier) {
    if (row.label || !out.length) out.push([row]);
    else out[out.length - 1].push(row);
  }
  return out;
}

/**
 * Make a step's render function.
 * @param {(frame: Frame) => {update: (shown: any) => void}} build makes the step's body in frame.body
 */
export function step(build) {
  return {
    render({ model, el }) {
      const frame = new Frame(model, el);
      const body = build(frame);
      const refresh = () => {
        frame.update();
        body.update(frame.shown);
      };
      model.on("change:shown", refresh);
      refresh();
      frame.begin();
      return () => {
        model.off("change:shown", refresh);
        frame.close();
      };
    },
  };
}

/**
 * A body with a part for each field that the step has, made when it first appears.
 * @param {(field: any) => {update: (field: any) => void}} add
 */
export function eachField(add) {
  const parts = new Map();
  return {
    update(/** @type {any} */ shown) {
      for (const field of shown.fields) {
        if (!parts.has(field.item)) parts.set(field.item, add(field));
        parts.get(field.item).update(field);
      }
    },
  };
}

export class Frame {
  constructor(model, el) {
    this.model = model;
    this.link = new Link(model, (silent) => this.onSilence(silent), (message) => this.onLate(message));
    const title = freshId("title");
    this.heading = h("h3", { id: title });
    this.state = h("span", { class: "pw-state" });
    this.notices = h("div", { class: "pw-notices", role: "alert" });
    this.earlier = h("div", { class: "pw-earlier" });
    this.worked = h("p", { class: "pw-worked" });
    this.body = h("div", { class: "pw-body" });
    this.hintBox = h("div", { class: "pw-hints" });
    this.live = h("div", { class: "pw-sr", role: "status" });
    this.root = h(
      "section",
      { class: "plusway", "aria-labelledby": title, "data-lm-suppress-shortcuts": "true", "data-state": "blank" },
      h("header", { class: "pw-head" }, this.heading, this.state),
      this.notices,
      this.earlier,
      this.worked,
      this.body,
      this.hintBox,
      this.live,
    );
    this.guardKeys();
    this.root.addEventListener("focusin", () => this.link.ping());
    el.replaceChildren(this.root);
    this.hintsUsed = new Map();
    this.hintLevel = 0;
    /** @type {(() => void)[]} */
    this.senders = [];
  }

  get shown() {
    return this.model.get("shown");
  }

  get settings() {
    return this.shown.settings ?? {};
  }

  get atOnce() {
    return this.settings.verdicts !== "after marking";
  }

  /** Single keys belong to the field, not to the notebook; the browser's own keys (Tab, copy, zoom) go on working. */
  guardKeys() {
    for (const kind of ["keydown", "keypress", "keyup"])
      this.root.addEventListener(kind, (event) => {
        event.stopPropagation();
        if (kind === "keydown" && (event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "s") {
          event.preventDefault(); // the browser would save the page
          globalThis.plusway?.save?.(this.root);
        }
      });
    // A drop or a paste is text here, whatever it was elsewhere; and the notebook shall not take it for cells.
    for (const kind of ["paste", "copy", "cut", "drop", "contextmenu"])
      this.root.addEventListener(kind, (event) => event.stopPropagation());
  }

  update() {
    const { shown, root } = this;
    Object.assign(root.dataset, { problem: shown.problem, step: shown.step, lesson: shown.lesson });
    root.dataset.item = shown.fields.length === 1 && shown.fields[0].item !== null ? shown.fields[0].item : "";
    const worked = Boolean(shown.settings.worked?.includes(shown.step));
    root.toggleAttribute("data-worked", worked);
    const changed = root.dataset.state !== shown.state;
    root.dataset.state = shown.state;
    this.heading.textContent = shown.title;
    for (const { item, hints } of shown.fields) this.countHint(item, hints);
    if (worked) this.worked.textContent = WORDS.worked;
    const state = /** @type {keyof typeof STATES} */ (shown.state);
    const verdicts = shown.fields.flatMap((field) => field.verdicts);
    const points = pointsOfAll(verdicts, shown.settings.decimal_comma);
    const [word, drawn] = worked && (state === "done" || state === "kept") ? [wordsOf("given"), "given"] : [WORDS.states[state] ?? wordsOf(state), STATES[state] ?? "blank"];
    fill(this.state, sign(drawn), h("span", {}, word), points ? h("span", { class: "pw-points" }, points) : null);
    this.showNotices();
    if (!same(this.lastEarlier, shown.earlier)) {
      this.lastEarlier = shown.earlier;
      this.showEarlier(shown.earlier);
    }
    if (!this.hintBox.hasChildNodes() && this.settings.hints) this.offerHints();
    // A hint that was read stays; a step that is done offers no more.
    this.hintButton?.toggleAttribute("hidden", shown.state === "done" && document.activeElement !== this.hintButton);
    // A slip's own reason leads; the general hint steps back beside it.
    this.hintBox.toggleAttribute("data-back", verdicts.some((step) => step.slips?.length));
    if (changed) this.tell("plusway:state", { problem: shown.problem, step: shown.step, item: root.dataset.item || null, state: shown.state });
  }

  /** Bring the kernel up to date from the notebook's metadata, and the metadata up to date from the kernel. */
  async begin() {
    const entries = (await globalThis.plusway?.restore?.(this.root)) ?? [];
    if (Array.isArray(entries) && entries.length) await this.link.ask("restore", { entries });
    const known = new Set((Array.isArray(entries) ? entries : []).map((entry) => entry?.id));
    for (const { record } of this.shown.fields) if (record && !known.has(record.id)) this.tell("plusway:commit", { record });
    this.sendAgain();
  }

  /**
   * What was sent to a kernel that died is still to be checked. `send` is called when the step is back, and when a kernel that was
   * silent has lost something.
   * @param {() => void} send
   */
  onReturn(send) {
    this.senders.push(send);
  }

  sendAgain() {
    for (const send of this.senders) send();
  }

  /** @param {string} name @param {any} detail */
  tell(name, detail) {
    this.root.dispatchEvent(new CustomEvent(name, { bubbles: true, composed: true, detail }));
  }

  /**
   * Keep an answer. Resolves once the kernel has it.
   * @param {string | null} item @param {any} value @param {import("./link.js").Drafts} [drafts] remembers that an answer is owed
   */
  async commit(item, value, drafts) {
    if (drafts) drafts.owed = true;
    const answer = await this.link.ask("commit", { item, value, hints: this.hintsUsed.get(item) ?? 0 });
    if (drafts && answer.kind !== "silent") drafts.owed = false;
    if (answer.kind === "committed") this.tell("plusway:commit", { record: answer.record });
    else if (answer.kind === "trouble") this.say(answer.says);
    return answer;
  }

  /** A busy kernel answered after all: what it kept goes into the notebook too. @param {any} message */
  onLate(message) {
    if (message.kind === "committed") this.tell("plusway:commit", { record: message.record });
    else if (message.kind === "lost") this.sendAgain();
  }

  /** @param {string | null} item @param {number} level */
  countHint(item, level) {
    this.hintsUsed.set(item, Math.max(level, this.hintsUsed.get(item) ?? 0));
  }

  /** Say something to a screen reader. @param {string} words */
  say(words) {
    this.live.textContent = "";
    // A changed text is announced; the same text again would not be.
    requestAnimationFrame(() => (this.live.textContent = prose(words)));
  }

  onSilence(silent) {
    this.root.toggleAttribute("data-silent", silent);
    this.showNotices();
    this.tell(silent ? "plusway:silent" : "plusway:alive", {});
  }

  showNotices() {
    const says = [this.link.silent ? WORDS.silentStep() : "", this.shown.trouble].filter(Boolean);
    if (same(says, this.lastNotices)) return;
    this.lastNotices = says;
    fill(this.notices, ...says.map((text) => h("p", { class: "pw-notice" }, text)));
  }

  showEarlier(earlier) {
    if (!earlier.length) return fill(this.earlier);
    fill(
      this.earlier,
      h(
        "dl",
        {},
        ...groups(earlier).map((group) => h("div", {}, h("dt", {}, prose(group[0].label)), ...group.map(({ text, mathml }) => h("dd", {}, readingView(mathml) ?? dataApart(text))))),
      ),
    );
  }

  /** Three hints, one after the other: where to look, why, how to go on. */
  offerHints() {
    const said = h("ol", { class: "pw-hintlist" });
    const labels = WORDS.hints;
    const button = h("button", { type: "button", class: "pw-quiet" }, labels[0]);
    this.hintButton = button;
    button.addEventListener("click", async () => {
      const level = this.hintLevel + 1;
      const item = this.hintItem?.() ?? this.shown.fields[0]?.item ?? null;
      const answer = await this.link.ask("hint", { item, level });
      if (answer.kind !== "hinted" || level <= this.hintLevel) return;
      this.hintLevel = level;
      this.countHint(item, level);
      said.append(h("li", {}, prose(answer.says)));
      if (level === 1) button.before(said);
      this.say(answer.says);
      if (level >= answer.of) {
        const last = said.lastElementChild;
        last.setAttribute("tabindex", "-1");
        last.focus();
        button.remove();
      } else button.textContent = labels[level];
    });
    fill(this.hintBox, button);
  }

  close() {
    this.link.close();
  }
}
