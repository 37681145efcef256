"""The learner's file on disk: read, written whole or not at all, set aside where it is broken, exported, deleted."""

from __future__ import annotations

import csv
import io
import secrets
from dataclasses import dataclass
from pathlib import Path

from ...autograde.errors import PluswayError
from ...autograde.records.atomic import write_atomic
from .record import FORMAT, LARGEST, Record, RecordError, csv_rows, format_of, from_text, merged, to_text

NAME = "plusway-practice.json"


@dataclass(frozen=True)
class Opened:
    """A record, and what the learner should be told about its file ("" for nothing)."""

    record: Record
    says: str = ""


class File:
    """The learner's file in `folder`. What can't be read or written is raised as RecordError, one line that says what to do."""

    def __init__(self, folder: Path) -> None:
        self.path = folder / NAME

    def open(self) -> Opened:
        """The record; a new one where there is no file. A file that can't be understood is renamed, never overwritten.

        RecordError where it can't be read at all, or is from a later plusway.
        """
        text = self._read()
        if text is None:
            return Opened(Record(secrets.token_hex(8)))
        try:
            return Opened(from_text(text, self.path.name))
        except RecordError as error:
            if format_of(text) > FORMAT:
                raise RecordError(f"{self.path.name}: it was written by a later plusway (format {format_of(text)}); update plusway, or move the file away") from None
            aside = self._set_aside()
            return Opened(Record(secrets.token_hex(8)), f"{error}. It is kept as {aside.name}; practice begins anew, and nothing is lost.")

    def keep(self, record: Record) -> Record:
        """Write the record, joined with what another tab may have written meanwhile, and return what is now in the file."""
        text = self._read()
        if text is not None:
            try:
                record = merged(record, from_text(text, self.path.name))
            except RecordError:
                self._set_aside()
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            write_atomic(self.path, to_text(record))
        except OSError as error:
            raise RecordError(f"{self.path}: it can't be written ({error.strerror or error}); practice goes on, but will not be remembered") from None
        return record

    def export(self, target: Path) -> Path:
        """Copy the file to `target`: as it is for .json, as a table for .csv. Never over another file."""
        text = self._read()
        if text is None:
            raise RecordError(f"{self.path.name}: there is nothing to export yet")
        if target.suffix not in (".json", ".csv"):
            raise PluswayError(f"{target.name}: a name that ends in .json or .csv would do")
        if target.exists():
            raise PluswayError(f"{target.name}: there is such a file already; choose another name")
        if target.suffix == ".csv":
            out = io.StringIO()
            csv.writer(out, lineterminator="\n").writerows([_harmless(cell) for cell in row] for row in csv_rows(from_text(text, self.path.name)))
            text = out.getvalue()
        try:
            write_atomic(target, text)
        except OSError as error:
            raise PluswayError(f"{target}: it can't be written ({error.strerror or error})") from None
        return target

    def forget(self) -> bool:
        """Delete the file. False where there was none."""
        try:
            self.path.unlink()
        except FileNotFoundError:
            return False
        except OSError as error:
            raise RecordError(f"{self.path}: it can't be deleted ({error.strerror or error})") from None
        return True

    def _read(self) -> str | None:
        try:
            if self.path.stat().st_size > LARGEST:
                raise RecordError(f"{self.path.name}: it is larger than {LARGEST // 1_000_000} MB and no practice file; move it away")
            return self.path.read_bytes().decode("utf-8-sig", "replace")
        except FileNotFoundError:
            return None
        except OSError as error:
            raise RecordError(f"{self.path}: it can't be read ({error.strerror or error}); make it readable, or move it away") from None

    def _set_aside(self) -> Path:
        number = 1
        while (aside := self.path.with_name(f"{self.path.stem}.broken-{number}.json")).exists():
            number += 1
        try:
            self.path.rename(aside)
        except OSError as error:
            raise RecordError(f"{self.path}: it can't be understood, and can't be renamed ({error.strerror or error}); move it away") from None
        return aside


def _harmless(cell: str) -> str:
    """A spreadsheet runs a cell that begins like a formula."""
    return f"'{cell}" if cell[:1] in ("=", "+", "-", "@", "\t", "\r") else cell
