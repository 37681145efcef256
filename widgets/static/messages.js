// @ts-check
// The twin of widgets/messages.py: every message between the browser and the kernel. Only types, nothing runs.
//
// What a page round the widgets may rely on:
//   - The widget's root element, `.plusway[data-problem][data-step][data-item][data-lesson][data-state]`, lies in the light DOM.
//     data-state: "blank", "some", "slip", "done" (or "kept", where verdicts are held back until marking). data-worked: the teacher shows
//     this step worked, so it is none of the student's.
//   - After every commit that the kernel has kept, the root dispatches
//       new CustomEvent("plusway:commit", {bubbles: true, composed: true, detail: {record}})
//     with the whole journal record, to be put into the notebook's metadata (metadata.plusway.entries).
//   - After every change of its state the root dispatches
//       new CustomEvent("plusway:state", {bubbles: true, composed: true, detail: {problem, step, item, state}}).
//   - A widget's state travels in the trait `shown`, also to a page that has not drawn the widget yet; its `problem`, `step`, `fields[].item`,
//     `state` and `settings.worked` are read from the kernel's own messages there (labextension/static/heard.js).
//   - When the kernel doesn't answer, the root dispatches "plusway:silent" and, when it answers again, "plusway:alive".
//   - When a widget appears it calls `globalThis.plusway?.restore?.(root)`, which returns Entry[] from the metadata of the notebook that
//     holds the root (or a promise of it), and sends them on as a Restore message.

/**
 * @typedef {{format: number, id: string, when: string, n: number, problem: string, step: string, item: string | null,
 *            value: any, hints: number, lesson: string}} Record
 *
 * From the browser to the kernel:
 * @typedef {{kind: "preview", id: number, text: string}} Preview
 * @typedef {{kind: "commit", id: number, item: string | null, value: any, hints: number}} Commit
 * @typedef {{kind: "hint", id: number, item: string | null, level: number}} Hint
 * @typedef {{kind: "ping", id: number}} Ping
 * @typedef {{kind: "restore", id: number, entries: Record[]}} Restore
 * @typedef {{kind: "press", id: number, name: string}} Press
 * @typedef {{kind: "set", id: number, values: {[datum: string]: number}}} Set
 * @typedef {{kind: "about", id: number, datum: string}} About
 * @typedef {{kind: "predict", id: number, choices: {[symbol: string]: string}}} Predict
 * @typedef {Preview | Commit | Hint | Ping | Restore | Press | Set | About | Predict} FromBrowser
 *
 * From the kernel to the browser:
 * @typedef {{says: string, at: [number, number]}} Complaint
 * @typedef {{kind: "previewed", id: number, text: string, mathml: string, speech: string, remarks: string[],
 *            complaint: Complaint | null}} Previewed
 * @typedef {{kind: "committed", id: number, record: Record, kept: boolean}} Committed
 * @typedef {{kind: "hinted", id: number, item: string | null, level: number, of: number, says: string}} Hinted
 * @typedef {{kind: "pong", id: number}} Pong
 * @typedef {{kind: "restored", id: number, taken: number}} Restored
 * @typedef {{kind: "trouble", id: number, says: string}} Trouble
 * @typedef {{kind: "pressed", id: number, says: string}} Pressed
 * @typedef {{kind: "explored", id: number, says: string}} Explored
 * @typedef {Previewed | Committed | Hinted | Pong | Restored | Trouble | Pressed | Explored} FromKernel
 *
 * The widget's state, its trait `shown`:
 * @typedef {{label: string, text: string, mathml: string}} Earlier
 * @typedef {{item: string | null, label: string, value: any, hints: number, verdicts: any[], options: string[][],
 *            unit: string, record: Record | null}} Field
 * @typedef {{lesson: string, problem: string, step: string, title: string, note: string, fields: Field[],
 *            earlier: Earlier[], picture: any, symbols: string[][], tilts: Record<string, any>, typed: Record<string, Record<string, string>>, settings: any, trouble: string, state: string}} Shown
 *
 * Find the slip, `hunt` within its `shown`:
 * @typedef {{label: string, text: string, mathml: string}} HuntRow
 * @typedef {{good: boolean, says: string, text: string, mathml: string}} Remark
 * @typedef {{stage: string, story: string, rows: HuntRow[], choices: string[][], at: number | null, kind: string, text: string,
 *            pointed: Remark, named: Remark, mended: Remark, verdict: any}} Hunt
 *
 * The closing picture's trait `shown`:
 * @typedef {{thing: string, label: string, outline: number[][], round: boolean, arrows: any[], bar: any, says: string[]}} Diagram
 * @typedef {{lesson: string, problem: string, title: string, notes: string[], picture: any, motion: any, diagrams: Diagram[],
 *            says: string[], decimal_comma: boolean, trouble: string, state: string}} Closing
 */
