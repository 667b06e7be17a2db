"""A countdown never tells of more time than is left."""

from __future__ import annotations

import pytest

from rounds.paper.words import left_words
from tests.notation import at


@pytest.mark.parametrize(
    ("now", "says"),
    [
        ("2026-04-12 20:52", "2 h left"),
        ("2026-04-12 20:40", "3 h left"),
        ("2026-04-12 22:41", "59 min left"),
        ("2026-04-12 23:40", "0 min left"),
        ("2026-04-13 01:39", "1 h past"),
        ("2026-04-08 23:41", "3 days left"),
        ("2026-04-20 00:00", "7 days past"),
    ],
)
def test_hours_are_cut_down_to_whole_ones(now: str, says: str) -> None:
    assert left_words(at("2026-04-12 23:40"), at(now)) == says
