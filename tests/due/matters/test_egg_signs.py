"""Eggs that do not look right, that sweat, and that are clear."""

from __future__ import annotations

from datetime import date, timedelta

from rounds.due.hatching import hatch_forecast
from tests.due.matters.found import HOUSE, ROOM, found, the
from tests.notation import at, standing

BOX = ROOM + (
    '08:10 enclosure/k1 enclosure_set_up name=K1 what="egg box"\n'
    "2026-04-01\n"
    "06:00 wattle eggs_laid clutch=wattle-1 count=20 complete=true\n"
    "07:00 enclosure/k1 egg_box_made_up medium=vermiculite tare_grams=95 dry_grams=120 ratio=1\n"
    "08:00 wattle-1 eggs_boxed count=18 place=enclosure/k1 eggs_grams=72 up_marked=true\n"
)


def seen(day: str, signs: str = "", more: str = "place=enclosure/k1") -> str:
    return f"{day}\n09:00 wattle-1 eggs_seen signs={signs or '[]'} {more}\n".replace("signs=[] ", "")


def wrong(page: str, now: str) -> list[str]:
    return found(page, now, "eggs look wrong")


def test_mould_and_a_leak_are_for_today_dents_and_colour_are_watched() -> None:
    for sign, level in (("mould", "today"), ("leaking", "today"), ("dented", "watch"), ("discoloured", "watch")):
        assert wrong(BOX + seen("2026-04-10", sign), "2026-04-10 10:00") == [f"{level} eggs look wrong wattle-1"]
    two = BOX + seen("2026-04-10", "mould", "count=2") + seen("2026-04-11", "dented", "count=3")
    assert the(two, "2026-04-11 10:00", "eggs look wrong").says == "Wattle 1: 2 with mould and 3 dented, 11 Apr."
    dry = the(BOX + seen("2026-04-10", "dented"), "2026-04-10 10:00", "eggs look wrong")
    assert "Dented: is the medium dry? Weigh the box, target 407 g." in dry.do


def test_it_stands_until_a_look_finds_nothing_wrong_or_they_are_out() -> None:
    page = BOX + seen("2026-04-10", "mould", "count=2")
    assert wrong(page, "2026-05-20") == ["today eggs look wrong wattle-1"], "mould does not go by itself"
    assert wrong(page + seen("2026-04-12"), "2026-04-13") == []
    assert wrong(page + "2026-04-12\n09:00 wattle-1 eggs_lost count=1\n", "2026-04-13") != []
    assert wrong(page + "2026-04-12\n09:00 wattle-1 eggs_lost count=2\n", "2026-04-13") == []
    assert wrong(page + seen("2026-04-12", "sweating"), "2026-04-13") != [], "another sign answers none"


def test_dents_and_colour_stand_for_a_week() -> None:
    page = BOX + seen("2026-04-10", "dented")
    assert wrong(page, "2026-04-17 10:00") != []
    assert wrong(page, "2026-04-18 10:00") == []


def test_sweat_near_their_time_is_hatching_and_long_before_it_is_wet() -> None:
    # About 24 h before hatching eggs sweat (B). Near: from day 50 (50 to 80 days in the Austrian federal sheet), or
    # from the day on which the forecast begins, where that is sooner.
    forecast = hatch_forecast(standing(BOX), HOUSE, at("2026-05-10"), "clutch/wattle-1")
    assert forecast is not None
    begins = min(forecast.window_begins, date(2026, 4, 1) + timedelta(days=50))
    day, before = begins.isoformat(), (begins - timedelta(days=1)).isoformat()
    number = (begins - date(2026, 4, 1)).days
    early = the(BOX + seen(before, "sweating"), f"{before} 10:00", "eggs sweating")
    assert (early.level.word, early.says) == ("watch", f"Wattle 1 sweats early, day {number - 1}: too wet?")
    near = BOX + seen(day, "sweating")
    matter = the(near, f"{day} 10:00", "eggs sweating")
    assert (matter.level.word, matter.says) == ("today", f"Wattle 1 sweats, day {number}: may hatch in about 24 h.")
    assert found(near + "2026-05-22\n09:00 wattle-1 hatched count=1\n", "2026-05-22 10:00", "eggs sweating") == []
    assert found(near + seen("2026-05-22", "pipped"), "2026-05-22 10:00", "eggs sweating") == []


def test_eggs_clear_from_day_14_on_are_told_until_they_are_out() -> None:
    def clear(day: str, count: int = 2) -> str:
        return f"2026-04-{day}\n09:00 wattle-1 candled fertile=16 clear={count} place=enclosure/k1\n"

    assert found(BOX + clear("14"), "2026-04-14 10:00", "candled clear") == []
    page = BOX + clear("15")
    assert the(page, "2026-04-15 10:00", "candled clear").says == "Wattle 1: 2 eggs clear on day 14. Take out?"
    assert found(page + clear("20", 0), "2026-04-20 10:00", "candled clear") == []
    out = page + "2026-04-16\n09:00 wattle-1 eggs_lost count=1\n"
    assert the(out, "2026-04-16 10:00", "candled clear").says.startswith("Wattle 1: 1 egg clear")
    assert found(out + "10:00 wattle-1 eggs_lost count=1\n", "2026-04-16 11:00", "candled clear") == []
