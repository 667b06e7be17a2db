"""Eggs that come days after she was done, and what a vet or more eggs answer."""

from __future__ import annotations

import pytest

from rounds.due.matter import Level
from tests.due.matters.found import DIG, ROOM, all_found, found, the

#: Two eggs said to be all, and the clutch ten days later.
FEW_FIRST = (
    ROOM
    + """
2026-04-01
18:00 wattle eggs_laid clutch=w-1 count=2 complete=true
2026-04-02
09:00 wattle vet_called said=wait
2026-04-11
18:00 wattle eggs_laid clutch=w-2 count=16 complete=true
"""
)
LAID = ROOM + "2026-04-01\n18:00 wattle eggs_laid clutch=w-1 count=20 complete=true\n"


def test_eggs_felt_after_a_clutch_count_though_two_were_called_complete_before() -> None:
    felt = FEW_FIRST + "2026-04-17\n08:00 wattle felt_for_eggs found=eggs\n"
    assert the(felt, "2026-04-17 09:00", "laying stopped").level >= Level.VET


def test_a_clutch_laid_after_eggs_were_felt_answers_them() -> None:
    page = FEW_FIRST.replace("2026-04-11", "2026-04-10\n08:00 wattle felt_for_eggs found=eggs\n2026-04-11")
    assert found(page, "2026-04-20 09:00", "laying stopped") == []


@pytest.mark.parametrize("again", ["count=20", "count=20 complete=true", "count=6"])
def test_the_same_count_written_again_answers_no_digging(again: str) -> None:
    dug = LAID + f"2026-04-07\n09:00 wattle {DIG}\n2026-04-08\n18:00 wattle {DIG}\n"
    dug += f"2026-04-09\n09:00 wattle eggs_laid clutch=w-1 {again}\n"
    assert found(dug, "2026-04-16 09:00", "digging without eggs") == ["vet digging without eggs wattle"]


def test_eggs_days_after_she_was_done_are_for_today_until_none_are_felt() -> None:
    late = LAID + "2026-04-08\n09:00 wattle eggs_laid clutch=w-2 count=2 complete=true\n"
    matter = the(late, "2026-04-08 10:00", "laying stopped")
    assert matter.level == Level.TODAY
    assert matter.says == "Wattle: said to be done at 2 eggs (22 in all), the last came days after she was done."
    for answer in ("felt_for_eggs found=none", 'egg_check_done absent="eggs felt"', "vet_called said=wait"):
        assert found(f"{late}12:00 wattle {answer}\n", "2026-04-08 13:00", "laying stopped") == [], answer


def test_found_the_next_day_they_are_not() -> None:
    soon = LAID + "2026-04-03\n09:00 wattle eggs_laid clutch=w-2 count=2 complete=true\n"
    assert found(soon, "2026-04-03 10:00", "laying stopped") == []


def test_a_few_eggs_do_not_carry_a_laying_on_for_weeks() -> None:
    page = LAID + "2026-04-12\n09:00 wattle eggs_laid clutch=w-2 count=2 complete=true\n"
    page += "2026-04-24\n09:00 wattle eggs_laid clutch=w-3 count=2 complete=true\n"
    assert the(page, "2026-04-26 10:00", "laying stopped").level == Level.VET_NOW


def test_what_a_vet_found_in_her_counts_after_a_few_eggs_called_complete() -> None:
    page = ROOM + "2026-04-01\n18:00 wattle eggs_laid clutch=w-1 count=2 complete=true\n"
    page += "2026-04-03\n09:00 wattle vet_seen carrying=true\n"
    assert (
        max(one.level for one in all_found(page, "2026-04-11 10:00") if one.about == "animal/wattle") == Level.VET
    )


def test_a_vet_answers_the_waits_before_the_last_egg_too() -> None:
    page = ROOM + "2026-04-01\n08:00 wattle eggs_laid clutch=w-1 count=1\n"
    page += "2026-04-04\n12:00 wattle eggs_laid clutch=w-1 count=2\n"
    assert the(page, "2026-04-04 13:00", "laying stopped").level == Level.VET_NOW
    page += "14:00 wattle vet_called said=wait\n"
    assert the(page, "2026-04-04 15:00", "laying stopped").level < Level.VET
    assert the(page, "2026-04-06 15:00", "laying stopped").level == Level.VET
    felt = page + "18:00 wattle felt_for_eggs found=eggs\n"
    assert the(felt, "2026-04-04 19:00", "laying stopped").level == Level.VET


def test_a_weight_between_a_few_eggs_and_the_clutch_is_her_own_when_there_is_no_other() -> None:
    page = FEW_FIRST.replace("2026-04-11\n", "12:00 wattle weighed grams=380\n2026-04-11\n")
    page += "2026-04-16\n08:00 wattle weighed grams=480\n"
    assert "today heavy after laying wattle" in found(page, "2026-04-16 09:00")
