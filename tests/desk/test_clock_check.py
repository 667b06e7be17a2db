"""A clock that does not fit the sheets is doubted, on both sides of each boundary."""

from __future__ import annotations

from datetime import timedelta

import pytest

from rounds.desk.clock_check import clock_doubt
from rounds.logbook.entries import Noted
from tests.notation import at

NOW = at("2026-04-12 08:00")


def entry(after: timedelta) -> Noted:
    """An entry so much later than the clock says."""
    return Noted(id="n-1", at=NOW + after, by="EM", about="room", note="seen")


@pytest.mark.parametrize(
    ("newest", "doubted"),
    [
        (timedelta(minutes=10), False),
        (timedelta(minutes=10, seconds=1), True),
        (timedelta(0), False),
        (-timedelta(days=120), False),
        (-timedelta(days=120, seconds=1), True),
    ],
)
def test_a_clock_minutes_behind_or_months_past_the_newest_entry_is_doubted(
    newest: timedelta, doubted: bool
) -> None:
    assert bool(clock_doubt(NOW, entry(newest), ())) is doubted


def test_an_empty_colony_fits_every_clock() -> None:
    assert clock_doubt(NOW, None, ()) == ""


def test_entries_dated_ahead_are_counted_and_the_last_of_them_named() -> None:
    first, last = entry(timedelta(hours=2)), entry(timedelta(days=2))
    one = clock_doubt(NOW, None, (first,))
    assert "12 Apr 2026 10:00" in one
    assert "2 entries" not in one
    two = clock_doubt(NOW, None, (last, first))
    assert "2 entries" in two
    assert "14 Apr 2026 08:00" in two
