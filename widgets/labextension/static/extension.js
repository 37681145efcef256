// The plugin: it finds the lessons among the open notebooks and hands each its answers, panel and banner.
import { addCommands, offerCommands } from "./commands.js";
import { hostOf, packages } from "./host.js";
import { SVG } from "./icon.js";
import { Lesson, isLesson } from "./lesson.js";
import { makePanel } from "./panel.js";

const WIDE = 1100; // CSS px: from here on the panel opens beside the first lesson by itself
const NARROW = 700; // CSS px: below, as when the page is zoomed, both sides leave the room to the lesson

/**
 * @param {import("./shared.js").SharedScope} scope the host's shared scope
 * @returns {Promise<object[]>} the plugins
 */
export async function plugins(scope) {
  const taken = await packages(scope);
  const optional = [
    taken.notebook.INotebookTracker, // Notebook 7's file list has none
    taken.apputils.ICommandPalette,
    taken.launcher.ILauncher,
    taken.application.ILayoutRestorer,
  ];
  return [
    {
      id: "plusway:lesson",
      description: "Keeps the answers of a plusway lesson in its notebook and shows its steps.",
      autoStart: true,
      optional,
      activate: (app, ...services) => activate(hostOf(taken, app), app, services),
    },
  ];
}

/** @param {import("./host.js").Host} host @param {any} app @param {any[]} services */
function activate(host, app, [tracker, palette, launcher, restorer]) {
  const icon = new host.ui.LabIcon({ name: "plusway:mark", svgstr: SVG });
  /** @type {Map<any, Lesson>} panel -> lesson */
  const open = new Map();
  const current = () => open.get(tracker?.currentWidget);
  addCommands(host, icon, { current, panelId: "plusway-steps" });
  offerCommands(palette, launcher);
  if (!tracker) return;

  const panel = makePanel(host.widgets.Widget, icon, current);
  app.shell.add(panel.widget, "right", { rank: 100 });
  restorer?.add(panel.widget, "plusway-steps");
  let frame = 0;
  const changed = () => {
    cancelAnimationFrame(frame);
    frame = requestAnimationFrame(() => panel.draw());
  };

  /** @param {any} notebook a NotebookPanel @returns {Lesson} */
  const lessonOf = (notebook) => {
    let lesson = open.get(notebook);
    if (lesson === undefined) {
      lesson = new Lesson(notebook, host, changed);
      open.set(notebook, lesson);
      notebook.disposed.connect(() => {
        open.delete(notebook);
        changed();
      });
    }
    return lesson;
  };
  const welcome = async (notebook) => {
    await notebook.context.ready;
    if (notebook.isDisposed || !isLesson(notebook)) return;
    const lesson = lessonOf(notebook);
    changed();
    if (open.size === 1 && window.innerWidth >= WIDE) app.shell.activateById(panel.widget.id);
    if (window.innerWidth < NARROW) void app.restored.then(() => leaveRoom(app.shell)); // a layout of before may bring the file browser back
    await lesson.open();
    changed();
  };
  const welcomed = (notebook) => void welcome(notebook).catch((error) => console.error("plusway:", error));
  let room = window.innerWidth;
  window.addEventListener("resize", () => {
    if (window.innerWidth < NARROW && room >= NARROW && open.size > 0) leaveRoom(app.shell);
    room = window.innerWidth;
  });
  tracker.forEach(welcomed);
  tracker.widgetAdded.connect((_, notebook) => welcomed(notebook));
  tracker.currentChanged.connect(changed);
  changed();
  listen(tracker, open, lessonOf, changed);
}

/** Fold the sides away, the file browser too; a click on their edge brings them back. @param {any} shell */
function leaveRoom(shell) {
  shell.collapseLeft?.();
  shell.collapseRight?.();
}

/**
 * What the widgets say to the page round them, as `static/messages.js` of the widgets lists it.
 * @param {any} tracker
 * @param {Map<any, Lesson>} open
 * @param {(notebook: any) => Lesson} lessonOf
 * @param {() => void} changed
 */
function listen(tracker, open, lessonOf, changed) {
  /** @param {EventTarget[]} path @returns {any} the notebook panel that holds the first node of a path */
  const holder = (path) => tracker.find((notebook) => path.includes(notebook.node));
  const withLesson = (event, act) => {
    const notebook = holder(event.composedPath());
    if (notebook) act(lessonOf(notebook));
  };
  document.addEventListener("plusway:commit", (event) => {
    const record = event.detail?.record;
    const notebook = holder(event.composedPath());
    // An output shown in a view of its own lies outside its notebook: the lesson with that id takes the record.
    const lesson = notebook
      ? lessonOf(notebook)
      : [...open.values()].find(({ panel }) => panel.content.model?.getMetadata("plusway")?.lesson === record?.lesson);
    if (lesson) lesson.commit(record);
    else console.warn("plusway: an answer came from outside every open lesson");
  });
  document.addEventListener("plusway:state", changed);
  document.addEventListener("plusway:silent", (event) => withLesson(event, (lesson) => lesson.silent(true)));
  document.addEventListener("plusway:alive", (event) => withLesson(event, (lesson) => lesson.silent(false)));
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState !== "hidden") return;
    for (const lesson of open.values()) if (lesson.saving.waiting) void lesson.saving.now();
  });

  /** Entries of the notebook that holds `el`; a widget may ask before it is in the page. */
  const restore = async (el) => {
    for (let turn = 0; turn < 100 && !el.isConnected; turn += 1) await new Promise((go) => setTimeout(go, 50));
    const path = [];
    for (let node = el; node; node = node.parentNode ?? node.host) path.push(node);
    const notebook = holder(path);
    return notebook ? lessonOf(notebook).entries() : [];
  };
  globalThis.plusway = { ...globalThis.plusway, restore };
}
