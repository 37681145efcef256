// What the kernel says of each step, heard from the messages that bring its widgets to the page.
//
// A step whose cell has never been in sight has no widget in the page yet, but the kernel has judged it. Nothing that stands in
// the notebook's file is believed here: a file can say of itself that all is right.

/** @typedef {{problem: string, step: string, item: string | null, state: string, worked: boolean}} Said */

export class Heard {
  /** @param {any} session the panel's sessionContext @param {() => void} changed called when a step's state is another one */
  constructor(session, changed) {
    /** @type {Map<string, Said>} */
    this.said = new Map();
    this.changed = changed;
    session.iopubMessage?.connect((_, message) => this.take(message));
    session.kernelChanged.connect((_, { oldValue }) => {
      if (oldValue) this.said.clear(); // another kernel has judged nothing yet
    });
  }

  /** @param {any} message one of the kernel's to all */
  take(message) {
    const kind = message.header?.msg_type;
    if (kind !== "comm_open" && kind !== "comm_msg") return;
    const data = message.content?.data;
    const states = data?.method === "update_states" ? Object.values(data.states ?? {}).map((one) => one?.state) : [data?.state];
    for (const state of states) if (state?.shown) this.note(state.shown);
  }

  /** @param {any} shown `Shown` of widgets/messages.py */
  note({ problem, step, fields, state, settings }) {
    if (typeof problem !== "string" || typeof step !== "string" || typeof state !== "string" || !Array.isArray(fields)) return;
    const item = fields.length === 1 ? (fields[0]?.item ?? null) : null; // as the widget's root has it in data-item
    const key = JSON.stringify([problem, step, item]);
    const now = { problem, step, item, state, worked: Boolean(settings?.worked?.includes?.(step)) };
    const differs = JSON.stringify(this.said.get(key)) !== JSON.stringify(now);
    this.said.set(key, now);
    if (differs) this.changed();
  }

  /** @param {string} problem @param {string} step @param {string | null} item null: of any of its things @returns {Said[]} */
  of(problem, step, item) {
    return [...this.said.values()].filter((one) => one.problem === problem && one.step === step && (item === null || one.item === item));
  }
}
