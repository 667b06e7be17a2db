"""When to weigh."""

from __future__ import annotations

import pytest

from tests.due.stops import due, house_with, lines

PAGE = """
2026-03-01 AK
08:00 @b3 enclosure_set_up name=B3
08:00 sedge arrived name=Sedge sex=F hatched=2023-05-01 place=@b3
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


def test_a_female_who_may_be_carrying_is_weighed_weekly() -> None:
    page = PAGE + "2026-04-05\n08:00 sedge weighed grams=400\n08:01 sedge felt_for_eggs found=eggs"
    assert due(page, "2026-04-11 08:00", "weigh") == []
    assert due(page, "2026-04-12 08:00", "weigh") == ["weigh sedge"]


def test_a_female_who_digs_has_a_weight_of_the_last_days() -> None:
    page = (
        PAGE
        + "2026-04-05\n08:00 sedge weighed grams=400\n2026-04-09\n"
        + '08:00 sedge behaviour_seen behaviour="nest digging"'
    )
    assert due(page, "2026-04-09 09:00", "weigh") == ["weigh sedge"]
    assert [line.says for line in lines(page, "2026-04-09 09:00") if line.care == "weigh"] == [
        "weigh before she lays"
    ]
    weighed = page + "\n09:00 sedge weighed grams=430"
    assert due(weighed, "2026-04-11 09:00", "weigh") == []
    assert due(weighed, "2026-04-12 09:00", "weigh") == ["weigh sedge"]


def test_of_a_group_the_mean_of_one_is_weighed() -> None:
    page = """
    2026-04-05 AK
    08:00 @b3 enclosure_set_up name=B3
    08:00 +young arrived name=Young count=12 hatched=2026-04-01 place=@b3
    08:01 +young weighed grams=2.6
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
    page = PAGE + "08:00 karri arrived name=Karri place=@b3"
    assert due(page, "2026-04-12 08:00", "weigh") == ["weigh karri", "weigh sedge"]


def test_a_weighing_left_out_for_the_whole_tub_is_left_out_for_each() -> None:
    page = PAGE + '2026-04-12\n08:00 @b3 left_out care=weigh reason="scale broken"'
    assert due(page, "2026-04-12 09:00", "weigh") == ["weigh sedge left out: scale broken"]
    assert due(page, "2026-04-13 09:00", "weigh") == ["weigh sedge"]
