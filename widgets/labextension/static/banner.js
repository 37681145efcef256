// One calm line above the notebook: what is wrong and the one thing to do about it.

/**
 * @typedef {{key: string, says: string, button?: string, act?: () => unknown, grave?: boolean}} Notice
 */

/** What stands behind other troubles: where the server is gone, saving fails too, and only the first can be helped. */
const FIRST = "kernel";

/** Notices by key, the gravest shown. A place of its own in the notebook's header. */
export class Banner {
  /** @param {any} panel a NotebookPanel @param {any} Widget Lumino's Widget */
  constructor(panel, Widget) {
    /** @type {Map<string, Notice>} */
    this.notices = new Map();
    this.widget = new Widget();
    this.widget.addClass("pwlab-banner");
    // The live region stands before its first text, so that a screen reader hears the change.
    this.live = document.createElement("div");
    this.live.setAttribute("role", "status");
    this.live.className = "pwlab-banner-text";
    this.button = document.createElement("button");
    this.button.type = "button";
    this.button.className = "pwlab-button";
    this.button.dataset.lmSuppressShortcuts = "true";
    this.button.addEventListener("click", () => void this.shown?.act?.());
    const inner = document.createElement("div");
    inner.className = "pwlab-banner-inner";
    inner.append(this.live, this.button);
    this.widget.node.append(inner);
    // The host lays the header out by the least height of its parts, so that height follows the text's.
    this.size = new ResizeObserver(() => {
      this.widget.node.style.minHeight = `${Math.ceil(inner.getBoundingClientRect().height)}px`;
      this.widget.parent?.fit();
    });
    this.size.observe(inner);
    panel.disposed.connect(() => this.size.disconnect());
    this.widget.hide();
    panel.contentHeader.addWidget(this.widget);
  }

  /** @param {Notice} notice */
  say(notice) {
    this.notices.set(notice.key, notice);
    this.draw();
  }

  /** @param {string} key */
  clear(key) {
    if (this.notices.delete(key)) this.draw();
  }

  draw() {
    const all = [...this.notices.values()];
    const grave = all.filter((one) => one.grave);
    const notice = grave.find(({ key }) => key === FIRST) ?? grave[0] ?? all[0];
    this.shown = notice;
    this.widget.setHidden(notice === undefined);
    this.widget.toggleClass("pwlab-grave", notice?.grave === true);
    const text = notice?.says ?? "";
    if (this.live.textContent !== text) this.live.textContent = text;
    this.button.hidden = notice?.button === undefined;
    this.button.textContent = notice?.button ?? "";
  }
}
