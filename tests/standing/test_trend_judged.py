"""Of how many weighings the weight rule takes heed: no earlier one changes what it finds at the last."""

from __future__ import annotations

from datetime import timedelta

from hypothesis import given
from hypothesis import strategies as st

from rounds.logbook.entries import Weighed
from rounds.standing.trend import Limits, Trend
from rounds.standing.weighing import Weighing, weighings_of
from tests.notation import at

START = at("2026-01-05 08:00")
LIMITS = st.builds(
    Limits,
    least=st.integers(2, 6),
    trend_least=st.integers(2, 7),
    trend_over=st.integers(2, 8),
    earlier_over=st.integers(1, 14),
    drop_in_a_row=st.integers(1, 3),
    chance=st.sampled_from([0.03, 0.2]),
)
#: A reading, and hours since the one before: some are of one day, and do not agree.
READINGS = st.lists(
    st.tuples(st.sampled_from([420.0, 400.0, 395.0, 372.0, 370.0, 350.0, 300.0]), st.sampled_from([1, 30, 170])),
    min_size=1,
    max_size=40,
)


def _weighings(steps: list[tuple[float, int]], limits: Limits) -> tuple[Weighing, ...]:
    moment = START
    readings = []
    for number, (grams, hours) in enumerate(steps):
        moment += timedelta(hours=hours)
        readings.append(Weighed(id=f"{number:03d}", at=moment, by="AK", about="animal/wattle", grams=grams))
    return weighings_of(readings, limits.weighing)


@given(READINGS, LIMITS)
def test_a_loss_is_found_by_the_weighings_that_are_judged_alone(
    steps: list[tuple[float, int]], limits: Limits
) -> None:
    every = _weighings(steps, limits)
    for many in range(1, len(every) + 1):
        stood = every[:many]
        whole, part = Trend(stood, limits), Trend(stood[-limits.judged :], limits)
        assert (part.dropped, part.fallen) == (whole.dropped, whole.fallen)


def test_losses_are_among_what_is_tried() -> None:
    limits = Limits()
    falling = _weighings([(400.0, 170)] * 30 + [(370.0, 170)] * 2, limits)
    assert limits.judged == 14
    assert Trend(falling[-limits.judged :], limits).dropped
    assert not Trend(falling[-2:], limits).lost
