// The container that JupyterLab and Notebook 7 ask for: the module-federation contract, spoken by hand,
// so that nobody needs Node to install or to build this extension.
//
// The host loads this file as a classic script, calls `init(shared)` with its shared scope, and then
// `get("./extension")` and `get("./style")`, each a promise of a factory. Everything else stands in the
// plain ES modules beside this file, fetched by `import()` relative to this script's own address.
(() => {
  "use strict";

  const here = document.currentScript.src;
  const address = (name) => new URL(name, here).href;

  /** @type {Record<string, unknown> | undefined} the host's shared scope: package -> version -> {get} */
  let shared;

  const modules = {
    "./extension": async () => {
      const { plugins } = await import(address("./extension.js"));
      const made = await plugins(shared);
      // The host writes `__scope__` on what the factory returns: a module namespace would refuse it.
      return { __esModule: true, default: made };
    },
    "./style": async () => {
      const link = document.createElement("link");
      link.rel = "stylesheet";
      link.href = address("./style.css");
      document.head.append(link);
      return { __esModule: true, default: undefined };
    },
  };

  const container = {
    /** @param {Record<string, unknown>} scope */
    init(scope) {
      if (shared !== undefined && shared !== scope) {
        throw new Error("plusway: this page already has another shared scope");
      }
      shared = scope;
    },
    /** @param {string} name */
    async get(name) {
      const make = Object.hasOwn(modules, name) ? modules[name] : undefined;
      if (make === undefined) {
        throw new Error(`plusway: no module "${name}" here, only ${Object.keys(modules).join(" and ")}`);
      }
      const made = await make();
      return () => made;
    },
  };

  window._JUPYTERLAB = window._JUPYTERLAB ?? {};
  window._JUPYTERLAB.plusway = container;
})();
