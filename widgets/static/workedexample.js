// @ts-check
// A worked solution whose positive directions can be flipped; the kernel writes it anew (widgets/workedexample.py).
import { h, fill, freshId, same } from "./dom.js";
import { Link } from "./link.js";
import { dataApart, formula, prose, symbolText } from "./mathview.js";
import { scenePicture } from "./scenepicture.js";
import { WORDS } from "./words.js";


/** A formula, or the text where there is none. @param {string} mathml @param {string} text */
function mathOr(mathml, text) {
  const made = formula(mathml);
  return made ? h("span", { class: "pw-inline" }, made) : prose(text);
}

/** @param {any} line */
const solutionLine = (line) => h("li", {}, line.thing ? h("span", { class: "pw-whose" }, `${line.thing}: `) : null, mathOr(line.mathml, line.text));

/** A long word may break where its parts meet, and nowhere else. @param {string} text */
const breakable = (text) => (text === "counterclockwise" ? ["counter", h("wbr"), "clockwise"] : text);

/** Which sign each force has, as a table. @param {any} signs */
function signTable(signs) {
  const what = signs.wheel ? WORDS.torqueOf : WORDS.force;
  const head = [what, signs.wheel ? "turns it" : "points", "sign", "enters as"].map((text) => h("th", { scope: "col" }, text));
  const rows = signs.rows.map((row) =>
    h("tr", {}, h("th", { scope: "row", class: "pw-forceof" }, symbolText(row.symbol)), h("td", {}, breakable(row.points)), h("td", { class: "pw-plusminus" }, row.sign), h("td", {}, row.enters ? mathOr(row.mathml, row.enters) : WORDS.acrossItsLine)),
  );
  return h("table", { class: "pw-signs" }, h("caption", {}, WORDS.signsOn(signs.thing, signs.plus)), h("thead", {}, h("tr", {}, ...head)), h("tbody", {}, ...rows));
}

/** @param {any} step @param {any} shown */
function solutionStep(step, shown) {
  return h(
    "section",
    { class: "pw-solved", "data-part": step.step },
    step.title ? h("h4", {}, step.title) : null,
    step.says ? h("p", {}, prose(step.says)) : null,
    step.lines.length ? h("ul", {}, ...step.lines.map(solutionLine)) : null,
    step.step === "forces" ? h("div", { class: "pw-signtables" }, ...shown.signs.map(signTable)) : null,
  );
}

export default {
  render({ model, el }) {
    const id = freshId("example");
    const heading = h("h3", { id });
    const data = h("p", { class: "pw-givens" });
    const notice = h("div", { class: "pw-notices", role: "alert" });
    const choices = h("div", { class: "pw-choices" });
    const note = h("p", { class: "pw-rewritten", role: "status" });
    const solution = h("div", { class: "pw-solution" });
    const more = h("details", {}, h("summary", {}, WORDS.furtherChecks));
    const shown = model.get("shown");
    const radios = new Map(); // "thing word" -> input
    const link = new Link(model, () => trouble(), () => undefined);
    const picture = scenePicture(shown.picture, { onArrow: (thing, word) => choose(thing, word, true) });
    const root = h(
      "section",
      { class: "plusway pw-example", "aria-labelledby": id, "data-lm-suppress-shortcuts": "true" },
      heading,
      notice,
      data,
      h("div", { class: "pw-side" }, h("div", { class: "pw-picture" }, picture.svg), choices),
      solution,
    );
    for (const kind of ["keydown", "keypress", "keyup"]) root.addEventListener(kind, (event) => event.stopPropagation());

    function trouble(says = "") {
      fill(notice, link.silent || says ? h("p", { class: "pw-notice" }, link.silent ? WORDS.silentExample() : prose(says)) : null);
    }

    /** @param {string} thing @param {string} word @param {boolean} [focus] */
    async function choose(thing, word, focus = false) {
      const radio = radios.get(`${thing} ${word}`);
      radio.checked = true;
      if (focus) radio.focus();
      const answer = await link.ask("choose", { thing, word });
      if (answer.kind !== "chosen") {
        trouble(answer.says ?? "");
        marks(); // the solution is still the one for the old directions, and so are the buttons
      } else trouble();
    }

    /** Buttons and arrows as the solution has them. */
    function marks() {
      const chosen = Object.fromEntries(model.get("shown").things.map((one) => [one.name, one.chosen]));
      for (const [key, radio] of radios) radio.checked = key === `${radio.dataset.thing} ${chosen[radio.dataset.thing]}`;
      picture.choose(chosen);
    }

    for (const thing of shown.things) {
      const name = freshId("plus");
      const labels = thing.options.map(([word, label]) => {
        const radio = h("input", { type: "radio", name, value: word, onchange: () => void choose(thing.name, word) });
        radio.dataset.thing = thing.name;
        radios.set(`${thing.name} ${word}`, radio);
        return h("label", {}, radio, h("span", {}, label));
      });
      choices.append(h("fieldset", { class: "pw-choice" }, h("legend", {}, WORDS.plusFor(thing.label)), ...labels));
    }
    choices.append(note);
    let seen = null;

    function refresh() {
      const now = model.get("shown");
      heading.textContent = now.heading;
      fill(data, WORDS.given, dataApart(now.given));
      marks();
      if (same([now.steps, now.signs], seen)) return;
      seen = [now.steps, now.signs];
      note.textContent = prose(now.note);
      const later = now.steps.filter((step) => step.later);
      fill(more, more.firstElementChild, ...later.map((step) => solutionStep(step, now)));
      fill(solution, ...now.steps.filter((step) => !step.later).map((step) => solutionStep(step, now)), later.length ? more : null);
    }

    el.replaceChildren(root);
    model.on("change:shown", refresh);
    refresh();
    root.addEventListener("focusin", () => link.ping());
    return () => {
      model.off("change:shown", refresh);
      link.close();
    };
  },
};
