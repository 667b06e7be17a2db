"""The room drawn in less space than it takes: what is in sight of a rack has the rack's name above it."""

from __future__ import annotations

import pytest

from rounds.due.room import Cell, Room
from rounds.screens.views.room import Drawing
from rounds.standing.racks import Rack

RACKS = (
    *(Rack(f"rack {name}", tuple((f"{name}{row}",) for row in range(1, 8))) for name in "ABCDE"),
    Rack("incubator", (("S1", "S2"), ("K1", None), (None, "K7"))),
)


@pytest.mark.parametrize(("at", "width"), [("S1", 62), ("S2", 62), ("S2", 14), ("S1", 14), ("A1", 70)])
def test_a_rack_of_several_columns_keeps_its_name_above_those_in_sight(at: str, width: int) -> None:
    room = Room(RACKS, {stop: Cell(stop, stop, "TODAY") for rack in RACKS for stop in rack.stops})
    drawn = Drawing(room, width, 7)
    rows = ["".join(span.text for span in row) for row in drawn.lines(at)]
    assert drawn.scrolls
    shown = {stop for stop in room.cells if any(f"{stop} " in row for row in rows)}
    assert at in shown
    for rack in RACKS:
        assert (rack.title in rows[0]) == bool(shown & set(rack.stops)), rows
