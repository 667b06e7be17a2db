"""A shelf's readings as one series: stretches, readings by hand, gaps, overlaps; the sums are the same."""

from __future__ import annotations

from datetime import datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from rounds.logbook.entries import ClimateLogged, ClimateRead, Entry
from rounds.standing.degree_days import mean_rate
from rounds.standing.fold import fold
from rounds.standing.incubator import DAY, HOUR, Limits, Series
from rounds.standing.shelf_readings import covered, is_covered, series
from tests.notation import at

LIMITS = Limits(base=18, top=32, low=28, high=31, alarm=32, gap_hours=36)
BEGUN = at("2026-03-01 08:00")


def stretch(id: str, hours_after: float, readings: list[tuple[int, float]], shelf: str = "s1") -> ClimateLogged:
    """A stretch that begins so many hours after BEGUN: minutes and °C."""
    return ClimateLogged(
        id=id,
        at=BEGUN + timedelta(hours=hours_after),
        by="AK",
        about=f"enclosure/{shelf}",
        minutes=tuple(minute for minute, _ in readings),
        air_c=tuple(celsius for _, celsius in readings),
    )


def by_hand(id: str, hours_after: float, celsius: float) -> ClimateRead:
    return ClimateRead(id=id, at=BEGUN + timedelta(hours=hours_after), by="AK", about="enclosure/s1", air_c=celsius)


def read(*entries: Entry) -> Series:
    return series(fold(entries), "enclosure/s1", LIMITS)


def moment(hours_after: float) -> float:
    return BEGUN.timestamp() + hours_after * HOUR


def plain_sums(points: list[tuple[float, float]]) -> float:
    """Development over readings in order, worked out again one by one; no gap among them."""
    return sum((b[0] - a[0]) / DAY * mean_rate(a[1], b[1], 18, 32) for a, b in pairwise(points))


READINGS = st.lists(st.tuples(st.integers(0, 1_999), st.floats(15, 40)), min_size=1, max_size=8)


@settings(max_examples=150)
@given(st.lists(st.tuples(st.integers(0, 30), READINGS), min_size=1, max_size=4))
def test_however_stretches_lie_the_sums_are_those_of_the_readings_in_order(
    stretches: list[tuple[int, list[tuple[int, float]]]],
) -> None:
    entries = [stretch(f"s{place}", hours, readings) for place, (hours, readings) in enumerate(stretches)]
    found = read(*entries)
    points = [(at, celsius) for entry in entries for at, celsius, _ in entry.readings()]
    assert found.times == sorted(at for at, _ in points)
    ordered = [(one.at, one.air_c) for one in found.points]
    assert sorted(ordered) == sorted(points)
    assume(all(two - one <= LIMITS.gap_hours * HOUR for (one, _), (two, _) in pairwise(ordered)))
    assert found.development[-1] == pytest.approx(plain_sums(ordered), abs=1e-6)
    assert all(one <= two for one, two in pairwise(found.development))


def test_a_stretch_more_is_the_same_as_all_from_nothing() -> None:
    days = [stretch(f"d{day}", 24 * day, [(0, 29), (600, 30 + day), (1_200, 29.5)]) for day in range(5)]
    standing = fold(days[:-1])
    series(standing, "enclosure/s1", LIMITS)
    after = series(standing.after(days[-1]), "enclosure/s1", LIMITS)
    assert after.development == read(*reversed(days)).development


def test_a_reading_by_hand_within_the_logger_s_time_does_not_count_and_outside_does() -> None:
    log = stretch("l", 0, [(0, 29), (600, 29)])
    assert len(read(log, by_hand("h", 5, 33)).points) == 2
    outside = read(log, by_hand("h", 11, 33))
    assert [one.air_c for one in outside.points] == [29, 29, 33]
    assert is_covered(covered([log]), moment(10))
    assert not is_covered(covered([log]), moment(10.1))


def test_a_gap_is_bridged_by_the_mean_rate_of_the_shelf() -> None:
    found = read(stretch("a", 0, [(0, 30), (1_200, 30)]), stretch("b", 100, [(0, 30), (1_200, 30)]))
    assert found.sums(moment(0), moment(120)).development == pytest.approx(120 / 24 * 12)
    assert found.sums(moment(0), moment(120)).bridged_hours == pytest.approx(80)
    assert found.air_at(moment(60)) is None
    assert found.read_over(moment(0), moment(120))[1] == pytest.approx(40 * HOUR)


def test_before_and_after_its_readings_a_shelf_goes_on_as_it_was_set() -> None:
    found = read(stretch("a", 0, [(0, 30), (1_200, 30)]))
    assert found.sums(moment(-24), moment(0)).development == pytest.approx(12)
    assert found.sums(moment(20), moment(44)).development == pytest.approx(12)
    assert found.when_grown(found.grown(moment(500))) == pytest.approx(moment(500))


def test_a_short_time_long_after_the_last_reading_was_not_read_either() -> None:
    found = read(stretch("a", 0, [(0, 30), (1_200, 30)]))
    assert found.sums(moment(20), moment(55)).bridged_hours == 0, "within the gap it goes on"
    assert found.sums(moment(50), moment(60)).bridged_hours == pytest.approx(10)
    assert found.sums(moment(200), moment(201)).bridged_hours == pytest.approx(1)


@given(st.floats(-200, 400), st.floats(0, 300))
def test_development_never_falls_and_the_moment_of_it_is_found_again(hours: float, more: float) -> None:
    found = read(
        stretch("a", 0, [(0, 29), (300, 31), (900, 27)]),
        stretch("b", 24, [(0, 29), (300, 33)]),
        by_hand("h", 80, 28.5),
    )
    begun, ended = found.grown(moment(hours)), found.grown(moment(hours + more))
    assert begun <= ended + 1e-9
    again = found.when_grown(begun)
    assert again is not None
    assert found.grown(again) == pytest.approx(begun, abs=1e-6)


def test_a_shelf_never_read_is_as_the_house_means_it() -> None:
    empty = read()
    assert (empty.mean_c, empty.last(moment(0))) == (29.5, None)
    assert empty.sums(moment(0), moment(24)).development == pytest.approx(11.5)
    assert empty.sums(moment(0), moment(24)).bridged_hours == pytest.approx(24)


def test_a_spell_above_a_limit_is_told_from_its_first_reading_to_its_last() -> None:
    found = read(stretch("a", 0, [(0, 29), (60, 32.5), (120, 33.4), (180, 31), (240, 32.2), (300, 29)]))
    spells = found.spells(moment(0), moment(10), 32)
    assert [(one.begun, one.ended, one.peak) for one in spells] == [
        (moment(1), moment(2), 33.4),
        (moment(4), moment(4), 32.2),
    ]


@given(st.datetimes(datetime.fromisoformat("2026-03-01"), datetime.fromisoformat("2026-03-04")))
def test_a_moment_is_covered_by_the_stretch_it_lies_in_alone(when: datetime) -> None:
    spans = covered(
        [stretch("a", 0, [(0, 29), (60, 29)]), stretch("b", 0.5, [(0, 29), (60, 29)]), stretch("c", 30, [(0, 1)])]
    )
    stamp = when.replace(tzinfo=BEGUN.tzinfo).timestamp()
    inside = moment(0) <= stamp <= moment(1.5) or stamp == moment(30)
    assert is_covered(spans, stamp) == inside
