// One calm line above the notebook: what is wrong and the one thing to do about it.

/**
 * @typedef {{key: string, says: string, button?: string, act?: () => unknown, grave?: boolean}} Notice
 */

/** Notices by key, the gravest shown. A place of its own in the notebook's header. */
export class Banner {
  /** @param {any} panel a NotebookPanel @param {any} Widget Lumino's Widget */
  constructor(panel, Widget) {
    /** @type {Map<string, Notice>} */
    this.notices = new Map();
    this.widget = new Widget();
    this.widget.addClass("pw-banner");
    // The live region stands before its first text, so that a screen reader hears the change.
    this.live = document.createElement("div");
    this.live.setAttribute("role", "status");
    this.live.className = "pw-banner-text";
    this.button = document.createElement("button");
    this.button.type = "button";
    this.button.className = "pw-button";
    this.button.dataset.lmSuppressShortcuts = "true";
    this.button.addEventListener("click", () => void this.shown?.act?.());
    this.widget.node.append(this.live, this.button);
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
    const notice = all.find(({ grave }) => grave) ?? all[0];
    this.shown = notice;
    this.widget.setHidden(notice === undefined);
    this.widget.toggleClass("pw-grave", notice?.grave === true);
    const text = notice?.says ?? "";
    if (this.live.textContent !== text) this.live.textContent = text;
    this.button.hidden = notice?.button === undefined;
    this.button.textContent = notice?.button ?? "";
    // The header is a box layout that measures its children only when asked.
    this.widget.parent?.fit?.();
  }
}
