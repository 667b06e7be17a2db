"""Signs that add up: what each needs to count, on both sides of its boundary."""

from __future__ import annotations

import pytest

from rounds.due.signs import Signs
from rounds.standing.female import female
from tests.due.matters.found import DIG, HOUSE, found
from tests.notation import at, standing

ROOM = """
2026-03-01 AK
08:00 enclosure/b3 enclosure_set_up name=B3
08:01 wattle arrived name=Wattle sex=F hatched=2023-03-01 place=enclosure/b3 bred_here=true
"""
#: She may lay from 26 March to 23 April.
MATED = ROOM + "2026-03-12\n10:00 wattle mating_seen\n"


def signs(page: str, now: str, known: str = "") -> dict[str, int]:
    """The signs that stood at a moment, by what was `known` then or later: their rule and their points."""
    read = at(known or now)
    her = female(standing(page).upto(read), "animal/wattle", HOUSE.breeding_days)
    return {sign.house[0].removeprefix("evidence."): sign.points for sign in Signs(her, HOUSE, read).at(at(now))}


def looks(first: int, last: int, month: int = 4) -> str:
    """Bright looks, one a day."""
    days = range(first, last + 1)
    return "".join(f"2026-{month:02}-{day:02}\n09:00 wattle condition_seen look=bright\n" for day in days)


@pytest.mark.parametrize(
    ("now", "sign"),
    [
        ("2026-03-25", None),
        ("2026-03-26", "window_open"),
        ("2026-04-23", "window_open"),
        ("2026-04-24", "window_past"),
        ("2026-08-21", "window_past"),
        ("2026-08-22", None),
    ],
)
def test_her_window_speaks_while_it_is_open_and_after_it_for_as_long_as_she_may_be_gravid(
    now: str, sign: str | None
) -> None:
    found = signs(MATED, now)
    assert {key for key in found if key.startswith("window")} == ({sign} if sign else set())


def test_eggs_before_the_mating_answer_no_window_and_eggs_after_it_do() -> None:
    before = ROOM + "2026-03-12\n09:00 wattle eggs_laid clutch=clutch/w-1 count=2\n"
    assert "window_past" in signs(before + MATED.removeprefix(ROOM), "2026-04-24")
    after = MATED + "2026-04-20\n09:00 wattle eggs_laid clutch=clutch/w-1 count=12\n"
    assert "window_past" not in signs(after, "2026-04-24")


#: A next clutch by stored sperm would have come by 12 April.
ONCE = ROOM + "2026-03-01\n10:00 wattle eggs_laid clutch=clutch/w-1 count=22 complete=true\n"
MATED_AGAIN = "2026-04-13\n10:00 wattle mating_seen\n"
FELT_AFTER = "2026-05-05\n10:00 wattle felt_for_eggs found=eggs\n"


def test_a_next_clutch_that_never_came_does_not_count_beside_what_is_seen_after_a_new_mating() -> None:
    assert signs(ONCE + FELT_AFTER, "2026-05-06") == {"stored_window_past": 3, "eggs_felt": 2}
    assert signs(ONCE + MATED_AGAIN + FELT_AFTER, "2026-05-06") == {"eggs_felt": 2}
    # Once the new window is over too, both count as ever.
    assert signs(ONCE + MATED_AGAIN + FELT_AFTER, "2026-05-25").keys() == {"eggs_felt", "no_look"}
    over = signs(ONCE + MATED_AGAIN + FELT_AFTER, "2026-05-26")
    assert over.keys() >= {"stored_window_past", "second_window", "eggs_felt"}


@pytest.mark.parametrize(
    "line",
    [
        "felt_for_eggs found=eggs",
        "condition_seen body=heavy",
        "condition_seen look=quiet",
        'behaviour_seen behaviour="nest digging"',
        "ate how=refused",
    ],
)
def test_it_does_where_anything_spoke_for_eggs_before_that_mating(line: str) -> None:
    spoke = f"2026-04-01\n10:00 wattle {line}\n"
    assert "stored_window_past" in signs(ONCE + spoke + MATED_AGAIN + FELT_AFTER, "2026-05-06")


def test_what_was_seen_before_the_mating_and_written_later_brings_it_back() -> None:
    late = "2026-04-12\n10:00 wattle condition_seen body=heavy written=2026-05-08T09:00:00+02:00\n"
    assert "stored_window_past" not in signs(
        ONCE + MATED_AGAIN + FELT_AFTER + late, "2026-05-08 08:00", "2026-05-08 10:00"
    )
    assert "stored_window_past" in signs(ONCE + MATED_AGAIN + FELT_AFTER + late, "2026-05-08 10:00")


def test_company_without_a_mating_seen_leaves_it() -> None:
    him = "08:02 karri arrived name=Karri sex=M hatched=2022-03-01 bred_here=true\n"
    with_him = "2026-04-13\n10:00 wattle put_together mate=karri\n2026-04-15\n10:00 wattle parted\n"
    page = ONCE.replace("2026-03-01\n10:00", him + "10:00") + with_him + FELT_AFTER
    assert "stored_window_past" in signs(page, "2026-05-06")


def test_an_alarm_that_stood_before_the_mating_was_written_stays() -> None:
    felt = "2026-04-20\n10:00 wattle felt_for_eggs found=eggs\n"
    late = "2026-04-13\n10:00 wattle mating_seen written=2026-04-22T09:00:00+02:00\n"
    for now in ("2026-04-21 09:00", "2026-04-22 10:00", "2026-05-20 10:00"):
        assert found(ONCE + felt + late, now, "signs add up") == ["vet signs add up wattle"]
    early = "2026-04-13\n10:00 wattle mating_seen written=2026-04-14T09:00:00+02:00\n"
    assert "vet" not in " ".join(found(ONCE + felt + early, "2026-04-22 10:00", "signs add up"))


def test_eggs_felt_for_three_weeks_are_long() -> None:
    felt = ROOM + "2026-04-01\n10:00 wattle felt_for_eggs found=eggs\n"
    assert signs(felt, "2026-04-21 12:00").keys() & {"eggs_felt", "gravid_long"} == {"eggs_felt"}
    assert signs(felt, "2026-04-22 09:00").keys() >= {"eggs_felt", "gravid_long"}


def test_what_the_vet_found_counts_for_more_than_what_was_felt() -> None:
    vet = signs(ROOM + "2026-04-01\n10:00 wattle vet_seen carrying=true\n", "2026-04-02")
    keeper = signs(ROOM + "2026-04-01\n10:00 wattle felt_for_eggs found=eggs\n", "2026-04-02")
    assert vet["vet_found_eggs"] > keeper["eggs_felt"] > 0


@pytest.mark.parametrize(("grams", "counts"), [(439.7, False), (440, True)])
def test_a_gain_is_a_tenth_above_her_own_weight_on_two_days_in_a_row(grams: float, counts: bool) -> None:
    page = ROOM + "2026-03-10\n09:00 wattle weighed grams=400\n" + MATED.removeprefix(ROOM)
    page += f"2026-04-01\n09:00 wattle weighed grams=450\n2026-04-0{{}}\n{{}} wattle weighed grams={grams}\n"
    assert ("gain" in signs(page.format(2, "09:00"), "2026-04-03")) is counts
    assert "gain" not in signs(page.format(1, "18:00"), "2026-04-03"), "the same day says nothing more"


def test_digging_counts_once_it_has_stopped_for_five_days() -> None:
    dug = ROOM + f"2026-04-01\n10:00 wattle {DIG}\n2026-04-02\n10:00 wattle {DIG}\n"
    assert "dug_and_stopped" not in signs(dug, "2026-04-06 23:00")
    assert "dug_and_stopped" in signs(dug, "2026-04-07 09:00")
    assert "dug_and_stopped" not in signs(
        dug + "2026-04-02\n18:00 wattle eggs_laid clutch=clutch/w-1 count=12\n", "2026-04-07 09:00"
    )


NO_FOOD = "09:00 wattle ate how=refused\n"


def test_food_refused_twice_over_four_days_counts_and_over_ten_days_for_more() -> None:
    once = MATED + f"2026-04-01\n{NO_FOOD}"
    assert "off_food" not in signs(once, "2026-04-10")
    two = once + f"2026-04-03\n{NO_FOOD}"
    assert "off_food" not in signs(two, "2026-04-04 23:00")
    short = signs(two, "2026-04-05 09:00")["off_food"]
    ten = two + f"2026-04-0{{}}\n{NO_FOOD}2026-04-1{{}}\n{NO_FOOD}"
    assert signs(ten.format(6, 0), "2026-04-11 10:00")["off_food"] == short
    assert signs(ten.format(6, 1), "2026-04-11 10:00")["off_food"] > short


def test_an_earlier_time_without_food_stood_then_though_another_began_since() -> None:
    page = MATED + f"2026-04-01\n{NO_FOOD}2026-04-05\n{NO_FOOD}2026-04-08\n09:00 wattle ate how=well\n"
    page += f"2026-04-20\n{NO_FOOD}2026-04-24\n{NO_FOOD}"
    assert "off_food" in signs(page, "2026-04-06", known="2026-04-25")
    assert "off_food" not in signs(page, "2026-04-09", known="2026-04-25")
    assert "off_food" in signs(page, "2026-04-24 12:00", known="2026-04-25")


@pytest.mark.parametrize(("look", "key"), [("quiet", "quiet"), ("dull", "dull"), ("bright", None)])
def test_a_look_that_was_not_bright_counts_for_a_week(look: str, key: str | None) -> None:
    page = MATED + f"2026-04-01\n10:00 wattle condition_seen look={look}\n"
    expected = {key} if key else set()
    assert signs(page, "2026-04-08 23:00").keys() & {"quiet", "dull"} == expected
    assert signs(page, "2026-04-09 00:00").keys() & {"quiet", "dull"} == set()


def test_days_without_a_look_while_her_window_is_open_count_from_three_and_more_from_six() -> None:
    page = MATED + looks(26, 31, month=3)
    assert "no_look" not in signs(page, "2026-04-02 12:00")
    three = signs(page, "2026-04-03 12:00")["no_look"]
    assert signs(page, "2026-04-05 12:00")["no_look"] == three
    assert signs(page, "2026-04-06 12:00")["no_look"] > three
    assert "no_look" not in signs(page + looks(1, 5), "2026-04-06 12:00")
    assert "no_look" not in signs(ROOM + looks(26, 31, month=3), "2026-04-06 12:00"), "no look was due"


LAID = MATED + "2026-04-02\n09:00 wattle eggs_laid clutch=clutch/w-1 count={} complete=true\n"


def test_a_clutch_under_the_least_that_is_usual_speaks_after_it() -> None:
    assert "short_clutch" in signs(LAID.format(9), "2026-04-03")
    assert "short_clutch" not in signs(LAID.format(10), "2026-04-03")
    assert "short_clutch" in signs(LAID.format(9), "2026-07-31"), "for as long as she may be gravid"
    assert "short_clutch" not in signs(LAID.format(9), "2026-08-01")


@pytest.mark.parametrize(("day", "counts"), [("2026-04-16", True), ("2026-04-17", False)])
def test_a_weight_well_above_her_own_within_two_weeks_of_laying_speaks(day: str, counts: bool) -> None:
    page = ROOM + "2026-03-10\n09:00 wattle weighed grams=400\n" + LAID.removeprefix(ROOM).format(9)
    assert ("heavy_after" in signs(f"{page}{day}\n08:00 wattle weighed grams=440\n", "2026-04-20")) is counts
    assert "heavy_after" not in signs(f"{page}{day}\n08:00 wattle weighed grams=439.7\n", "2026-04-20")


def test_digging_a_day_after_laying_closes_the_nest_and_later_it_speaks() -> None:
    closing = LAID.format(12) + f"2026-04-03\n09:00 wattle {DIG}\n"
    later = LAID.format(12) + f"2026-04-03\n09:01 wattle {DIG}\n"
    assert "digs_after" not in signs(closing, "2026-04-04")
    assert "digs_after" in signs(later, "2026-04-04")


def test_where_nothing_says_that_she_may_be_gravid_nothing_counts() -> None:
    page = ROOM + f"2026-04-01\n{NO_FOOD}2026-04-05\n{NO_FOOD}10:00 wattle condition_seen look=dull\n"
    assert signs(page, "2026-04-06") == {}


@pytest.mark.parametrize(("second", "stands"), [("00:01", False), ("02:59", True)])
def test_eggs_felt_around_midnight_were_felt_on_one_day_and_a_call_answers_them(second: str, stands: bool) -> None:
    felt = MATED + "2026-04-01\n23:59 wattle felt_for_eggs found=eggs\n"
    felt += f"2026-04-02\n{second} wattle felt_for_eggs found=eggs\n10:00 wattle vet_called said=wait\n"
    assert ("eggs_felt" in signs(felt, "2026-04-03")) is stands


@pytest.mark.parametrize(("again", "counts"), [("10:00:30", False), ("13:00", True)])
def test_one_refusal_noted_twice_in_a_minute_is_no_time_without_food(again: str, counts: bool) -> None:
    page = MATED + f"2026-04-01\n10:00 wattle ate how=refused\n{again} wattle ate how=refused\n"
    assert ("off_food" in signs(page, "2026-04-06")) is counts


@pytest.mark.parametrize("times", [1, 5])
def test_one_heavy_weighing_is_no_gain_however_often_it_was_read_around_midnight(times: int) -> None:
    page = ROOM + "2026-03-01\n09:00 wattle weighed grams=400\n" + MATED.removeprefix(ROOM) + "2026-04-01\n"
    page += "".join(f"23:59:{second:02} wattle weighed grams=460\n" for second in range(times))
    page += "2026-04-02\n00:00:05 wattle weighed grams=460\n"
    assert "gain" not in signs(page, "2026-04-03")
    assert "gain" in signs(page + "2026-04-05\n09:00 wattle weighed grams=460\n", "2026-04-06")
