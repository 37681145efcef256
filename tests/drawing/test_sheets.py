"""Sheets and the two commands: what students get holds no key, the key's marks are the judge's, everything is escaped."""

from __future__ import annotations

import builtins
import re
import subprocess
import xml.etree.ElementTree as ET
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.errors import UsageError
from plusway.autograde.judging import judge
from plusway.autograde.mechanics import derive
from plusway.autograde.mechanics.wording import rounded
from plusway.lessons import catalogue
from plusway.lessons.command import main
from plusway.lessons.sheets import pdf, sheets

Run = Callable[..., "subprocess.CompletedProcess[str]"]
NAMES = catalogue.names()


def parsed(page: str) -> ET.Element:
    """The page as XML, its void elements closed; an unescaped character would not parse."""
    closed = re.sub(r"<(meta|img)([^>]*)>", r"<\1\2/>", page.removeprefix("<!DOCTYPE html>\n"))
    return ET.fromstring(re.sub(r"<style>.*?</style>", "", closed, flags=re.DOTALL))


def text_of(page: str) -> str:
    """All text of a page, alternatives of pictures too."""
    root = parsed(page)
    return " ".join([*root.itertext(), *(img.get("alt", "") for img in root.iter("img"))])


@pytest.mark.slow
@pytest.mark.parametrize("name", [name if n % 3 == 0 else pytest.param(name, marks=pytest.mark.thorough) for n, name in enumerate(NAMES)])
def test_the_problem_page_holds_no_result(name: str) -> None:
    """No asked value, no worked line and no marking scheme stands in what students get; the key has them all."""
    scene = catalogue.find(name)
    [sheet] = sheets([scene])
    problem, key = text_of(sheet.problems), text_of(sheet.key)
    for word in ("Marking scheme", "With numbers", "Together", "accelerates"):
        assert word not in problem
    assert "Marking scheme" in key
    given = {s.given.text for s in scene.symbols.values() if s.given is not None}
    setup = derive(scene)
    for symbol in scene.asked:
        result = rounded(abs(setup.values[symbol]))
        if result not in given and len(result) > 2:
            assert not re.search(rf"(?<![\d.]){re.escape(result)}(?![\d.])", problem), symbol
        assert result in key


def test_the_marks_of_the_key_are_those_of_the_judge() -> None:
    """Row by row, and their sum; the problem says the same sum."""
    scene = catalogue.find("hay-bale-on-ramp")
    [sheet] = sheets([scene])
    table = next(t for t in parsed(sheet.key).iter("table") if t.findtext("caption") == "Marking scheme")
    points = [float(row.findall("td")[1].text or "") for row in table.iter("tr") if row.findall("td")]
    verdicts = judge(scene, {})
    assert points[:-1] == [step.of for step in verdicts.steps if step.of]
    assert points[-1] == verdicts.of
    assert f"({verdicts.of:g} points)" in sheet.problems


def test_variants_differ_and_a_seed_means_the_same_again() -> None:
    """Three variants of two problems: other numbers each, the same pages for the same seed."""
    scenes = [catalogue.find("feed-sack"), catalogue.find("mine-cart")]
    first, again = sheets(scenes, 3, "2024"), sheets(scenes, 3, "2024")
    assert first == again
    assert len({s.problems for s in first}) == len({s.key for s in first}) == 3
    for k, sheet in enumerate(first, 1):
        assert sheet.number == k
        for page in (sheet.problems, sheet.key):
            assert f"Variant {k}" in page
            assert re.findall(r"<h2>(\d)\. ", page) == ["1", "2"]


def test_without_a_seed_the_numbers_are_the_scenes_own() -> None:
    """One variant; more need a seed."""
    [sheet] = sheets([catalogue.find("feed-sack")])
    assert "6.5\N{NO-BREAK SPACE}kg" in sheet.problems
    with pytest.raises(UsageError, match="seed"):
        sheets([catalogue.find("feed-sack")], 2)


def test_things_are_called_by_their_names_in_words() -> None:
    """The key is read, not typed: no "lower_toboggan"."""
    key = sheets([catalogue.find("toboggans-uphill")])[0].key
    assert "lower toboggan accelerates up the slope" in key
    assert "lower_toboggan" not in key


def test_whatever_a_scene_says_is_escaped() -> None:
    """Markup in a title or story is shown, not obeyed; no page has a script or fetches anything."""
    evil = '<script>alert("x")</script><img src="http://example.org/a.png">'
    [sheet] = sheets([replace(catalogue.find("feed-sack"), title=evil, story=evil)])
    for page in (sheet.problems, sheet.key):
        root = parsed(page)
        assert list(root.iter("script")) == []
        assert all((img.get("src") or "").startswith("data:image/svg+xml;base64,") for img in root.iter("img"))
        assert evil in text_of(page)


def test_a_page_becomes_a_pdf() -> None:
    """With the extra `print` installed."""
    pytest.importorskip("weasyprint")
    [sheet] = sheets([catalogue.find("feed-sack")])
    assert pdf(sheet.key).startswith(b"%PDF-")


@pytest.fixture
def without_print(monkeypatch: pytest.MonkeyPatch) -> None:
    """As if the extra `print` were not installed."""
    real = builtins.__import__

    def without(name: str, *rest: Any, **more: Any) -> Any:
        if name.split(".")[0] == "weasyprint":
            raise ImportError("No module named 'weasyprint'")
        return real(name, *rest, **more)

    monkeypatch.setattr(builtins, "__import__", without)


@pytest.mark.usefixtures("without_print")
def test_without_the_extra_one_line_says_what_to_install() -> None:
    """No traceback: the name of the extra."""
    with pytest.raises(UsageError, match=r"plusway\[print\]") as caught:
        pdf("<p>x</p>")
    assert "\n" not in str(caught.value)


@pytest.mark.usefixtures("without_print")
def test_without_the_extra_the_html_is_written_all_the_same(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit code 2 and one line that says what is missing for PDF."""
    assert main(["sheet", "feed-sack", "--pdf", "--out", str(tmp_path)]) == 2
    assert sorted(path.name for path in tmp_path.iterdir()) == ["key-1.html", "sheet-1.html"]
    err = capsys.readouterr().err
    assert "plusway[print]" in err
    assert err.count("\n") == 1


def test_sheet_writes_pages_and_overwrites_none(plusway: Run, tmp_path: Path) -> None:
    """A sheet and a key for each variant; a second call is refused and changes nothing."""
    done = plusway("sheet", "feed-sack", "--count", "2", "--seed", "5", "--out", "s")
    assert (done.returncode, done.stderr) == (0, "")
    assert sorted(p.name for p in (tmp_path / "s").iterdir()) == ["key-1.html", "key-2.html", "sheet-1.html", "sheet-2.html"]
    again = plusway("sheet", "feed-sack", "--out", "s")
    assert again.returncode == 2
    assert "is there already" in again.stderr


@pytest.mark.parametrize(("arguments", "ending", "says"), [
    (["feed-sack"], "svg", "The sack (m_1 = 6.5 kg) moves up or down."),
    (["feed-sack", "--positive", "sack=down"], "png", "the positive direction: down for the sack."),
    (["hay-bale-on-ramp", "--forces"], "svg", "On the trough (positive direction down)"),
    (["hay-bale-on-ramp", "--forces", "--positive", "bale=downslope"], "svg", "On the trough (positive direction up)"),
    (["wet-firewood", "--motion"], "png", "Basket (down is positive): starts from rest, accelerates with 2.45 m/s²"),
    (["feed-sack", "--against", "m_1", "--from", "1", "--upto", "20"], "svg", "a = 0 at m_1 = 9.00 kg"),
])
def test_draw_writes_the_picture_and_prints_its_text(arguments: list[str], ending: str, says: str, plusway: Run, tmp_path: Path) -> None:
    """The file is what its ending says; the text is what the SVG's description says. Directions that nobody named are those of
    `plusway solve`: along the motion, or all against it where one of them was."""
    done = plusway("draw", *arguments, "--out", f"x.{ending}")
    assert (done.returncode, done.stderr) == (0, "")
    assert says in done.stdout
    raw = (tmp_path / f"x.{ending}").read_bytes()
    if ending == "png":
        assert raw.startswith(b"\x89PNG")
    else:
        assert ET.fromstring(raw).findtext("{http://www.w3.org/2000/svg}desc") == done.stdout.rstrip("\n")


@pytest.mark.parametrize(("arguments", "says"), [
    (["draw", "feed-sack", "--out", "x.gif"], ".svg or .png"),
    (["draw", "feed-sack", "--from", "2"], "--against"),
    (["draw", "feed-sack", "--against", "m_7"], "there is g, m_1, m_2"),
    (["draw", "feed-sack", "--against", "m_1", "--from", "9", "--upto", "2"], "smaller value first"),
    (["draw", "feed-sack", "--forces", "--motion"], "not allowed with"),
    (["draw", "no-such"], "no-such"),
    (["draw", "feed-sack", "--positive", "sack=left"], "up or down"),
    (["sheet", "feed-sack", "--count", "0"], "1 to 500"),
    (["sheet"], "SCENE"),
])
def test_a_wrong_call_ends_in_one_line(arguments: list[str], says: str, plusway: Run) -> None:
    """Exit code 2 and what to mend."""
    done = plusway(*arguments)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.count("\n") == 1
    assert says in done.stderr
