"""How long something takes: the model against other people's figures, and what it promises."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats  # type: ignore[import-untyped]

from rounds.standing.lognormal import (
    Belief,
    Part,
    Seen,
    chance_after,
    exactly,
    held_to,
    learned,
    prior,
    quantile,
    seen_within,
    t_above,
    t_quantile,
)

DAYS = st.floats(0.5, 400)


def test_the_t_quantile_is_that_of_the_tables() -> None:
    # t(.975, 21): Montgomery & Runger, Applied Statistics and Probability for Engineers, Appendix Table V.
    assert t_quantile(0.975, 21) == pytest.approx(2.0796, abs=5e-5)


def test_the_t_quantile_is_that_of_scipy_for_any_degrees_and_chance() -> None:
    # Outside check: scipy.stats.t, scipy 1.17.
    for dof in (2, 2.5, 3, 4, 4.3, 5, 7.5, 10, 21, 30, 44.7, 60):
        for p in (1e-9, 0.001, 0.05, 0.1, 0.3, 0.5, 0.5001, 0.8, 0.95, 0.975, 0.9999):
            assert t_quantile(p, dof) == pytest.approx(stats.t.ppf(p, dof), rel=1e-9, abs=1e-9)


def test_the_chance_above_a_value_is_that_of_scipy_far_out_too() -> None:
    for dof in (2, 4, 9.5, 60):
        for t in (-40, -3, -0.1, 0, 0.1, 1, 3, 40, 1e6):
            assert t_above(t, dof) == pytest.approx(stats.t.sf(t, dof), rel=1e-9)


@pytest.mark.parametrize(("p", "dof"), [(0, 4), (1, 4), (-1, 4), (0.5, 1.9), (math.nan, 4), (0.5, math.inf)])
def test_a_quantile_that_cannot_be_is_refused(p: float, dof: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        t_quantile(p, dof)


def test_the_prediction_interval_of_an_engineering_textbook() -> None:
    # Montgomery & Runger, Applied Statistics and Probability for Engineers, Example 8-8 (read): n 22, mean 13.71,
    # s 3.55 → 95 % 6.16 … 21.26 for the next one. With a belief that counts for nothing beforehand (κ 0, α −½, β 0)
    # the update is exactly this interval.
    n, mean, s = 22, 13.71, 3.55
    apart = s * math.sqrt((n - 1) / n)
    belief = learned(Belief(0.0, 0.0, -0.5, 0.0), [Seen(mean - apart), Seen(mean + apart)] * 11)
    half = t_quantile(0.975, belief.degrees) * belief.scale
    assert belief.degrees == 21
    assert belief.centre - half == pytest.approx(6.16, abs=0.01)
    assert belief.centre + half == pytest.approx(21.26, abs=0.01)


def test_a_normal_prior_moves_as_in_the_textbook() -> None:
    # Gelman et al. 2013, Bayesian Data Analysis 3rd ed., exercise 2.8 (recomputed: from memory, worked out again by
    # two methods): prior N(180, 40²), σ 20, mean of ten 150 → 150.7 ± 6.25. With the variance known (α without
    # bound) κ0 is (20/40)² = 1/4, and the centre's standard error σ / √κn.
    known = 1e12
    belief = learned(Belief(180, 0.25, known, known * 20**2), [Seen(150)] * 10)
    assert belief.centre == pytest.approx(150.7, abs=0.05)
    assert math.sqrt(belief.beta / belief.alpha / belief.kappa) == pytest.approx(6.25, abs=0.005)


def test_the_prior_of_the_house_window_is_wide_about_its_geometric_mean() -> None:
    # checks.md: κ0 4, α0 2, CV .2; t(.1, 4) = −1.5332, t(.95, 4) = 2.1318; scale .2 × √(5/4) = .22361.
    belief = prior(math.sqrt(14 * 42), cv=0.2)
    assert quantile(belief, 0.5) == pytest.approx(24.25, abs=0.01)
    assert quantile(belief, 0.1) == pytest.approx(24.2487 * math.exp(-1.5332 * 0.22361), rel=1e-4)
    assert quantile(belief, 0.95) == pytest.approx(24.2487 * math.exp(2.1318 * 0.22361), rel=1e-4)


def test_learning_at_once_or_one_after_another_is_the_same() -> None:
    belief = prior(24, cv=0.2)
    seen = [exactly(days) for days in (19, 23, 31, 20)]
    one_by_one = belief
    for one in seen:
        one_by_one = learned(one_by_one, [one])
    at_once = learned(belief, seen)
    assert (one_by_one.centre, one_by_one.kappa, one_by_one.alpha, one_by_one.beta) == pytest.approx(
        (at_once.centre, at_once.kappa, at_once.alpha, at_once.beta)
    )


def test_what_has_not_happened_by_day_thirty_is_forecast_from_what_is_left() -> None:
    belief = prior(24, cv=0.2)
    waited = 30.0
    for p in (0.1, 0.5, 0.95):
        value = quantile(belief, p, after=waited)
        assert value > waited
        assert belief.chance_after(value) / belief.chance_after(waited) == pytest.approx(1 - p, rel=1e-6)


def test_company_of_four_days_is_the_mean_over_its_days() -> None:
    belief, starts = prior(24, cv=0.2), (0.0, 1.0, 2.0, 3.0)
    for p in (0.1, 0.5, 0.95):
        value = quantile(belief, p, starts=starts)
        assert chance_after([Part(belief, start) for start in starts], value) == pytest.approx(1 - p, rel=1e-6)
        assert quantile(belief, p) < value < 3 + quantile(belief, p)


def test_one_possible_value_counts_whole_and_values_far_apart_count_less() -> None:
    belief = prior(24, cv=0.2)
    assert seen_within(belief, [20]) == exactly(20)
    near, far = seen_within(belief, [20, 21]), seen_within(belief, [12, 40])
    assert 1 > near.counts > far.counts > 0
    assert seen_within(belief, []).counts == 0
    assert seen_within(belief, [-3, 0]).counts == 0


def test_what_others_taught_keeps_its_forecast_and_counts_for_less() -> None:
    taught = learned(prior(24, cv=0.2), [exactly(days) for days in range(18, 38)])
    held = held_to(taught, kappa=4, alpha=4)
    assert (held.kappa, held.alpha) == (4, 4)
    assert held.centre == taught.centre
    assert held.scale == pytest.approx(taught.scale)
    own = [exactly(45)] * 4
    assert learned(held, own).centre > learned(taught, own).centre


@given(st.lists(DAYS, max_size=8), st.lists(st.floats(-30, 60), min_size=1, max_size=5), st.floats(0, 500))
def test_the_three_dates_are_in_order_and_never_before_what_was_waited(
    seen: list[float], starts: list[float], waited: float
) -> None:
    belief = learned(prior(24, cv=0.2), [exactly(days) for days in seen])
    early, likely, late = (quantile(belief, p, starts=starts, after=waited) for p in (0.1, 0.5, 0.95))
    assert waited <= early <= likely <= late < math.inf


@given(st.lists(st.floats(1e-308, 1e308), max_size=6), st.floats(1e-308, 1e308))
def test_no_figure_makes_it_raise(seen: list[float], value: float) -> None:
    belief = learned(prior(24, cv=0.2), [exactly(one) for one in seen])
    assert 0 <= belief.chance_after(value) <= 1
    assert 0 <= quantile(belief, 0.1) <= quantile(belief, 0.95) < math.inf
    assert quantile(belief, 0.5, after=value) >= value
