// @ts-check
// A heading, some lines and buttons: round a practice session. The messages are Press and Pressed.
import { h, fill, freshId, same } from "./dom.js";
import { Link } from "./link.js";
import { prose } from "./mathview.js";
import { WORDS } from "./words.js";

export default {
  render({ model, el }) {
    const id = freshId("bar");
    const heading = h("h3", { id, tabindex: "-1" });
    const notice = h("div", { class: "pw-notices", role: "alert" });
    const lines = h("div", { class: "pw-lines" });
    const buttons = h("div", { class: "pw-row" });
    const live = h("div", { class: "pw-sr", role: "status" });
    const root = h("section", { class: "plusway pw-bar", "aria-labelledby": id, "data-lm-suppress-shortcuts": "true" }, heading, notice, lines, buttons, live);
    for (const kind of ["keydown", "keypress", "keyup"]) root.addEventListener(kind, (event) => event.stopPropagation());
    const showNotice = () => {
      const says = link.silent ? WORDS.silentBar() : model.get("shown").notice;
      fill(notice, says ? h("p", { class: "pw-notice" }, says) : null);
    };
    const link = new Link(model, showNotice, () => undefined);
    let seen = null;

    async function press(name, button) {
      if (button.getAttribute("aria-busy") === "true") return;
      button.setAttribute("aria-busy", "true");
      const answer = await link.ask("press", { name });
      button.removeAttribute("aria-busy");
      live.textContent = "";
      requestAnimationFrame(() => (live.textContent = prose(answer.says ?? "")));
    }

    function refresh() {
      const shown = model.get("shown");
      if (same(shown, seen)) return;
      const turned = seen !== null && seen.turn !== shown.turn;
      const others = seen === null || !same(seen.buttons, shown.buttons);
      seen = shown;
      heading.textContent = shown.heading;
      heading.hidden = !shown.heading;
      showNotice();
      fill(lines, ...shown.lines.map((line) => h("p", {}, prose(line))));
      if (others)
        fill(
          buttons,
          ...shown.buttons.map(([name, label]) => {
            const button = h("button", { type: "button", class: shown.heading ? "pw-quiet" : "pw-check" }, label);
            button.addEventListener("click", () => void press(name, button));
            return button;
          }),
        );
      if (turned && shown.heading) {
        heading.focus();
        heading.scrollIntoView?.({ block: "start" });
      }
    }

    el.replaceChildren(root);
    model.on("change:shown", refresh);
    refresh();
    return () => {
      model.off("change:shown", refresh);
      link.close();
    };
  },
};
