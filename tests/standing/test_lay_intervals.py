"""From mating to laying and from laying to laying: which waits are learned from, and whose weigh more."""

from __future__ import annotations

from datetime import date

from rounds.standing.breeding import Days
from rounds.standing.female import female
from rounds.standing.lay_intervals import Interval, believed, colony_intervals, intervals, intervals_on
from rounds.standing.lognormal import quantile
from tests.notation import standing

DAYS = Days()
ROOM = """
2025-01-01 AK
08:00 b3 enclosure_set_up name=B3
08:01 wattle arrived name=Wattle sex=F hatched=2022-03-01 place=b3 bred_here=true
08:02 sedge arrived name=Sedge sex=F hatched=2022-03-01 bred_here=true
08:03 karri arrived name=Karri sex=M hatched=2021-03-01 bred_here=true
"""
MATED = "2025-03-01\n10:00 wattle mating_seen sire=karri\n"


def waits(page: str, who: str = "wattle") -> list[tuple[str, tuple[int, ...]]]:
    """A female's waits in short: the sort, and the days each may have been."""
    found = intervals(female(standing(page), f"animal/{who}", DAYS))
    return [(one.sort, one.days) for one in found]


def laid(day: str, number: int, who: str = "wattle") -> str:
    return f"{day}\n10:00 {who} eggs_laid clutch={who}-{number} count=20 complete=true\n"


def test_from_a_mating_seen_to_the_first_egg_the_days_are_known() -> None:
    page = ROOM + MATED + laid("2025-03-26", 1)
    assert waits(page) == [("first", (25,))]
    (one,) = intervals(female(standing(page), "animal/wattle", DAYS))
    assert one == Interval("clutch/wattle-1", "first", date(2025, 3, 26), (25,))


def test_the_first_egg_counts_and_not_the_word_complete() -> None:
    page = ROOM + MATED + "2025-03-26\n10:00 wattle eggs_laid clutch=wattle-1 count=4\n"
    assert waits(page + "2025-03-27\n10:00 wattle eggs_laid clutch=wattle-1 count=20 complete=true\n") == [
        ("first", (25,))
    ]


def test_of_company_each_day_together_may_have_been_the_one() -> None:
    page = ROOM + "2025-03-01\n10:00 wattle put_together mate=karri\n2025-03-04\n10:00 wattle parted\n"
    assert waits(page + laid("2025-03-26", 1)) == [("first", (22, 23, 24, 25))]


def test_where_matings_were_seen_the_other_days_between_them_do_not_count() -> None:
    page = (
        ROOM
        + "2025-03-01\n10:00 wattle put_together mate=karri\n11:00 wattle mating_seen\n"
        + "2025-03-04\n09:00 wattle mating_seen\n10:00 wattle parted\n"
    )
    assert waits(page + laid("2025-03-26", 1)) == [("first", (22, 25))]


def test_a_later_clutch_runs_from_the_day_the_one_before_was_complete() -> None:
    page = ROOM + MATED + laid("2025-03-26", 1) + laid("2025-04-24", 2)
    assert waits(page) == [("first", (25,)), ("later", (29,))]


def test_mated_again_in_between_it_is_a_later_one_up_to_the_end_of_the_time_between_clutches() -> None:
    again = "2025-04-10\n10:00 wattle mating_seen\n"
    begun = ROOM + MATED + laid("2025-03-26", 1) + again
    # 42 days after 26 March it is 7 May.
    assert waits(begun + laid("2025-05-07", 2))[1:] == [("later", (42,))]
    assert waits(begun + laid("2025-05-08", 2))[1:] == [("first", (28,))]


def test_far_under_the_window_it_is_no_interval() -> None:
    # Half of 14 days after a mating, and half of 21 after a clutch.
    assert waits(ROOM + MATED + laid("2025-03-07", 1)) == []
    assert waits(ROOM + MATED + laid("2025-03-08", 1)) == [("first", (7,))]
    begun = ROOM + MATED + laid("2025-03-26", 1)
    assert waits(begun + laid("2025-04-05", 2))[1:] == []
    assert waits(begun + laid("2025-04-06", 2))[1:] == [("later", (11,))]


def test_without_a_mating_and_without_a_clutch_before_there_is_nothing_to_learn() -> None:
    assert waits(ROOM + laid("2025-03-26", 1)) == []


def test_company_of_years_is_thinned_and_teaches_little() -> None:
    page = ROOM + "2025-01-02\n10:00 wattle put_together mate=karri\n" + laid("2027-03-26", 1)
    ((sort, days),) = waits(page)
    assert sort == "first"
    assert len(days) <= 24
    assert min(days) >= 7
    assert max(days) <= 120


def test_her_own_page_tells_the_same_as_all_that_is_known_of_her() -> None:
    page = (
        ROOM
        + "2025-03-01\n10:00 wattle put_together mate=karri\n2025-03-03\n10:00 wattle parted mate=karri\n"
        + laid("2025-03-26", 1)
        + laid("2025-04-24", 2)
    )
    known = standing(page)
    assert intervals_on(known.page("animal/wattle"), DAYS) == intervals(female(known, "animal/wattle", DAYS))


def test_the_colony_teaches_a_female_of_whom_nothing_is_known() -> None:
    sedge = "2025-03-01\n10:00 sedge mating_seen\n" + laid("2025-04-06", 1, "sedge")
    known = standing(ROOM + sedge + MATED)
    found = believed(female(known, "animal/wattle", DAYS), "first")
    assert (found.own, found.others) == (0, 1)
    assert quantile(found.belief, 0.5) > (14 * 42) ** 0.5
    assert [one.days for one in colony_intervals(known, DAYS).besides("animal/wattle", "first")] == [(36,)]
    assert colony_intervals(known, DAYS).besides("animal/sedge", "first") == []


def test_her_own_intervals_weigh_more_than_those_of_others() -> None:
    # Sedge took 36 days twice, Wattle 20 days twice. Fern has none: of her it is said what both taught.
    page = ROOM + "2025-01-01\n09:00 fern arrived name=Fern sex=F\n"
    for year in (2025, 2026):
        page += f"{year}-03-01\n10:00 sedge mating_seen\n11:00 wattle mating_seen\n"
        page += laid(f"{year}-03-21", year, "wattle") + laid(f"{year}-04-06", year, "sedge")
    known = standing(page)
    wattle, fern, sedge = (
        quantile(believed(female(known, f"animal/{who}", DAYS), "first").belief, 0.5)
        for who in ("wattle", "fern", "sedge")
    )
    assert wattle < fern < sedge
