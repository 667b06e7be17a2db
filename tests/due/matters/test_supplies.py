"""Supplies that run out or were not counted, and what is agreed for a day."""

from __future__ import annotations

import pytest

from rounds.due.matter import Level
from rounds.rules.house import House
from tests.due.matters.found import HOUSE, ROOM, found, the
from tests.due.test_supplies import FOUR, count, house_with

KEPT = house_with(locusts={"use": "insects", "young": 15, "adult": 10})


@pytest.mark.parametrize(
    ("left", "level"),
    [(180, None), (179, "watch"), (90, "watch"), (89, "today"), (0, "today")],
)
def test_a_supply_that_runs_out_is_watched_from_the_order_day_and_for_today_from_two_days_on(
    left: int, level: str | None
) -> None:
    # 30 a day: 180 last six days, 179 last five, 90 three and 89 two.
    page = FOUR + count("2026-04-10", left)
    expected = [] if level is None else [f"{level} runs out locusts"]
    assert found(page, "2026-04-10 09:00", "runs out", house=KEPT) == expected


def test_it_says_when_it_is_out_what_is_left_and_what_to_order() -> None:
    page = FOUR + count("2026-04-10", 100)
    matter = the(page, "2026-04-10 09:00", "runs out", KEPT)
    assert matter.says == "locusts: out on 13 Apr, 100 left. Order 320 pieces."
    assert [entry.kind for entry in matter.entries] == ["stock_counted"]
    out = the(FOUR + count("2026-04-10", 0), "2026-04-10 09:00", "runs out", KEPT)
    assert out.says == "locusts: out. Order 420 pieces."
    assert out.level is Level.TODAY


def test_what_came_in_ends_it_and_a_correction_brings_it_back() -> None:
    page = FOUR + count("2026-04-10", 0) + count("2026-04-10", 900, kind="stock_in")
    assert found(page, "2026-04-10 10:00", "runs out", house=KEPT) == []
    back = page + "2026-04-10\n11:00 supply/locusts corrected replaces=20260410-00006\n"
    assert found(back, "2026-04-10 12:00", "runs out", house=KEPT) == ["today runs out locusts"]


def test_without_a_plan_and_without_two_counts_no_one_says_that_it_runs_out() -> None:
    assert found(FOUR + count("2026-04-10", 1), "2026-04-10 09:00", "runs out") == []
    habit = FOUR + count("2026-04-01", 91) + count("2026-04-10", 1)
    assert found(habit, "2026-04-10 09:00", "runs out") == ["today runs out locusts"]


@pytest.mark.parametrize(("now", "asked"), [("2026-04-20", False), ("2026-04-21", True)])
def test_a_supply_is_counted_every_ten_days(now: str, asked: bool) -> None:
    expected = ["watch stock not counted locusts"] if asked else []
    assert found(FOUR + count("2026-04-10", 9000), now, "stock not counted", house=KEPT) == expected
    never = count("2026-04-10", 9000, kind="stock_in")
    assert found(FOUR + never, now, "stock not counted", house=KEPT) == expected


def test_what_is_not_kept_any_more_is_let_go_by_counting_none_of_it() -> None:
    page = FOUR + count("2026-04-01", 50) + count("2026-04-10", 0)
    assert found(page, "2026-06-01", "stock not counted") == []
    assert found(page, "2026-06-01", "stock not counted", house=KEPT) == ["watch stock not counted locusts"]
    assert found(FOUR + count("2026-04-10", 1), "2026-06-01", "stock not counted") == [
        "watch stock not counted locusts"
    ]


AGREED = ROOM + '2026-04-10\n08:00 wattle appointment_made on=2026-04-16 clock=10:30 whom="the vet" why="a look"\n'


def appointment(page: str, now: str, house: House = HOUSE) -> list[str]:
    return found(page, now, "appointment", house=house)


@pytest.mark.parametrize(
    ("now", "stands"),
    [
        ("2026-04-15 23:59", []),
        ("2026-04-16 00:01", ["today appointment wattle"]),
        ("2026-04-16 23:59", ["today appointment wattle"]),
        ("2026-04-17 00:01", ["watch appointment wattle"]),
        ("2026-04-23 23:59", ["watch appointment wattle"]),
        ("2026-04-24 00:01", []),
    ],
)
def test_an_appointment_is_for_its_day_and_then_it_is_asked_for_a_week_whether_it_was_kept(
    now: str, stands: list[str]
) -> None:
    assert appointment(AGREED, now) == stands


def test_it_stands_at_the_stop_where_the_animal_lives_and_says_with_whom_and_when() -> None:
    matter = the(AGREED, "2026-04-16 07:00", "appointment")
    assert matter.says == "Wattle: the vet 10:30, a look. Today."
    assert matter.place == "enclosure/b3"
    passed = the(AGREED, "2026-04-18 07:00", "appointment")
    assert passed.says == "Wattle: the vet 10:30, a look. 16 Apr: was it kept?"


def test_a_vet_who_came_or_a_word_that_it_was_cancelled_ends_it() -> None:
    assert appointment(AGREED + "2026-04-16\n11:00 wattle vet_seen outcome=well\n", "2026-04-16 12:00") == []
    cancelled = AGREED + "2026-04-15\n11:00 wattle appointment_ended on=2026-04-16 how=cancelled\n"
    assert appointment(cancelled, "2026-04-16 12:00") == []
    taken_back = AGREED + "2026-04-15\n11:00 animal/wattle corrected replaces=20260410-00007\n"
    assert appointment(taken_back, "2026-04-16 12:00") == []


def test_two_on_one_day_are_one_matter_and_the_room_may_have_one_too() -> None:
    two = AGREED + "2026-04-11\n08:00 wattle appointment_made on=2026-04-16 whom='a buyer'\n"
    assert the(two, "2026-04-16 07:00", "appointment").says == "Wattle: a buyer; the vet 10:30, a look. Today."
    room = ROOM + "2026-04-10\n08:00 room appointment_made on=2026-04-16 whom=electrician\n"
    matter = the(room, "2026-04-16 07:00", "appointment")
    assert (matter.about, matter.says) == ("room", "electrician. Today.")


def test_whoever_has_left_has_no_appointment_any_more() -> None:
    assert appointment(AGREED + "2026-04-12\n08:00 wattle left how=sold\n", "2026-04-16 07:00") == []
