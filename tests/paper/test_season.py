"""The words at the end of a line of the season: a verdict is never cut."""

from __future__ import annotations

import pytest

from rounds.paper.season import WORDS, said


@pytest.mark.parametrize(
    ("matter", "rule", "told"),
    [
        ("Kunzea: day 8, no eggs. Has dug since 19 Nov.", "digging without eggs", "VET day 8, no eggs"),
        ("Kunzea may be egg-bound: window ended 25 Nov, no eggs.", "signs add up", "VET may be egg-bound"),
        ("Kunzea: lethargy seen 25 Nov 18:55. She may be gravid.", "danger sign", "VET lethargy seen"),
        ("Kunzea: stopped laying 46 h ago at 9, eggs felt.", "laying stopped", "VET laying stopped"),
        ("Kunzea: thin.", "looks thin", "VET thin."),
    ],
)
def test_what_is_too_long_is_said_by_its_verdict_or_its_rule(matter: str, rule: str, told: str) -> None:
    assert said("vet", "due 1 to 5 Dec", matter, "Kunzea", rule, WORDS) == told
    assert len(told) <= WORDS


def test_of_what_is_for_today_the_figures_stay() -> None:
    assert said("today", "hatching: 14 out, 3 in", "", "", "", 30) == "TODAY hatching: 14 out, 3 in"
    assert said("today", "hatching: 14 out, 3 in", "", "", "", WORDS) == "TODAY 14 out, 3 in"


def test_today_is_not_said_of_a_rest() -> None:
    matter = "Fern: not on the walk, no one will feed it."
    assert said("today", "resting", matter, "Fern", "no place", WORDS, comes=False) == "TODAY no place"
    assert said("watch", "resting", "Fern: thin.", "Fern", "looks thin", WORDS, comes=False) == "resting"
