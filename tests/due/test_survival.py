"""Deaths of young against the published survival, and the chance of so many."""

from __future__ import annotations

import math

import pytest
from scipy.stats import poisson  # type: ignore[import-untyped]

from rounds.due.survival import chance_of, daily_rate, days_lived, deaths_over
from rounds.rules.default import default_house
from rounds.standing.group import group
from tests.notation import VIENNA, at, standing

HOUSE = default_house(VIENNA)
PAGE = """
2026-03-01 AK
08:00  t1  enclosure_set_up  name=T1
08:00  group/hatch  arrived  name=Hatch count=10 place=t1
2026-03-11
08:00  group/hatch  died  count=2
2026-03-21
08:00  group/hatch  left  how=lent count=3
"""


@pytest.mark.parametrize("expected", [0.05, 0.5, 1.0, 3.7, 40.0, 900.0])
@pytest.mark.parametrize("count", [1, 2, 5, 38, 60, 900])
def test_the_chance_is_that_of_scipy(count: int, expected: float) -> None:
    # An exact sum; scipy 1.x, scipy.stats.poisson.sf, as an outside check. Below 1e-12 both are nothing.
    assert chance_of(count, expected) == pytest.approx(float(poisson.sf(count - 1, expected)), abs=1e-10)


def test_the_chance_of_the_textbook() -> None:
    # One or more where one is expected: 1 − 1/e.
    assert chance_of(1, 1.0) == pytest.approx(1 - 1 / math.e)
    assert chance_of(0, 3.0) == 1.0


def test_the_rate_is_that_of_82_of_96_living_six_months() -> None:
    # Wild et al. 2023, J Exp Biol 226 jeb245657: 82 of 96 = 85.4 % to 6 months.
    assert math.exp(-daily_rate(HOUSE) * 183) == pytest.approx(82 / 96, abs=0.001)


def test_the_days_that_all_of_them_lived_are_added_up() -> None:
    census = group(standing(PAGE), "group/hatch").census
    # 10 young for 10 days, 8 for 10, 5 for 10.
    assert days_lived(census.steps, at("2026-03-01 08:00"), at("2026-03-31 08:00")) == pytest.approx(230, abs=0.3)
    assert days_lived(census.steps, at("2026-03-16 08:00"), at("2026-03-18 08:00")) == pytest.approx(16)


def test_so_many_are_expected_and_so_many_died() -> None:
    census = group(standing(PAGE), "group/hatch").census
    found = deaths_over(census, HOUSE, at("2026-03-01 08:00"), at("2026-03-31 08:00"))
    assert (found.count, round(found.expected, 2)) == (2, 0.2)
    assert found.chance == pytest.approx(float(poisson.sf(1, found.expected)))


def test_what_a_foreign_sheet_holds_is_reckoned_at_once() -> None:
    assert chance_of(10**9, 5.0) == 0.0
    assert 0.4 < chance_of(10**9, 1e9) < 0.6
