// What the extension needs of JupyterLab or Notebook 7, gathered in one place.
import { take } from "./shared.js";

/**
 * @typedef {object} Host
 * @property {any} notebook   exports of @jupyterlab/notebook
 * @property {any} cells      exports of @jupyterlab/cells
 * @property {any} widgets    exports of @lumino/widgets
 * @property {any} apputils   exports of @jupyterlab/apputils
 * @property {any} ui         exports of @jupyterlab/ui-components
 * @property {any} contents   the contents manager
 * @property {any} commands   the application's commands
 * @property {any} shell      the application's shell
 * @property {string} user    the student's name as the hub gives it, or ""
 * @property {(path: string) => string} folder the folder of a path
 */

/**
 * @param {import("./shared.js").SharedScope} scope
 * @returns {Promise<Record<string, any>>} exports, by the short names of `Host`
 */
export async function packages(scope) {
  const names = {
    application: "@jupyterlab/application",
    apputils: "@jupyterlab/apputils",
    cells: "@jupyterlab/cells",
    coreutils: "@jupyterlab/coreutils",
    launcher: "@jupyterlab/launcher",
    notebook: "@jupyterlab/notebook",
    ui: "@jupyterlab/ui-components",
    widgets: "@lumino/widgets",
  };
  const taken = await Promise.all(Object.values(names).map((name) => take(scope, name)));
  return Object.fromEntries(Object.keys(names).map((key, place) => [key, taken[place]]));
}

/**
 * @param {Record<string, any>} taken
 * @param {any} app the JupyterFrontEnd
 * @returns {Host}
 */
export function hostOf(taken, app) {
  return {
    ...taken,
    contents: app.serviceManager.contents,
    commands: app.commands,
    shell: app.shell,
    user: taken.coreutils.PageConfig.getOption("hubUser"),
    folder: (path) => taken.coreutils.PathExt.dirname(path),
  };
}
