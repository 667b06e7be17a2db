"""Degree days and the dew point, held to figures from elsewhere."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import linregress  # type: ignore[import-untyped]

from rounds.standing.degree_days import dew_point, mean_rate, rate, share_above, sine, triangle

# UC IPM degree-day calculator, lower 50 °F, upper 70 °F (Zalom et al. 1983, UC leaflet 21373): single rows of the
# UC ANR Degree-Day Validation Challenge (repository UCANR-IGIS/degree-day-challenge, MIT licence). Low, high, then
# sine and triangle, each with horizontal and vertical cutoff.
ROWS = [
    ("1 Jan 2020, spans the lower", 38, 55, 1.19, 1.19, 0.74, 0.74),
    ("2 Jan 2020, spans the lower", 36, 67, 5.71, 5.71, 4.66, 4.66),
    ("8 Jan 2020, below, touches it", 41, 50, 0, 0, 0, 0),
    ("17 Jan 2020, below both", 34, 47, 0, 0, 0, 0),
    ("26 Jan 2020, between", 54, 67, 10.5, 10.5, 10.5, 10.5),
    ("27 Jan 2020, from the lower on", 50, 64, 7, 7, 7, 7),
    ("10 Feb 2020, spans the upper", 52, 73, 12.01, 7.08, 12.29, 9.43),
    ("2 Mar 2020, spans the upper", 50, 72, 10.74, 6.84, 10.91, 9.09),
    ("11 Feb 2020, spans both", 44, 76, 10, 4.3, 10, 6.25),
    ("21 Feb 2020, spans both", 40, 74, 8.79, 4.33, 8.24, 5.88),
    ("14 Aug 2020, above both", 71, 103, 20, 0, 20, 0),
]


@pytest.mark.parametrize(("low", "high", "horizontal", "vertical", "flat", "steep"), [row[1:] for row in ROWS])
def test_degree_days_are_those_of_the_published_calculator(
    low: float, high: float, horizontal: float, vertical: float, flat: float, steep: float
) -> None:
    found = (
        sine(low, high, 50, 70),
        sine(low, high, 50, 70, vertical=True),
        triangle(low, high, 50, 70),
        triangle(low, high, 50, 70, vertical=True),
    )
    assert found == pytest.approx((horizontal, vertical, flat, steep), abs=0.0051)


@pytest.mark.parametrize(("even", "degrees", "counted"), [(45, 0, 0), (60, 10, 10), (80, 20, 0)])
def test_a_day_whose_low_is_its_high_counts_that_temperature(even: float, degrees: float, counted: float) -> None:
    assert sine(even, even, 50, 70) == triangle(even, even, 50, 70) == degrees
    assert sine(even, even, 50, 70, vertical=True) == triangle(even, even, 50, 70, vertical=True) == counted


# El Mouden, Znari & Pieau 2001, Effects of incubation temperature on embryonic development and sex determination in
# the North African agamid lizard, Agama impalearis, Herpetological Journal 11:101–108 (read). T0 18.944 °C and
# K 598.63 °C days come from its days: the line agrees with what was seen up to 32 °C; at 34
# and 36 °C it says 39.8 and 35.1 days where 43.5 and 41.2 were seen.
@pytest.mark.parametrize(
    ("celsius", "seen", "within"), [(26, 83.3, 2.0), (28, 67.3, 2.0), (30, 54.5, 0.8), (32, 45.5, 0.5)]
)
def test_a_line_from_a_base_gives_the_days_of_another_agamid(celsius: float, seen: float, within: float) -> None:
    assert 598.63 / rate(celsius, 18.944, 32) == pytest.approx(seen, abs=within)


def test_base_and_sum_come_out_of_the_days_that_were_seen() -> None:
    # El Mouden et al. 2001 (as above): 26 °C 83.3 d, 28 67.3, 30 54.5, 32 45.5. The straight line through
    # 1/days against °C meets nought at T0 18.944 and rises by 1/K a degree, K 598.63.
    line = linregress([26, 28, 30, 32], [1 / days for days in (83.3, 67.3, 54.5, 45.5)])
    assert 1 / line.slope == pytest.approx(598.63, abs=0.01)
    assert -line.intercept / line.slope == pytest.approx(18.944, abs=0.001)
    assert rate(31, 18.944, 32) / 598.63 == pytest.approx(line.intercept + 31 * line.slope, rel=1e-4)


@pytest.mark.parametrize(("celsius", "line", "seen"), [(34, 39.8, 43.5), (36, 35.1, 41.2)])
def test_above_the_top_the_line_would_say_too_few_days_and_is_not_followed(
    celsius: float, line: float, seen: float
) -> None:
    assert 598.63 / (celsius - 18.944) == pytest.approx(line, abs=0.06)
    level = 598.63 / rate(celsius, 18.944, 32)
    assert abs(level - seen) < abs(line - seen)


# Worked out with psychrolib (Meyer & Thevenard 2019, PsychroLib: a library of psychrometric functions to calculate
# thermodynamic properties of air, J Open Source Software 4:1137; after the ASHRAE Handbook 2017). By Magnus
# (17.62, 243.12) it agrees within 0.02 °C.
@pytest.mark.parametrize(
    ("celsius", "humidity", "dew"), [(29, 75, 24.12), (29, 90, 27.19), (30, 80, 26.17), (25, 50, 13.86)]
)
def test_the_dew_point_of_an_incubator(celsius: float, humidity: float, dew: float) -> None:
    assert dew_point(celsius, humidity) == pytest.approx(dew, abs=0.02)


def test_saturated_air_is_at_its_dew_point_and_dry_air_has_none() -> None:
    assert dew_point(29, 100) == pytest.approx(29)
    assert dew_point(29, 0) is None


TEMPERATURES = st.floats(-20, 80)


@given(TEMPERATURES, TEMPERATURES)
def test_the_mean_rate_between_two_readings_is_that_of_many_small_steps(begun: float, ended: float) -> None:
    steps = 4_000
    summed = sum(rate(begun + (ended - begun) * (step + 0.5) / steps, 18, 32) for step in range(steps)) / steps
    assert mean_rate(begun, ended, 18, 32) == pytest.approx(summed, abs=0.01)
    assert mean_rate(begun, ended, 18, 32) == pytest.approx(mean_rate(ended, begun, 18, 32))


@given(TEMPERATURES, TEMPERATURES, TEMPERATURES)
def test_a_share_of_time_is_between_none_and_all(begun: float, ended: float, limit: float) -> None:
    assert 0 <= share_above(begun, ended, limit) <= 1


@given(TEMPERATURES, TEMPERATURES, st.floats(0, 5))
def test_a_warmer_day_never_counts_less(low: float, high: float, warmer: float) -> None:
    for reckoned in (sine, triangle):
        assert reckoned(low + warmer, high + warmer, 18, 32) >= reckoned(low, high, 18, 32) - 1e-9
