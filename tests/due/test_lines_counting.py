"""When young counted together are counted again: on both sides of each boundary."""

from __future__ import annotations

import pytest

from tests.due.matters.found import ROOM
from tests.due.stops import lines

HATCH = ROOM + "2026-04-01\n08:00 group/hatch arrived name=Hatch count=18 hatched=2026-04-01 place=b3\n"


def says(page: str, now: str) -> list[tuple[str, int, bool]]:
    return [(line.says, line.late_days, line.left_out is None) for line in lines(page, now) if line.care == "count"]


def test_a_group_is_counted_a_week_after_it_was_made_and_that_day_is_late_for_no_one() -> None:
    assert says(HATCH, "2026-04-07 18:00") == []
    assert says(HATCH, "2026-04-08 08:00") == [("count, 18 reckoned", 0, True)]
    assert says(HATCH, "2026-04-20 08:00") == [("count, 18 reckoned", 0, True)], "never counted: never late"
    (line,) = [line for line in lines(HATCH, "2026-04-08 08:00") if line.care == "count"]
    assert (line.about, line.plain, line.drafts, line.house) == ("group/hatch", False, (), ("young.count_days",))


@pytest.mark.parametrize("kind", ["counted", "count_settled"])
def test_once_counted_it_is_counted_a_week_later_and_late_from_the_day_after(kind: str) -> None:
    page = HATCH + f"2026-04-08\n08:30 group/hatch {kind} count=18\n"
    assert says(page, "2026-04-08 18:00") == []
    assert says(page, "2026-04-14 18:00") == []
    assert says(page, "2026-04-15 08:00") == [("count, 18 reckoned", 0, True)]
    assert says(page, "2026-04-16 08:00") == [("count, 18 reckoned", 1, True)]


def test_one_alone_and_those_that_left_are_not_counted() -> None:
    assert says(HATCH + "2026-04-03\n08:00 group/hatch died count=17\n", "2026-04-09 08:00") == []
    assert says(HATCH + "2026-04-03\n08:00 group/hatch left how=given count=18\n", "2026-04-09 08:00") == []


def test_left_out_it_stands_with_its_reason_and_is_due_the_next_day() -> None:
    page = HATCH + '2026-04-08\n08:30 group/hatch left_out care=count reason="no time"\n'
    assert says(page, "2026-04-08 18:00") == [("count, 18 reckoned", 0, False)]
    assert says(page, "2026-04-09 08:00") == [("count, 18 reckoned", 0, True)]
