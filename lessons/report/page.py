"""The report as one HTML page: self-contained, without scripts, everything escaped, every picture said in words too."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from html import escape
from typing import Any

from ...autograde.marking.feedback import STYLE
from ...autograde.marking.odd import BUILD, CELLS, CLAIMS, NOTES, REACHES
from ...autograde.marking.overrides import VERDICTS
from ...autograde.marking.statistics import NOT_TAUGHT, WRONG, means
from .gather import Report
from .pictures import SHOWN, marks_picture, slips_picture, step_name, steps_picture

MORE_STYLE = """
table { border-collapse: collapse; width: 100%; margin: .6rem 0 1.2rem; } caption { text-align: left; color: var(--quiet); }
th, td { text-align: left; padding: .25rem .6rem .25rem 0; border-bottom: 1px solid var(--soft); vertical-align: top; }
td.n, td.w { white-space: nowrap; } th { overflow-wrap: normal; } td.n, th.n { text-align: right; font-variant-numeric: tabular-nums; } figure { margin: 1rem 0; background: #fff; }
@media (max-width: 32rem) { th { overflow-wrap: anywhere; } td.w { white-space: normal; } }
figure svg { max-width: 100%; height: auto; } .example, code { font-family: ui-monospace, monospace; } nav ul { padding-left: 1.2rem; }
.teach > li { margin-bottom: .9rem; } .teach p { margin: .15rem 0; } a { color: inherit; } summary { cursor: pointer; color: var(--quiet); padding: .3rem 0; }
@media (prefers-color-scheme: dark) { @media screen { figure { filter: invert(1) hue-rotate(180deg); } } }
@media print { details::details-content { content-visibility: visible; display: block; } nav { display: none; } }
"""

UNFINISHED = "The marking of this folder has not come to its end: this is what it got to. Give plusway mark again, then report."
RANKED = "The kinds that most notebooks have at least once, in whatever step; of equally many those that cost most points."
LOOK = ("What could not be marked has no points yet. Nothing else here changed a mark, and none of it proves anything: a cell is easily "
        "deleted by mistake, and two who learn together make the same slips.")
SLIPS_SHOWN = UNREAD_SHOWN = 40
LONGEST_LINE = 120  # characters of a student's line
NOT_MARKED = "not marked"
FLAGS = {"whose": "another's file", "seed": "other numbers", "edited": "answers edited", "further": "more than was set", "unlike": "more than others",
         "alike": "like another's", "unjudged": "not judged", CELLS: "grading cells",
         CLAIMS: "claims points", REACHES: "code", BUILD: "another build", NOTES: "text of their own"}
"""A flag in the table of students; the list of things to look at has the whole sentence."""


def page(report: Report) -> str:
    """The whole page."""
    body = f"<p>{UNFINISHED}</p>\n" if report.unfinished else ""
    body += _contents(report)
    body += "".join(_class(name, data, place) for place, (name, data) in enumerate(report.classes.items(), 1)) + _look(report) + _students(report)
    return ('<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<meta name="viewport" '
            'content="width=device-width, initial-scale=1">\n<meta http-equiv="Content-Security-Policy" '
            "content=\"default-src 'none'; style-src 'unsafe-inline'\">\n<title>Class report</title>\n"
            f"<style>{STYLE}{MORE_STYLE}</style>\n</head>\n<body>\n<main>\n<h1>Class report</h1>\n{body}</main>\n"
            "</body>\n</html>\n")


def _class(name: str, data: Mapping[str, Any], place: int = 1) -> str:
    marked = data["notebooks"] - data["unmarked"]
    out = f"<section>\n<h2 id=\"class-{place}\">{escape(name)}</h2>\n<p>{data['notebooks']} notebooks, {marked} marked.{seconds(data)}</p>\n"
    if not marked:
        return out + "</section>\n"
    titles = data["titles"]
    return (out + _teach(data, marked) + _marks(data["tenths"], marked) + _steps(data["steps"], titles)
            + _slips(data, marked) + _lines(data["lines"], titles) + _unread(data["unread"], titles) + _effort(data)
            + _overrides(data["overrides"], titles) + _problems(titles) + "</section>\n")


def seconds(data: Mapping[str, Any]) -> str:
    """A sentence on the files that do not count; "" where there are none."""
    count = data["seconds"]
    return f" Besides, {count} second file{'s' if count > 1 else ''} of a student, not counted." if count else ""


def _problems(titles: Mapping[str, str]) -> str:
    """The problems by their titles, each with the name that files and commands want."""
    items = "".join(f"<li>{escape(title)} <code>{escape(problem)}</code></li>\n" for problem, title in titles.items())
    return f"<h3>What the problems are called in files</h3>\n<p>In a file of overrides, and in the tables of marks.</p>\n<ol>\n{items}</ol>\n" if titles else ""


def _contents(report: Report) -> str:
    """Where to go on a long page, with how much there is."""
    links = [(f"class-{place}", name) for place, name in enumerate(report.classes, 1)] if len(report.classes) > 1 else []
    students = {student for row in report.look for student in row["students"]}
    links += [("look", f"To look at: {len(students)} student{'' if len(students) == 1 else 's'}"), ("students", f"Points of {len(report.students)} students")]
    items = "".join(f'<li><a href="#{target}">{escape(text)}</a></li>\n' for target, text in links)
    return f'<nav aria-label="On this page">\n<ul>\n{items}</ul>\n</nav>\n'


def _teach(data: Mapping[str, Any], marked: int) -> str:
    teach, titles = data["teach"], data["titles"]
    if not teach:
        return "<h3>To teach again</h3>\n<p>No kind of slip stands out.</p>\n"
    items = "".join(
        f"<li><p><strong>{escape(_heading(t['kind']))}</strong>: {t['notebooks']} of {marked} notebooks ({escape(t['kind'])}), most often "
        f"at {escape(step_name(t, titles))}.</p>\n<p>For example <span class=\"example\">{escape(short(t['example']))}</span></p>\n"
        f"<p class=\"quiet\">They were told: {escape(t['says'])}</p>\n{_who(t)}</li>\n" for t in teach)
    unnamed = max((data["kinds"].get(kind, 0) for kind in NOT_TAUGHT), default=0)
    besides = f" Slips without a name, which {unnamed} or more notebooks have, are left out." if unnamed else ""
    return f"<h3>To teach again</h3>\n<p>{RANKED}{besides}</p>\n<ol class=\"teach\">\n{items}</ol>\n"


def _who(teach: Mapping[str, Any]) -> str:
    """Who has the slip, as far as they are listed."""
    students = teach.get("students", ())
    more = f" and {teach['notebooks'] - len(students)} more" if teach["notebooks"] > len(students) else ""
    return f"<p class=\"quiet\">Who: {escape(', '.join(students))}{more}</p>\n" if students else ""


def _heading(kind: str) -> str:
    """What the student did, as a heading."""
    said = means(kind)
    return said[:1].upper() + said[1:]


def short(line: str) -> str:
    """A line as a table shows it; whole it stands in report.json."""
    return line if len(line) <= LONGEST_LINE else f"{line[:LONGEST_LINE]} … ({len(line)} characters)"


def _folded(name: str, table: str) -> str:
    """A table that says again what a picture or a sentence says, or is long: to be opened."""
    return f"<details class=\"folded\">\n<summary>{escape(name)}</summary>\n{table}</details>\n"


def _marks(tenths: Sequence[int], marked: int) -> str:
    best, weak = sum(tenths[8:]), sum(tenths[:4])
    said = f"{best} of {marked} notebooks got 80 % of the points or more, {weak} got less than 40 %."
    rows = [(f"{10 * place} to {10 * place + 10} %", str(n)) for place, n in enumerate(tenths)]
    return (f"<h3>Marks</h3>\n<p>{said}</p>\n{_picture(marks_picture(tenths), said)}"
            + _folded("The same as a table", _table("Notebooks by points", ["points", "notebooks"], rows, numbers=(1,))))


def _steps(steps: Sequence[Mapping[str, Any]], titles: Mapping[str, str]) -> str:
    if not steps:
        return ""
    said = _hardest(steps, titles)
    rows = [(step_name(step, titles), f"{step['of']:g}", f"{step['success']:.0%}", str(step["blank"]),
             "–" if step["discrimination"] is None else f"{step['discrimination']:.2f}") for step in steps]
    return (f"<h3>Steps</h3>\n<p>{escape(said)} Discrimination is the correlation of a step with the rest of the "
            f"notebook: near 1, those who do well there do well elsewhere; near 0, it tells nothing.</p>\n"
            f"{_picture(steps_picture(steps, titles), said)}"
            + _folded("Each step as a table", _table("Each step", ["step", "of", "points got", "left blank", "discrimination"], rows,
                                                     numbers=(1, 2, 3, 4))))


def _hardest(steps: Sequence[Mapping[str, Any]], titles: Mapping[str, str]) -> str:
    """Which step went worst where something was written, and which was left blank most often: two different things to talk about."""
    tried = [step for step in steps if step["students"] > step["blank"]]
    said = []
    if tried:
        part = {id(step): step["success"] * step["students"] / (step["students"] - step["blank"]) for step in tried}
        worst = min(tried, key=lambda step: part[id(step)])
        said.append(f"The hardest step is {step_name(worst, titles)}: those who wrote something there got {min(part[id(worst)], 1.0):.0%} of its points.")
    blank = max(steps, key=lambda step: step["blank"])
    if 4 * blank["blank"] > blank["students"]:
        said.append(f"Left blank most often: {step_name(blank, titles)}, by {blank['blank']} of {blank['students']}.")
    return " ".join(said)


def _slips(data: Mapping[str, Any], marked: int) -> str:
    if not data["kinds"]:
        return "<h3>Slips</h3>\n<p>None.</p>\n"
    kind, count = next(iter(data["kinds"].items()))
    others = ", ".join(f"{other} in {n}" for other, n in list(data["kinds"].items())[1:SHOWN])
    left = len(data["kinds"]) - SHOWN
    more = f"; and {left} kind{'s' if left > 1 else ''} more, in the table below" if left > 0 else ""
    said = f"The commonest kind is {kind}, in {count} of {marked} notebooks{'; then ' + others if others else ''}{more}."
    rows = [(s["kind"], step_name(s, data["titles"]), ", ".join(f"{d}\N{NO-BREAK SPACE}{n}" for d, n in s["directions"].items()), str(s["notebooks"]))
            for s in data["slips"][:SLIPS_SHOWN]]
    cut = len(data["slips"]) - SLIPS_SHOWN
    return (f"<h3>Slips</h3>\n<p>{escape(said)}</p>\n{_picture(slips_picture(data['kinds']), said)}"
            + _table("Slips by kind, place, and direction chosen as plus", ["kind", "where", "plus was", "notebooks"], rows,
                     numbers=(3,)) + (f"<p>And {cut} rarer rows more, in report.json.</p>\n" if cut > 0 else ""))


def _lines(lines: Sequence[Mapping[str, Any]], titles: Mapping[str, str]) -> str:
    """Wrong lines in plain sight, for they show what several have in mind; the others folded."""
    head = ["where", "line", "verdict", "times"]
    wrong, other = ([(step_name(line, titles), short(line["line"]), line["verdict"], str(line["count"])) for line in lines if (line["verdict"] in WRONG) is which]
                    for which in (True, False))
    out = "<h3>Lines that several wrote</h3>\n"
    out += _table("Wrong ones, as the first wrote each; spaces do not count", head, wrong, numbers=(3,)) if wrong else "<p>No wrong one.</p>\n"
    return out + (_folded(f"{len(other)} that were right, or followed", _table("As the first wrote each", head, other, numbers=(3,))) if other else "")


def _unread(lines: Sequence[Mapping[str, Any]], titles: Mapping[str, str]) -> str:
    if not lines:
        return ""
    rows = [(step_name(line, titles), short(line["line"]), line["says"], str(line["count"])) for line in lines[:UNREAD_SHOWN]]
    left = sum(line["count"] for line in lines[UNREAD_SHOWN:])
    more = f"<p>And {left} more, in report.json.</p>\n" if left else ""
    return ("<h3>Lines that could not be read</h3>\n<p>They earn nothing as they stand; where you can read one, give your own verdict on "
            "it (plusway mark --override).</p>\n"
            + _table("As they were written", ["where", "line", "what the student was told", "times"], rows, numbers=(3,)) + more)


def _effort(data: Mapping[str, Any]) -> str:
    titles = data["titles"]
    rows = [(titles.get(problem, problem), *_range(data["minutes"].get(problem)), *_range(data["hints"].get(problem)))
            for problem in sorted({*data["minutes"], *data["hints"]})]
    return "<h3>Time and hints</h3>\n<p>As the notebooks record them.</p>\n" + _table(
        "For each problem the median, and from least to most",
        ["problem", "minutes", "least to most", "hints", "least to most"], rows, numbers=(1, 2, 3, 4))


def _range(value: Mapping[str, float] | None) -> tuple[str, str]:
    return ("–", "–") if value is None else (f"{value['median']:g}", f"{value['least']:g} to {value['most']:g}")


def _overrides(overrides: Sequence[Mapping[str, Any]], titles: Mapping[str, str]) -> str:
    rows = [(step_name(o, titles), short(o["line"]), o["reason"], o["date"], str(o["notebooks"])) for o in overrides]
    return "<h3>Your own verdicts</h3>\n" + _table(
        "Overrides in force", ["where", "line", "reason", "date", "notebooks"], rows, numbers=(4,)) if rows else ""


def _students(report: Report) -> str:
    names = list(report.classes)
    rows = [(row["student"], *(_points(row["assignments"].get(name)) for name in names),
             ", ".join(sorted(_flags(row)))) for row in report.students]
    note = "" if report.named else "<p>Names are hidden; plusway report --names shows them.</p>\n"
    return f"<section>\n<h2 id=\"students\">Students</h2>\n{note}" + _table(
        "Points by assignment", ["student", *names, "flags"], rows, numbers=tuple(range(1, len(names) + 1))) + "</section>\n"


def _look(report: Report) -> str:
    """What the teacher should look at: one sentence a line, with the students that it is said of."""
    out = ""
    for row in report.look:
        where = f" ({escape(row['assignment'])})" if len(report.classes) > 1 else ""
        out += f"<li>{escape(', '.join(row['students']))}{where}: {escape(row['says'])}.</li>\n"
    return (f'<section>\n<h2 id="look">To look at</h2>\n<p>{LOOK if out else "Nothing stands out."}</p>\n'
            + (f"<ul>\n{out}</ul>\n" if out else "") + "</section>\n")


def _points(value: Mapping[str, float | None] | None) -> str:
    if value is None:
        return "–"
    return NOT_MARKED if value["points"] is None else f"{value['points']:g} of {value['of']:g}"


def _flags(row: Mapping[str, Any]) -> set[str]:
    """A student's flags, without what stands in the place of the points already."""
    said = any(value["points"] is None for value in row["assignments"].values())
    return {FLAGS.get(flag, flag) for flag in row["flags"]} - ({NOT_MARKED} if said else set())


def _picture(svg: str, said: str) -> str:
    # To a screen reader the picture is its sentence; the table below it has the figures.
    return f'<figure role="img" aria-label="{escape(said, quote=True)}">{svg}</figure>\n'


def _table(caption: str, head: Sequence[str], rows: Iterable[Sequence[str]], numbers: tuple[int, ...] = ()) -> str:
    def cell(tag: str, place: int, text: str) -> str:
        scope = ' scope="col"' if tag == "th" else ""
        number = ' class="n"' if place in numbers else ' class="w"' if text in VERDICTS else ""
        return f"<{tag}{scope}{number}>{escape(text)}</{tag}>"

    top = "".join(cell("th", place, text) for place, text in enumerate(head))
    body = "".join(f"<tr>{''.join(cell('td', place, str(text)) for place, text in enumerate(row))}</tr>\n" for row in rows)
    return f"<table>\n<caption>{escape(caption)}</caption>\n<thead><tr>{top}</tr></thead>\n<tbody>\n{body}</tbody>\n</table>\n"
