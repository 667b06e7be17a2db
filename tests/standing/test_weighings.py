"""Readings of the scale as weighings: one a day, whatever was read on it, as they were known at each moment."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from itertools import pairwise
from statistics import median

from hypothesis import assume, given
from hypothesis import strategies as st

from rounds.logbook.entries import Weighed
from rounds.standing.trend import trend_of
from rounds.standing.weighing import WeighingRule, as_known, weighings_of
from tests.notation import at

RULE = WeighingRule()
START = at("2026-01-05 08:00")
#: Seconds, minutes, hours and days from one reading to the next: around every edge of a day, and of 6 hours.
_STEPS = st.sampled_from([0, 1, 1, 2, 60, 3600, 6 * 3600 - 1, 6 * 3600, 6 * 3600 + 1, 19 * 3600, 86_400, 604_800])
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
    assert all(later.at - earlier.at >= timedelta(hours=6) for earlier, later in pairwise(found))


@given(readings())
def test_every_reading_is_in_one_weighing(read: list[Weighed]) -> None:
    assert [entry for one in weighings_of(read, RULE) for entry in one.readings] == read


@given(readings())
def test_the_weight_that_counts_is_the_median_or_the_next_below_it(read: list[Weighed]) -> None:
    for one in weighings_of(read, RULE):
        grams = sorted(entry.grams for entry in one.readings)
        if not one.unsure:
            assert one.grams == median(grams)
        else:
            assert one.grams == max([low for low in grams if low < median(grams)], default=0)
        assert set(one.middle) <= set(one.readings)


@given(readings(), st.integers(0, 30))
def test_a_reading_written_later_changes_no_weighing_before_the_last(read: list[Weighed], place: int) -> None:
    every, before = weighings_of(read, RULE), weighings_of(read[:place], RULE)
    assert before[:-1] == every[: max(0, len(before) - 1)]
    assert all(one.ended - one.at < timedelta(hours=24) for one in every), "a chain never melts"


@given(readings(_MINUTES), st.integers(1, 4))
def test_each_reading_again_seconds_later_changes_no_weighing_and_no_trend(read: list[Weighed], times: int) -> None:
    again = [
        Weighed(id=f"{entry.id}-{n}", at=entry.at + timedelta(seconds=n), by="AK", about=entry.about,
                grams=entry.grams)
        for entry in read
        for n in range(times)
    ]  # fmt: skip
    assume(not any(one.unsure for one in weighings_of(read, RULE)))  # read twice, a figure agrees with itself
    assert _grams(again) == _grams(read)
    assert trend_of(again).words == trend_of(read).words
    assert trend_of(again).loss == trend_of(read).loss


def _grams(read: Sequence[Weighed]) -> list[tuple[datetime, float]]:
    return [(one.at, one.grams) for one in weighings_of(read, RULE)]


@given(readings(), st.lists(st.integers(0, 40 * 86_400), max_size=3))
def test_at_each_moment_they_stand_as_all_that_was_written_by_then_makes_them(
    read: list[Weighed], seconds: list[int]
) -> None:
    splits = sorted(START + timedelta(seconds=one) for one in seconds)
    for then in as_known(read, RULE, splits):
        known = [entry for entry in read if entry.known <= then.moment]
        assert then.weighings == weighings_of(known, RULE, splits)
        assert then.last == known[-1]
