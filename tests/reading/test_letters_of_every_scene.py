"""Every letter of every scene that ships reads as itself, in every way of typing its index, and printing does not change it."""

from __future__ import annotations

import re

import pytest

from plusway.autograde.reading import Name, Vocabulary, read, to_text
from plusway.lessons import catalogue

GREEK = {"alpha": "α", "beta": "β", "mu": "μ", "phi": "φ", "tau": "τ", "theta": "θ"}


def ways(name: str) -> list[str]:
    """How a student may type a name: m_1, m1, m_{1}, m₁; mu_k, μ_k, \\mu_k."""
    head, _, tail = name.partition("_")
    heads = [head, GREEK[head], "\\" + head] if head in GREEK else [head]
    if not tail:
        return heads
    out = (
        [f"{h}_{{{tail.replace('_', ',')}}}" for h in heads]
        + [f"{h}_{tail}" for h in heads]
        + [f"{heads[-1]}_{{{tail}}}"]
    )
    if re.fullmatch(r"\d", tail):
        out += [h + tail for h in heads] + [h + chr(0x2080 + int(tail)) for h in heads]
    return out


@pytest.fixture(scope="module", params=catalogue.names())
def scene_vocabulary(request: pytest.FixtureRequest) -> Vocabulary:
    return Vocabulary.of(catalogue.find(request.param))


def test_every_letter_reads_as_itself(scene_vocabulary: Vocabulary) -> None:
    """A letter of the scene is one name, and the same one however it is typed."""
    for name in scene_vocabulary.symbols:
        for typed in ways(name):
            node = read(f"{typed} = 0", scene_vocabulary).lines[0].sides[0]
            assert isinstance(node, Name)
            assert (typed, node.name) == (typed, name)


def test_two_letters_side_by_side_stay_two(scene_vocabulary: Vocabulary) -> None:
    """A product of two letters, printed and read, is that product again."""
    names = list(scene_vocabulary.symbols)
    for first, second in zip(names, names[1:] + names[:1], strict=True):
        text = f"{first} {second}"
        assert to_text(read(text, scene_vocabulary).lines[0]) == text


@pytest.mark.parametrize("name", catalogue.names())
def test_weight_and_mass_by_the_thing_s_name(name: str) -> None:
    """m_sack and W_sack are the sack's, wherever the sack's name is one word."""
    scene = catalogue.find(name)
    vocabulary = Vocabulary.of(scene)
    for thing in scene.bodies:
        if not thing.isalpha():
            continue
        for kind, letter in (("mass", "m"), ("weight", "W"), ("acceleration", "a")):
            node = read(f"{letter}_{thing}", vocabulary).lines[0].sides[0]
            assert isinstance(node, Name)
            assert node.name == scene.symbol_of(kind, thing)
