"""A desk left on reckons each minute of a night: what was worked out for one minute does not pile up."""

from __future__ import annotations

from datetime import timedelta

from rounds.due import reckon
from rounds.due.fortnight import fortnight
from rounds.due.lines import lines_at
from rounds.paper.year import year_lines
from tests.due.matters.found import HOUSE, ROOM
from tests.notation import at, standing

PAGE = (
    ROOM
    + """
2026-03-12
10:00 wattle mating_seen sire=karri
11:00 wattle weighed grams=420
12:00 clutch/old-1 eggs_boxed count=12 place=enclosure/s1
2026-03-30
08:00 roaches stock_counted amount=500
"""
)


def test_nothing_piles_up_from_minute_to_minute() -> None:
    stood, evening = standing(PAGE), at("2026-04-06 20:00")
    sizes = []
    for minute in range(120):
        now = evening + timedelta(minutes=minute)
        reckon.matters(stood, HOUSE, now)
        for stop in stood.subjects("enclosure"):
            lines_at(stood, HOUSE, now, stop, "evening")
        fortnight(stood, HOUSE, now)
        year_lines(stood, HOUSE, now, "animal/wattle")
        sizes.append(len(stood.views))
    assert sizes[-1] == sizes[0]
