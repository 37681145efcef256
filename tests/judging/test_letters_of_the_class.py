"""A class that writes F_g, R and F_f for weight, normal force and friction reads these letters: in its formulas, aloud, in verdicts and in complaints."""

from __future__ import annotations

import re
from typing import Any

import pytest
from marked_lines import scene_named

from plusway.autograde.judging import judge
from plusway.autograde.reading import Complaint, Vocabulary, read, to_mathml, to_speech
from plusway.autograde.scene import load_text

KEGS = "two-kegs-class-letters"
OURS = re.compile(r"\b(?:W|N|f)_\d|\bmu_[ks] N\b")  # what a class without letters of its own writes


# (typed, read aloud, the letters as they are printed)
LINES = [
    ("R_1 = 93", "R 1 equals 93", "R1"),
    ("R1 - F_{g1} = 0", "R 1 minus F g 1 equals 0", "R1Fg1"),
    ("F_f = mu_k R", "F f equals mu k R", "Ffμk R".replace(" ", "")),
    ("m\u2081a = T - F_f1", "m 1 a equals T minus F f 1", "m1aTFf1"),
    ("N = W_1", "N 1 equals W 1", "N1W1"),
]


@pytest.mark.parametrize(("typed", "spoken", "printed"), LINES)
def test_a_formula_has_the_letters_that_were_typed(typed: str, spoken: str, printed: str) -> None:
    line = read(typed, Vocabulary.of(scene_named(KEGS))).lines[0]
    assert to_speech(line) == spoken
    letters = re.findall(r"<m[in]>([^<]*)</m[in]>", to_mathml(line))
    assert "".join(letters).replace("93", "").removesuffix("0") == printed


ANSWERS: dict[str, Any] = {
    "scene": KEGS,
    "directions": {"vinegar": "right", "oil": "down"},
    "forces": {"vinegar": [["T", "right"], ["F_f", "right"], ["R", "down"]], "oil": [["T", "up"]]},
    "equations": {"vinegar": "T + F_f = m_1 a", "oil": "F_g1 - T = m_2 a"},
    "working": ["R_1 = m_1", "F_f = mu_s R_1", "T = F_g2"],
    "results": {"N_1": "-93.2 N", "f_1": "27.9 N", "T": "84.4 N"},
}


def test_what_is_said_of_a_paper_is_in_the_letters_of_the_class() -> None:
    """The kinds, terms and symbols of the files stay those of the scene."""
    steps = judge(scene_named(KEGS), ANSWERS).steps
    said = [text for s in steps for text in (s.says, *s.remarks, *(t for slip in s.slips for t in (slip.says, slip.why, slip.how)))]
    assert len([text for text in said if text]) > 20
    assert [text for text in said if OURS.search(text)] == []
    assert any("the normal force R_1" in text for text in said)
    assert {slip.term for s in steps for slip in s.slips if slip.term} >= {"f_1", "N_1", "W_2"}


# (typed, what the complaint names)
UNKNOWN = [("T - Q = m_1 a", "F_f1, F_g1, F_g2, g, m_1, m_2, mu_k, mu_s, R_1, T"), ("R_7 = 3", "R_1"), ("F_g9 = 3", "F_g1 and F_g2")]


@pytest.mark.parametrize(("typed", "names"), UNKNOWN)
def test_a_complaint_names_the_letters_of_the_class(typed: str, names: str) -> None:
    with pytest.raises(Complaint) as told:
        read(typed, Vocabulary.of(scene_named(KEGS)))
    assert names in told.value.says


def test_a_weight_that_is_written_as_a_product_is_said_as_one() -> None:
    text = """title = "A pot on a hook"\nstory = "A pot is lifted by a force."\nnotation = { weight = "mg" }
[bodies.pot]\nindex = 1\nmass = "2 kg"\nmoves = "vertical"
[[forces]]\nsymbol = "F"\non = "pot"\ndirection = "up"\nsize = "30 N"
[ask]\nvalues = ["a"]\n"""
    scene = load_text(text, name="pot")
    (step,) = [s for s in judge(scene, {"scene": "pot", "equations": {"pot": "F + m_1 g = m_1 a"}, "directions": {"pot": "up"}}).steps if s.text and s.step == "equations"]
    assert "The weight m_1 g acts down" in step.slips[0].says
