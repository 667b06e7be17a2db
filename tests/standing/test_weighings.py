"""Readings of the scale as weighings: one a shift, whatever was read in it, as they were known at each moment."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from rounds.logbook.entries import Weighed
from rounds.standing.trend import trend_of
from rounds.standing.weighings import as_known, weighings_of
from tests.notation import at

START = at("2026-01-05 08:00")
#: Seconds, minutes, hours and days from one reading to the next: around every edge of a shift of 12 hours.
_STEPS = st.sampled_from([0, 1, 1, 2, 60, 3600, 3 * 3600, 12 * 3600 - 1, 12 * 3600, 12 * 3600 + 1, 86_400, 604_800])
#: The same, no edge within seconds: there a reading more may fall on either side.
_MINUTES = st.sampled_from([60, 3600, 4 * 3600, 11 * 3600, 13 * 3600, 86_400, 604_800])


@st.composite
def readings(draw: st.DrawFn, steps: st.SearchStrategy[int] = _STEPS) -> list[Weighed]:
    """Readings of one animal, oldest first; some were written down days later."""
    moment, found = START, []
    for number, step in enumerate(draw(st.lists(steps, max_size=30))):
        moment += timedelta(seconds=step)
        late = draw(st.sampled_from([0, 0, 0, 1, 30]))
        found.append(
            Weighed(
                id=f"{number:03}",
                at=moment,
                by="AK",
                about="animal/wattle",
                written=moment + timedelta(days=late) if late else None,
                grams=draw(st.sampled_from([1.0, 300.0, 380.0, 384.0, 400.0, 834.0, 5000.0])),
            )
        )
    return found


@given(readings())
def test_no_two_points_of_a_slope_are_of_one_shift(read: list[Weighed]) -> None:
    found = trend_of(read).weighings
    assert all(later.at - earlier.at >= timedelta(hours=12) for earlier, later in pairwise(found))


@given(readings())
def test_every_reading_is_in_one_weighing(read: list[Weighed]) -> None:
    assert [entry for one in weighings_of(read, 12) for entry in one.readings] == read


@given(readings())
def test_the_weight_that_counts_is_a_median_and_was_read(read: list[Weighed]) -> None:
    for one in weighings_of(read, 12):
        assert one.reading in one.readings
        grams = [entry.grams for entry in one.readings]
        assert 2 * sum(other <= one.grams for other in grams) >= len(grams)
        assert 2 * sum(other >= one.grams for other in grams) >= len(grams)


@given(readings(_MINUTES), st.integers(1, 4))
def test_each_reading_again_seconds_later_changes_no_weighing_and_no_trend(read: list[Weighed], times: int) -> None:
    again = [
        Weighed(id=f"{entry.id}-{n}", at=entry.at + timedelta(seconds=n), by="AK", about=entry.about,
                grams=entry.grams)
        for entry in read
        for n in range(times)
    ]  # fmt: skip
    assert _grams(again) == _grams(read)
    assert trend_of(again).words == trend_of(read).words
    assert trend_of(again).loss == trend_of(read).loss


def _grams(read: Sequence[Weighed]) -> list[tuple[datetime, float]]:
    return [(one.at, one.grams) for one in weighings_of(read, 12)]


@given(readings(), st.lists(st.integers(0, 40 * 86_400), max_size=3))
def test_at_each_moment_they_stand_as_all_that_was_written_by_then_makes_them(
    read: list[Weighed], seconds: list[int]
) -> None:
    splits = sorted(START + timedelta(seconds=one) for one in seconds)
    for then in as_known(read, 12, splits):
        known = [entry for entry in read if entry.known <= then.moment]
        assert then.weighings == weighings_of(known, 12, splits)
        assert then.last == known[-1]
