// @ts-check
// Newton's second law for one thing (or for each): a line, its reading beneath, the verdict below.
import { entry } from "./entry.js";
import { step } from "./frame.js";
import { lineInput } from "./linefield.js";
import { WORDS } from "./words.js";

export default step((frame) => {
  const entries = new Map();
  return {
    update(shown) {
      for (const field of shown.fields) {
        if (!entries.has(field.item)) entries.set(field.item, add(field));
        entries.get(field.item).update(field);
      }
    },
  };

  function add(field) {
    const made = entry(frame, field, {
      lead: WORDS.equationFor(field.label),
      check: WORDS.check(frame.atOnce),
      control: (it) => {
        const line = lineInput(frame, { label: WORDS.equationFor(field.label), onEnter: it.enter, onInput: it.changed });
        return { node: line.node, focus: () => line.input.focus(), text: () => line.input.value, setText: line.setText, settle: line.settle };
      },
    });
    frame.body.append(made.node);
    return made;
  }
});
