"""Boundaries of rules that stand in no other page of tests: the day, the count or the animal on both sides."""

from __future__ import annotations

from rounds.due.matters.wording import CALL_STEP
from tests.due.matters.found import ROOM, found, the
from tests.notation import at


def test_who_lives_alone_fights_with_nobody_and_young_counted_together_may() -> None:
    biting = "11:00 enclosure/b3 behaviour_seen behaviour=biting\n"
    alone = f"{ROOM}2026-04-01\n{biting}"
    assert found(alone, "2026-04-01 12:00", "fighting") == []
    two = f"{ROOM}2026-04-01\n08:00 sedge moved to=enclosure/b3\n{biting}"
    assert len(found(two, "2026-04-01 12:00", "fighting")) == 1
    young = f"{ROOM}2026-04-01\n08:00 wattle moved to=enclosure/b4\n"
    young += f"08:01 group/young arrived name=Young place=enclosure/b3 count=5\n{biting}"
    assert len(found(young, "2026-04-01 12:00", "fighting")) == 1


DROPPED = ROOM + "2026-04-01\n10:00 karri droppings_seen\n2026-04-05\n10:00 karri ate how=well\n"


def test_no_droppings_counts_from_the_last_ones_whatever_came_before() -> None:
    page = ROOM + "2026-03-20\n10:00 karri droppings_seen\n" + DROPPED.removeprefix(ROOM)
    assert found(page, "2026-04-11", "no droppings") == []
    matter = the(page, "2026-04-12", "no droppings")
    assert matter.since == at("2026-04-01 10:00")


def test_who_drops_unnoted_for_forty_days_is_one_of_whom_droppings_are_not_noted() -> None:
    assert len(found(DROPPED, "2026-05-11", "no droppings")) == 1
    assert found(DROPPED, "2026-05-12", "no droppings") == []


def test_no_droppings_says_when_to_phone_until_it_is_for_the_vet() -> None:
    assert any(CALL_STEP in step for step in the(DROPPED, "2026-04-12", "no droppings").do)
