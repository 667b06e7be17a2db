"""Which walks were walked, as the stops' pages say."""

from __future__ import annotations

from datetime import date

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
