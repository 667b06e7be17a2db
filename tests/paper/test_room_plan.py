"""Where racks are drawn: no two enclosures on one cell, and every one is reached by arrows."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from rounds.paper.room_plan import Plan, flowed, one_band
from rounds.standing.racks import Rack

ARROWS = ((-1, 0), (1, 0), (0, -1), (0, 1))


@st.composite
def rooms(draw: st.DrawFn) -> list[Rack]:
    """Some racks of any depth and width, with free places."""
    made: list[Rack] = []
    for number in range(draw(st.integers(1, 5))):
        columns = draw(st.integers(1, 3))
        rows = draw(st.lists(st.lists(st.booleans(), min_size=columns, max_size=columns), min_size=1, max_size=6))
        cells = [
            [f"e{number}-{y}-{x}" if there else None for x, there in enumerate(row)] for y, row in enumerate(rows)
        ]
        if not any(one for row in cells for one in row):
            cells[0][0] = f"e{number}"
        made.append(Rack(f"rack {number}", tuple(tuple(row) for row in cells)))
    return made


def reached(plan: Plan, start: str) -> set[str]:
    """All that arrows lead to."""
    found, waiting = {start}, [start]
    while waiting:
        stop = waiting.pop()
        for right, down in ARROWS:
            to = plan.beside(stop, right, down)
            if to not in found:
                found.add(to)
                waiting.append(to)
    return found


@given(rooms(), st.integers(10, 90), st.booleans())
def test_every_enclosure_has_a_place_of_its_own_and_arrows_lead_to_it(
    made: list[Rack], columns: int, tight: bool
) -> None:
    stops = [stop for rack in made for stop in rack.stops]
    for plan in (flowed(made, str, 7, columns, tight=tight), one_band(made, str, 7, tight=tight)):
        assert sorted(plan.at) == sorted(stops)
        cells = [(x, spot.y) for spot in plan.at.values() for x in range(spot.x, spot.x + spot.wide)]
        assert len(cells) == len(set(cells))
        assert reached(plan, stops[0]) == set(stops)


@given(rooms(), st.integers(10, 90))
def test_an_arrow_goes_its_own_way_or_nowhere(made: list[Rack], columns: int) -> None:
    plan = flowed(made, str, 7, columns)
    for stop, here in plan.at.items():
        for right, down in ARROWS:
            there = plan.at[plan.beside(stop, right, down)]
            assert there == here or (there.x - here.x) * right > 0 or (there.y - here.y) * down > 0
