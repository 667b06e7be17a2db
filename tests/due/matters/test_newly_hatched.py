"""Young just hatched: none is forgotten in the box, or in no group."""

from __future__ import annotations

import pytest

from tests.due.matters.found import ROOM, found, the

EGGS = (
    ROOM
    + """08:20 s1 enclosure_set_up name=S1 what="incubator shelf"
08:21 k1 enclosure_set_up name=K1 what="egg box"
2026-03-02
08:00 wattle eggs_laid clutch=one count=12 complete=true
09:00 one eggs_boxed count=12 place=s1
2026-04-30
08:00 one hatched count=12 into=hatch
"""
)
NO_GROUP, IN_THERE = "young in no group", "young in the incubator"


def grouped(count: str, place: str = "b5", clutch: str = "clutch=one") -> str:
    return f"08:05 group/hatch arrived name=Hatch {count} hatched=2026-04-30 place={place} {clutch}\n"


def test_young_in_no_group_are_to_be_watched_on_the_day_and_for_today_from_the_next() -> None:
    assert the(EGGS, "2026-04-30 20:00", NO_GROUP).says == "one: 12 young hatched, in no group yet."
    assert found(EGGS, "2026-04-30 20:00", NO_GROUP) == ["watch young in no group one"]
    assert the(EGGS, "2026-05-01 08:00", NO_GROUP).says == "one: 12 young in no group, no one feeds them."
    assert found(EGGS, "2026-05-01 08:00", NO_GROUP) == ["today young in no group one"]
    assert found(EGGS, "2026-05-28 20:00", NO_GROUP) == ["today young in no group one"]
    assert found(EGGS, "2026-05-29 20:00", NO_GROUP) == []


@pytest.mark.parametrize(
    ("group", "missing"),
    [
        (grouped("count=12"), 0),
        (grouped("count=7"), 5),
        (grouped("count=12", clutch=""), 0),
        (grouped(""), 0),
        (grouped("count=11") + "08:06 pip arrived name=Pip hatched=2026-04-30 place=b4 clutch=one\n", 0),
    ],
    ids=["all", "five missing", "a group that does not say of which clutch", "not counted", "one has a name"],
)
def test_as_many_as_hatched_are_looked_for_in_groups(group: str, missing: int) -> None:
    told = found(EGGS + group, "2026-05-02 08:00", NO_GROUP)
    assert told == ["today young in no group one"] * bool(missing)
    if missing:
        assert f"{missing} young in no group" in the(EGGS + group, "2026-05-02 08:00", NO_GROUP).says


@pytest.mark.parametrize("place", ["s1", "k1"])
def test_young_that_live_where_eggs_lie_are_to_be_taken_out(place: str) -> None:
    page = EGGS + grouped("count=12", place)
    assert found(page, "2026-04-30 20:00", IN_THERE) == ["watch young in the incubator hatch"]
    assert found(page, "2026-05-01 08:00", IN_THERE) == ["today young in the incubator hatch"]
    says = f"Take Hatch out of {place.upper()}: 12 young since 30 Apr."
    assert the(page, "2026-05-01 08:00", IN_THERE).says == says
    moved = page + "2026-05-01\n08:00 group/hatch moved to=b5\n"
    assert found(moved, "2026-05-01 09:00", IN_THERE) == []


def test_an_animal_with_a_name_is_not_kept_in_an_egg_box_either() -> None:
    page = EGGS + grouped("count=11") + "08:06 pip arrived name=Pip hatched=2026-04-30 place=k1 clutch=one\n"
    assert found(page, "2026-05-01 08:00", IN_THERE) == ["today young in the incubator pip"]
