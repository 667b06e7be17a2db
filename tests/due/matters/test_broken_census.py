"""Two desks wrote the same hatching: the counts say that no egg is left, and some may be. Nothing falls silent."""

from __future__ import annotations

import pytest

from rounds.due.hatching import hatch_forecast
from rounds.due.lines import lines_at
from rounds.logbook.entries import Hatched
from tests.due.matters.found import HOUSE, found
from tests.due.matters.test_incubator import COLD, HOT, SHELF
from tests.notation import at, standing

ONE = SHELF + "2026-05-10 AK\n09:00 wattle-1 hatched count=10 place=k1\n"
TWICE = ONE + "2026-05-10 EM\n09:20 wattle-1 hatched count=10 place=k1\n"
#: Eight are left by the first; the second says none, and all have come out in the third, `OVER`.
PAGES = (ONE, TWICE)
OVER = SHELF + "2026-05-10 AK\n09:00 wattle-1 hatched count=18 place=k1\n"


@pytest.mark.parametrize("page", PAGES)
@pytest.mark.parametrize(
    ("readings", "rule", "wanted"),
    [
        ("air_c=34", "climate out of range", ["today climate out of range s1"]),
        ("air_c=34\n10:00 s1 climate_read air_c=29.5", HOT, [f"today {HOT} s1"]),
        ("air_c=22\n10:00 s1 climate_read air_c=29.5", COLD, [f"watch {COLD} s1"]),
    ],
)
def test_the_heat_and_the_cold_of_its_shelf_are_told(
    page: str, readings: str, rule: str, wanted: list[str]
) -> None:
    day = f"2026-05-11 AK\n06:00 s1 climate_read {readings}\n"
    assert found(page + day, "2026-05-11 11:00", rule) == wanted
    assert found(OVER + day, "2026-05-11 11:00", rule) == []


@pytest.mark.parametrize("page", PAGES)
def test_its_eggs_are_looked_at_each_day(page: str) -> None:
    now = at("2026-05-12 07:00")
    lines = [one for one in lines_at(standing(page), HOUSE, now, "enclosure/k1") if one.care == "hatch watch"]
    assert [one.due.isoformat() for one in lines] == ["2026-05-11"]
    assert ("count what is left" in lines[0].says) == (page is TWICE)
    shelf = [one for one in lines_at(standing(page), HOUSE, now, "enclosure/s1") if one.care == "climate"]
    assert shelf, "its shelf is read"
    forecast = hatch_forecast(standing(page), HOUSE, now, "clutch/wattle-1")
    assert forecast == hatch_forecast(standing(ONE), HOUSE, now, "clutch/wattle-1")


@pytest.mark.parametrize("page", PAGES)
def test_mould_seen_on_them_is_told(page: str) -> None:
    seen = "2026-05-11\n09:00 wattle-1 eggs_seen signs=mould count=1 place=k1\n"
    assert found(page + seen, "2026-05-11 12:00", "eggs look wrong") == ["today eggs look wrong wattle-1"]


def test_it_ends_when_one_of_the_two_is_taken_back_and_the_rest_is_out() -> None:
    rest = TWICE + "2026-05-12 AK\n09:00 wattle-1 eggs_lost count=8 place=k1\n"
    second = standing(TWICE).page("clutch/wattle-1").of(Hatched)[-1]
    back = f"10:00 clutch/wattle-1 corrected replaces={second.id} because='AK wrote it'\n"
    for page, wanted in ((rest, 1), (rest + back, 0)):
        lines = lines_at(standing(page), HOUSE, at("2026-05-13 07:00"), "enclosure/k1")
        assert len([one for one in lines if one.care == "hatch watch"]) == wanted
