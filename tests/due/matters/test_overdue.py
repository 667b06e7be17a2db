"""Later than her forecast: watch, and today when eggs are in her. It makes nothing later and nothing lower."""

from __future__ import annotations

import pytest

from rounds.due.matter import Level
from tests.due.matters.found import DIG, ROOM, found, the
from tests.due.stops import house_with
from tests.notation import at

#: Her forecast ends on 20 April, her window on the 23rd.
MATED = ROOM + "2026-03-12\n10:00 wattle mating_seen sire=karri\n"
BOX = "2026-03-20\n18:00 wattle lay_box_in depth_cm=20\n"
#: Of a colony whose females take 20 days, so that she is overdue two weeks before her window ends.
QUICK = ROOM.replace("2026-03-01 AK", "2023-01-01 AK").replace("2023-03-01", "2020-03-01")
for _year in (2023, 2024, 2025):
    QUICK += f"{_year}-03-01\n10:00 sedge mating_seen\n10:00 wattle mating_seen\n"
    QUICK += f"{_year}-03-21\n10:00 sedge eggs_laid clutch=s-{_year} count=20 complete=true\n"
    QUICK += f"10:00 wattle eggs_laid clutch=w-{_year} count=20 complete=true\n"
QUICK += "2026-03-12\n10:00 wattle mating_seen sire=karri\n2026-03-20\n18:00 wattle lay_box_in depth_cm=20\n"


@pytest.mark.parametrize(
    ("now", "expected"),
    [
        ("2026-04-20 23:59", []),
        ("2026-04-21 00:00", ["watch overdue to lay wattle"]),
        ("2026-04-23 23:59", ["watch overdue to lay wattle"]),
        ("2026-04-24 00:00", []),
    ],
)
def test_from_the_day_after_her_forecast_to_the_end_of_her_window_she_is_overdue(
    now: str, expected: list[str]
) -> None:
    assert found(MATED + BOX, now, "overdue to lay") == expected


def test_the_day_her_window_ends_the_matters_of_the_window_take_over() -> None:
    looked = MATED + BOX + "2026-04-23\n08:00 wattle egg_check_done\n"
    rules = ("overdue to lay", "window past", "signs add up")
    assert found(looked, "2026-04-23", *rules) == ["watch overdue to lay wattle"]
    assert found(looked, "2026-04-24", *rules) == ["watch window past wattle"]


def test_a_quick_colony_makes_it_earlier_and_says_how_long_she_waits() -> None:
    matter = the(QUICK, "2026-04-12", "overdue to lay")
    assert matter.level == Level.WATCH
    assert matter.says.startswith("Wattle: overdue since ")
    assert matter.says.endswith(", waiting 31 days.")
    assert matter.since < at("2026-04-12")
    assert [entry.kind for entry in matter.entries] == ["mating_seen"]
    assert "window ends 23 Apr" in matter.worsens


def test_eggs_felt_make_it_one_for_today() -> None:
    page = QUICK + "2026-04-11\n10:00 wattle felt_for_eggs found=eggs\n"
    matter = the(page, "2026-04-12", "overdue to lay")
    assert matter.level == Level.TODAY
    assert matter.says.endswith("Eggs felt 11 Apr.")
    assert found(QUICK + "2026-04-11\n10:00 wattle felt_for_eggs found=none\n", "2026-04-12", "overdue to lay") == [
        "watch overdue to lay wattle"
    ]


@pytest.mark.parametrize(
    "told",
    [
        f"2026-04-11\n10:00 wattle {DIG}\n",
        "2026-04-11\n10:00 wattle eggs_laid clutch=wattle-1 count=4\n",
        "2026-04-12\n08:00 wattle vet_called said=wait\n",
        "2026-04-12\n08:00 wattle died\n",
    ],
    ids=["digging", "laying", "a vet was asked", "she died"],
)
def test_what_another_matter_says_or_what_ended_it_is_not_said_again(told: str) -> None:
    assert found(QUICK + told, "2026-04-12 12:00", "overdue to lay") == []


def test_signs_that_add_up_say_it_instead() -> None:
    page = QUICK + "2026-04-05\n10:00 wattle felt_for_eggs found=eggs\n"
    for day in range(8, 12):
        page += f"2026-04-{day:02}\n10:00 wattle ate how=refused\n"
    assert found(page, "2026-04-12", "overdue to lay", "signs add up") == ["vet signs add up wattle"]


def test_a_next_clutch_by_stored_sperm_is_no_promise() -> None:
    page = MATED + "2026-04-05\n10:00 wattle eggs_laid clutch=wattle-1 count=20 complete=true\n"
    assert found(page, "2026-05-17", "overdue to lay") == []


def test_without_a_lay_box_she_needs_one_today_from_the_day_she_is_due() -> None:
    assert found(MATED, "2026-03-28", "lay box not ready") == ["watch lay box not ready wattle"]
    assert the(MATED, "2026-03-28", "lay box not ready").says == ("Wattle: no lay box yet. Window opened 26 Mar.")
    matter = the(MATED, "2026-03-29", "lay box not ready")
    assert matter.level == Level.TODAY
    assert matter.says == "Wattle: no lay box yet. Due 29 Mar to 20 Apr."
    assert found(MATED, "2026-04-22", "lay box not ready", "overdue to lay") == ["today lay box not ready wattle"]


def test_of_company_alone_no_mating_is_known_and_the_box_is_for_watch() -> None:
    page = ROOM + "2026-03-12\n10:00 wattle put_together mate=karri\n2026-03-14\n10:00 wattle parted\n"
    assert found(page, "2026-04-05", "lay box not ready") == ["watch lay box not ready wattle"]


def test_intervals_learned_later_lower_no_vet_matter() -> None:
    page = QUICK + f"2026-04-08\n10:00 wattle {DIG}\n2026-04-12\n10:00 wattle {DIG}\n"
    assert found(page, "2026-04-16", "digging without eggs") == ["vet digging without eggs wattle"]
    slow = page + "2026-04-15\n10:00 sedge eggs_laid clutch=s-2026 count=20 complete=true\n"
    slow = slow.replace("2026-03-12\n10:00 wattle", "2026-03-05\n10:00 sedge mating_seen\n2026-03-12\n10:00 wattle")
    assert found(slow, "2026-04-16", "digging without eggs") == ["vet digging without eggs wattle"]


def test_the_quantile_is_a_house_rule() -> None:
    sooner = house_with(forecast={"overdue_percent": 80})
    assert found(MATED + BOX, "2026-04-15", "overdue to lay") == []
    assert found(MATED + BOX, "2026-04-15", "overdue to lay", house=sooner) == ["watch overdue to lay wattle"]
