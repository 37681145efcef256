// @ts-check
// One answer that is one text: its input, its Check button, its verdict, and the draft that outlives a reload.
import { alone, h, fill, same } from "./dom.js";
import { Drafts } from "./link.js";
import { announce, verdictBox } from "./linefield.js";
import { WORDS } from "./words.js";

/**
 * @param {import("./frame.js").Frame} frame
 * @param {any} first the field as it is at the start
 * @param {{lead: string, check: string, control: (entry: any) => any}} options `control` makes {node, focus(), text(), setText(text, mathml)}
 */
export function entry(frame, first, { lead, check, control }) {
  const drafts = new Drafts(frame.shown, first.item);
  let field = first;
  let seen = null; // the committed value and verdicts that are on show
  const verdict = h("div", { class: "pw-verdicts" });
  const stale = h("p", { class: "pw-stale" });
  const button = h("button", { type: "button", class: "pw-check", onclick: () => void commit() }, check);
  const it = {
    changed() {
      drafts.write(part.text());
      showStale();
    },
    enter: () => void commit(),
  };
  const part = control(it);
  const node = h("div", { class: "pw-entry" }, h("div", { class: "pw-row" }, part.node, button), stale, verdict);

  const commit = alone(async () => {
    const value = part.text().trim();
    if (!value && !field.value) {
      frame.say(WORDS.nothingYet);
      part.focus();
      return;
    }
    button.setAttribute("aria-busy", "true");
    const answer = await frame.commit(field.item, value, drafts);
    button.removeAttribute("aria-busy");
    if (answer.kind !== "committed") return;
    if (part.text().trim() === value) drafts.clear();
    announce(frame, field, lead);
    showStale();
  });

  frame.onReturn(() => {
    if (!drafts.owed) return;
    if (part.text().trim() !== (field.value ?? "")) void commit();
    else drafts.owed = false; // it was kept before the kernel died
  });

  function showStale() {
    const differs = Boolean(field.value) && part.text().trim() !== field.value;
    node.toggleAttribute("data-stale", differs);
    stale.textContent = differs && field.verdicts.length ? WORDS.changedFrom(field.value) : "";
  }

  return {
    node,
    part,
    update(/** @type {any} */ next) {
      const now = { value: next.value, verdicts: next.verdicts };
      if (same(now, seen)) return;
      const begin = seen === null;
      const old = seen?.value ?? "";
      field = next;
      seen = now;
      const draft = begin ? drafts.read() : null;
      if (typeof draft === "string" && draft.trim() && draft.trim() !== (field.value ?? "")) part.setText(draft);
      else if (begin || (!same(old, field.value) && part.text().trim() === old)) part.setText(field.value ?? "", field.verdicts[0]?.reading);
      fill(verdict, frame.atOnce ? verdictBox(frame, field) : field.value ? h("p", { class: "pw-kept" }, WORDS.keptText(field.value)) : null);
      if (field.verdicts.length && part.text().trim() === field.value) part.settle?.();
      showStale();
    },
  };
}
