// @ts-check
// Speaking with the kernel: one promise for each question, and a watch on whether anybody answers.

const PATIENCE = 3000; // ms until a silent kernel is called silent
const BETWEEN_PINGS = 4000; // ms

export class Link {
  /**
   * @param {any} model the anywidget model
   * @param {(silent: boolean) => void} onChange called when the kernel falls silent or answers again
   * @param {(message: any) => void} onLate called with an answer that came after patience had run out, or {kind: "lost"} where none will
   */
  constructor(model, onChange, onLate) {
    this.model = model;
    this.onChange = onChange;
    this.onLate = onLate;
    this.knocking = 0;
    this.silent = false;
    this.open = new Map();
    // Two views of one model hear each other's answers: ids start at a random place to tell them apart.
    this.last = Math.floor(Math.random() * 1e12);
    this.pinged = 0;
    this.hear = (/** @type {any} */ message) => this.receive(message);
    model.on("msg:custom", this.hear);
  }

  /**
   * Send one message; the promise gives the answer, or {kind: "silent"} when patience runs out. It never fails.
   * @param {string} kind @param {object} [rest]
   * @returns {Promise<any>}
   */
  ask(kind, rest = {}) {
    this.last += 1;
    const id = this.last;
    return new Promise((resolve) => {
      const giveUp = () => {
        this.open.set(id, { resolve: this.onLate, timer: 0 });
        this.note(true);
        resolve({ kind: "silent", id });
      };
      this.open.set(id, { resolve, timer: window.setTimeout(giveUp, PATIENCE) });
      try {
        this.model.send({ kind, id, ...rest });
      } catch {
        clearTimeout(this.open.get(id).timer);
        giveUp(); // the connection is closed: as good as silent
      }
    });
  }

  /** Ask whether the kernel is there, not more often than makes sense. */
  ping() {
    const now = Date.now();
    if (now - this.pinged < BETWEEN_PINGS && !this.silent) return;
    this.pinged = now;
    void this.ask("ping");
  }

  receive(message) {
    const waiting = this.open.get(message?.id);
    if (waiting === undefined) return;
    this.open.delete(message.id);
    clearTimeout(waiting.timer);
    this.note(false);
    waiting.resolve(message);
    // A kernel answers in order: what was given up and is passed over now never reached it.
    const lost = [...this.open].filter(([id, { timer }]) => timer === 0 && id < message.id);
    for (const [id] of lost) this.open.delete(id);
    if (lost.length) this.onLate({ kind: "lost", id: message.id });
  }

  note(silent) {
    if (silent === this.silent) return;
    this.silent = silent;
    clearInterval(this.knocking);
    if (silent) this.knocking = window.setInterval(() => this.ping(), BETWEEN_PINGS);
    this.onChange(silent);
  }

  close() {
    this.model.off("msg:custom", this.hear);
    clearInterval(this.knocking);
    for (const { timer } of this.open.values()) clearTimeout(timer);
    this.open.clear();
  }
}

/** Typed but not yet checked text, kept in the browser so that nothing typed is lost; and whether it was sent and never answered. */
export class Drafts {
  /** @param {any} shown @param {string | null} item */
  constructor(shown, item) {
    const place = [shown.lesson, shown.problem, shown.step, item ?? ""].join(":");
    this.key = `plusway:draft:${place}`;
    this.sent = `plusway:sent:${place}`;
  }

  read() {
    return recall(this.key);
  }

  /** What is changed is no longer what was sent. @param {any} value */
  write(value) {
    keep(this.key, value);
    keep(this.sent, null);
  }

  clear() {
    keep(this.key, null);
  }

  /** Whether what stands in the field was sent to be checked, and no answer has come. */
  get owed() {
    return recall(this.sent) === true;
  }

  set owed(value) {
    keep(this.sent, value || null);
  }
}

/** @param {string} key @returns {any} */
function recall(key) {
  try {
    return JSON.parse(localStorage.getItem(key) ?? "null");
  } catch {
    return null; // no storage, or foreign contents: there is simply nothing
  }
}

/** @param {string} key @param {any} value null: nothing is kept any more */
function keep(key, value) {
  try {
    if (value === null) localStorage.removeItem(key);
    else localStorage.setItem(key, JSON.stringify(value));
  } catch {
    // A full or forbidden storage: the text stays in its field all the same.
  }
}
