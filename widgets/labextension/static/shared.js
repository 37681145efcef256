// Taking packages from the host: its shared scope maps package -> version -> {get, loaded, from, eager}.

/**
 * @typedef {{get: () => Promise<() => unknown> | (() => unknown), loaded?: unknown}} Offer
 * @typedef {Record<string, Record<string, Offer>>} SharedScope
 */

/** @param {string} version @returns {number[]} */
const parts = (version) => version.split(/[-+]/, 1)[0].split(".").map((part) => Number.parseInt(part, 10) || 0);

/** @param {string} a @param {string} b whether version a is older than b (numbers only) */
export function older(a, b) {
  const [left, right] = [parts(a), parts(b)];
  for (let place = 0; place < Math.max(left.length, right.length); place += 1) {
    const difference = (left[place] ?? 0) - (right[place] ?? 0);
    if (difference !== 0) return difference < 0;
  }
  return false;
}

/**
 * The host's own instance of a package. Tokens are compared by identity, so this follows the rule by
 * which the host picks a singleton: the newest version, unless another has already been loaded.
 *
 * @param {SharedScope} scope
 * @param {string} name
 * @returns {Promise<any>} the package's exports
 * @throws {Error} when the host does not share the package
 */
export async function take(scope, name) {
  const offers = scope[name];
  if (offers === undefined) throw new Error(`plusway: this page does not share ${name}`);
  const version = Object.keys(offers).reduce((best, next) =>
    !offers[best].loaded && older(best, next) ? next : best,
  );
  const factory = await offers[version].get();
  return factory();
}
