"""When a pair is parted, and when an animal in brumation is weighed: on both sides of each boundary."""

from __future__ import annotations

import pytest

from tests.due.matters.found import ROOM, found
from tests.due.stops import due, house_with, lines

TOGETHER = ROOM + "2026-04-01\n09:00 wattle put_together mate=karri\n09:00 karri moved to=b3\n"
MATTERS = ("should not be together", "young would suffer", "pair together long")


def says(page: str, now: str) -> list[tuple[str, int]]:
    return [(line.says, line.late_days) for line in lines(page, now) if line.care == "part"]


def test_a_pair_is_parted_from_the_second_day_then_apart_for_a_week() -> None:
    assert says(TOGETHER, "2026-04-02 18:00") == []
    assert says(TOGETHER, "2026-04-03 08:00") == [("part from Karri, together 2 days; then 7 days apart", 0)]
    (line,) = [line for line in lines(TOGETHER, "2026-04-03 08:00") if line.care == "part"]
    assert (line.about, line.plain) == ("animal/wattle", False), "no Enter parts them"
    assert line.house == ("pairing.part_from_days", "pairing.together_days", "pairing.apart_days")


def test_once_the_matter_says_it_no_line_says_it_again() -> None:
    for day in range(1, 9):
        now = f"2026-04-{day:02} 18:00"
        line, matter = bool(says(TOGETHER, now)), bool(found(TOGETHER, now, *MATTERS))
        assert not (line and matter), now
        assert line == (day in (3, 4)), now
        assert matter == (day >= 5), now


def test_where_they_should_not_be_together_at_all_the_matter_alone_says_so() -> None:
    light = TOGETHER.replace("09:00 wattle put", "08:00 wattle weighed grams=300\n09:00 wattle put")
    assert found(light, "2026-04-03 18:00", *MATTERS) == ["today should not be together wattle"]
    assert says(light, "2026-04-03 18:00") == []


@pytest.mark.parametrize("end", ["09:00 wattle parted", "09:00 karri moved to=b5"])
def test_parted_or_moved_away_nothing_is_due(end: str) -> None:
    assert says(TOGETHER + f"2026-04-02\n{end}\n", "2026-04-03 18:00") == []


def test_the_house_may_part_them_sooner_or_later() -> None:
    later = house_with(pairing={"part_from_days": 4, "together_days": 6})
    assert due(TOGETHER, "2026-04-04 18:00", "part", house=later) == []
    assert due(TOGETHER, "2026-04-05 18:00", "part", house=later) == ["part wattle"]


ASLEEP = ROOM + "2026-04-01\n08:00 wattle weighed grams=450\n09:00 wattle brumation_began\n"


def test_in_brumation_it_is_weighed_every_two_weeks_by_a_rule_of_its_own() -> None:
    assert due(ASLEEP, "2026-04-14 08:00", "weigh") == []
    (line,) = [one for one in lines(ASLEEP, "2026-04-15 08:00") if one.care == "weigh"]
    assert (line.says, line.house) == ("weigh, brumating", ("weighing.brumation_days",))
    monthly = house_with(weighing={"brumation_days": 28})
    assert due(ASLEEP, "2026-04-28 08:00", "weigh", house=monthly) == []
    assert due(ASLEEP, "2026-04-29 08:00", "weigh", house=monthly) == ["weigh wattle"]
