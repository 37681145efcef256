// Commands, their places in the palette and the launcher, and their keys.
import { findLessons } from "./finding.js";
import { jump, nextUnfinished, rowsOf } from "./steps.js";

const IDS = {
  open: "plusway:open-lesson",
  next: "plusway:next-unfinished",
  save: "plusway:save-answers",
  steps: "plusway:show-steps",
};

const CLOSED = 100; // ms: by then the palette has closed

/** Ctrl is Command on a Mac; each was free in JupyterLab 4 and Notebook 7. */
const KEYS = [
  { command: IDS.next, keys: ["Alt Shift N"], selector: ".jp-Notebook" },
  { command: IDS.steps, keys: ["Alt Shift L"], selector: "body" },
];

/**
 * @param {import("./host.js").Host} host
 * @param {any} icon
 * @param {{current: () => import("./lesson.js").Lesson | undefined, panelId: string, browser: any}} lessons
 */
export function addCommands(host, icon, lessons) {
  const { commands, apputils } = host;
  const inLesson = () => lessons.current() !== undefined;

  commands.addCommand(IDS.open, {
    label: (args) => (args.isPalette ? "plusway: open a lesson" : "plusway lesson"),
    caption: "Open a guided lesson in the mechanics of connected bodies",
    icon: (args) => (args.isPalette ? undefined : icon),
    execute: async (args) => {
      if (typeof args.path === "string") return commands.execute("docmanager:open", { path: args.path });
      const here = typeof args.cwd === "string" ? args.cwd : (lessons.browser?.model?.path ?? "");
      const found = await findLessons(host.contents, [here, ""]);
      if (found.length === 0) {
        await apputils.showErrorMessage(
          "No lesson here",
          "No plusway lesson was found in this folder. Run “plusway learn” in a terminal: it lays the lessons out and opens them.",
        );
        return undefined;
      }
      const labels = found.map(({ path, title }) => (title === "" ? path : `${title} (${path})`));
      const chosen =
        found.length === 1
          ? 0
          : labels.indexOf((await apputils.InputDialog.getItem({ title: "Open a lesson", items: labels, okLabel: "Open" })).value);
      return chosen < 0 ? undefined : commands.execute("docmanager:open", { path: found[chosen].path });
    },
  });

  commands.addCommand(IDS.next, {
    label: "plusway: go to next unfinished step",
    isEnabled: inLesson,
    execute: async () => {
      const lesson = lessons.current();
      if (!lesson) return;
      const row = nextUnfinished(rowsOf(lesson), lesson.panel.content.activeCellIndex);
      if (row) await jump(lesson.panel, row);
      else apputils.Notification?.info("All steps of this lesson are finished.", { autoClose: 4000 });
    },
  });

  commands.addCommand(IDS.save, {
    label: "plusway: save answers now",
    isEnabled: inLesson,
    execute: () => lessons.current()?.saving.now(),
  });

  commands.addCommand(IDS.steps, {
    label: "plusway: show the steps of the lesson",
    execute: async () => {
      host.shell.activateById(lessons.panelId);
      // The palette, where the command came from there, first gives the focus back to where it was.
      await new Promise((go) => setTimeout(go, CLOSED));
      document.querySelector(`#${lessons.panelId} button`)?.focus();
    },
  });

  for (const binding of KEYS) commands.addKeyBinding(binding);
}

/** @param {any} palette @param {any} launcher either may be missing */
export function offerCommands(palette, launcher) {
  for (const command of Object.values(IDS)) palette?.addItem({ command, category: "plusway", args: { isPalette: true } });
  launcher?.add({ command: IDS.open, category: "Other", rank: 0 });
}
