"""Times on paper are those that the room's clock showed, also before the clocks changed."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from rounds.paper.words import time_words
from tests.notation import at

ADELAIDE = ZoneInfo("Australia/Adelaide")


def test_a_time_before_the_clocks_changed_stands_as_the_clock_showed_it() -> None:
    now = at("2026-04-12 08:00", ADELAIDE)
    assert time_words(at("2026-03-08 07:18", ADELAIDE), now) == "8 Mar 07:18"
    assert time_words(at("2026-04-11 18:55", ADELAIDE), now) == "yesterday 18:55"


def test_on_the_day_of_the_change_too() -> None:
    now = at("2026-04-05 08:00", ADELAIDE)
    assert time_words(at("2026-04-05 00:30", ADELAIDE), now) == "00:30"
    assert time_words(at("2026-04-04 23:40", ADELAIDE), now) == "yesterday 23:40"
