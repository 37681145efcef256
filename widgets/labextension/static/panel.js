// The side panel: the steps of the lesson in front, their state in words, and a way to each of them.
import { NAMES, finished, inWords, jump, nextUnfinished, progress, rowsOf, said, titleOf } from "./steps.js";

/** @param {string} tag @param {Record<string, string>} attributes @param {...(Node | string)} children */
function make(tag, attributes, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  element.append(...children);
  return element;
}

/**
 * @param {any} Widget Lumino's Widget
 * @param {any} icon a LabIcon
 * @param {() => import("./lesson.js").Lesson | undefined} current the lesson in front
 */
export function makePanel(Widget, icon, current) {
  const widget = new Widget();
  widget.id = "plusway-steps";
  widget.addClass("pwlab-panel");
  widget.title.caption = "Steps of the lesson (plusway)";
  widget.title.icon = icon;
  widget.node.setAttribute("role", "region");
  widget.node.setAttribute("aria-label", "Steps of the lesson");

  let drawn = "";
  const draw = () => {
    const lesson = current();
    const rows = lesson ? rowsOf(lesson) : [];
    const now = JSON.stringify([lesson?.panel.id, rows.map(({ problem, step, item, state, worked, index }) => [problem, step, item, state, worked, index])]);
    if (now === drawn) return;
    drawn = now;
    const focused = widget.node.contains(document.activeElement)
      ? document.activeElement?.getAttribute("data-place")
      : null;
    widget.node.replaceChildren(...(rows.length > 0 ? list(lesson, rows) : [nothing(lesson)]));
    if (focused) widget.node.querySelector(`[data-place="${focused}"]`)?.focus();
  };
  return { widget, draw };
}

/** @param {import("./lesson.js").Lesson | undefined} lesson */
const nothing = (lesson) =>
  make("p", { class: "pwlab-hint" }, lesson ? "This lesson has no steps of its own." : "Open a plusway lesson to see its steps here.");

/** @param {import("./lesson.js").Lesson} lesson @param {import("./steps.js").Row[]} rows */
function list(lesson, rows) {
  const { finished: through, answered, of } = progress(rows);
  const waiting = answered > 0 ? `, ${answered} answered` : "";
  const parts = [
    make("h2", { class: "pwlab-title" }, "Steps of the lesson"),
    make("p", { class: "pwlab-count" }, `${through} of ${of} steps finished${waiting}`),
  ];
  const bar = make("progress", { class: "pwlab-bar", max: String(Math.max(of, 1)), value: String(through), "aria-hidden": "true" });
  parts.push(bar);
  for (const problem of new Set(rows.map((row) => row.problem))) {
    parts.push(make("h3", { class: "pwlab-problem" }, titleOf(lesson.panel, problem)));
    const items = rows
      .filter((row) => row.problem === problem)
      .map((row) => {
        const place = `${row.index}-${row.step}`;
        const button = make(
          "button",
          { type: "button", class: "pwlab-step", "data-state": row.state, "data-step": row.step, "data-place": place },
          make("span", { class: "pwlab-step-name" }, row.item === null ? NAMES[row.step] : `${NAMES[row.step]}: ${inWords(row.item)}`),
          " ",
          make("span", { class: "pwlab-step-state" }, said(row)),
        );
        button.addEventListener("click", () => void jump(lesson.panel, row));
        return make("li", {}, button);
      });
    parts.push(make("ol", { class: "pwlab-steps" }, ...items));
  }
  const next = make("button", { type: "button", class: "pwlab-button", "data-place": "next" }, "Go to the next unfinished step");
  next.addEventListener("click", () => {
    const row = nextUnfinished(rowsOf(lesson), lesson.panel.content.activeCellIndex);
    if (row) void jump(lesson.panel, row);
  });
  if (rows.some(({ state }) => !finished(state))) parts.push(next);
  else parts.push(make("p", { class: "pwlab-count" }, "All steps are finished."));
  return parts;
}
