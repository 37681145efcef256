// @ts-check
// Sliders for the data of a scene; the curve comes once a prediction has been committed. The shapes are those of lessons/explore.py.
import { h, fill, freshId, same } from "./dom.js";
import { Link } from "./link.js";
import { prose, symbolFormula, symbolText } from "./mathview.js";
import { WORDS } from "./words.js";


export default {
  render({ model, el }) {
    const id = freshId("explore");
    const heading = h("h3", { id });
    const story = h("p");
    const notice = h("div", { class: "pw-notices", role: "alert" });
    const data = h("fieldset", { class: "pw-choice" });
    const about = h("div", { class: "pw-lines" });
    const ask = h("fieldset", { class: "pw-choice" });
    const outcome = h("div", { class: "pw-lines" });
    const live = h("div", { class: "pw-sr", role: "status" });
    const root = h("section", { class: "plusway pw-explorer", "aria-labelledby": id, "data-lm-suppress-shortcuts": "true" }, heading, notice, story, data, about, ask, outcome, live);
    for (const kind of ["keydown", "keypress", "keyup"]) root.addEventListener(kind, (event) => event.stopPropagation());
    const showTrouble = (says = "") => fill(notice, link.silent || says ? h("p", { class: "pw-notice" }, link.silent ? WORDS.silentExplorer() : prose(says)) : null);
    const link = new Link(model, () => showTrouble(), () => undefined);
    let seen = /** @type {any} */ ({});

    async function send(kind, rest) {
      const answer = await link.ask(kind, rest);
      live.textContent = "";
      requestAnimationFrame(() => (live.textContent = prose(answer.says ?? "")));
    }

    function slider(field) {
      const name = freshId("datum");
      const value = h("output", { for: name }, `${field.value} ${field.unit}`);
      const input = h("input", { type: "range", id: name, min: field.low, max: field.high, step: field.step, "aria-valuetext": `${field.value} ${field.unit}` });
      input.value = String(field.value);
      input.addEventListener("input", () => {
        value.textContent = `${input.value} ${field.unit}`;
        input.setAttribute("aria-valuetext", value.textContent);
      });
      input.addEventListener("change", () => void send("set", { values: { [field.name]: Number(input.value) } }));
      return h("div", { class: "pw-row" }, h("label", { for: name }, h("span", {}, symbolFormula(field.name), `, ${field.says}`)), input, value);
    }

    function question(shown) {
      const selects = shown.questions.map(({ symbol, options }) => {
        const name = freshId("guess");
        const select = h("select", { id: name, class: "pw-input" }, h("option", { value: "" }, "choose"), ...options.map((text) => h("option", { value: text }, text)));
        return { symbol, select, row: h("div", { class: "pw-row" }, h("label", { for: name }, h("span", {}, symbolFormula(symbol), " will")), select) };
      });
      const commit = () => void send("predict", { choices: Object.fromEntries(selects.map(({ symbol, select }) => [symbol, select.value])) });
      const button = h("button", { type: "button", class: "pw-check", onclick: commit }, WORDS.predict);
      return [h("legend", {}, prose(shown.prompt)), ...selects.map(({ row }) => row), button];
    }

    function refresh() {
      const shown = model.get("shown");
      heading.textContent = shown.heading;
      story.textContent = prose(shown.story);
      showTrouble(shown.notice);
      // Sliders and questions are made anew only when they differ: nobody loses the focus by moving one.
      const shape = shown.fields.map(({ value, ...rest }) => rest);
      if (!same(shape, seen.shape)) fill(data, h("legend", {}, WORDS.data), ...shown.fields.map(slider));
      if (!same(shown.choices, seen.choices)) {
        const name = freshId("about");
        const select = h("select", { id: name, class: "pw-input", onchange: () => void send("about", { datum: select.value }) }, ...shown.choices.map((d) => h("option", { value: d }, symbolText(d))));
        select.value = shown.datum;
        fill(about, h("div", { class: "pw-row" }, h("label", { for: name }, WORDS.curveOver), select));
      }
      if (!same([shown.datum, shown.questions], seen.asked)) {
        ask.hidden = shown.questions.length === 0;
        const had = ask.contains(document.activeElement);
        fill(ask, shown.questions.length ? question(shown) : null);
        if (had) outcome.focus();
      }
      if (!same([shown.verdicts, shown.values, shown.text], seen.told)) {
        const picture = shown.picture ? h("img", { src: shown.picture, alt: shown.text }) : null;
        fill(
          outcome,
          ...shown.verdicts.map((line) => h("p", {}, prose(line))),
          ...(shown.values.length ? [h("p", {}, prose(WORDS.withData(shown.values)))] : []),
          picture,
          shown.text ? h("details", {}, h("summary", {}, WORDS.curveInWords), h("p", {}, prose(shown.text))) : null,
        );
      }
      seen = { shape, choices: shown.choices, asked: [shown.datum, shown.questions], told: [shown.verdicts, shown.values, shown.text] };
    }

    outcome.setAttribute("tabindex", "-1");
    el.replaceChildren(root);
    model.on("change:shown", refresh);
    refresh();
    return () => {
      model.off("change:shown", refresh);
      link.close();
    };
  },
};
