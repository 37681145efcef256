// @ts-check
// Each asked value: a number and its unit, checked one by one.
import { h, freshId } from "./dom.js";
import { entry } from "./entry.js";
import { eachField, step } from "./frame.js";
import { symbolFormula, symbolText } from "./mathview.js";
import { WORDS } from "./words.js";

const FIGURES = String.raw`(?:[-+−–]\s*)?[\d.,]+(?:\s*(?:[eE]|[x×*·]\s*10\^?)\s*[-+−]?\d+)?`;
const NUMBER = new RegExp(String.raw`^\s*(${FIGURES}(?:\s*[/÷]\s*${FIGURES})?)\s*((?:[\p{L}°%(].*)?)$`, "u");

/** "1.58 m/s^2" -> ["1.58", "m/s^2"], "49/31 m/s^2" -> ["49/31", "m/s^2"]; what is no number with a unit stays whole. @param {string} text */
function apart(text) {
  const found = NUMBER.exec(text);
  return found ? [found[1], found[2].trim()] : [text, ""];
}

const bare = (/** @type {string} */ unit) => unit.replace(/\s+/g, "");

export default step((frame) => {
  return eachField(add);

  function add(field) {
    const made = entry(frame, field, {
      lead: symbolText(field.label),
      check: WORDS.check(frame.atOnce),
      control: (it) => {
        const [number, unit] = [freshId("number"), freshId("unit")];
        const box = (/** @type {string} */ id, /** @type {string} */ kind) =>
          h("input", {
            id, type: "text", class: `pw-input pw-${kind}`, autocomplete: "off", autocapitalize: "off", spellcheck: "false", dir: "ltr",
            oninput: () => it.changed(),
            onkeydown: (/** @type {KeyboardEvent} */ event) => {
              if (event.key !== "Enter" || event.isComposing) return;
              event.preventDefault();
              it.enter();
            },
          });
        const [numberBox, unitBox] = [box(number, "number"), box(unit, "unit")];
        numberBox.addEventListener("change", () => {
          split(numberBox.value);
          it.changed();
        });
        const split = (/** @type {string} */ text) => {
          const [first, rest] = apart(text);
          if (rest === "" || (unitBox.value && bare(unitBox.value) !== bare(rest))) return; // the unit written twice is one unit
          [numberBox.value, unitBox.value] = [first, unitBox.value || rest];
        };
        return {
          node: h(
            "div",
            { class: "pw-result", role: "group", "aria-label": symbolText(field.label) },
            h("span", { class: "pw-symbol", "aria-hidden": "true" }, symbolFormula(field.label), " ="),
            h("div", {}, h("label", { for: number, class: "pw-label" }, h("span", { class: "pw-sr" }, `${symbolText(field.label)}: `), "number"), numberBox),
            h("div", {}, h("label", { for: unit, class: "pw-label" }, h("span", { class: "pw-sr" }, `${symbolText(field.label)}: `), "unit"), unitBox),
          ),
          focus: () => numberBox.focus(),
          text: () => {
            split(numberBox.value);
            return `${numberBox.value.trim()} ${unitBox.value.trim()}`.trim();
          },
          setText: (/** @type {string} */ text) => {
            [numberBox.value, unitBox.value] = apart(text);
          },
        };
      },
    });
    frame.body.append(made.node);
    return made;
  }
});
