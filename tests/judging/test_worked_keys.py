"""What a worked key prints is right by the judge's own word; `worked_keys.py` does the same for as many variants as one likes."""

from __future__ import annotations

import pytest
from marked_lines import scene_named
from worked_keys import keys, not_right

from plusway.autograde.judging import judge
from plusway.autograde.scene.data import with_data


def test_the_keys_of_some_variants_are_right_in_every_line() -> None:
    """One variant of each scene and then some, positive directions by lot."""
    found = [(scene.name, key["directions"], wrong) for scene, key in keys(75, "a few keys") if (wrong := not_right(scene, key))]
    assert found == []


@pytest.mark.parametrize(
    ("scene", "data", "step", "text", "verdict"),
    [
        ("garden-roller", {}, "working", "f < mu_s N_1", "right"),
        ("garden-roller", {}, "working", "f > mu_s N_1", "slip"),
        ("two-snowy-slopes", {"m_1": "44 kg", "m_2": "38 kg", "theta_1": "50 deg", "theta_2": "30 deg", "mu_k_2": "0.15", "mu_s_2": "0.2"}, "sense", "m_1 = m_2 => a = 0", "right"),
        ("two-snowy-slopes", {}, "sense", "m_1 = m_2 => a = 0", "slip"),
        ("glider-on-an-air-track", {"m_1": "0.290 kg", "m_2": "0.033 kg"}, "working", "T = 0.29(1.001) = 0.290", "right"),
        ("glider-on-an-air-track", {"m_1": "0.290 kg", "m_2": "0.033 kg"}, "working", "T = 0.29(1.001) = 0.292", "slip"),
    ],
)  # fmt: skip
def test_lines_of_keys_that_hang_on_the_data(scene: str, data: dict[str, str], step: str, text: str, verdict: str) -> None:
    """An inequality holds for the scene's own data; friction may hold all in a limit; a result may have the figures of a datum."""
    one = with_data(scene_named(scene), data) if data else scene_named(scene)
    directions = {t: one.directions(t)[0] for t in one.things}
    assert [s.verdict for s in judge(one, {"directions": directions, step: [text]}).steps if s.text == text] == [verdict]
