"""The same animal, or the same young, gone to two people by two desks."""

from __future__ import annotations

import pytest

from rounds.due.matter import Level
from tests.due.matters.found import ROOM, found, the

SOLD = ROOM + "2026-04-01 AK\n10:00 wattle left how=sold to=Ann\n"
HATCH = ROOM + "08:10 group/hatch arrived name=Hatch count=6 hatched=2026-02-20 place=b5\n"


def test_sold_at_two_desks_is_for_today_and_names_both() -> None:
    matter = the(SOLD + "2026-04-02 EM\n11:00 wattle left how=sold to=Bo\n", "2026-04-02 12:00", "left twice")
    assert matter.level == Level.TODAY
    assert matter.says == "Wattle left twice: sold to Ann (AK), sold to Bo (EM)."
    assert [one.by for one in matter.entries] == ["AK", "EM"]


@pytest.mark.parametrize(
    "then",
    [
        "",
        "2026-04-02 EM\n09:00 wattle arrived name=Wattle place=b3\n11:00 wattle left how=sold to=Bo\n",
        "2026-04-03 EM\n11:00 wattle left how=sold to=Bo\n",
    ],
    ids=["once", "came back in between", "not yet"],
)
def test_left_once_at_a_time_is_no_matter(then: str) -> None:
    assert found(SOLD + then, "2026-04-02 12:00", "left twice") == []


def test_lent_and_then_sold_to_whoever_has_it_is_no_matter() -> None:
    page = SOLD.replace("how=sold to=Ann", "how=lent to=Bo") + "2026-04-02 EM\n11:00 wattle left how=sold to=Bo\n"
    assert found(page, "2026-04-02 12:00", "left twice") == []


def test_it_ends_when_one_of_the_two_is_taken_back() -> None:
    page = SOLD + "2026-04-02 EM\n11:00 wattle left how=sold to=Bo\n"
    second = the(page, "2026-04-02 12:00", "left twice").entries[1].id
    back = page + f"11:30 wattle corrected replaces={second} because='Ann has her'\n"
    assert found(back, "2026-04-02 12:00", "left twice") == []


def test_more_sold_of_a_group_than_there_were_is_for_today() -> None:
    page = HATCH + "2026-04-01 AK\n10:00 group/hatch left how=sold count=4 to=Ann\n"
    assert found(page, "2026-04-02 12:00", "left twice") == []
    page += "2026-04-01 EM\n10:05 group/hatch left how=sold count=4 to=Bo\n"
    matter = the(page, "2026-04-02 12:00", "left twice")
    assert matter.says == "Hatch: 2 more went than there were. 6 arrived = 0 alive + 8 left, 2 too many."
    assert [one.to for one in matter.entries] == ["Ann", "Bo"]  # type: ignore[attr-defined]


def test_more_dead_than_there_were_is_no_sale() -> None:
    page = HATCH + "2026-04-01 AK\n10:00 group/hatch died count=4\n2026-04-01 EM\n10:05 group/hatch died count=4\n"
    assert found(page, "2026-04-02 12:00", "left twice") == []
