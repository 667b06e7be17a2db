"""When to weigh."""

from __future__ import annotations

import pytest

from tests.due.stops import due, house_with, lines

PAGE = """
2026-03-01 AK
08:00 b3 enclosure_set_up name=B3
08:00 sedge arrived name=Sedge sex=F hatched=2023-05-01 place=b3
"""


@pytest.mark.parametrize(
    ("hatched", "next_day"), [("2026-02-25", 12), ("2025-09-01", 12), ("2023-05-01", 19), ("2019-05-01", 19)]
)
def test_young_are_weighed_weekly_and_adults_every_two_weeks(hatched: str, next_day: int) -> None:
    page = PAGE.replace("2023-05-01", hatched) + "2026-04-05\n08:00 sedge weighed grams=40"
    assert due(page, f"2026-04-{next_day - 1:02d} 08:00", "weigh") == []
    assert due(page, f"2026-04-{next_day:02d} 08:00", "weigh") == ["weigh sedge"]
    assert due(page, f"2026-04-{next_day + 2:02d} 08:00", "weigh") == ["weigh sedge late 2"]


def test_one_never_weighed_is_weighed_today_and_is_not_late() -> None:
    assert due(PAGE, "2026-04-12 08:00", "weigh") == ["weigh sedge"]


def test_a_female_with_eggs_felt_is_weighed_weekly_and_felt_with_it() -> None:
    page = PAGE + "2026-04-05\n08:00 sedge weighed grams=400\n08:01 sedge felt_for_eggs found=eggs"
    assert due(page, "2026-04-11 08:00", "weigh") == []
    (line,) = [line for line in lines(page, "2026-04-12 08:00") if line.care == "weigh"]
    assert (line.says, line.late_days) == ("weigh, and feel for eggs if practised", 0)
    assert line.house == ("weighing.gravid_days",)


#: Mated on 10 March and weighed on that day.
MATED = PAGE + "2026-03-10\n08:00 sedge weighed grams=400\n17:00 sedge mating_seen\n"
WEEKLY = "weigh, and feel for eggs if practised"


def says(page: str, now: str) -> list[tuple[str, int]]:
    return [(line.says, line.late_days) for line in lines(page, now) if line.care == "weigh"]


@pytest.mark.parametrize(
    "chance",
    [
        "2026-03-10\n17:00 sedge mating_seen\n",
        "2026-03-10\n17:00 sedge put_together mate=karri\n2026-03-12\n17:00 sedge parted\n",
    ],
    ids=["mated", "with a male"],
)
def test_weekly_from_14_days_after_a_mating_or_company_on(chance: str) -> None:
    page = PAGE + chance + "2026-03-14\n08:00 sedge weighed grams=400\n"
    assert says(page, "2026-03-23 08:00") == []
    assert says(page, "2026-03-24 08:00") == [(WEEKLY, 0)], "ten days since the last: due, not late"
    assert says(page, "2026-03-26 08:00") == [(WEEKLY, 2)]
    weighed = page + "2026-03-26\n08:00 sedge weighed grams=410\n"
    assert says(weighed, "2026-04-01 08:00") == []
    assert says(weighed, "2026-04-02 08:00") == [(WEEKLY, 0)]


def test_the_window_over_it_goes_on_weekly_and_stays_as_late_as_it_was() -> None:
    page = MATED + "2026-04-08\n08:00 sedge weighed grams=400\n"
    assert says(page, "2026-04-21 08:00") == [(WEEKLY, 6)]
    assert says(page, "2026-04-22 08:00") == [(WEEKLY, 7)]


def test_a_mating_written_down_late_makes_no_weighing_late() -> None:
    page = PAGE + "2026-04-05\n08:00 sedge weighed grams=400\n2026-03-10\n"
    page += "17:00 sedge mating_seen written=2026-04-14T07:00:00+02:00\n"
    assert says(page, "2026-04-14 08:00") == [(WEEKLY, 0)]
    assert says(page, "2026-04-15 08:00") == [(WEEKLY, 1)]


def test_after_a_clutch_she_is_weighed_weekly_while_the_next_one_may_come() -> None:
    page = PAGE + "2026-03-01\n09:00 sedge eggs_laid clutch=s-1 count=20 complete=true\n"
    page += "2026-03-12\n08:00 sedge weighed grams=400\n"
    assert says(page, "2026-03-21 08:00") == []
    assert says(page, "2026-03-22 08:00") == [(WEEKLY, 0)], "three weeks after the clutch"


@pytest.mark.parametrize(
    "digs",
    [
        'behaviour_seen behaviour="nest digging"',
        "egg_check_done present=digging",
        "condition_seen signs=digging",
    ],
)
def test_a_female_who_digs_is_neither_weighed_nor_felt(digs: str) -> None:
    page = MATED + f"2026-03-24\n09:00 sedge {digs}\n"
    assert due(page, "2026-03-24 08:59", "weigh") == ["weigh sedge"]
    assert due(page, "2026-03-24 09:00", "weigh") == []
    assert due(page, "2026-03-26 08:00", "weigh") == []
    assert says(page, "2026-03-27 08:00") == [(WEEKLY, 3)], (
        "left alone for two days after she was last seen digging"
    )
    tub = MATED + '2026-03-24\n09:00 enclosure/b3 behaviour_seen behaviour="nest digging"\n'
    assert due(tub, "2026-03-26 08:00", "weigh") == [], "it can only have been her"


def test_nor_is_she_while_she_lays() -> None:
    page = MATED + "2026-03-24\n09:00 sedge eggs_laid clutch=s-1 count=3\n"
    assert due(page, "2026-03-24 08:59", "weigh") == ["weigh sedge"]
    assert due(page, "2026-03-24 09:00", "weigh") == []
    assert due(page, "2026-03-30 08:00", "weigh") == []
    done = page + "2026-03-24\n18:00 sedge eggs_laid clutch=s-1 count=20 complete=true\n"
    assert says(done, "2026-03-25 08:00") == [(f"{WEEKLY}, 24 h after laying", 1)], "due since the 24th by her age"


def test_as_the_vet_asked_she_is_weighed_digging_or_not() -> None:
    page = MATED + "2026-03-20\n10:00 sedge vet_seen weigh_days=2 weigh_until=2026-03-26\n"
    assert says(page, "2026-03-21 08:00") == []
    assert says(page, "2026-03-22 08:00") == [("weigh, as the vet asked", 0)]
    digs = page + '2026-03-22\n07:00 sedge behaviour_seen behaviour="nest digging"\n'
    assert says(digs, "2026-03-22 08:00") == [("weigh, as the vet asked", 0)]
    weighed = page + "2026-03-25\n08:00 sedge weighed grams=400\n"
    assert says(weighed, "2026-03-26 08:00") == []
    assert says(weighed, "2026-03-27 08:00") == [], "the vet's days are over"


def test_of_a_group_the_mean_of_one_is_weighed() -> None:
    page = """
    2026-04-05 AK
    08:00 b3 enclosure_set_up name=B3
    08:00 group/young arrived name=Young count=12 hatched=2026-04-01 place=b3
    08:01 group/young weighed grams=2.6
    """
    assert due(page, "2026-04-11 08:00", "weigh") == []
    (line,) = [line for line in lines(page, "2026-04-12 08:00") if line.care == "weigh"]
    assert (line.about, line.says, line.plain) == ("group/young", "weigh, the mean of one", False)


def test_a_brumating_animal_is_weighed_all_the_same() -> None:
    page = PAGE + "2026-04-01\n08:00 sedge weighed grams=400\n08:01 sedge brumation_began"
    assert due(page, "2026-04-15 08:00", "weigh") == ["weigh sedge"]


def test_a_weigh_day_may_be_fixed_to_the_calendar() -> None:
    house = house_with(weighing={"adult_days": "FREQ=WEEKLY;BYDAY=SU"})
    page = PAGE + "2026-04-07\n08:00 sedge weighed grams=400"
    assert due(page, "2026-04-11 08:00", "weigh", house=house) == []
    assert due(page, "2026-04-12 08:00", "weigh", house=house) == ["weigh sedge"]


def test_each_in_a_shared_tub_has_a_line_of_its_own() -> None:
    page = PAGE + "08:00 karri arrived name=Karri place=b3"
    assert due(page, "2026-04-12 08:00", "weigh") == ["weigh karri", "weigh sedge"]


def test_a_weighing_left_out_for_the_whole_tub_is_left_out_for_each() -> None:
    page = PAGE + '2026-04-12\n08:00 enclosure/b3 left_out care=weigh reason="scale broken"'
    assert due(page, "2026-04-12 09:00", "weigh") == ["weigh sedge left out: scale broken"]
    assert due(page, "2026-04-13 09:00", "weigh") == ["weigh sedge"]
