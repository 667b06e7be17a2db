"""Weights that are asked about, on both sides of each boundary."""

from __future__ import annotations

import pytest

from rounds.rules.default import default_house
from rounds.rules.plausible import weight_doubt
from tests.notation import VIENNA, at, standing

HOUSE = default_house(VIENNA)
ROOM = """
    2026-01-01 AK
    08:00  b3      enclosure_set_up  name=B3
    08:00  wattle  arrived  name=Wattle sex=F place=b3 hatched=2023-02-01
    08:00  fern    arrived  name=Fern place=b3
    08:00  group/young  arrived  name=Young count=10 place=b3 hatched=2026-01-01
"""


def doubted(page: str, who: str, grams: float, when: str) -> str:
    """What is asked about a weight seen then."""
    return weight_doubt(standing(ROOM + page), HOUSE, who, grams, at(when))


@pytest.mark.parametrize(
    ("grams", "asked"),
    # 15 % of 450 g within a week of the last one (weights.ask_percent)
    [(383, False), (382, True), (517, False), (518, True)],
)
def test_a_weight_is_held_against_the_one_before(grams: float, asked: bool) -> None:
    page = "2026-03-05 AK\n08:00 wattle weighed grams=450"
    assert bool(doubted(page, "animal/wattle", grams, "2026-03-06 08:00")) is asked


def test_the_longer_ago_the_last_weight_the_more_may_lie_between() -> None:
    page = "2026-01-05 AK\n08:00 wattle weighed grams=450"
    assert doubted(page, "animal/wattle", 540, "2026-01-08 08:00")
    assert not doubted(page, "animal/wattle", 540, "2026-02-10 08:00")


def test_a_weight_written_late_is_held_against_the_one_before_it_then() -> None:
    page = "2026-01-05 AK\n08:00 wattle weighed grams=300\n2026-04-05 AK\n08:00 wattle weighed grams=450"
    assert not doubted(page, "animal/wattle", 310, "2026-01-08 08:00")
    assert doubted(page, "animal/wattle", 450, "2026-01-08 08:00")


#: A week ago 345 g; this morning a slip was written.
SLIPPED = "2026-03-01 AK\n08:00 wattle weighed grams=345\n2026-03-08\n08:00 wattle weighed grams={}\n"


@pytest.mark.parametrize(("written", "then", "asked"), [(3400, 340, False), (3400, 3390, True), (34, 340, False)])
def test_a_slip_that_was_written_does_not_judge_the_figure_that_puts_it_right(
    written: float, then: float, asked: bool
) -> None:
    told = doubted(SLIPPED.format(written), "animal/wattle", then, "2026-03-08 08:02")
    assert bool(told) is asked
    assert "883 % more than 345 g on 1 Mar" in told or not asked


def test_two_readings_that_agree_are_believed_and_a_third_is_held_against_them() -> None:
    page = SLIPPED.format(280) + "08:01 wattle weighed grams=281\n"
    assert not doubted(page, "animal/wattle", 282, "2026-03-08 08:02")
    assert doubted(page, "animal/wattle", 345, "2026-03-08 08:02")


@pytest.mark.parametrize(("grams", "asked"), [(2.4, False), (4.2, False), (6.5, False), (9.0, True)])
def test_young_may_grow_as_fast_as_the_fastest_that_were_measured(grams: float, asked: bool) -> None:
    # 11.1 % a week (Wild et al. 2023) makes 1.88 times in six weeks, beside the 37 % that six weeks may differ.
    page = "2026-01-10 AK\n08:00 group/young weighed grams=3.1"
    found = doubted(page, "group/young", grams, "2026-02-21 08:00")
    assert bool(found) is asked
    assert "190 % more than 3.1 g" in found or not asked


@pytest.mark.parametrize(
    ("who", "grams", "when", "told"),
    [
        ("group/young", 2.4, "2026-01-02", ""),
        ("group/young", 24, "2026-01-02", "much for one of its age"),
        ("group/young", 0.24, "2026-01-02", "little for one of its age (0.9 to"),
        ("animal/wattle", 450, "2026-03-01", ""),
        ("animal/wattle", 175, "2026-03-01", ""),
        ("animal/wattle", 174, "2026-03-01", "little for one of its age (175 to 1200 g)"),
        ("animal/wattle", 1_201, "2026-03-01", "much for one of its age"),
        ("animal/fern", 45, "2026-03-01", ""),
        ("animal/fern", 1_201, "2026-03-01", "much for a bearded dragon"),
        ("animal/fern", 0.5, "2026-03-01", "little for a bearded dragon"),
    ],
)
def test_a_first_weight_is_held_against_age_and_species(who: str, grams: float, when: str, told: str) -> None:
    found = doubted("", who, grams, f"{when} 08:00")
    assert told in found
    assert bool(found) is bool(told)


@pytest.mark.parametrize(("grams", "asked"), [(17.5, True), (17.7, False), (47.4, False), (47.6, True)])
def test_a_first_weight_is_held_against_a_length_measured_near_it(grams: float, asked: bool) -> None:
    # 2.435e-5 × 100 ^ 3.063 is 32.5 g (Wild et al. 2023), ± twice 23 %: 17.6 to 47.5 g.
    found = doubted("2026-03-01 AK\n08:00 fern measured svl_mm=100", "animal/fern", grams, "2026-03-03 08:00")
    assert bool(found) is asked
    assert "measures 100 mm, which makes about 33 g" in found or not asked


def test_a_length_outside_of_what_was_measured_or_long_ago_says_nothing() -> None:
    for page, when in (
        ("2026-03-01 AK\n08:00 fern measured svl_mm=180", "2026-03-03 08:00"),
        ("2026-01-01 AK\n08:00 fern measured svl_mm=100", "2026-03-03 08:00"),
    ):
        assert not doubted(page, "animal/fern", 300, when)


# Figures of the species, as the house's defaults have them.


def test_the_figures_of_hatchlings_growth_and_eggs_are_those_of_the_papers() -> None:
    # Wild et al. 2023, J Exp Biol 226 jeb245657, computed from its data: 13 hatchlings of 0 to 3 days weigh
    # 2.40 ± 0.30 g, 1.85 to 2.88; 32 pairs grew 4.3 to 11.1 % a week, median 9.1; 82 of 96 lived to 6 months.
    low, high = HOUSE.band("plausible.hatchling_g")
    assert (low, high) == (1.85, 2.88)
    assert low < 2.40 - 0.30 < 2.40 + 0.30 < high
    assert HOUSE.band("young.growth_band_percent") == (4.3, 11.1)
    assert HOUSE.number("young.survival_percent") == pytest.approx(82 / 96 * 100, abs=0.05)
    # Laven et al., data: 29 eggs of 8 mothers 3.81 ± 0.61 g, 2.91 to 4.90.
    assert (HOUSE.number("eggs.egg_g"), HOUSE.number("laying.egg_spread_grams")) == (3.81, 0.61)
    least, most = HOUSE.band("eggs.egg_between_g")
    assert least <= 2.91 < 4.90 <= most, "no published egg is asked about"


@pytest.mark.parametrize("grams", [1.85, 2.40, 2.88])
def test_a_hatchling_as_published_is_not_asked_about(grams: float) -> None:
    assert not doubted("", "group/young", grams, "2026-01-02 08:00")


@pytest.mark.parametrize(
    ("grams", "asked"),
    # 78 g of eggs off 472 g, and 15 % about it (weights.ask_percent)
    [(396, False), (324, False), (322, True), (296, True)],
)
def test_the_eggs_laid_since_may_be_missing_from_her_weight(grams: float, asked: bool) -> None:
    page = """
        2026-03-05 AK
        08:00 wattle weighed grams=472
        2026-03-06 AK
        06:00 wattle eggs_laid clutch=wattle-2026-1 count=12
        07:00 wattle eggs_laid clutch=wattle-2026-1 count=21 complete=true eggs_grams=78
    """
    assert bool(doubted(page, "animal/wattle", grams, "2026-03-06 08:00")) is asked


def test_eggs_laid_excuse_no_weight_before_them() -> None:
    page = """
        2026-03-05 AK
        08:00 wattle weighed grams=472
        2026-03-07 AK
        06:00 wattle eggs_laid clutch=wattle-2026-1 count=21 complete=true eggs_grams=78
    """
    assert doubted(page, "animal/wattle", 396, "2026-03-06 08:00")
