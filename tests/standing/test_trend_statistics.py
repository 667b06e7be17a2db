"""The slope and the test behind the weight rule, held against figures from elsewhere."""

from __future__ import annotations

from collections import Counter
from itertools import combinations, permutations
from math import comb, factorial, isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats  # type: ignore[import-untyped]

from rounds.standing.slopes import falling_chance, orders_by_falls, theil_sen

WEIGHTS = st.lists(st.integers(300, 320).map(float), min_size=3, max_size=7)


def test_theil_sen_gives_the_slope_of_the_example_of_sen_1968() -> None:
    # Sen 1968, Estimates of the regression coefficient based on Kendall's tau, J Am Stat Assoc 63:1379–1389: the
    # worked example, as read in the tests of scipy: slope 4.
    assert theil_sen([1, 2, 3, 4, 10, 12, 18], [9, 15, 19, 20, 45, 55, 78]) == 4


@given(values=WEIGHTS)
def test_theil_sen_agrees_with_scipy(values: list[float]) -> None:
    times = [7.0 * place for place in range(len(values))]
    assert isclose(theil_sen(times, values), stats.theilslopes(values, times).slope, abs_tol=1e-12)


def test_points_at_one_and_the_same_time_have_no_slope() -> None:
    with pytest.raises(ValueError, match="different times"):
        theil_sen([3.0, 3.0], [410.0, 400.0])
    assert theil_sen([0.0, 0.0, 1.0], [5.0, 7.0, 8.0]) == 2.0


def test_null_counts_of_four_are_those_of_mann_and_kendall() -> None:
    # Kendall's tables, from memory, recomputed in the test below: n 4 → 1 3 5 6 5 3 1.
    assert orders_by_falls((1, 1, 1, 1)) == (1, 3, 5, 6, 5, 3, 1)


@pytest.mark.parametrize("ties", [(1,) * 5, (1,) * 6, (1, 1, 2), (2, 2), (1, 2, 3), (1, 1, 1, 3), (4,), (3, 3)])
def test_orders_are_counted_as_writing_all_of_them_down_counts_them(ties: tuple[int, ...]) -> None:
    values = [float(value) for value, times in enumerate(ties) for _ in range(times)]
    falls = Counter(sum(later < earlier for earlier, later in combinations(one, 2)) for one in permutations(values))
    repeats = 1
    for times in ties:
        repeats *= factorial(times)
    counts = orders_by_falls(tuple(sorted(ties)))
    assert counts == tuple(falls[many] // repeats for many in range(len(counts)))


def test_the_order_in_which_equal_values_are_put_in_makes_no_difference() -> None:
    assert orders_by_falls((1, 2, 3)) == orders_by_falls((3, 1, 2)) == orders_by_falls((2, 3, 1))


@pytest.mark.parametrize(("many", "chance"), [(4, 0.0417), (5, 0.0083), (6, 1 / 720)])
def test_all_falling_is_as_rare_as_one_order_in_all_of_them(many: int, chance: float) -> None:
    p = falling_chance([500.0 - place for place in range(many)])
    assert p == 1 / factorial(many)
    assert p == pytest.approx(chance, abs=5e-5)


@given(values=st.lists(st.integers(300, 900).map(float), min_size=3, max_size=8, unique=True))
def test_without_ties_the_chance_agrees_with_scipy(values: list[float]) -> None:
    # Kendall's tau against time, exact, is the Mann–Kendall test.
    expected = stats.kendalltau(range(len(values)), values, method="exact", alternative="less").pvalue
    assert falling_chance(values) == pytest.approx(expected, abs=1e-12)


@given(values=WEIGHTS)
def test_with_ties_the_chance_is_that_of_shuffling_these_very_weights(values: list[float]) -> None:
    falls = sum(later < earlier for earlier, later in combinations(values, 2))
    shuffled = [sum(later < earlier for earlier, later in combinations(one, 2)) for one in permutations(values)]
    assert falling_chance(values) == pytest.approx(sum(one >= falls for one in shuffled) / len(shuffled))


def test_equal_weights_say_nothing_about_a_fall() -> None:
    assert falling_chance([452.0] * 6) == 1.0


def test_a_tie_makes_a_fall_no_surer() -> None:
    assert falling_chance([460, 455, 450, 450, 445, 440]) > falling_chance([460, 455, 450, 449, 445, 440])


def test_counts_add_up_to_all_orders() -> None:
    assert sum(orders_by_falls((1,) * 12)) == factorial(12)
    assert sum(orders_by_falls((3, 4))) == comb(7, 3)
