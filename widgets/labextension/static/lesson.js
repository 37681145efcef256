// One open lesson: a notebook whose metadata says `plusway`, with its banner, its saving and its kernel.
import { Banner } from "./banner.js";
import { Points, dress } from "./gradeCells.js";
import { Heard } from "./heard.js";
import { nameStudent } from "./identity.js";
import { kernelNotice, restart, watchKernel } from "./kernel.js";
import { checked, entriesOf } from "./records.js";
import { lessonCells, run, shadows } from "./running.js";
import { Saving, metadataOf, takeIn } from "./saving.js";

const PATIENCE = 4000; // ms until a server that does not answer is called so
const SETTLED = 1200; // ms after a restart: by then the host's own "run all" has begun

/** @param {any} panel a NotebookPanel @returns {boolean} */
export const isLesson = (panel) => {
  const metadata = metadataOf(panel);
  return metadata !== null && typeof metadata === "object";
};

export class Lesson {
  /**
   * @param {any} panel a NotebookPanel, populated
   * @param {import("./host.js").Host} host
   * @param {() => void} changed called when the state of a step may have changed
   */
  constructor(panel, host, changed) {
    this.panel = panel;
    this.host = host;
    this.changed = changed;
    this.banner = new Banner(panel, host.widgets.Widget);
    this.saving = new Saving(panel, host.contents, (problem) => this.saved(problem));
    this.points = new Points(panel, host.cells.CodeCell, () => this.writable && this.saving.soon());
    this.heard = new Heard(panel.sessionContext, changed);
    this.runs = 0;
    this.restarted = false;
    dress(panel);
    const stop = watchKernel(panel.sessionContext, (notice) => this.kernel(notice));
    const executed = (_, { notebook }) => {
      if (notebook === panel.content) this.restarted = false;
    };
    host.notebook.NotebookActions.executionScheduled?.connect(executed);
    panel.content.model.contentChanged.connect(changed);
    panel.content.model.cells.changed.connect(() => dress(panel));
    panel.disposed.connect(() => {
      stop();
      host.notebook.NotebookActions.executionScheduled?.disconnect(executed);
    });
  }

  /** What is done once, when the lesson opens. */
  async open() {
    if (await nameStudent(this.panel.content.model, this.host.user)) await this.saving.now();
    if (!this.writable) {
      this.banner.say({
        key: "readonly",
        says: "This notebook is write-protected here: answers can't be kept in it.",
        button: "Save a copy elsewhere",
        act: () => this.host.commands.execute("docmanager:save-as"),
        grave: true,
      });
    }
    await this.panel.sessionContext.ready;
    await this.runWhenSafe();
    // Opening has changed outputs and the kernel's own metadata: nobody should be asked whether to keep that.
    if (this.runs > 0 && !this.panel.isDisposed && this.writable) await this.saving.now();
  }

  get writable() {
    return this.panel.context.contentsModel?.writable !== false;
  }

  /** Run the lesson's cells unless the folder holds something that could stand in for a library. */
  async runWhenSafe() {
    if (!this.panel.sessionContext.session?.kernel) return; // the banner says so
    const folder = this.host.folder(this.panel.context.path);
    const shadow = await shadows(this.host.contents, folder);
    if (shadow === null) {
      await this.run();
      return;
    }
    this.banner.say({
      key: "shadow",
      says: `This folder holds Python files (${shadow}) that the lesson might run, so it has not started by itself.`,
      button: "Run the lesson",
      act: () => this.run(),
    });
  }

  /** Run the lesson's own cells. */
  async run() {
    this.banner.clear("shadow");
    const { cells, odd } = lessonCells(this.panel);
    if (odd > 0) {
      this.banner.say({
        key: "odd",
        says: "Some cells marked as the lesson's hold other code. They have not been run: read them before you run them.",
        button: "I see",
        act: () => this.banner.clear("odd"),
      });
    }
    if (cells.length > 0) await run(this.panel, cells, this.host);
    this.runs += 1;
    this.changed();
    if (cells.length > 0) await this.points.now();
  }

  /** @param {ReturnType<typeof kernelNotice>} notice */
  kernel(notice) {
    if (notice === null) {
      this.banner.clear("kernel");
      this.banner.clear("silent");
      if (this.saving.failed) void this.saving.now();
      const status = this.panel.sessionContext.session?.kernel?.status;
      if (this.restarted && status === "idle") {
        setTimeout(() => {
          // After "Restart and run all" the host has scheduled cells by now, and `restarted` is down again.
          if (this.restarted && !this.panel.isDisposed) void this.runWhenSafe();
          this.restarted = false;
        }, SETTLED);
      }
      return;
    }
    if (notice.cure !== "reconnect") this.restarted = true;
    const act = notice.cure === "reconnect" ? () => this.reconnect() : () => this.restart();
    this.banner.say({ ...notice, act });
  }

  /** @param {boolean} silent whether a widget says that nobody answers it */
  silent(silent) {
    if (!silent) {
      this.banner.clear("silent");
      return;
    }
    this.banner.say({
      key: "silent",
      says: "The kernel does not answer. Your checked answers are kept.",
      button: "Restart the kernel and run the lesson",
      act: () => this.restart(),
      grave: true,
    });
  }

  async restart() {
    this.banner.say({ key: "kernel", says: "The kernel is starting. Your checked answers are kept.", grave: true });
    try {
      await restart(this.panel.sessionContext);
      await this.panel.sessionContext.session?.kernel?.info;
      this.restarted = false;
      this.banner.clear("kernel");
      this.banner.clear("silent");
      await this.run();
    } catch (error) {
      this.banner.say({
        key: "kernel",
        says: `The kernel could not be started (${error.message ?? error}). Is the server still running?`,
        button: "Try again",
        act: () => this.restart(),
        grave: true,
      });
    }
  }

  async reconnect() {
    this.banner.say({ key: "kernel", says: "Connecting again …", grave: true });
    const kernel = this.panel.sessionContext.session?.kernel;
    const patience = new Promise((go) => setTimeout(go, PATIENCE));
    await Promise.race([kernel?.reconnect().catch(() => undefined), patience]);
    const notice = kernelNotice(this.panel.sessionContext);
    if (notice === null) this.banner.clear("kernel");
    else if (notice.cure !== "reconnect") this.kernel(notice);
    else
      this.banner.say({
        key: "kernel",
        says: "The server does not answer. Start plusway learn again, and open the address that it prints. Your checked answers are kept.",
        button: "Try again",
        act: () => this.reconnect(),
        grave: true,
      });
  }

  /** @returns {import("./records.js").Entry[]} */
  entries() {
    return entriesOf(metadataOf(this.panel));
  }

  /** Take a committed record into the notebook. @param {unknown} record @returns {boolean} whether it was one */
  commit(record) {
    const entry = checked(record);
    if (entry === null) {
      console.warn("plusway: a commit without the shape of an entry was left out", record);
      return false;
    }
    takeIn(this.panel, [entry]);
    this.saving.soon();
    this.points.later(entry.problem);
    this.changed();
    return true;
  }

  /** @param {string | null} problem what went wrong with saving */
  saved(problem) {
    if (problem === null) {
      this.banner.clear("save");
      return;
    }
    this.banner.say({
      key: "save",
      says: `Your answers could not be saved into this notebook (${problem}). Keep this page open.`,
      button: "Save again",
      act: () => this.saving.now(),
      grave: true,
    });
  }
}
