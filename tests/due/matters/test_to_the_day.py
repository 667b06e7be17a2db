"""Boundaries of rules that stand in no other page of tests: the day, the count or the animal on both sides."""

from __future__ import annotations

from tests.due.matters.found import ROOM, found


def test_who_lives_alone_fights_with_nobody_and_young_counted_together_may() -> None:
    biting = "11:00 enclosure/b3 behaviour_seen behaviour=biting\n"
    alone = f"{ROOM}2026-04-01\n{biting}"
    assert found(alone, "2026-04-01 12:00", "fighting") == []
    two = f"{ROOM}2026-04-01\n08:00 sedge moved to=enclosure/b3\n{biting}"
    assert len(found(two, "2026-04-01 12:00", "fighting")) == 1
    young = f"{ROOM}2026-04-01\n08:00 wattle moved to=enclosure/b4\n"
    young += f"08:01 group/young arrived name=Young place=enclosure/b3 count=5\n{biting}"
    assert len(found(young, "2026-04-01 12:00", "fighting")) == 1
