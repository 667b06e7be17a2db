"""Weeks after laying a female weighs well under her own weight: it is said, before any pairing is asked."""

from __future__ import annotations

from rounds.due.gravid import gravid_or_not
from rounds.due.lay_balance import lay_balance
from rounds.due.matter import Level
from rounds.standing.female import female
from tests.due.matters.found import HOUSE, ROOM, found, the
from tests.notation import at, standing

NAME = "not regained"
LAID = ROOM + (
    "2026-03-02\n08:00 wattle weighed grams=400\n2026-03-03\n08:00 wattle mating_seen\n"
    "2026-03-28\n09:00 wattle eggs_laid clutch=w-1 count=18 complete=true\n"
)


def weighed(*days: tuple[str, int]) -> str:
    return LAID + "".join(f"{day}\n09:00 wattle weighed grams={grams}\n" for day, grams in days)


def test_from_the_end_of_her_rest_on_by_the_last_weighing() -> None:
    assert found(weighed(("2026-03-29", 340), ("2026-04-24", 345)), "2026-04-24 10:00", NAME) == []
    matter = the(weighed(("2026-03-29", 340), ("2026-04-25", 345)), "2026-04-25 10:00", NAME)
    assert (matter.level, matter.says) == (Level.WATCH, "Wattle: 86 % of her own 400 g, 28 days after laying.")
    assert found(weighed(("2026-03-29", 340), ("2026-04-25", 380)), "2026-04-25 10:00", NAME) == []
    again = weighed(("2026-03-29", 340), ("2026-04-25", 345), ("2026-05-06", 381))
    assert found(again, "2026-05-06 10:00", NAME) == []


def test_it_ends_with_the_season_and_with_brumation() -> None:
    page = weighed(("2026-04-25", 345))
    assert found(page, "2026-07-26", NAME) == ["watch not regained wattle"]
    assert found(page, "2026-07-27", NAME) == []
    slept = page + "2026-05-01\n08:00 wattle brumation_began\n2026-06-20\n08:00 wattle brumation_ended\n"
    assert found(slept, "2026-06-21", NAME) == []


def test_the_scale_says_that_laying_does_not_explain_it() -> None:
    her = female(standing(weighed(("2026-03-29", 340))), "animal/wattle", HOUSE.breeding_days)
    balance = lay_balance(her, HOUSE, her.clutches[-1])
    assert balance is not None
    assert balance.says.endswith("; 52 g lighter than laying explains")
    her = female(standing(weighed(("2026-03-29", 380))), "animal/wattle", HOUSE.breeding_days)
    balance = lay_balance(her, HOUSE, her.clutches[-1])
    assert balance is not None
    assert "lighter" not in balance.says


def test_the_day_of_a_mating_is_the_day_it_was_seen() -> None:
    page = ROOM + (
        "2026-03-10\n08:00 wattle put_together mate=karri\n2026-03-11\n08:00 wattle mating_seen sire=karri\n"
        "2026-03-17\n08:00 wattle parted mate=karri\n"
    )
    her = female(standing(page), "animal/wattle", HOUSE.breeding_days)
    told = gravid_or_not(her, HOUSE, at("2026-03-20"))
    assert told is not None
    assert told.chance is not None
    assert told.chance.says.startswith("mated 11 Mar, with a male to 17 Mar, due ")
