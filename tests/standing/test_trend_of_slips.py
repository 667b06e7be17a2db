"""Weights that no animal has, typed within a minute: they are one weighing, and make no trend."""

from __future__ import annotations

from rounds.rules.default import default_house
from rounds.standing.animal import animal
from rounds.standing.trend import trend
from tests.notation import VIENNA, at, standing

SLIPS = """
    2026-03-01 AK
    07:00  b1      enclosure_set_up  name=B1
    07:00  wattle  arrived  name=Wattle sex=F place=b1
    07:01  wattle  weighed  grams=1
    2026-03-12 AK
    07:02  wattle  weighed  grams=2
    07:03  wattle  weighed  grams=20
    07:04  wattle  weighed  grams=200
    07:05  wattle  weighed  grams=1000
    07:06  wattle  weighed  grams=5000
"""


def test_slips_of_the_scale_within_minutes_break_no_trend() -> None:
    known = standing(SLIPS)
    found = trend(animal(known, "animal/wattle"), default_house(VIENNA).weight_limits, at("2026-03-12 08:00"))
    assert found.words == "weigh again"
