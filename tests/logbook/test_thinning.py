"""Readings left out are those that a straight line gives as well."""

from __future__ import annotations

from bisect import bisect_right

from hypothesis import given
from hypothesis import strategies as st

from rounds.logbook.thinning import WITHIN_C, WITHIN_PERCENT, Reading, thinned


def between(kept: list[Reading], at: float) -> Reading:
    """What the line between the readings kept says for a moment."""
    place = bisect_right([one.at for one in kept], at)
    one, two = kept[place - 1], kept[min(place, len(kept) - 1)]
    part = (at - one.at) / (two.at - one.at) if two.at > one.at else 0.0
    damp = None
    if one.humidity is not None and two.humidity is not None:
        damp = one.humidity + (two.humidity - one.humidity) * part
    return Reading(at, one.air_c + (two.air_c - one.air_c) * part, damp)


TEMPERATURES = st.lists(
    st.tuples(st.floats(20, 40).map(lambda one: round(one, 2)), st.integers(0, 100)), min_size=1, max_size=60
)


@given(TEMPERATURES)
def test_the_line_between_those_kept_misses_none_by_more_than_it_may(read: list[tuple[float, int]]) -> None:
    readings = [Reading(300.0 * place, *one) for place, one in enumerate(read)]
    kept = thinned(readings)
    for one in readings:
        line = between(kept, one.at)
        assert abs(line.air_c - one.air_c) <= WITHIN_C + 1e-6
        assert line.humidity is not None
        assert one.humidity is not None
        assert abs(line.humidity - one.humidity) <= WITHIN_PERCENT + 1e-6


@given(TEMPERATURES)
def test_the_first_the_last_the_highest_and_the_lowest_stay(read: list[tuple[float, int]]) -> None:
    readings = [Reading(300.0 * place, *one) for place, one in enumerate(read)]
    kept = thinned(readings)
    assert (kept[0], kept[-1]) == (readings[0], readings[-1])
    assert max(one.air_c for one in kept) == max(one.air_c for one in readings)
    assert min(one.air_c for one in kept) == min(one.air_c for one in readings)
    assert set(kept) <= set(readings)


def test_a_steady_night_is_two_readings() -> None:
    steady = [Reading(300.0 * place, 29.4 + 0.1 * (place % 2), 80) for place in range(144)]
    assert len(thinned(steady)) < 6
