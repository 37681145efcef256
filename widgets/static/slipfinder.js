// @ts-check
// Find the slip: point at the wrong line of a finished solution, name what is wrong, mend it. Radio buttons and one line; nothing
// is told by leaving a control, only by Enter or a button.
import { alone, fill, freshId, h, same } from "./dom.js";
import { step } from "./frame.js";
import { lineInput } from "./linefield.js";
import { Drafts } from "./link.js";
import { prose } from "./mathview.js";
import { readingView, sign, verdictView, verdictWords } from "./verdict.js";
import { WORDS } from "./words.js";


export default step((frame) => {
  const item = frame.shown.fields[0].item;
  const drafts = new Drafts(frame.shown, item);
  const picks = new Drafts(frame.shown, `${item} picked`); // what was sent last, until an answer has come
  const story = h("p");
  const sheet = h("div");
  const naming = h("div");
  const mending = h("div");
  frame.body.append(story, h("p", { class: "pw-note" }, WORDS.oneLineWrong), sheet, naming, mending);
  let seen = /** @type {any} */ ({});
  let line = null;

  const commit = alone(async (place, kind, text, button) => {
    button?.setAttribute("aria-busy", "true");
    picks.write([place, kind, text]);
    const answer = await frame.commit(item, [place, kind, text], picks);
    button?.removeAttribute("aria-busy");
    if (answer.kind !== "committed") return;
    picks.clear();
    const hunt = frame.shown.hunt;
    const remark = text ? hunt.mended : kind ? hunt.named : hunt.pointed;
    const verdict = text && hunt.verdict ? verdictWords(hunt.verdict, `Line ${hunt.at + 1}`) : "";
    if (text && remark.good) drafts.clear();
    // Where the next thing to do has come, its text takes the focus and is read with it; else it is said.
    const next = remark.good ? frame.body.querySelector(`[data-remark="${text ? "mended" : kind ? "named" : "pointed"}"]`) : null;
    if (next instanceof HTMLElement) {
      frame.say(""); // what was said of an earlier try no longer holds
      next.focus();
    } else frame.say([verdict, remark.says, remark.text].filter(Boolean).join(" "));
  });

  // A pick that was made while nobody answered is sent again, as a line of any step is.
  frame.onReturn(() => {
    if (!picks.owed) return;
    const pick = picks.read();
    const known = same(pick, frame.shown.fields[0].value);
    if (Array.isArray(pick) && pick.length === 3 && !known) void commit(...pick);
    else picks.owed = false;
  });

  /** Radio buttons with a button below them; Enter chooses too. */
  function choice(legend, rows, chosen, label, send) {
    const name = freshId("choice");
    const missing = h("p", { class: "pw-complaint" });
    const radios = rows.map(([value, ...parts]) => {
      const radio = h("input", { type: "radio", name, value, checked: value === chosen });
      return h("label", { class: "pw-huntrow" }, radio, ...parts);
    });
    const button = h("button", { type: "button", class: "pw-check", onclick: act }, label);
    const set = h("fieldset", { class: "pw-choice pw-hunt" }, h("legend", {}, legend), ...radios);
    set.addEventListener("keydown", (event) => {
      if (event.key !== "Enter" || !(event.target instanceof HTMLInputElement)) return;
      event.preventDefault();
      act();
    });
    function act() {
      const value = set.querySelector("input:checked")?.getAttribute("value");
      missing.textContent = value ? "" : WORDS.chooseFirst;
      if (value) void send(value, button);
      else set.querySelector("input")?.focus();
    }
    return [set, h("div", { class: "pw-row" }, button), missing];
  }

  const parts = (row, at) => [
    h("span", { class: "pw-count" }, String(at + 1)),
    h("span", { class: "pw-what" }, row.label),
    h("span", { class: "pw-huntline", dir: "ltr" }, readingView(row.mathml) ?? row.text),
  ];

  /** What is said of a choice. */
  function remarkView(remark, which) {
    if (!remark.says) return null;
    return h(
      "div",
      { class: "pw-verdict", "data-verdict": remark.good ? "right" : "unread", "data-remark": which, tabindex: "-1" },
      h("p", { class: "pw-word" }, sign(remark.good ? "right" : "unread"), h("strong", {}, remark.good ? WORDS.found[which] : WORDS.notThat)),
      h("p", {}, prose(remark.says)),
      remark.text ? h("p", { class: "pw-huntline", dir: "ltr" }, readingView(remark.mathml) ?? remark.text) : null,
    );
  }

  function showSheet(hunt) {
    if (hunt.stage === "point") {
      const held = sheet.contains(document.activeElement) ? document.activeElement?.getAttribute("type") : null;
      const rows = hunt.rows.map((row, at) => [String(at), ...parts(row, at)]);
      fill(sheet, ...choice(WORDS.whichLine, rows, String(hunt.at ?? ""), WORDS.thisLine, (value, button) => commit(value, "", "", button)), remarkView(hunt.pointed, "pointed"));
      if (held) (held === "radio" ? sheet.querySelector("input:checked") : sheet.querySelector("button"))?.focus();
      return;
    }
    const rows = hunt.rows.map((row, at) =>
      h("li", { class: "pw-huntrow", "data-here": at === hunt.at }, ...parts(row, at), at === hunt.at ? h("span", { class: "pw-here" }, sign("slip"), "the slip") : null),
    );
    fill(sheet, h("ol", { class: "pw-rows pw-hunt" }, ...rows), remarkView(hunt.pointed, "pointed"));
  }

  function showNaming(hunt) {
    if (hunt.stage === "point") return fill(naming);
    if (hunt.stage !== "name") {
      const means = hunt.choices.find(([kind]) => kind === hunt.kind)?.[1];
      return fill(naming, h("h4", {}, WORDS.whoWrote(hunt.at + 1, means)), remarkView(hunt.named, "named"));
    }
    const held = naming.contains(document.activeElement) ? document.activeElement?.getAttribute("type") : null;
    const rows = hunt.choices.map(([kind, means]) => [kind, h("span", {}, `… ${means}`)]);
    const legend = WORDS.whatIsWrong(hunt.at + 1);
    fill(naming, ...choice(legend, rows, hunt.kind, WORDS.thatIsIt, (value, button) => commit(String(hunt.at), value, "", button)), remarkView(hunt.named, "named"));
    if (held) (held === "radio" ? naming.querySelector("input:checked") : naming.querySelector("button"))?.focus();
  }

  function showMending(hunt) {
    if (hunt.stage === "point" || hunt.stage === "name") {
      line?.close();
      line = null;
      return fill(mending);
    }
    if (!line) {
      const send = () => {
        const text = line.input.value.trim();
        if (text) return void commit(String(frame.shown.hunt.at), frame.shown.hunt.kind, text, button);
        frame.say(WORDS.nothingYet);
        line.input.focus();
      };
      line = lineInput(frame, { label: WORDS.mended(hunt.at + 1), onEnter: send, onInput: (text) => drafts.write(text) });
      const button = h("button", { type: "button", class: "pw-check", onclick: send }, WORDS.checkMended);
      line.verdict = h("div", { class: "pw-verdicts" });
      fill(mending, h("div", { class: "pw-entry" }, h("div", { class: "pw-row" }, line.node, button), line.verdict));
      const draft = drafts.read();
      line.setText(hunt.text || (typeof draft === "string" ? draft : ""), hunt.verdict?.reading);
    }
    if (hunt.verdict && line.input.value.trim() === hunt.text) line.settle();
    fill(line.verdict, hunt.verdict && !hunt.mended.says ? verdictView(hunt.verdict, { hints: true }) : null, remarkView(hunt.mended, "mended"));
  }

  return {
    update(shown) {
      const { hunt } = shown;
      story.textContent = prose(hunt.story);
      if (!same([hunt.rows, hunt.at, hunt.stage, hunt.pointed], seen.sheet)) showSheet(hunt);
      if (!same([hunt.at, hunt.kind, hunt.stage, hunt.named], seen.naming)) showNaming(hunt);
      if (!same([hunt.at, hunt.stage, hunt.verdict, hunt.mended], seen.mending)) showMending(hunt);
      seen = { sheet: [hunt.rows, hunt.at, hunt.stage, hunt.pointed], naming: [hunt.at, hunt.kind, hunt.stage, hunt.named], mending: [hunt.at, hunt.stage, hunt.verdict, hunt.mended] };
    },
  };
});
