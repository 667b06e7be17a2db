"""Water in the egg box, held against figures from elsewhere."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rounds.standing.water import POTENTIALS, dry_for, potential, still_to_add, water_needed


def test_water_content_on_a_dry_basis() -> None:
    # ASTM D2216 (Standard Test Methods for Laboratory Determination of Water (Moisture) Content of Soil and Rock by
    # Mass): ω = water ÷ dry. "1 : 1 by weight" is ω 100 %, half of the wet mix.
    dry = 7.5
    water = water_needed(dry, 1)
    assert (water, water / dry, water / (water + dry)) == (7.5, 1.0, 0.5)
    assert still_to_add(15.0, 15.0) == 0, "7.5 g dry at 1 : 1 takes 7.5 g of water and reads 15.0 g net"


def test_running_it_is_the_target_less_the_reading_without_the_box() -> None:
    # The sketch of the season: 120.0 g dry, 1 : 1, scale 183.4 g, add 56.6 g more.
    assert still_to_add(240, 183.4) == pytest.approx(56.6)
    assert still_to_add(15, 104.35, tare=90) == pytest.approx(0.65)
    assert still_to_add(15, 108.2, tare=90) == pytest.approx(-3.2)
    assert dry_for(3.2, 1) == pytest.approx(3.2)
    assert dry_for(3.2, 0.8) == pytest.approx(4.0), "4 g more dry at 0.8 : 1 take up 3.2 g more"


@pytest.mark.parametrize(("ratio", "kpa"), POTENTIALS)
def test_the_published_rows_are_given_back(ratio: float, kpa: float) -> None:
    # Water : dry vermiculite by mass → kPa (Verdú-Ricoy 2014; Brown & Shine; Wei 2021; the grade differs: ± 30 %).
    found = potential("vermiculite", ratio)
    assert found is not None
    assert (found.kpa, found.drier, found.wetter) == pytest.approx((kpa, kpa * 1.3, kpa * 0.7))


@pytest.mark.parametrize(("medium", "ratio"), [("vermiculite", 0.09), ("vermiculite", 3.01), ("perlite", 1.0)])
def test_beyond_the_table_and_of_other_media_nothing_is_said(medium: str, ratio: float) -> None:
    assert potential(medium, ratio) is None
    assert potential("vermiculite", None) is None


@given(st.floats(0.1, 3.0), st.floats(0.1, 3.0))
def test_wetter_is_never_drier(one: float, other: float) -> None:
    first, second = potential("vermiculite", min(one, other)), potential("vermiculite", max(one, other))
    assert first is not None
    assert second is not None
    assert first.kpa <= second.kpa + 1e-9
