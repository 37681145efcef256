"""Tables of measurements as people and timers write them: read where it is possible, else the first bad line is shown."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plusway.lessons.lab.decoding import LARGEST, decode
from plusway.lessons.lab.errors import LabError
from plusway.lessons.lab.runs import read_positions, read_runs, sample
from plusway.lessons.lab.table import read_table

GOOD = "m1 (kg),m2 (kg),d (m),t1 (s),t2 (s)\n0.240,0.260,1.200,2.71,2.73\n0.200,0.300,1.200,1.15,1.16\n"
WANT = [(0.24, 0.26, 1.2, (2.71, 2.73)), (0.2, 0.3, 1.2, (1.15, 1.16))]

READ = {
    "commas and points": GOOD,
    "semicolons": GOOD.replace(",", ";"),
    "semicolons and decimal commas": GOOD.replace(",", ";").replace(".", ","),
    "tabs": GOOD.replace(",", "\t"),
    "tabs and decimal commas": GOOD.replace(",", "\t").replace(".", ","),
    "quoted decimal commas between commas": "m1 (kg),m2 (kg),d (m),t1 (s),t2 (s)\n" '"0,240","0,260","1,200","2,71","2,73"\n"0,200","0,300","1,200","1,15","1,16"\n',
    "empty lines and lines of separators": GOOD.replace("\n", "\n\n,,,,\n"),
    "comments": "# Tuesday, bench 3\n" + GOOD,
    "a spreadsheet's sep line": "sep=,\n" + GOOD,
    "grams, centimetres, milliseconds": "m1 (g);m2 (g);d (cm);t1 (ms);t2 (ms)\n240;260;120;2710;2730\n200;300;120;1150;1160\n",
    "square brackets": GOOD.replace("(", "[").replace(")", "]"),
    "units after a stroke": "m1/kg;m2/kg;d/m;t1/s;t2/s\n" + GOOD.split("\n", 1)[1].replace(",", ";"),
    "units in words": "m1 in kg,m2 in kg,d in metres,t1 in seconds,t2 in seconds\n" + GOOD.split("\n", 1)[1],
    "other headings": "Mass 1 (kg),Mass_2 (kg),Distance (m),Time 1 (s),time-2 (s)\n" + GOOD.split("\n", 1)[1],
    "lowered indices": GOOD.replace("m1", "m₁").replace("m2", "m₂"),
    "another order, other columns": "t1 (s),who,d (m),m2 (kg),m1 (kg),t2 (s)\n2.71,Ann,1.200,0.260,0.240,2.73\n1.15,Bo,1.200,0.300,0.200,1.16\n",
    "repeats as lines of their own": "m1 (kg),m2 (kg),d (m),t (s)\n.24,.26,1.2,2.71\n.2,.3,1.2,1.15\n.24,.26,1.2,2.73\n.2,.3,1.2,1.16\n",
    "powers of ten and plus signs": GOOD.replace("0.240", "2.4e-1").replace("2.71", "+2.71"),
    "line ends of other systems": GOOD.replace("\n", "\r\n"),
    "old line ends": GOOD.replace("\n", "\r"),
    "separators at the ends of lines": GOOD.replace("\n", ",\n"),
    "blanks round everything": GOOD.replace(",", " , "),
    "upright strokes": GOOD.replace(",", "|"),
    "a sep line with a stroke": "sep=|\n" + GOOD.replace(",", "|"),
    "a title above the headings": "Timer export v2\nDate;24.11.2025\n\n" + GOOD.replace(",", ";"),
    "units in a line of their own": "m1;m2;d;t1;t2\nkg;kg;m;s;s\n" + GOOD.split("\n", 1)[1].replace(",", ";"),
    "units in brackets in a line of their own": "m1,m2,d,t1,t2\n(g),(g),[cm],(s),(s)\n240,260,120,2.71,2.73\n200,300,120,1.15,1.16\n",
    "units in the cells": "m1,m2 (kg),d (m),t1 (s),t2 (s)\n0.240 kg,260 g,1.200 m,2.71 s,2730 ms\n0.200,0.300,120 cm,1.15,1.16 s\n",
    "units in capitals": GOOD.replace("(kg)", "(KG)").replace("(m)", "(M)").replace("(s)", "(S)"),
    "microseconds": "m1 (kg),m2 (kg),d (m),t1 (µs),t2 (us)\n0.240,0.260,1.200,2710000,2730000\n0.200,0.300,1.200,1150000,1160000\n",
    "headings that come again": GOOD.replace("0.200,", GOOD.split("\n", 1)[0] + "\n0.200,", 1),
    "points and commas mixed between semicolons": GOOD.replace(",", ";").replace("0.24", "0,24").replace("1.15", "1,15"),
    "zeros where a logger lost its power": GOOD + "\x00" * 300,
}


@pytest.mark.parametrize("text", READ.values(), ids=READ.keys())
def test_tables_that_are_read(text: str, tmp_path: Path) -> None:
    """The same two pairs of masses come out of each."""
    (tmp_path / "x.csv").write_bytes(text.encode("utf-8"))
    found = [(r.m1, r.m2, r.d, r.times) for r in read_runs(tmp_path / "x.csv").runs]
    assert [row[:3] for row in found] == [pytest.approx(row[:3]) for row in WANT]
    assert [row[3] for row in found] == [pytest.approx(row[3]) for row in WANT]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32", "mac_roman", "cp1252", "latin-1"])
def test_encodings_that_are_read(encoding: str, tmp_path: Path) -> None:
    """With and without a mark at the start; a note in another language does no harm."""
    raw = ("\ufeff" if encoding == "utf-16-x" else "") + GOOD.replace("m1 (kg),", "m1 (kg),", 1) + "# größer, plus élevé\n"
    (tmp_path / "x.csv").write_bytes(raw.encode(encoding))
    assert [(r.m1, r.m2) for r in read_runs(tmp_path / "x.csv").runs] == [(0.24, 0.26), (0.2, 0.3)]


HEAD = "m1 (kg),m2 (kg),d (m),t (s)\n"

REFUSED = {
    "nothing": ("", "it is empty"),
    "only comments": ("# nothing here\n\n", "it is empty"),
    "only headings": (HEAD, "no measurements below them"),
    "no headings": ("0.24,0.26,1.2,2.7\n", "line 1: expected headings"),
    "a column is missing": ("m1 (kg),m2 (kg),t (s)\n0.24,0.26,2.7\n", "line 1: there is no column d;"),
    "a foreign unit": (HEAD.replace("(kg)", "(lb)"), "line 1: m1 (lb): 'lb' is no unit of mass"),
    "a unit of another quantity": (HEAD.replace("d (m)", "d (s)"), "'s' is no unit of length"),
    "a word for a number": (HEAD + "\n0.24,0.26,1.2,2.7\n0.24,0.26,1.2,fast\n", "line 4: t (s): found 'fast'; a number would do. The line is: 0.24,0.26,1.2,fast"),
    "an empty cell": (HEAD + "0.24,,1.2,2.7\n", "line 2: m2 (kg): found nothing"),
    "a short line": (HEAD + "0.24,0.26\n", "line 2: d (m): found nothing"),
    "a unit of another quantity in a cell": (HEAD + "0.24 m,0.26,1.2,2.7\n", "line 2: m1 (kg): found '0.24 m'"),
    "minutes and seconds": (HEAD + "0.24,0.26,1.2,0:02.71\n", "found '0:02.71'; a number would do"),
    "an uncertainty in a cell": (HEAD + "0.24,0.26,1.2,2.71±0.02\n", "found '2.71±0.02'"),
    "a mean below": (HEAD + "0.24,0.26,1.2,2.7\nmean,,,2.7\n", "line 3: m1 (kg): found 'mean'"),
    "a cell of two lines": ("who," + HEAD + '"Ann\nBo",0.24,0.26,1.2,2.7\n', "line 2: a quote is opened here and not closed"),
    "milligrams or megagrams": (HEAD.replace("(kg)", "(MG)"), "'MG' is no unit of mass"),
    "a very long number": (HEAD + "0.24,0.26,1.2," + "9" * 200_000 + "\n", "line 2: field larger than"),
    "headings and cells kept apart differently": (HEAD.replace(",", ";") + "0.24,0.26,1.2,2.7\n", "line 2: m1 (kg): found '0.24,0.26,1.2,2.7'"),
    "decimal commas between commas": (HEAD + "0,24,0,26,1,2,2,7\n", "with decimal commas the cells must be kept apart by semicolons"),
    "infinity": (HEAD + "inf,0.26,1.2,2.7\n", "found 'inf'"),
    "no number": (HEAD + "nan,0.26,1.2,2.7\n", "found 'nan'"),
    "too large a number": (HEAD + "1e999,0.26,1.2,2.7\n", "found '1e999'"),
    "a formula": (HEAD + "=1+1,0.26,1.2,2.7\n", "found '=1+1'"),
    "thousands": (HEAD.replace(",", ";") + "1.234,5;0.26;1.2;2.7\n", "found '1.234,5'"),
    "an open quote": (HEAD + '"0.24,0.26,1.2,2.7\n', "line 2"),
    "a negative mass": (HEAD + "-0.24,0.26,1.2,2.7\n", "must be above 0"),
    "a time of zero": (HEAD + "0.24,0.26,1.2,0\n", "must be above 0"),
    "masses the wrong way round": (HEAD + "0.26,0.24,1.2,2.7\n", "m2 is the heavier mass"),
    "equal masses": (HEAD + "0.26,0.26,1.2,2.7\n", "m2 is the heavier mass"),
}


@pytest.mark.parametrize(("text", "says"), REFUSED.values(), ids=REFUSED.keys())
def test_tables_that_are_refused(text: str, says: str, tmp_path: Path) -> None:
    """One line of words with the file's name."""
    (tmp_path / "x.csv").write_text(text, encoding="utf-8")
    with pytest.raises(LabError) as caught:
        read_runs(tmp_path / "x.csv")
    assert says in str(caught.value)
    assert str(caught.value).startswith("x.csv")
    assert len(str(caught.value)) < 400


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        (b"PK\x03\x04....", "a spreadsheet's own file, not CSV"),
        (b"\xd0\xcf\x11\xe0....", "an old spreadsheet's own file"),
        (b"%PDF-1.7", "this is a PDF"),
        (b"<!DOCTYPE html><table>", "this is a web page"),
        (b'[{"m1": 0.24}]', "this is JSON"),
        (b"\xff\xfe\x00", "does not fit"),
        (b"\x00\x00\x00\x00" * 30, "this is no text"),
        (b"a," * (LARGEST // 2 + 1), "more than a table of measurements"),
    ],
)
def test_files_that_are_no_text(raw: bytes, says: str) -> None:
    """What it seems to be, and what to do."""
    with pytest.raises(LabError, match=says):
        decode(raw, "x.csv")


@pytest.mark.parametrize(
    ("source", "says"),
    [("nowhere.csv", "no such file, and no invented data"), ("sub/nowhere.csv", "can't be read"), ("bad\x00name", "no such file"), ("x" * 5000, "no ")],
)
def test_files_that_are_not_there(source: str, says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The names of the invented data are given."""
    monkeypatch.chdir(tmp_path)
    with pytest.raises(LabError, match=says):
        read_runs(source)


def test_what_was_assumed_is_said() -> None:
    """Units that are not given, columns that are not used, an encoding that was guessed, repeats that lie far apart."""
    runs = read_runs("m1,m2 (kg),d (m),t1 (s),t2 (s),t3 (s),notes\n0.24,0.26,1.2,2.7,2.7,3.9,\n")
    assert [r for r in runs.remarks if r == "m1: no unit given, taken as kg"]
    assert [r for r in runs.remarks if r == "not used: notes"]
    assert [r for r in runs.remarks if "lie far apart" in r]


def test_a_file_of_ones_own_comes_before_the_invented_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder may hold a file of the same name."""
    monkeypatch.chdir(tmp_path)
    assert len(read_runs("invented-runs").runs) == 8
    Path("invented-runs").write_text(GOOD, encoding="utf-8")
    assert len(read_runs("invented-runs").runs) == 2


@pytest.mark.parametrize("name", ["invented-runs", "invented-photogate"])
def test_invented_data_say_so(name: str) -> None:
    """In the file itself, and when they are read."""
    assert sample(name).startswith("# Invented data: no machine was measured.")
    read = read_runs(name) if name == "invented-runs" else read_positions(name)
    assert "these data are invented: no machine was measured" in read.remarks


def test_positions_may_come_in_any_order_but_once_a_time() -> None:
    """They are sorted by time."""
    assert read_positions("t (ms);x (cm)\n20;4\n10;1\n").t == pytest.approx((0.01, 0.02))
    with pytest.raises(LabError, match=r"two positions for the time 0\.01 s"):
        read_positions("t (ms);x (cm)\n10;4\n10;1\n")


@given(st.text(max_size=300), st.binary(max_size=120))
def test_nothing_but_words_comes_of_any_text(text: str, raw: bytes) -> None:
    """Whatever is in a file: a table or a LabError."""
    for made in (text, HEAD + text):
        try:
            read_table(made, {}, "x.csv")
            read_runs(made + "\n")
        except LabError as error:
            assert "\n" not in str(error)  # noqa: PT017
    try:
        assert isinstance(decode(raw, "x.csv")[0], str)
    except LabError as error:
        assert str(error).startswith("x.csv")  # noqa: PT017
