"""Which walks were walked, as the stops' pages say."""

from __future__ import annotations

from datetime import date

from rounds.standing.enclosure import walking_order
from tests.notation import standing

WALKED = """
2026-04-01 AK
08:00 enclosure/b3 enclosure_set_up name=B3
08:00 enclosure/b4 enclosure_set_up name=B4
08:10 enclosure/b3 stop_walked walk=morning day=2026-04-01
18:10 enclosure/b3 stop_walked walk=evening day=2026-04-01
2026-04-02
08:10 enclosure/b3 stop_walked walk=morning day=2026-04-02
08:12 enclosure/b4 stop_walked walk=morning day=2026-04-02
2026-04-03
08:10 enclosure/b4 stop_walked walk=morning day=2026-04-03
"""


def test_walks_from_a_day_on_are_those_on_which_a_stop_was_done() -> None:
    found = standing(WALKED).register.walks_since(date(2026, 4, 2))
    assert {key: sorted(stops) for key, stops in found.items()} == {
        (date(2026, 4, 2), "morning"): ["enclosure/b3", "enclosure/b4"],
        (date(2026, 4, 3), "morning"): ["enclosure/b4"],
    }
    assert standing(WALKED).register.walks_since(date(2026, 4, 4)) == {}


def test_the_walk_goes_as_the_keeper_says_then_by_order_then_by_rack_and_name() -> None:
    page = standing(
        """
        2026-04-01 AK
        08:00 enclosure/a enclosure_set_up name=A
        08:00 enclosure/b enclosure_set_up name=B order=2
        08:00 enclosure/c enclosure_set_up name=C order=1
        08:00 enclosure/d10 enclosure_set_up name=D10
        08:00 enclosure/d9 enclosure_set_up name=D9
        08:00 enclosure/e enclosure_set_up name=E
        09:00 enclosure/e enclosure_taken_down
        """
    )
    names = [stop.partition("/")[2] for stop in walking_order(page, ["d10"])]
    assert names == ["d10", "c", "b", "a", "d9"]
