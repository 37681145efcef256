// @ts-check
// The force diagram of one thing, empty at first: arrows by list and button, by a click round the body, or by typing "T up, W_1 down".
import { alone, h, fill, freshId, same } from "./dom.js";
import { forcePicture } from "./forcepicture.js";
import { arrowsTyped } from "./forcewords.js";
import { eachField, step } from "./frame.js";
import { Drafts } from "./link.js";
import { announce, verdictBox } from "./linefield.js";
import { prose, symbolText } from "./mathview.js";
import { WORDS } from "./words.js";

const MOST = 24; // arrows; more is no diagram

export default step((frame) => eachField((field) => diagram(frame, field)));

function diagram(frame, first) {
  const drafts = new Drafts(frame.shown, first.item);
  const labels = new Map(first.options);
  const lettersOf = new Map(frame.shown.symbols.map(([symbol, , own]) => [symbol, own]));
  const nameOf = (/** @type {string} */ symbol) => symbolText(lettersOf.get(symbol) ?? symbol);
  const arrowText = (/** @type {string} */ symbol, /** @type {string} */ word) => `${nameOf(symbol)} ${labels.get(word) ?? word}`;
  const waits = new Set(); // the lists in which something was chosen that no arrow has used yet
  let field = first;
  let arrows = [];
  let seen = null;

  const [forceId, wayId, typedId] = [freshId("force"), freshId("way"), freshId("typed")];
  const force = h(
    "select",
    { id: forceId, class: "pw-input", onchange: () => waits.add(force) },
    h("option", { value: "" }, "choose a force"),
    ...frame.shown.symbols.map(([symbol, words]) => h("option", { value: symbol }, symbol === "other" ? words : `${nameOf(symbol)}: ${prose(words)}`)),
  );
  const way = h(
    "select",
    { id: wayId, class: "pw-input", onchange: () => waits.add(way) },
    h("option", { value: "" }, "choose a direction"),
    ...first.options.map(([word, label]) => h("option", { value: word }, label)),
  );
  const said = h("p", { class: "pw-complaint" });
  const add = h("button", { type: "button", class: "pw-plain", onclick: () => addArrow(force.value, way.value) }, WORDS.addArrow);
  const typed = h("input", {
    id: typedId, type: "text", class: "pw-input", autocomplete: "off", autocapitalize: "off", spellcheck: "false", dir: "ltr", placeholder: "",
    onkeydown: (/** @type {KeyboardEvent} */ event) => {
      if (event.key !== "Enter" || event.isComposing) return;
      event.preventDefault();
      addTyped();
    },
  });
  typed.placeholder = `${exampleArrow()}, …`;
  const picture = forcePicture(first.label, first.options, (word) => addArrow(force.value, word), frame.shown.tilts?.[first.item]);
  const list = h("ul", { class: "pw-forcelist", "aria-label": WORDS.inYourDiagram(first.label) });
  const button = h("button", { type: "button", class: "pw-check", onclick: () => void commit() }, WORDS.checkDiagram(frame.atOnce));
  const stale = h("p", { class: "pw-stale" });
  const verdict = h("div", { class: "pw-verdicts" });
  frame.body.append(
    h(
      "div",
      { class: "pw-side" },
      h("div", { class: "pw-picture" }, picture.svg),
      h(
        "div",
        { class: "pw-choices" },
        h("div", { class: "pw-pair" }, h("div", {}, h("label", { for: forceId, class: "pw-label" }, "force"), force), h("div", {}, h("label", { for: wayId, class: "pw-label" }, "direction"), way), add),
        h("div", { class: "pw-pair" }, h("div", { class: "pw-grow" }, h("label", { for: typedId, class: "pw-label" }, WORDS.orType), typed), h("button", { type: "button", class: "pw-plain", onclick: () => addTyped() }, WORDS.add)),
        said,
        list,
        button,
        stale,
      ),
    ),
    verdict,
  );

  function addArrow(symbol, word) {
    if (!symbol || !word) {
      said.textContent = symbol ? WORDS.directionToo : WORDS.forceFirst;
      (symbol ? way : force).focus();
      return false;
    }
    if (arrows.length >= MOST) {
      said.textContent = WORDS.tooManyArrows;
      return false;
    }
    said.textContent = "";
    arrows = [...arrows, [symbol, word]];
    waits.clear();
    changed();
    frame.say(WORDS.added(arrowText(symbol, word)));
    return true;
  }

  /** What is typed says it all; a direction that was chosen in the list and differs is told of. */
  function addTyped() {
    const known = { symbols: frame.shown.symbols, ways: first.options, names: frame.shown.typed[first.item] ?? {}, nameOf, example: exampleArrow() };
    const { arrows: found, says } = arrowsTyped(typed.value, known, { symbol: waits.has(force) ? force.value : "", word: waits.has(way) ? way.value : "" });
    if (says) {
      said.textContent = prose(says);
      frame.say(says);
      return;
    }
    const chosen = waits.has(way) ? way.value : "";
    if (!found.every(([symbol, word]) => addArrow(symbol, word))) return;
    typed.value = "";
    const names = found.map(([symbol, word]) => arrowText(symbol, word));
    if (chosen && !found.some(([, word]) => word === chosen)) said.textContent = WORDS.addedAsTyped(names, labels.get(chosen) ?? chosen);
    frame.say(said.textContent || WORDS.added(names.join(", ")));
  }

  /** In this scene's letters, and nothing that a student has to find: a weight acts down. */
  function exampleArrow() {
    const typedNames = Object.entries(frame.shown.typed[first.item] ?? {});
    const called = (/** @type {string} */ usual) => typedNames.find(([, names]) => names.startsWith(usual))?.[0];
    const weight = called("weight");
    const [symbol, word] = weight && labels.has("down") ? [weight, "down"] : [called("tension") ?? frame.shown.symbols[0][0], first.options[0][0]];
    return `${nameOf(symbol)} ${labels.get(word)}`;
  }

  function remove(at) {
    const [symbol, word] = arrows[at];
    arrows = arrows.filter((_, place) => place !== at);
    changed();
    const buttons = list.querySelectorAll("button");
    (buttons[Math.min(at, buttons.length - 1)] ?? force).focus();
    frame.say(WORDS.removed(arrowText(symbol, word)));
  }

  function changed() {
    drafts.write(arrows);
    draw();
  }

  function draw() {
    picture.draw(arrows.map(([symbol, word]) => ({ symbol: symbol === "other" ? symbol : (lettersOf.get(symbol) ?? symbol), word, name: nameOf(symbol), way: labels.get(word) ?? word })));
    fill(
      list,
      ...arrows.map(([symbol, word], at) =>
        h(
          "li",
          {},
          h("span", {}, arrowText(symbol, word)),
          h("button", { type: "button", class: "pw-tool", "aria-label": WORDS.remove(arrowText(symbol, word)), onclick: () => remove(at) }, h("span", { "aria-hidden": "true" }, "×")),
        ),
      ),
    );
    const differs = Boolean(field.value) && !same(arrows, field.value);
    stale.textContent = differs ? WORDS.changed(frame.atOnce) : "";
  }

  const commit = alone(async () => {
    if (!arrows.length && !field.value) {
      said.textContent = WORDS.emptyDiagram;
      frame.say(said.textContent);
      force.focus();
      return;
    }
    button.setAttribute("aria-busy", "true");
    const sent = arrows;
    const answer = await frame.commit(field.item, sent, drafts);
    button.removeAttribute("aria-busy");
    if (answer.kind !== "committed") return;
    if (same(arrows, sent)) drafts.clear();
    draw();
    announce(frame, field, WORDS.diagramOf(field.label));
  });

  frame.onReturn(() => {
    if (!drafts.owed) return;
    if (!same(arrows, field.value ?? [])) void commit();
    else drafts.owed = false;
  });

  return {
    update(next) {
      const now = { value: next.value, verdicts: next.verdicts };
      if (same(now, seen)) return;
      const begin = seen === null;
      const old = seen?.value ?? [];
      field = next;
      seen = now;
      const draft = begin ? drafts.read() : null;
      if (Array.isArray(draft) && draft.length) arrows = draft;
      else if (begin || same(arrows, old)) arrows = field.value ?? [];
      draw();
      fill(verdict, frame.atOnce ? verdictBox(frame, field) : field.value ? h("p", { class: "pw-kept" }, WORDS.kept) : null);
    },
  };
}
