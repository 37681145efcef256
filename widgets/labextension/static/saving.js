// Saving a lesson's notebook soon after a commit, and saying so when that fails.
import { entriesOf, withEntries } from "./records.js";

const SOON = 400; // ms after the last commit
const AT_MOST = 2000; // ms after the first one that is not saved yet
const KEY = "plusway";

/** @param {any} panel a NotebookPanel */
export const metadataOf = (panel) => panel.content.model?.getMetadata(KEY);

/** @param {any} panel @param {import("./records.js").Entry[]} entries */
export function takeIn(panel, entries) {
  const model = panel.content.model;
  if (model === null || entries.length === 0) return;
  const before = model.getMetadata(KEY);
  const after = withEntries(before, entries);
  if (JSON.stringify(before) !== JSON.stringify(after)) model.setMetadata(KEY, after);
}

/** @param {any} notebook nbformat content */
const sources = (notebook) =>
  JSON.stringify(
    notebook.cells.map((cell) => [cell.cell_type, Array.isArray(cell.source) ? cell.source.join("") : cell.source]),
  );

/** Saves one notebook: debounced, one at a time, again when the connection is back. */
export class Saving {
  /**
   * @param {any} panel a NotebookPanel
   * @param {any} contents the contents manager
   * @param {(problem: string | null) => void} told  called after each try: null, or what went wrong
   */
  constructor(panel, contents, told) {
    this.panel = panel;
    this.contents = contents;
    this.told = told;
    this.timer = 0;
    this.since = 0;
    this.failed = false;
    this.running = Promise.resolve();
    this.others = new BroadcastChannel("plusway-saved");
    this.others.onmessage = ({ data }) => {
      if (data === panel.context.path) void this.meet().catch((error) => console.warn("plusway:", error));
    };
    panel.disposed.connect(() => this.stop());
  }

  soon() {
    const now = Date.now();
    this.since ||= now;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.now(), Math.max(0, Math.min(SOON, this.since + AT_MOST - now)));
  }

  /** Whether a commit waits to be saved. */
  get waiting() {
    return this.since !== 0;
  }

  /** Save as soon as the save before is through. @returns {Promise<void>} */
  now() {
    clearTimeout(this.timer);
    this.since = 0;
    // Two tabs that save at the same moment would each find a file that the other has changed.
    const alone = (act) => (navigator.locks ? navigator.locks.request(`plusway:${this.panel.context.path}`, act) : act());
    this.running = this.running.then(() => alone(() => this.save()));
    return this.running;
  }

  async save() {
    const { context } = this.panel;
    if (context.isDisposed) return;
    let failed = false;
    const watch = (_, state) => {
      failed ||= state === "failed";
    };
    context.saveState.connect(watch);
    try {
      await this.meet();
      await context.save();
      if (failed) throw new Error("the server did not take the file");
      this.failed = false;
      this.told(null);
      this.others.postMessage(context.path);
    } catch (error) {
      this.failed = true;
      this.told(error instanceof Error && error.message ? error.message : String(error));
    } finally {
      context.saveState.disconnect(watch);
    }
  }

  /**
   * Take in what another tab has saved. When only answers and outputs differ, the file on disk counts as
   * known, and the host has no conflict to ask about; when sources differ, the host asks as always.
   */
  async meet() {
    const { context } = this.panel;
    const known = context.contentsModel;
    if (!known || context.isDisposed) return;
    const now = await this.contents.get(context.path, { content: false });
    if (now.last_modified === known.last_modified) return;
    const disk = await this.contents.get(context.path, { type: "notebook", format: "json", content: true, hash: true });
    takeIn(this.panel, entriesOf(disk.content?.metadata?.[KEY]));
    if (sources(disk.content) !== sources(this.panel.content.model.toJSON())) return;
    // Not public in the host; where it is missing the host's own question appears, and nothing is lost.
    context._updateContentsModel?.({ ...disk, content: null });
  }

  stop() {
    clearTimeout(this.timer);
    this.others.close();
  }
}
