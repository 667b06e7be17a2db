"""Figures asked about at the door: °F typed as °C, young out long before their time."""

from __future__ import annotations

import pytest

from rounds.desk.validation import judged
from tests.due.matters.found import HOUSE
from tests.notation import logbook, standing


@pytest.mark.parametrize(("words", "asked"), [("air_c=29.5", 0), ("air_c=72", 1), ("basking_c=46", 0)])
def test_a_reading_in_fahrenheit_is_asked_about(words: str, asked: int) -> None:
    page = standing("2026-03-01\n08:00 enclosure/s1 enclosure_set_up name=S1 what='incubator shelf'\n")
    (entry,) = logbook(f"2026-03-02\n08:00 enclosure/s1 climate_read {words}\n")
    doubts = judged(page, HOUSE, entry).doubts
    assert len(doubts) == asked
    assert not asked or doubts == ("S1: 72 °C. Is it 72 °F, 22.2 °C?",)


@pytest.mark.parametrize(
    ("line", "asked"),
    [
        # 50 days, less the 12 % that a forecast may miss by: 44.
        ("2026-04-13\n08:00 wattle-1 hatched count=2", "Wattle 1: hatched on day 43; eggs may hatch from day 50."),
        ("2026-04-14\n08:00 wattle-1 hatched count=2", ""),
        ("2026-03-03\n08:00 wattle-1 eggs_seen signs=pipped", "Wattle 1: pipped on day 2;"),
        ("2026-04-14\n08:00 wattle-1 eggs_seen signs=pipped", ""),
        ("2026-03-03\n08:00 wattle-1 eggs_seen signs=dented", ""),
    ],
)
def test_young_out_long_before_their_time_are_asked_about(line: str, asked: str) -> None:
    room = """2026-03-01
08:00 wattle arrived name=Wattle sex=F
09:00 wattle eggs_laid clutch=wattle-1 count=12 complete=true
10:00 wattle-1 eggs_boxed count=12
"""
    found = judged(standing(room), HOUSE, logbook(line + "\n")[-1])
    assert not found.refused
    assert len(found.doubts) == bool(asked)
    assert not asked or found.doubts[0].startswith(asked)
