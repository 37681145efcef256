// @ts-check
// The force diagram of one thing, empty at first: arrows by list and button, by a click round the body, or by typing "T up, W_1 down".
import { alone, h, fill, freshId, same } from "./dom.js";
import { forcePicture } from "./forcepicture.js";
import { step } from "./frame.js";
import { Drafts } from "./link.js";
import { announce, verdictBox } from "./linefield.js";
import { symbolText } from "./mathview.js";
import { WORDS } from "./words.js";

const MOST = 24; // arrows; more is no diagram

export default step((frame) => {
  const diagrams = new Map();
  return {
    update(shown) {
      for (const field of shown.fields) {
        if (!diagrams.has(field.item)) diagrams.set(field.item, diagram(frame, field));
        diagrams.get(field.item).update(field);
      }
    },
  };
});

function diagram(frame, first) {
  const drafts = new Drafts(frame.shown, first.item);
  const labels = new Map(first.options);
  const lettersOf = new Map(frame.shown.symbols.map(([symbol, , own]) => [symbol, own]));
  const nameOf = (/** @type {string} */ symbol) => symbolText(lettersOf.get(symbol) ?? symbol);
  let field = first;
  let arrows = [];
  let seen = null;

  const [forceId, wayId, typedId] = [freshId("force"), freshId("way"), freshId("typed")];
  const force = h(
    "select",
    { id: forceId, class: "pw-input" },
    h("option", { value: "" }, "choose a force"),
    ...frame.shown.symbols.map(([symbol, words]) => h("option", { value: symbol }, symbol === "other" ? words : `${nameOf(symbol)}: ${words}`)),
  );
  const way = h(
    "select",
    { id: wayId, class: "pw-input" },
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
  const picture = forcePicture(first.label, first.options, (word) => addArrow(force.value, word));
  const list = h("ul", { class: "pw-forcelist", "aria-label": WORDS.inYourDiagram(first.label) });
  const button = h("button", { type: "button", class: "pw-check", onclick: () => void commit() }, WORDS.checkDiagram);
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
    changed();
    frame.say(WORDS.added(`${nameOf(symbol)} ${labels.get(word) ?? word}`));
    return true;
  }

  function addTyped() {
    const found = [];
    for (const part of typed.value.split(/[,;\n]+/).map((text) => text.trim()).filter(Boolean)) {
      const arrow = readArrow(part);
      if (!Array.isArray(arrow)) {
        said.textContent = arrow ?? WORDS.noArrow(part.slice(0, 60), exampleArrow());
        frame.say(said.textContent);
        return;
      }
      found.push(arrow);
    }
    if (!found.length) {
      said.textContent = WORDS.anArrow(exampleArrow());
      return;
    }
    if (found.every(([symbol, word]) => addArrow(symbol, word))) typed.value = "";
  }

  /** In this scene's letters, and nothing that a student has to find: a weight acts down. */
  function exampleArrow() {
    const typedNames = Object.entries(frame.shown.typed[first.item] ?? {});
    const weight = typedNames.find(([, names]) => names.startsWith("weight"))?.[0];
    const [symbol, word] = weight && labels.has("down") ? [weight, "down"] : [frame.shown.symbols[0][0], first.options[0][0]];
    return `${nameOf(symbol)} ${labels.get(word)}`;
  }

  /** "W_1 down", "weight downwards", "W1 ↓" -> ["W_1", "down"]; what is wrong with the force, in words; or null. @param {string} text */
  function readArrow(text) {
    const plain = text.trim().replace(/\s+/g, " ");
    const endings = first.options.flatMap(([word, label, also]) => [label, word, `to the ${word}`, ...also.split("; ")].map((ending) => [ending, word]));
    for (const [ending, word] of endings.sort((a, b) => b[0].length - a[0].length)) {
      if (!plain.toLowerCase().endsWith(/\w/.test(ending) ? ` ${ending}` : ending)) continue;
      const force = plain.slice(0, -ending.length).trim().replace(/[:=]$/, "").trim();
      if (!force || force.length > 30) return null;
      const fits = forcesCalled(force);
      if (fits.length === 1) return [fits[0], word];
      return WORDS.noForce(force, fits.length ? fits.map(nameOf) : nearTo(force).map(nameOf), frame.shown.symbols.slice(0, -1).map(([symbol, words]) => `${nameOf(symbol)} (${words})`));
    }
    return null;
  }

  /** The symbols of the forces that go by a name: their own letters, else a usual name such as "tension". @param {string} force */
  function forcesCalled(force) {
    const squeezed = squeeze(force);
    const exact = frame.shown.symbols.filter(([name, , own]) => squeeze(name) === squeezed || squeeze(own) === squeezed);
    if (exact.length) return [exact[0][0]];
    const usual = squeezed.length > 2 ? squeezed.toLowerCase() : squeezed;
    return Object.entries(frame.shown.typed[first.item] ?? {})
      .filter(([, names]) => names.split("; ").some((name) => squeeze(name) === usual))
      .map(([symbol]) => symbol);
  }

  /** Those that differ in capitals only, or begin with the same letter. @param {string} force */
  function nearTo(force) {
    const small = squeeze(force).toLowerCase();
    const alike = frame.shown.symbols.filter(([name, , own]) => squeeze(name).toLowerCase() === small || squeeze(own).toLowerCase() === small);
    return (alike.length ? alike : frame.shown.symbols.filter(([, , own]) => own[0].toLowerCase() === small[0])).map(([name]) => name).filter((name) => name !== "other");
  }

  const squeeze = (/** @type {string} */ symbol) => symbol.normalize("NFKC").replace(/[_\s{}]/g, "");

  function remove(at) {
    const [symbol, word] = arrows[at];
    arrows = arrows.filter((_, place) => place !== at);
    changed();
    const buttons = list.querySelectorAll("button");
    (buttons[Math.min(at, buttons.length - 1)] ?? force).focus();
    frame.say(WORDS.removed(`${nameOf(symbol)} ${labels.get(word) ?? word}`));
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
          h("span", {}, `${nameOf(symbol)} ${labels.get(word) ?? word}`),
          h("button", { type: "button", class: "pw-tool", "aria-label": WORDS.remove(`${nameOf(symbol)} ${labels.get(word) ?? word}`), onclick: () => remove(at) }, h("span", { "aria-hidden": "true" }, "×")),
        ),
      ),
    );
    const differs = Boolean(field.value) && !same(arrows, field.value);
    stale.textContent = differs ? WORDS.changed : "";
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
