// @ts-check
// Newton's second law for one thing (or for each): a line, its reading beneath, the verdict below.
import { entry } from "./entry.js";
import { eachField, step } from "./frame.js";
import { lineInput } from "./linefield.js";
import { WORDS } from "./words.js";

export default step((frame) => {
  return eachField(add);

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
