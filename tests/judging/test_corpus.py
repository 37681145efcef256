"""The judge against lines that people marked: every line of every table gets the verdict and the kinds that its marker gave."""

from __future__ import annotations

from collections import Counter

from marked_lines import Marked, corpus, judged

from plusway.autograde.judging import SLIPS


def test_a_marked_line_is_judged_as_its_marker_judged_it(marked: Marked) -> None:
    step = judged(marked)
    kinds = sorted(s.kind for s in step.slips)
    assert marked.agrees(step), f"expected {marked.verdict} {marked.kinds}, the judge says {step.verdict} {kinds}"


def test_the_corpus_is_as_large_as_was_asked() -> None:
    verdicts = Counter(m.verdict for m in corpus())
    assert len(corpus()) >= 400
    assert verdicts["right"] >= 150
    assert verdicts["slip"] >= 150
    assert len({m.scene for m in corpus()}) >= 15


def test_the_corpus_has_every_kind_of_slip_more_than_once() -> None:
    kinds = Counter(k for m in corpus() for k in m.kinds if "|" not in k)
    assert [k for k in SLIPS if kinds[k] < 2] == []


def test_no_line_stands_twice_in_the_corpus() -> None:
    seen = Counter((m.scene, repr(sorted(m.positive.items())), m.step, m.item, m.text, repr(m.given)) for m in corpus())
    assert [k for k, n in seen.items() if n > 1] == []


def test_every_slip_points_into_its_line_and_says_something() -> None:
    wrong = []
    for m in corpus():
        step = judged(m)
        for slip in step.slips:
            placed = slip.at is None or 0 <= slip.at[0] < slip.at[1] <= max(len(step.text), 1)
            if not placed or len(slip.says.split()) < 5 or "{" in slip.says + slip.why + slip.how:
                wrong.append((m.name, slip.kind, slip.at, slip.says))
    assert wrong == []


def test_an_unread_line_is_told_what_was_expected_and_where() -> None:
    wrong = []
    for m in corpus():
        if m.verdict == "unread":
            step = judged(m)
            if not step.says or step.at is None or not 0 <= step.at[0] <= step.at[1] <= len(step.text):
                wrong.append((m.name, step.says, step.at))
    assert wrong == []
