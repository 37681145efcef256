// @ts-check
// Which way counts as plus: radio buttons, and the same choice by a click on the picture's arrows.
import { alone, h, fill, freshId, same } from "./dom.js";
import { step } from "./frame.js";
import { verdictBox } from "./linefield.js";
import { Drafts } from "./link.js";
import { prose } from "./mathview.js";
import { scenePicture } from "./scenepicture.js";
import { verdictWords } from "./verdict.js";
import { WORDS } from "./words.js";

export default step((frame) => {
  const drafts = new Drafts(frame.shown, null);
  const radios = new Map(); // "thing word" -> input
  const picture = scenePicture(frame.shown.picture, {
    onArrow: (thing, word) => {
      const radio = radios.get(`${thing} ${word}`);
      radio.checked = true;
      radio.focus();
      changed();
    },
  });
  const sets = frame.shown.fields.map((field) => {
    const name = freshId("direction");
    return h(
      "fieldset",
      { class: "pw-choice" },
      h("legend", {}, WORDS.plusFor(field.label)),
      ...field.options.map(([word, label]) => {
        const radio = h("input", { type: "radio", name, value: word, onchange: changed });
        radios.set(`${field.item} ${word}`, radio);
        radio.dataset.thing = field.item;
        return h("label", {}, radio, h("span", {}, label));
      }),
    );
  });
  const button = h("button", { type: "button", class: "pw-check", onclick: () => void commit() }, WORDS.useDirections(frame.shown.fields.length));
  const note = h("p", { class: "pw-note" });
  const verdict = h("div", { class: "pw-verdicts" });
  const missing = h("p", { class: "pw-complaint" });
  frame.body.append(
    h("div", { class: "pw-side" }, h("div", { class: "pw-picture" }, picture.svg), h("div", { class: "pw-choices" }, ...sets, button, missing)),
    verdict,
    note,
  );
  frame.body.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && event.target instanceof HTMLInputElement) {
      event.preventDefault();
      void commit();
    }
  });
  let seen = null;

  /** @returns {Record<string, string>} */
  function chosen() {
    const out = {};
    for (const radio of radios.values()) if (radio.checked) out[radio.dataset.thing] = radio.value;
    return out;
  }

  function changed() {
    picture.choose(chosen());
    drafts.write(chosen());
    missing.textContent = "";
  }

  function choose(/** @type {Record<string, any>} */ values) {
    for (const radio of radios.values()) radio.checked = values[radio.dataset.thing] === radio.value;
    picture.choose(chosen());
  }

  const commit = alone(async () => {
    const now = chosen();
    const open = frame.shown.fields.filter((field) => !now[field.item]);
    if (open.length) {
      missing.textContent = WORDS.openDirections(open.map((field) => field.label));
      frame.say(missing.textContent);
      return;
    }
    button.setAttribute("aria-busy", "true");
    let kept = true;
    for (const field of frame.shown.fields) {
      if (kept && field.value !== now[field.item]) kept = (await frame.commit(field.item, now[field.item], drafts)).kind === "committed";
    }
    button.removeAttribute("aria-busy");
    if (!kept) return;
    if (same(chosen(), now)) drafts.clear();
    frame.say(`${frame.atOnce ? told(frame.shown.fields).map((step) => verdictWords(step)).join(" ") : WORDS.kept} ${frame.shown.note}`);
  });

  frame.onReturn(() => {
    if (!drafts.owed) return;
    if (frame.shown.fields.some((field) => field.value !== chosen()[field.item])) void commit();
    else drafts.owed = false;
  });

  /** One verdict for all things where the judge says the same of each. */
  function told(given) {
    const steps = given.flatMap((field) => field.verdicts);
    const alike = steps.every((step) => step.verdict === steps[0].verdict && same(step.says, steps[0].says) && !step.slips.length);
    return alike ? steps.slice(0, 1) : steps;
  }

  function verdicts(given) {
    const steps = told(given);
    if (given.length < 2 || steps.length > 1) return given.flatMap((field) => verdictBox(frame, field, field.label));
    return verdictBox(frame, { ...given[0], verdicts: steps });
  }

  return {
    update(shown) {
      const values = Object.fromEntries(shown.fields.map((field) => [field.item, field.value]));
      const now = { values, verdicts: shown.fields.map((field) => field.verdicts) };
      if (same(now, seen)) return;
      const begin = seen === null;
      const old = seen?.values ?? {};
      seen = now;
      const draft = begin ? drafts.read() : null;
      const untouched = Object.entries(chosen()).every(([thing, word]) => old[thing] === word);
      if (draft && typeof draft === "object") choose({ ...values, ...draft });
      else if (begin || untouched) choose(values);
      fill(verdict, verdicts(shown.fields.filter((field) => field.value)));
      fill(note, prose(shown.note));
    },
  };
});
