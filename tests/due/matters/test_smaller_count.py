"""A count of eggs under the one before it, as of those that came since: asked about, and no answer."""

from __future__ import annotations

import pytest

from tests.desk.test_validation import look
from tests.due.matters.found import DIG, ROOM, found
from tests.due.matters.test_digger import TUB

#: Twenty eggs, said to be all; the next day one more, written as one.
DONE = ROOM + "2026-04-01\n18:00 wattle eggs_laid clutch=w-1 count=20 complete=true\n"
ONE = DONE + "2026-04-02\n09:00 wattle eggs_laid clutch=w-1 count=1\n"


@pytest.mark.parametrize(
    ("count", "asked"),
    [("1", True), ("19", True), ("20", False), ("20 complete=true", False), ("21", False)],
)
def test_a_smaller_count_is_asked_about_at_the_door(count: str, asked: bool) -> None:
    before = "07:00 wattle eggs_laid clutch=clutch/w-1 count=20 complete=true\n"
    doubts = look(f"10:00 wattle eggs_laid clutch=clutch/w-1 count={count}", before).doubts
    assert len(doubts) == asked
    told = "1 egg" if count == "1" else f"{count} eggs"
    assert not asked or doubts == (f"Wattle: {told}, but 20 on 1 Apr 2026. Is that all so far?",)


def test_the_first_count_of_another_clutch_is_not() -> None:
    before = "07:00 wattle eggs_laid clutch=clutch/w-1 count=20 complete=true\n"
    assert not look("10:00 wattle eggs_laid clutch=clutch/w-2 count=1", before).doubts


def test_it_does_not_make_a_short_clutch_her_usual() -> None:
    """A vet found her empty then; of two eggs of the next clutch her usual is still twenty."""
    later = """2026-04-10
09:00 wattle vet_seen carrying=false
2026-05-01
09:00 wattle mating_seen sire=karri
2026-06-01
09:00 wattle eggs_laid clutch=w-2 count=2 complete=true
"""
    for page in (DONE, ONE):
        assert "vet now laying stopped wattle" in found(page + later, "2026-06-04 09:00", "laying stopped")


def test_the_right_count_after_it_is_no_clutch_that_answers_eggs_felt() -> None:
    felt = "10:00 wattle felt_for_eggs found=eggs\n"
    felt += "2026-04-03\n18:30 wattle eggs_laid clutch=w-1 count=21 complete=true\n"
    assert found(ONE + felt, "2026-04-04 18:00", "laying stopped") == ["vet now laying stopped wattle"]


@pytest.mark.parametrize("count", ["1", "20 complete=true"])
def test_it_does_not_say_who_dug(count: str) -> None:
    """Nor does the same count written again; one egg more does."""
    laid = "2026-03-31\n09:00 wattle eggs_laid clutch=w-1 count=20 complete=true\n"
    page = f"{TUB}{laid}2026-04-01\n17:30 enclosure/b3 {DIG}\n18:00 wattle eggs_laid clutch=w-1 count="
    assert found(page + count, "2026-04-09 18:30", "unknown digger") == ["vet unknown digger b3"]
    assert found(page + "21", "2026-04-09 18:30", "unknown digger") == []
