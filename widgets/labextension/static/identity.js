// Whose numbers: an assignment may give each student numbers of their own, drawn from a seed.

/**
 * The seed of a student's own numbers; `seed_for` in autograde/marking/assignment.py gives the same.
 * @param {string} assignment @param {string} student
 * @returns {Promise<string | null>} null where the browser has no hash (a page that came without encryption)
 */
async function seedFor(assignment, student) {
  if (globalThis.crypto?.subtle === undefined) return null;
  const text = new TextEncoder().encode(`plusway\0${assignment}\0${student}`);
  const hash = new Uint8Array(await crypto.subtle.digest("SHA-256", text));
  return [...hash.slice(0, 8)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/**
 * Write student and seed into a lesson's metadata at its first opening, when its numbers differ by student and
 * the server says who works here. Nothing is guessed: without a name the kernel side does without.
 *
 * @param {any} model the notebook model
 * @param {string} user the name that the hub gives, or ""
 * @returns {Promise<boolean>} whether metadata was written, and should be saved before the kernel reads it
 */
export async function nameStudent(model, user) {
  const lesson = model.getMetadata("plusway");
  if (user === "" || lesson?.settings?.numbers !== "per-student" || typeof lesson.seed === "string") return false;
  const seed = await seedFor(String(lesson.assignment ?? ""), user);
  if (seed === null) return false;
  model.setMetadata("plusway", { ...lesson, student: user, seed });
  return true;
}
