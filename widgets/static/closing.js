// @ts-check
// The closing picture: the motion at its true rate, to be paused, wound and started anew; the forces to scale; the same in words.
import { h, fill, freshId, same } from "./dom.js";
import { forceDiagrams } from "./forcediagram.js";
import { prose } from "./mathview.js";
import { movingPicture } from "./movingpicture.js";
import { WORDS } from "./words.js";


export default {
  render({ model, el }) {
    const id = freshId("closing");
    const heading = h("h3", { id });
    const notices = h("div", { class: "pw-notices", role: "alert" });
    const content = h("div", { class: "pw-body" });
    const live = h("div", { class: "pw-sr", role: "status" });
    const root = h("section", { class: "plusway pw-closing", "aria-labelledby": id, "data-lm-suppress-shortcuts": "true" }, heading, notices, content, live);
    for (const kind of ["keydown", "keypress", "keyup"]) root.addEventListener(kind, (event) => event.stopPropagation());
    let seen = null;
    let player = null;

    function refresh() {
      const shown = model.get("shown");
      if (same(shown, seen)) return;
      const same_motion = seen !== null && same([seen.picture, seen.motion], [shown.picture, shown.motion]);
      seen = shown;
      root.dataset.problem = shown.problem;
      root.dataset.state = shown.state;
      heading.textContent = shown.title;
      fill(notices, shown.trouble ? h("p", { class: "pw-notice" }, shown.trouble) : null);
      if (!same_motion) {
        player?.close();
        player = shown.picture.things ? play(shown, live) : null;
      }
      const waits = shown.state === "blank" && shown.notes.length > 1;
      fill(
        content,
        waits
          ? [h("p", {}, shown.notes[0]), h("ul", { class: "pw-first" }, ...shown.notes.slice(1).map((text) => h("li", {}, text)))]
          : shown.notes.map((text) => h("p", { class: "pw-remark" }, prose(text))),
        player?.node,
        shown.says.map((text) => h("p", {}, prose(text))),
        shown.diagrams.length ? h("div", { class: "pw-diagrams" }, ...forceDiagrams(shown.diagrams)) : null,
      );
    }

    el.replaceChildren(root);
    model.on("change:shown", refresh);
    refresh();
    return () => {
      model.off("change:shown", refresh);
      player?.close();
    };
  },
};

/** The moving picture with its controls. @param {any} shown @param {HTMLElement} live */
function play(shown, live) {
  const { motion } = shown;
  const picture = movingPicture(shown.picture, motion, shown.title, prose(shown.says.join(" ")));
  const box = h("div", { class: "pw-picture" }, picture.svg);
  if (!motion.end) return { node: box, close: () => {} };
  const still = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
  const rangeId = freshId("time");
  const button = h("button", { type: "button", class: "pw-check pw-play", onclick: () => (frame ? pause() : go()) });
  const again = h("button", { type: "button", class: "pw-plain", onclick: () => go(0) }, WORDS.again);
  const slider = h("input", { id: rangeId, type: "range", min: "0", max: String(motion.end), step: "any", class: "pw-time", oninput: () => wind(Number(slider.value)), onkeydown: byKey });
  const clock = h("span", { class: "pw-clock", "aria-hidden": "true" });
  let now = 0;
  let frame = 0;
  let begun = 0; // the page's clock at which the motion stood at 0, in ms

  const seconds = () => now.toFixed(2).replace(".", shown.decimal_comma ? "," : ".");

  function show() {
    picture.at(now);
    slider.value = String(now);
    const said = `${seconds()} s`;
    clock.textContent = said;
    slider.setAttribute("aria-valuetext", said);
    box.dataset.time = String(now);
    button.textContent = frame ? WORDS.pause : WORDS.play;
  }

  function go(from = now >= motion.end ? 0 : now) {
    cancelAnimationFrame(frame);
    begun = performance.now() - from * 1000;
    now = from;
    frame = requestAnimationFrame(tick);
    show();
  }

  function tick() {
    now = Math.min((performance.now() - begun) / 1000, motion.end);
    frame = now < motion.end ? requestAnimationFrame(tick) : 0;
    show();
    if (!frame) live.textContent = WORDS.ended(seconds());
  }

  function pause() {
    cancelAnimationFrame(frame);
    frame = 0;
    show();
  }

  function wind(to) {
    now = to;
    pause();
  }

  /** A tenth of a second for each press: as long a step as the eye can use. @param {KeyboardEvent} event */
  function byKey(event) {
    const step = { ArrowRight: 0.1, ArrowUp: 0.1, ArrowLeft: -0.1, ArrowDown: -0.1 }[event.key];
    if (step === undefined) return;
    event.preventDefault();
    wind(Math.max(0, Math.min(motion.end, now + step)));
  }

  // It starts by itself once, when it is first in sight; a look at it by keyboard or mouse is never needed to stop it again.
  const watch = new IntersectionObserver((seen) => {
    if (!seen.some(({ isIntersecting }) => isIntersecting)) return;
    watch.disconnect();
    if (!still && now === 0 && !frame) go(0);
  }, { threshold: 0.6 });
  watch.observe(box);
  show();
  return {
    node: h(
      "div",
      { class: "pw-player" },
      box,
      still ? h("p", { class: "pw-remark" }, WORDS.still) : null,
      h("div", { class: "pw-row" }, button, again, h("div", { class: "pw-wind" }, h("label", { for: rangeId, class: "pw-label" }, "time"), slider), clock),
    ),
    close() {
      watch.disconnect();
      cancelAnimationFrame(frame);
    },
  };
}
