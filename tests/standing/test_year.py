"""An animal's year: brumations however they were entered, waking, first feed, and the seasons they part."""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rounds.logbook.times import fixed
from rounds.standing.animal import animal
from rounds.standing.breeding import Days
from rounds.standing.cycle import Cycle
from rounds.standing.seasons import bred_in_a_row, parted_into_seasons, seasons_of
from rounds.standing.year import Brumation, Year, YearDays, brumations, year_of
from tests.notation import VIENNA, at, standing

OPEN = """
2024-03-01 AK
08:00 b3 enclosure_set_up name=B3
08:01 wattle arrived name=Wattle sex=F hatched=2021-03-01 place=b3
"""
ADELAIDE = ZoneInfo("Australia/Adelaide")
RULES = YearDays()


def of(page: str, zone: ZoneInfo = VIENNA) -> Year:
    stood = standing(OPEN + page, zone)
    return year_of(stood, animal(stood, "animal/wattle"), RULES)


def winters(page: str) -> list[str]:
    """Each brumation in short words: `10 Nov warm 1 Feb to 10 Feb`."""
    stood = standing(OPEN + page)

    def day(entry: object) -> str:
        return f"{entry.at:%-d %b}" if entry is not None else "?"  # type: ignore[attr-defined]

    def words(one: Brumation) -> str:
        warm = f" warm {day(one.warm_up)}" if one.warm_up else ""
        return f"{day(one.began)}{warm} to {day(one.ended)}"

    return [words(one) for one in brumations(animal(stood, "animal/wattle"), RULES)]


NORTH = """
2025-10-20
08:00 wattle weighed grams=450
2025-11-01
08:00 wattle weighed grams=452
2025-11-10
08:00 wattle brumation_began
2025-12-01
08:00 wattle weighed grams=440
2026-01-20
08:00 wattle weighed grams=430
2026-01-25
08:00 wattle warm_up_began
2026-02-01
09:00 wattle brumation_ended
2026-02-03
09:00 enclosure/b3 fed
2026-02-05
09:00 wattle weighed grams=436
"""


def test_a_brumation_across_new_year_with_what_it_weighed_and_when_it_fed() -> None:
    year = of(NORTH)
    assert winters(NORTH) == ["10 Nov warm 25 Jan to 1 Feb"]
    assert (year.asleep, year.winters, year.woke) == (False, 1, at("2026-02-01 09:00"))
    assert (year.grams_before, year.grams_at_end) == (451, 430)
    assert year.loss == pytest.approx(1 - 430 / 451)
    assert [one.grams for one in year.during] == [440, 430]
    assert [one.grams for one in year.after] == [436]
    assert year.first_feed is not None
    assert year.first_feed.at == at("2026-02-03 09:00")
    assert year.weeks_awake(at("2026-03-01 12:00")) == 4
    assert year.weeks_awake(at("2026-02-28 12:00")) == 3


def test_a_southern_winter_is_reckoned_alike() -> None:
    page = "2025-05-20\n08:00 wattle brumation_began\n2025-08-20\n08:00 wattle brumation_ended\n"
    year = of(page, ADELAIDE)
    assert year.woke == at("2025-08-20 08:00", ADELAIDE)
    assert year.weeks_awake(at("2025-09-17 08:00", ADELAIDE)) == 4


def test_while_it_sleeps_it_has_not_woken() -> None:
    year = of(NORTH.partition("2026-01-25")[0])
    assert (year.asleep, year.woke, year.weeks_awake(at("2026-01-21"))) == (True, None, None)
    assert year.grams_at_end == 430, "the last weight so far"
    assert year.first_feed is None


@pytest.mark.parametrize(
    ("page", "told"),
    [
        ("", []),
        ("2025-11-10\n08:00 wattle brumation_began\n", ["10 Nov to ?"]),
        # Noted twice without an end: one winter. After an end it is another one, however soon.
        ("2025-11-10\n08:00 wattle brumation_began\n2025-11-12\n08:00 wattle brumation_began\n", ["10 Nov to ?"]),
        (
            "2025-11-10\n08:00 wattle brumation_began\n2025-11-20\n08:00 wattle brumation_ended\n"
            "2025-11-25\n08:00 wattle brumation_began\n",
            ["10 Nov to 20 Nov", "25 Nov to ?"],
        ),
        # An end that was never noted: the next winter is another one.
        (
            "2024-11-10\n08:00 wattle brumation_began\n2025-05-10\n08:00 wattle brumation_began\n",
            ["10 Nov to ?", "10 May to ?"],
        ),
        ("2024-11-11\n08:00 wattle brumation_began\n2025-05-10\n08:00 wattle brumation_began\n", ["11 Nov to ?"]),
        # It arrived asleep: only the end is known, or only the warm-up.
        ("2025-02-10\n08:00 wattle brumation_ended\n", ["? to 10 Feb"]),
        ("2025-02-01\n08:00 wattle warm_up_began\n", ["? warm 1 Feb to ?"]),
        (
            "2025-02-01\n08:00 wattle warm_up_began\n2025-02-10\n08:00 wattle brumation_ended\n",
            ["? warm 1 Feb to 10 Feb"],
        ),
        # An end noted twice is one; a warm-up noted after it is of no other winter.
        (
            "2025-11-10\n08:00 wattle brumation_began\n2026-02-10\n08:00 wattle brumation_ended\n"
            "2026-02-12\n08:00 wattle brumation_ended\n2026-02-13\n08:00 wattle warm_up_began\n",
            ["10 Nov to 10 Feb"],
        ),
    ],
)
def test_brumations_however_they_were_entered(page: str, told: list[str]) -> None:
    assert winters(page) == told


def test_food_refused_is_no_first_feed() -> None:
    page = NORTH.replace("09:00 enclosure/b3 fed", "09:00 wattle ate how=refused\n10:00 wattle ate how=some")
    first = of(page).first_feed
    assert first is not None
    assert first.at == at("2026-02-03 10:00")


def test_many_feeds_later_the_first_one_may_have_been_sooner() -> None:
    assert not of(NORTH).fed_at_latest
    fed = "".join(f"2026-03-{day:02}\n09:00 enclosure/b3 fed\n" for day in range(1, 29))
    assert of(NORTH + fed).fed_at_latest


# Seasons


def seasons(page: str, now: str) -> list[tuple[str, ...]]:
    stood = standing(OPEN + page)
    return [one.clutches for one in seasons_of(Cycle(stood, "animal/wattle", Days()), at(now), RULES)]


def eggs(number: int, day: str) -> str:
    return f"{day}\n08:00 wattle eggs_laid clutch=w-{number} count=20 complete=true\n"


def test_waking_begins_a_season_and_a_winter_without_a_clutch_after_it_is_one_of_rest() -> None:
    page = eggs(1, "2024-04-10") + eggs(2, "2024-05-20")
    page += "2024-11-10\n08:00 wattle brumation_began\n2025-02-01\n08:00 wattle brumation_ended\n"
    page += "2025-11-10\n08:00 wattle brumation_began\n2026-02-01\n08:00 wattle brumation_ended\n"
    page += eggs(3, "2026-04-10")
    assert seasons(page, "2026-05-01") == [("clutch/w-1", "clutch/w-2"), (), ("clutch/w-3",)]


@pytest.mark.parametrize(("day", "parts"), [("2025-02-07", 1), ("2025-02-08", 2)])
def test_without_brumation_a_season_ends_when_no_clutch_came_for_120_days(day: str, parts: int) -> None:
    """A southern female who lays across new year is in one season."""
    page = eggs(1, "2024-10-10") + eggs(2, day)
    assert len(seasons(page, f"{day} 12:00")) == parts


def test_breeding_in_a_row_counts_seasons_since_the_last_one_of_rest() -> None:
    def wakes(year: int) -> str:
        return f"{year}-01-10\n08:00 wattle brumation_began\n{year}-02-01\n08:00 wattle brumation_ended\n"

    page = eggs(1, "2024-04-10") + wakes(2025) + eggs(2, "2025-04-10") + wakes(2026)
    stood = standing(OPEN + page)
    cycle = Cycle(stood, "animal/wattle", Days())
    assert bred_in_a_row(seasons_of(cycle, at("2026-02-10"), RULES)) == 2, "the new season is no rest yet"
    stood = standing(OPEN + page + wakes(2027).replace("2027-01-10", "2027-01-05"))
    cycle = Cycle(stood, "animal/wattle", Days())
    assert bred_in_a_row(seasons_of(cycle, at("2027-02-10"), RULES)) == 0, "2026 was a rest"


class _Eggs:
    """A clutch of which only its day and its name are asked."""

    def __init__(self, number: int, days: int) -> None:
        self.subject = f"clutch/{number}"
        self.begun_at = fixed(at("2020-01-01") + timedelta(days=days), VIENNA)


@given(
    st.lists(st.integers(0, 3000), max_size=14),
    st.lists(st.integers(0, 3000), max_size=8),
    st.integers(60, 300),
    st.integers(3000, 4000),
)
def test_each_clutch_belongs_to_exactly_one_season(
    laid: list[int], wakings: list[int], gap: int, today: int
) -> None:
    clutches = [_Eggs(number, days) for number, days in enumerate(laid)]
    woke = [fixed(at("2020-01-01") + timedelta(days=days), VIENNA) for days in wakings]
    now = fixed(at("2020-01-01") + timedelta(days=today), VIENNA)
    found = parted_into_seasons(clutches, woke, now, gap)  # type: ignore[arg-type]
    told = [subject for season in found for subject in season.clutches]
    assert sorted(told) == sorted(one.subject for one in clutches), "none twice, none left out"
    assert found, "there is always a season now"
    days_of = {one.subject: one.begun_at for one in clutches}
    for season in found:
        assert all(season.since is None or days_of[one] >= season.since for one in season.clutches)
        # No waking lies between two clutches of one season, and no gap.
        inside = sorted(days_of[one] for one in season.clutches)
        for first, then in pairwise(inside):
            assert not any(first < moment <= then for moment in woke)
            assert (then.date() - first.date()).days <= gap
