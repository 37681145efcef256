// Finding the lessons in the folders at hand: notebooks whose metadata says `plusway`.

const MOST = 60; // notebooks read before the search ends

/**
 * @param {any} contents the contents manager
 * @param {string[]} folders
 * @returns {Promise<{path: string, title: string}[]>}
 */
export async function findLessons(contents, folders) {
  const paths = new Set();
  for (const folder of new Set(folders)) {
    const listing = await contents.get(folder, { content: true }).catch(() => null);
    const items = listing?.content ?? [];
    for (const item of items) if (item.type === "notebook") paths.add(item.path);
    for (const inner of items.filter(({ type }) => type === "directory").slice(0, 20)) {
      const inside = await contents.get(inner.path, { content: true }).catch(() => null);
      for (const item of inside?.content ?? []) if (item.type === "notebook") paths.add(item.path);
    }
  }
  const found = [];
  for (const path of [...paths].sort().slice(0, MOST)) {
    const file = await contents.get(path, { type: "notebook", format: "json", content: true }).catch(() => null);
    const lesson = file?.content?.metadata?.plusway;
    if (lesson !== null && typeof lesson === "object") found.push({ path, title: String(lesson.title ?? "") });
  }
  return found;
}
