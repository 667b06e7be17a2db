"""Figures asked about at the door: °F typed as °C."""

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
