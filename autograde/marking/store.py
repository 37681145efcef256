"""results.sqlite: every notebook's marks, kept as they come, so that an interrupted run goes on and a second one marks
only what has changed. The other result files are written from it, row by row."""

from __future__ import annotations

import csv
import io
import json
import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from urllib.parse import quote

from ..errors import UsageError
from ..printable import printable
from ..records.atomic import replacing
from .cells import cell_of
from .marked import COMPARED, Flag, Marked

TABLES = """
create table if not exists notebooks (
    file text primary key, student text not null, assignment text not null, status text not null,
    points real not null, of real not null, error text not null, flags text not null,
    digest text not null, run integer not null, record text not null);
create table if not exists steps (
    file text not null, problem text not null, step text not null, item text not null, text text not null,
    verdict text not null, points real not null, of real not null, slips text not null);
create table if not exists seconds (file text primary key);
create table if not exists unwritten (student text primary key);
create index if not exists steps_of_file on steps (file);
create index if not exists notebooks_of_student on notebooks (student);
"""


_CURES = {
    "locked": "another program has this file locked; close it there, then give the command again",
    "disk is full": "the disk is full; make room, then give the command again: what is kept already is not marked again",
    "readonly database": "may not be written to; change its permissions, or choose another --out",
    "unable to open": "can't be opened or made; see to the folder's permissions, or choose another --out",
    "disk I/O error": "the disk gives an error (is it full, or gone?); see to it, then give the command again",
}

PATIENCE = 10  # seconds to wait for another program that has the file locked
UNDER_WAY, FINISHED = 1, 0


class Store:
    """The results of one folder. Effects: one SQLite file. Not shared between threads.

    As a context manager it keeps, on leaving, whatever was saved, and says in one line what is the matter with the file.
    """

    def __init__(self, path: Path, writing: bool = True) -> None:
        """Raises UsageError where the file is there but is no results file, or can't be written (or read)."""
        self.path = path
        try:
            if writing:
                path.parent.mkdir(parents=True, exist_ok=True)
                self._db = sqlite3.connect(path, timeout=PATIENCE, isolation_level=None)
                self._db.executescript("pragma journal_mode=wal; pragma synchronous=normal;" + TABLES)
                self._db.execute("begin immediate")
                self._db.execute(f"pragma user_version={UNDER_WAY}")
            else:
                self._db = _to_read(path)
            self.run = int(self._db.execute("select coalesce(max(run), 0) + 1 from notebooks").fetchone()[0])
        except (sqlite3.Error, OSError) as error:
            raise self._trouble(error) from None

    def __enter__(self) -> Store:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: object) -> None:
        try:
            if isinstance(error, sqlite3.Error):
                raise error
            self.close()
        except sqlite3.Error as trouble:
            self._db.close()  # what was saved since the last commit is lost with it, and will be marked again
            raise self._trouble(trouble) from None

    def _trouble(self, error: Exception) -> UsageError:
        said = str(error)
        for part, cure in _CURES.items():
            if part in said:
                return UsageError(f"{self.path}: {cure}")
        return UsageError(f"{self.path}: can't be used for the results ({said}); delete it, or choose another --out")

    @property
    def unfinished(self) -> bool:
        """Whether the last marking was cut off, or is still at work."""
        return int(self._db.execute("pragma user_version").fetchone()[0]) == UNDER_WAY

    def finish(self) -> None:
        """Everything is marked and every file is written."""
        self._db.execute("delete from unwritten")
        self._db.execute(f"pragma user_version={FINISHED}")
        self.commit()

    def unwritten(self) -> set[str]:
        """The students whose pages are not those of their marks."""
        return {str(student) for (student,) in self._db.execute("select student from unwritten")}

    def digest(self, file: str) -> str:
        """The digest with which that notebook was last marked, "" if it never was."""
        row = self._db.execute("select digest from notebooks where file = ?", (file,)).fetchone()
        return str(row[0]) if row else ""

    def touch(self, file: str) -> None:
        """This notebook is still there and unchanged."""
        self._db.execute("update notebooks set run = ? where file = ?", (self.run, file))

    def save(self, marked: Marked, digest: str) -> None:
        """Keep a notebook's marks in place of earlier ones. digest: of its file, by which it is known to be unchanged."""
        record = marked.to_json()
        self._db.execute("insert or ignore into unwritten values (?)", (marked.student,))
        self._db.execute("delete from steps where file = ?", (marked.file,))
        self._db.execute(
            "insert or replace into notebooks values (?,?,?,?,?,?,?,?,?,?,?)",
            (marked.file, marked.student, marked.assignment, marked.status, marked.points, marked.of, marked.error,
             json.dumps([flag.to_json() for flag in marked.flags], ensure_ascii=False), digest, self.run,
             json.dumps(record, ensure_ascii=False, separators=(",", ":"))))
        self._db.executemany(
            "insert into steps values (?,?,?,?,?,?,?,?,?)",
            [(marked.file, problem.problem, step["step"], str(step["item"]), step["text"], step["verdict"],
              step["points"], step["of"], " ".join(slip["kind"] for slip in step["slips"]))
             for problem, step in marked.steps()])

    def commit(self) -> None:
        """What was saved up to now is safe whatever happens next."""
        self._db.execute("commit")
        self._db.execute("begin immediate")

    def keep_others(self, assignment: str) -> None:
        """In a course this run looked for one assignment only: those of the others are still there."""
        self._db.execute("update notebooks set run = ? where assignment != ?", (self.run, assignment))

    def forget_gone(self) -> int:
        """Forget notebooks that are no longer in the folder; returns how many."""
        self._db.execute("insert or ignore into unwritten select student from notebooks where run != ?", (self.run,))
        gone = self._db.execute("delete from notebooks where run != ?", (self.run,)).rowcount
        self._db.execute("delete from steps where file not in (select file from notebooks)")
        self.commit()
        return gone

    def close(self) -> None:
        """Commit and let go of the file."""
        if self._db.in_transaction:
            self._db.execute("commit")
        self._db.close()

    def all(self) -> Iterator[Marked]:
        """Every notebook's marks, by student and file, one at a time."""
        for (record,) in self._db.execute("select record from notebooks order by student, file"):
            yield Marked.from_json(json.loads(record))

    def students(self) -> Iterator[str]:
        """Every student with a notebook, in order."""
        last = ""
        while (row := self._db.execute("select min(student) from notebooks where student > ?", (last,)).fetchone())[0]:
            last = str(row[0])
            yield last

    def records_of(self, student: str) -> list[str]:
        """A student's records as they are kept, each a line of JSON."""
        rows = self._db.execute("select record from notebooks where student = ? order by file", (student,))
        return [str(record) for (record,) in rows]

    def of_student(self, student: str) -> list[Marked]:
        """The marks of a student's notebooks, by file."""
        return [Marked.from_json(json.loads(record)) for record in self.records_of(student)]

    def flag(self, file: str, flags: Iterable[Flag]) -> None:
        """Replace the flags that come from comparing students."""
        row = self._db.execute("select record from notebooks where file = ?", (file,)).fetchone()
        record = json.loads(row[0])
        kept = [f for f in record["flags"] if f["kind"] not in COMPARED] + [f.to_json() for f in flags]
        if kept != record["flags"]:
            record["flags"] = kept
            self._db.execute("update notebooks set flags = ?, record = ? where file = ?",
                             (json.dumps(kept, ensure_ascii=False),
                              json.dumps(record, ensure_ascii=False, separators=(",", ":")), file))

    def count_instead(self, file: str, other: str) -> None:
        """Another file of the student's counts in this one's place; "": this one counts."""
        self._db.execute("insert or ignore into seconds values (?)" if other else "delete from seconds where file = ?", (file,))
        row = self._db.execute("select student, record from notebooks where file = ?", (file,)).fetchone()
        student, record = row[0], json.loads(row[1])
        if record.get("counts_instead", "") != other:
            record["counts_instead"] = other
            self._db.execute("insert or ignore into unwritten values (?)", (student,))
            self._db.execute("update notebooks set record = ? where file = ?",
                             (json.dumps(record, ensure_ascii=False, separators=(",", ":")), file))

    def second_files(self) -> list[str]:
        """Those that did not count when they were last looked at, as far as they are still there."""
        return [str(f) for (f,) in self._db.execute("select file from seconds where file in (select file from notebooks)")]

    def of_several(self) -> Iterator[Marked]:
        """The marks of those who handed in several notebooks for one assignment."""
        rows = self._db.execute("select record from notebooks where (student, assignment) in "
                                "(select student, assignment from notebooks group by student, assignment having count(*) > 1) order by file")
        for (record,) in rows:
            yield Marked.from_json(json.loads(record))

    def flagged_by_comparing(self) -> list[str]:
        some = " or ".join(f"flags like '%\"kind\": \"{kind}\"%'" for kind in COMPARED)
        return [str(f) for (f,) in self._db.execute(f"select file from notebooks where {some}")]


def write_jsonl(store: Store, path: Path) -> None:
    """One line of JSON for each notebook."""
    with replacing(path) as out:
        for marked in store.all():
            line = json.dumps(marked.to_json(), ensure_ascii=False, separators=(",", ":"))
            out.write(line.encode("utf-8", "replace") + b"\n")


def write_csv(store: Store, path: Path) -> None:
    """One row for each notebook, one column for each step; every cell quoted, none that a spreadsheet would calculate. A second
    file that does not count has no points here, so that nothing is added up twice, nor has one that could not be marked: nought is a
    mark."""
    columns: dict[str, None] = {}
    for marked in store.all():
        columns.update(dict.fromkeys(_by_cell(marked)))
    with replacing(path) as raw:
        out = io.TextIOWrapper(raw, encoding="utf-8", errors="replace", newline="", write_through=True)
        rows = csv.writer(out, quoting=csv.QUOTE_ALL)
        rows.writerow([*("student", "file", "assignment", "status", "points", "of"), *map(safe, columns),
                       *("flags", "remarks", "error")])
        for marked in store.all():
            cells = {} if marked.second else _by_cell(marked)
            points = "" if marked.second or marked.error else f"{marked.points:g}"
            worth = (points, "" if marked.second else f"{marked.of:g}")
            rows.writerow([
                safe(marked.student), safe(marked.file), safe(marked.assignment), "not counted" if marked.second else marked.status,
                *worth, *(f"{cells[c]:g}" if c in cells else "" for c in columns),
                safe("; ".join(flag.says for flag in marked.flags)), safe("; ".join(filter(None, [marked.second, marked.unread, *marked.remarks]))),
                safe(marked.error)])
        out.detach()


def safe(text: str) -> str:
    """A text that no spreadsheet takes for a formula, on one line.

    >>> safe("=1+1"), safe("T = 2")
    ("'=1+1", 'T = 2')
    """
    line = " ".join(printable(text, " ").split())
    return "'" + line if line[:1] in ("=", "+", "-", "@", "|", "%") else line


def _by_cell(marked: Marked) -> Mapping[str, float]:
    """Points by the columns of the table, in the order of the method."""
    out: dict[str, float] = {}
    for problem, step in marked.steps():
        name = ": ".join([problem.problem, *(part for part in cell_of(step) if part)])
        out[name] = out.get(name, 0.0) + float(step["points"])
    return out


def _to_read(path: Path) -> sqlite3.Connection:
    """The results as they are, nothing written, also where the folder is read-only."""
    address = f"file:{quote(str(path.resolve()))}?mode=ro"
    db = sqlite3.connect(address, timeout=PATIENCE, uri=True)
    try:
        db.execute("select count(*) from notebooks")
        return db
    except sqlite3.OperationalError as error:
        db.close()
        # Only a file that nobody is writing to may be taken for unchanging; then it needs no files of its own beside it.
        if "unable to open" not in str(error) or Path(f"{path}-wal").exists():
            raise
    return sqlite3.connect(f"{address}&immutable=1", uri=True)


def open_results(folder: Path) -> Store:
    """The results that an earlier `plusway mark` left in `folder` (or in its marks/). Raises UsageError."""
    for path in (folder / "results.sqlite", folder / "marks" / "results.sqlite"):
        if path.is_file():
            return Store(path, writing=False)
    raise UsageError(f"{folder}: no results here; run plusway mark {folder} first")
