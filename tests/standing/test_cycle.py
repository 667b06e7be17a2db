"""A female's chances of a clutch, to the day and to the minute."""

from __future__ import annotations

from rounds.standing.breeding import Days
from rounds.standing.female import Female, female
from tests.notation import at, standing

ROOM = """
2026-03-01 AK
08:00 enclosure/b3 enclosure_set_up name=B3
08:01 wattle arrived name=Wattle sex=F hatched=2023-03-01 place=enclosure/b3
08:02 karri arrived name=Karri sex=M hatched=2022-03-01
"""
#: Another clutch may come of stored sperm from 24 April on.
LAID = "2026-04-03\n10:00 wattle eggs_laid clutch=clutch/w-1 count=20 complete=true\n"


def her(text: str) -> Female:
    return female(standing(ROOM + text), "animal/wattle", Days())


def test_a_vet_who_finds_her_empty_ends_stored_sperm_only_once_the_next_clutch_can_be_in_her() -> None:
    for day, stored in (("2026-04-23", True), ("2026-04-24", False)):
        seen = her(f"{LAID}{day}\n10:00 wattle vet_seen carrying=false")
        assert (seen.stored_since(at("2026-05-01")) is not None) is stored
    found_empty = her(f"{LAID}2026-04-26\n10:00 wattle vet_seen carrying=false")
    assert found_empty.stored_since(at("2026-04-25")) is not None, "the vet has not been there yet"
    assert found_empty.stored_since(at("2026-04-26")) is None
    well = her(f"{LAID}2026-04-26\n10:00 wattle vet_seen outcome=well")
    assert well.stored_since(at("2026-05-01")) is not None


def test_with_a_male_counts_from_the_minute_they_are_put_together_to_the_minute_they_are_parted() -> None:
    text = "2026-03-10\n10:00 wattle put_together mate=karri\n2026-03-12\n09:00 wattle parted"
    pair = her(text)
    assert pair.last_with_male(at("2026-03-10 09:59")) is None
    assert pair.last_with_male(at("2026-03-12 09:00")) == at("2026-03-12 09:00")
    assert pair.last_with_male(at("2026-03-20 10:00")) == at("2026-03-12 09:00")
    going_on = her(text.partition("\n2026-03-12")[0])
    assert going_on.last_with_male(at("2026-03-10 10:00")) == at("2026-03-10 10:00")
    assert going_on.last_with_male(at("2026-03-20 10:00")) == at("2026-03-20 10:00")


def test_a_weight_written_down_with_her_eggs_still_tells_her_own_weight_and_a_later_one_does_not() -> None:
    page = """
    2026-03-05
    10:00 wattle weighed grams=400
    2026-03-10
    10:00 wattle mating_seen
    2026-04-01
    10:00 wattle eggs_laid clutch=clutch/w-1 count=20 complete=true
    2026-03-06
    10:00 wattle weighed grams=420 written={}
    """
    assert her(page.format("2026-04-01T10:00:00+02:00")).weight_before_last_clutch() == 410
    assert her(page.format("2026-04-01T10:01:00+02:00")).weight_before_last_clutch() == 400
