"""Warmth and light."""

from __future__ import annotations

import pytest

from rounds.due.matter import Level
from tests.due.matters.found import ROOM, found, the
from tests.due.stops import house_with
from tests.notation import at

RULE = "climate out of range"
READ = ROOM + "2026-04-01\n10:00 @b3 climate_read {}\n"
SHELF = (
    ROOM
    + """
2026-03-02
08:00 @s1 enclosure_set_up name=S1 what="incubator shelf"
09:00 wattle eggs_laid clutch=%wattle-1 count=20 complete=true
10:00 %wattle-1 eggs_boxed count=20 place=@s1
2026-04-01
"""
)


@pytest.mark.parametrize(
    ("reading", "level"),
    [
        ("basking_c=38 cool_c=26 night_low_c=20 uv_index=7.4", ""),
        ("basking_c=42 cool_c=22 uv_index=2.9", ""),
        ("basking_c=37.5", "watch"),
        ("basking_c=34.9", "today"),
        ("basking_c=45", "watch"),
        ("basking_c=45.5", "today"),
        ("cool_c=27", "watch"),
        ("cool_c=30", "today"),
        ("night_low_c=19.5", "watch"),
        ("night_low_c=16", "today"),
        ("uv_index=2.5", "watch"),
        ("uv_index=7.5", "today"),
        ("humidity=90 air_c=45", ""),
    ],
)
def test_a_reading_outside_its_band_is_watched_and_far_outside_for_today(reading: str, level: str) -> None:
    # RSPCA (UK) care sheet: basking 38–42 °C, cool end 22–26 °C, night not under 20 °C; UV index zone 3
    # maximum 2.9–7.4, Ferguson et al. 2010 as quoted by others.
    assert found(READ.format(reading), "2026-04-01 11:00", RULE) == ([f"{level} {RULE} @b3"] if level else [])


def test_all_readings_of_an_enclosure_are_one_matter() -> None:
    matter = the(READ.format("basking_c=35.2 cool_c=19"), "2026-04-01 11:00", RULE)
    assert matter.says == "B3: basking spot 35.2 °C, under 38 and cool end 19 °C, under 22 (read 1 Apr 10:00)."
    assert matter.house[:2] == ("climate.basking_c", "climate.cool_c")


def test_a_reading_stands_until_the_next_of_its_sort() -> None:
    page = READ.format("basking_c=35") + "2026-04-02\n10:00 @b3 climate_read {}\n"
    assert the(page.format("cool_c=24"), "2026-04-03", RULE).since == at("2026-04-01 10:00")
    assert found(page.format("basking_c=40"), "2026-04-03", RULE) == []
    assert the(page.format("basking_c=36"), "2026-04-03", RULE).key == f"{RULE} enclosure/b3 2026-04-01"


def test_nobody_bothers_about_an_empty_tub_or_one_where_all_brumate() -> None:
    assert (
        found(
            READ.format("basking_c=20")
            .replace("wattle arrived", "hakea arrived")
            .replace("place=@b3", "place=@b4"),
            "2026-04-01 11:00",
            RULE,
        )
        == []
    )
    asleep = READ.format("basking_c=20") + "10:30 wattle brumation_began\n"
    assert found(asleep, "2026-04-01 11:00", RULE) == []


def test_an_incubator_has_a_band_of_its_own_and_an_alarm_above_32_degrees() -> None:
    # Sex reversal above 32 °C: Quinn et al. 2007 Science 316:411; Holleley et al. 2015 Nature 523:79.
    def read(celsius: float) -> list[str]:
        return found(SHELF + f"10:00 @s1 climate_read air_c={celsius}\n", "2026-04-01 11:00", RULE)

    assert read(31) == []
    assert read(31.5) == [f"watch {RULE} @s1"]
    assert read(32) == [f"watch {RULE} @s1"]
    assert read(32.1) == [f"today {RULE} @s1"]
    assert read(24.9) == [f"today {RULE} @s1"]


def test_in_a_lay_box_the_warmth_of_the_nest_is_judged() -> None:
    page = ROOM + "2026-04-01\n09:00 wattle moved to=@l1\n10:00 @l1 climate_read air_c=24.5\n"
    assert the(page, "2026-04-01 11:00", RULE).says.startswith("L1: nest 24.5 °C, under 28")


def test_climates_not_read_for_days_are_one_matter_of_the_room() -> None:
    read = "".join(f"2026-03-02\n10:00 @{tub} climate_read basking_c=40 cool_c=24\n" for tub in ("b3", "b4", "b5"))
    assert found(ROOM + read, "2026-03-05", "climate not read") == []
    matter = the(ROOM + read, "2026-03-06", "climate not read")
    assert (matter.level, matter.about) == (Level.WATCH, "room")
    assert matter.says.startswith("The climate of 3 enclosures was not read for days: B3 (3 days late), B4")
    assert found(ROOM + read, "2026-03-06", "climate not read", house=house_with(climate={"read_days": 7})) == []


def test_a_climate_that_was_never_read_counts_from_the_day_the_tub_was_set_up() -> None:
    assert found(ROOM, "2026-03-03", "climate not read") == []
    assert found(ROOM, "2026-03-04", "climate not read") == ["watch climate not read room"]


def test_where_eggs_incubate_it_is_for_today() -> None:
    page = SHELF + "10:00 @s1 climate_read air_c=30\n"
    assert "today climate not read @s1" not in found(page, "2026-04-04", "climate not read")
    assert "today climate not read @s1" in found(page, "2026-04-05", "climate not read")


def test_a_lamp_is_due_after_six_months_or_twelve_by_the_meter() -> None:
    page = ROOM.replace("2026-03-01", "2025-09-10")
    assert found(page, "2026-03-09", "lamp due") == []
    assert "watch lamp due @b3" in found(page, "2026-03-10", "lamp due")
    changed = page + "2026-03-01\n09:00 @b3 lamp_changed\n"
    assert "watch lamp due @b3" not in found(changed, "2026-03-10", "lamp due")
    metered = page + "2026-03-01\n09:00 @b3 climate_read uv_index=4\n"
    assert "watch lamp due @b3" not in found(metered, "2026-03-10", "lamp due")
    one = page.replace("08:00 @b4", "#").replace("08:00 @b5", "#")
    assert the(one, "2026-03-11", "lamp due").says == (
        "B3: the UV lamp has no change written down, and is due since 10 Mar."
    )
