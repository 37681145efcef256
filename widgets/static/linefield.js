// @ts-check
// One line to type, read as a formula while it is typed, and checked with Enter or the button; never by leaving it.
import { h, fill, freshId, later } from "./dom.js";
import { readingView, verdictView, verdictWords } from "./verdict.js";
import { WORDS } from "./words.js";

const SOON = 70; // ms after the last key until the line is read
const QUIET = 900; // ms without a key until a complaint is shown, and until the reading is spoken

/**
 * The input with its live reading. Used alone and inside lists.
 * @param {import("./frame.js").Frame} frame
 * @param {{label: string, hidden?: boolean, onEnter: () => void, onInput: (text: string) => void, size?: string}} options
 */
export function lineInput(frame, { label, hidden = false, onEnter, onInput, preview = true }) {
  const id = freshId("line");
  const input = h("input", {
    id, type: "text", class: "pw-input", autocomplete: "off", autocapitalize: "off", autocorrect: "off", spellcheck: "false", dir: "ltr",
  });
  const reading = h("div", { class: "pw-reading", "aria-hidden": "true" });
  const spoken = h("div", { class: "pw-sr", "aria-live": "polite" });
  const complaint = h("p", { class: "pw-complaint", id: freshId("complaint") });
  input.setAttribute("aria-describedby", complaint.id);
  let asked = "";
  let latest = null;
  let judged = null; // the text that a verdict below already speaks of

  const speak = later(() => {
    if (latest === null || latest.text !== input.value) return;
    // What has its verdict by now was spoken of there.
    spoken.textContent = document.activeElement === input && !latest.complaint && judged !== input.value ? latest.speech : "";
    if (latest.complaint) fill(reading); // a formula of an earlier text says nothing about this one
    complaint.textContent = judged === input.value ? "" : latest.complaint ? latest.complaint.says : latest.remarks.join(" ");
  }, QUIET);
  const read = later(async () => {
    const text = input.value;
    asked = text;
    if (!text.trim()) return show(null);
    const answer = await frame.link.ask("preview", { text });
    if (answer.kind === "previewed" && asked === text) show(answer);
  }, SOON);

  function show(answer) {
    latest = answer;
    if (answer === null) {
      fill(reading);
      complaint.textContent = "";
      spoken.textContent = "";
      return;
    }
    // While the line is half typed the last reading stays, fainter, so that nothing jumps.
    reading.toggleAttribute("data-stale", Boolean(answer.complaint));
    if (!answer.complaint) {
      fill(reading, readingView(answer.mathml) ?? "");
      complaint.textContent = "";
    }
    speak();
  }

  input.addEventListener("input", () => {
    spoken.textContent = "";
    onInput(input.value);
    if (preview) read();
  });
  input.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || event.isComposing) return;
    event.preventDefault();
    onEnter();
  });
  return {
    input,
    reading,
    node: h("div", { class: "pw-lineinput" }, h("label", { for: id, class: hidden ? "pw-sr" : "pw-label" }, label), input, preview ? reading : null, complaint, spoken),
    setText(text, mathml = "") {
      input.value = text;
      const made = readingView(mathml);
      if (made) fill(reading, made);
      else if (preview && text.trim()) read();
      else fill(reading);
      reading.removeAttribute("data-stale");
      complaint.textContent = "";
      spoken.textContent = "";
    },
    /** A verdict on what is typed is on show: what was said while it was typed is not said a second time. */
    settle() {
      judged = input.value;
      complaint.textContent = "";
      spoken.textContent = "";
    },
    close() {
      read.cancel();
      speak.cancel();
    },
  };
}

/** A verdict's place below a field. @param {import("./frame.js").Frame} frame @param {any} field @param {string} lead */
export function verdictBox(frame, field, lead = "") {
  const hints = frame.settings.hints !== false;
  return field.verdicts.map((/** @type {any} */ step) =>
    verdictView(step, { hints, lead, comma: frame.settings.decimal_comma, deeper: (level) => frame.countHint(field.item, level) }),
  );
}

/** What is said aloud after a commit. @param {import("./frame.js").Frame} frame @param {any} field @param {string} lead */
export function announce(frame, field, lead = "") {
  if (!frame.atOnce) frame.say(WORDS.markedLater);
  else frame.say(field.verdicts.map((/** @type {any} */ step) => verdictWords(step, lead, frame.settings.decimal_comma)).join(" "));
}
