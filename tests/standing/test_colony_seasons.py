"""Seasons of a colony, from waking to waking, in both hemispheres."""

from __future__ import annotations

from zoneinfo import ZoneInfo

import pytest

from rounds.standing.colony_seasons import colony_seasons
from rounds.standing.year import YearDays
from tests.notation import VIENNA, at, standing

ADELAIDE = ZoneInfo("Australia/Adelaide")
THERE = "2024-01-10 AK\n08:00 a arrived name=A sex=F\n08:00 b arrived name=B sex=M\n"


def seasons(page: str, now: str, zone: ZoneInfo = VIENNA) -> list[tuple[str, str, str | None]]:
    found = colony_seasons(standing(THERE + page, zone), at(now, zone), YearDays(), zone)
    return [(one.called, str(one.begins), str(one.ends) if one.ends else None) for one in found]


def woke(*days: str) -> str:
    lines = [f"{day.split()[0]} AK\n08:00 {day.split()[1]} brumation_ended\n" for day in days]
    return "".join(lines)


def test_a_southern_season_goes_over_new_year_and_is_called_by_both() -> None:
    page = woke("2024-08-20 a", "2024-09-15 b", "2025-08-25 b", "2025-09-02 a")
    assert seasons(page, "2026-03-01", ADELAIDE) == [
        ("2024", "2024-01-10", "2024-08-19"),
        ("2024/25", "2024-08-20", "2025-08-24"),
        ("2025/26", "2025-08-25", None),
    ]


def test_a_northern_season_is_called_by_its_year() -> None:
    page = woke("2024-02-27 a", "2024-03-20 b", "2025-02-25 a")
    # What lies before the first waking of that year has a name of its own.
    assert [one[0] for one in seasons(page, "2025-06-01")] == ["before 2024", "2024", "2025"]
    assert seasons(page, "2025-06-01")[1:] == [("2024", "2024-02-27", "2025-02-24"), ("2025", "2025-02-25", None)]


def test_one_that_sleeps_again_begins_no_season_and_a_waking_to_come_none() -> None:
    page = woke("2024-08-20 a") + "2025-05-01 AK\n08:00 a brumation_began\n"
    assert len(seasons(page, "2025-06-01")) == 2
    assert len(seasons(page + woke("2025-08-30 a"), "2025-06-01")) == 2
    # Warm-up tells where the end was never noted.
    warm = page + "2025-08-25 AK\n08:00 a warm_up_began\n"
    assert seasons(warm, "2025-10-01")[-1] == ("2025/26", "2025-08-25", None)


def test_without_brumation_clutches_far_apart_part_the_seasons() -> None:
    laid = "{day} AK\n08:00 a eggs_laid clutch={id} count=10 complete=true\n"
    page = laid.format(day="2024-03-01", id="a-1") + laid.format(day="2024-04-10", id="a-2")
    page += laid.format(day="2025-01-15", id="a-3")
    assert [one[1] for one in seasons(page, "2025-06-01")] == ["2024-01-10", "2024-03-01", "2025-01-15"]


@pytest.mark.parametrize("now", ["2024-02-01", "2030-01-01"])
def test_a_colony_of_which_nothing_parts_a_season_has_none(now: str) -> None:
    assert seasons("", now) == []
