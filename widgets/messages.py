"""Every message that passes between a step, a bar or an explorer in the browser and the kernel: the one typed list.

`static/messages.js` is its twin on the other side; a test holds the two together. A browser's message carries an `id`, and the
answer repeats it, so that a late answer can't be taken for another's. Every text is data: each side shows it as text.
"""

from __future__ import annotations

from typing import Any, Literal, TypedDict


class Record(TypedDict):
    """One line of the journal, and one entry in the notebook's own metadata.

    `when` is UTC in ISO 8601, `n` counts the entries of one lesson, `lesson` is the notebook's id. `value` has the shape of the
    contract's answers below problem and step: a direction word, a list of [symbol, direction], a line, or a list of lines.
    """

    format: int
    id: str
    when: str
    n: int
    problem: str
    step: str
    item: str | None
    value: Any
    hints: int
    lesson: str


# --- from the browser to the kernel --------------------------------------------------------------------------------


class Preview(TypedDict):
    """While a line is being typed: how would it be read? No verdict, nothing kept."""

    kind: Literal["preview"]
    id: int
    text: str


class Commit(TypedDict):
    """The student has checked an answer. `item`: thing or symbol; None where the whole step is one list."""

    kind: Literal["commit"]
    id: int
    item: str | None
    value: Any
    hints: int


class Hint(TypedDict):
    """The student asks for a hint. `level` 1 to 3: where to look, why, how."""

    kind: Literal["hint"]
    id: int
    item: str | None
    level: int


class Ping(TypedDict):
    """Is the kernel there?"""

    kind: Literal["ping"]
    id: int


class Restore(TypedDict):
    """Entries that the notebook's metadata holds; the newest of them and of the journal's wins."""

    kind: Literal["restore"]
    id: int
    entries: list[Record]


class Press(TypedDict):
    """A button of a bar was pressed."""

    kind: Literal["press"]
    id: int
    name: str


class Set(TypedDict):
    """The sliders of an explorer stand so: {datum: value in its own unit}."""

    kind: Literal["set"]
    id: int
    values: dict[str, float]


class About(TypedDict):
    """Draw the curves over this datum."""

    kind: Literal["about"]
    id: int
    datum: str


class Predict(TypedDict):
    """What the student expects of each curve; only then are the curves shown."""

    kind: Literal["predict"]
    id: int
    choices: dict[str, str]


FromBrowser = Preview | Commit | Hint | Ping | Restore | Press | Set | About | Predict


# --- from the kernel to the browser --------------------------------------------------------------------------------


class Complaint(TypedDict):
    """Why a line can't be read, and the characters it is about."""

    says: str
    at: tuple[int, int]


class Previewed(TypedDict):
    """How `text` is read: MathML, words for a screen reader, and either remarks or a complaint."""

    kind: Literal["previewed"]
    id: int
    text: str
    mathml: str
    speech: str
    remarks: list[str]
    complaint: Complaint | None


class Committed(TypedDict):
    """An answer is kept (`record`) and judged; the verdicts come in the widget's state, `shown`.

    `kept` is False where the journal could not be written; the browser still has the record to put into the notebook.
    """

    kind: Literal["committed"]
    id: int
    record: Record
    kept: bool


class Hinted(TypedDict):
    """One hint, and how many of them there are for this item."""

    kind: Literal["hinted"]
    id: int
    item: str | None
    level: int
    of: int
    says: str


class Pong(TypedDict):
    kind: Literal["pong"]
    id: int


class Restored(TypedDict):
    """How many of the entries sent were newer than what the kernel knew."""

    kind: Literal["restored"]
    id: int
    taken: int


class Trouble(TypedDict):
    """A message could not be served; one sentence for the student."""

    kind: Literal["trouble"]
    id: int
    says: str


class Pressed(TypedDict):
    """What the button does is done; `says` is announced."""

    kind: Literal["pressed"]
    id: int
    says: str


class Explored(TypedDict):
    """An explorer shows what was asked; `says` is announced."""

    kind: Literal["explored"]
    id: int
    says: str


FromKernel = Previewed | Committed | Hinted | Pong | Restored | Trouble | Pressed | Explored


# --- the widget's state: the trait `shown` ---------------------------------------------------------------------------


class Earlier(TypedDict):
    """An earlier answer, shown for reference."""

    label: str
    text: str
    mathml: str


class Field(TypedDict):
    """One place of a step that is committed by itself: a thing's direction, one result, one whole list.

    `value` is what was committed last (None: nothing yet). `verdicts` are the judge's steps in the contract's JSON with `reading`
    (MathML of the line, or "") added, one for each item below this field; "given" is said of what the lesson gives. `record` is the entry that counts, so that a
    notebook whose metadata lacks it can be brought up to date.
    """

    item: str | None
    label: str
    value: Any
    hints: int
    verdicts: list[dict[str, Any]]
    options: list[list[str]]
    unit: str
    record: dict[str, Any] | None


class Shown(TypedDict):
    """All that a step's widget shows. `typed`: how else the forces on a thing may be typed, {thing: {symbol: "weight; gravity"}}.
    `tilts`: the forces on it that are given with an angle, {thing: {symbol: {degrees, letter, says}}}."""

    lesson: str
    problem: str
    step: str
    title: str
    note: str
    fields: list[Field]
    earlier: list[Earlier]
    picture: dict[str, Any]
    symbols: list[list[str]]
    tilts: dict[str, dict[str, Any]]
    typed: dict[str, dict[str, str]]
    settings: dict[str, Any]
    trouble: str
    state: str


# --- find the slip: `hunt` within its `shown`, which is a Shown otherwise ------------------------------------------------


class HuntRow(TypedDict):
    """One line of the solution in which a slip is to be found; `label` says what it is."""

    label: str
    text: str
    mathml: str


class Remark(TypedDict):
    """What is said of a choice, with a line to compare; all empty where nothing was chosen yet."""

    good: bool
    says: str
    text: str
    mathml: str


class Hunt(TypedDict):
    """`stage`: point, name, mend, done. `at`, `kind`, `text`: the line pointed at, the kind named, the mended line."""

    stage: str
    story: str
    rows: list[HuntRow]
    choices: list[list[str]]
    at: int | None
    kind: str
    text: str
    pointed: Remark
    named: Remark
    mended: Remark
    verdict: dict[str, Any] | None


# --- the closing picture's `shown` --------------------------------------------------------------------------------------


class Diagram(TypedDict):
    """One thing with its forces to scale: outline and arrows as points round (0, 0), y downwards; the same in words."""

    thing: str
    label: str
    outline: list[list[float]]
    round: bool
    arrows: list[dict[str, Any]]
    bar: dict[str, Any] | None
    says: list[str]


class Closing(TypedDict):
    """`state`: "blank" while something has to be answered first (`notes` say what), then "done". `picture`: the scene as
    `widgets/moving.py` has it, {} where there is no motion to show; `motion`: end (s), things {thing: v, a}, turns, bar."""

    lesson: str
    problem: str
    title: str
    notes: list[str]
    picture: dict[str, Any]
    motion: dict[str, Any]
    diagrams: list[Diagram]
    says: list[str]
    decimal_comma: bool
    trouble: str
    state: str
