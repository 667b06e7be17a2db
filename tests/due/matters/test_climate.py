"""Warmth and light."""

from __future__ import annotations

import pytest

from rounds.due.matter import Level
from tests.due.matters.found import ROOM, all_found, found, the
from tests.due.stops import house_with
from tests.notation import at

RULE = "climate out of range"
READ = ROOM + "2026-04-01\n10:00 b3 climate_read {}\n"
SHELF = (
    ROOM
    + """
2026-03-02
08:00 s1 enclosure_set_up name=S1 what="incubator shelf"
09:00 wattle eggs_laid clutch=wattle-1 count=20 complete=true
10:00 wattle-1 eggs_boxed count=20 place=s1
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
    assert found(READ.format(reading), "2026-04-01 11:00", RULE) == ([f"{level} {RULE} b3"] if level else [])


def test_all_readings_of_an_enclosure_are_one_matter() -> None:
    matter = the(READ.format("basking_c=35.2 cool_c=19"), "2026-04-01 11:00", RULE)
    assert matter.says == "B3: basking spot too cold, 35.2 °C and cool end too cold, 19 °C."
    assert matter.house[:2] == ("climate.basking_c", "climate.cool_c")


def test_a_reading_stands_until_the_next_of_its_sort() -> None:
    page = READ.format("basking_c=35") + "2026-04-02\n10:00 b3 climate_read {}\n"
    assert the(page.format("cool_c=24"), "2026-04-03", RULE).since == at("2026-04-01 10:00")
    assert found(page.format("basking_c=40"), "2026-04-03", RULE) == []
    assert the(page.format("basking_c=36"), "2026-04-03", RULE).key == f"{RULE} enclosure/b3 2026-04-01"


def test_nobody_bothers_about_an_empty_tub_or_one_where_all_brumate() -> None:
    assert (
        found(
            READ.format("basking_c=20").replace("wattle arrived", "hakea arrived").replace("place=b3", "place=b4"),
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
        return found(SHELF + f"10:00 s1 climate_read air_c={celsius}\n", "2026-04-01 11:00", RULE)

    assert read(31) == []
    assert read(31.5) == [f"watch {RULE} s1"]
    assert read(32) == [f"watch {RULE} s1"]
    assert read(32.1) == [f"today {RULE} s1"]
    assert read(24.9) == [f"today {RULE} s1"]


def test_in_a_lay_box_the_warmth_of_the_nest_is_judged() -> None:
    page = ROOM + "2026-04-01\n09:00 wattle moved to=l1\n10:00 l1 climate_read air_c=24.5\n"
    assert the(page, "2026-04-01 11:00", RULE).says == "L1: nest too cold, 24.5 °C (28–30)."


def test_what_is_out_is_said_first_and_then_by_how_much() -> None:
    assert (
        the(READ.format("basking_c=45.5"), "2026-04-01 11:00", RULE).says
        == "B3: basking spot too hot, 45.5 °C (38–42)."
    )
    assert (
        the(READ.format("night_low_c=16"), "2026-04-01 11:00", RULE).says
        == "B3: night too cold, 16 °C (20 or more)."
    )
    assert the(READ.format("uv_index=8"), "2026-04-01 11:00", RULE).says == "B3: UV index too high, 8 (2.9–7.4)."


UNREAD = "climate not read"


def test_tubs_not_read_for_a_week_and_three_days_are_one_matter_of_the_room() -> None:
    read = "".join(f"2026-03-02\n10:00 {tub} climate_read basking_c=40 cool_c=24\n" for tub in ("b3", "b4", "b5"))
    assert found(ROOM + read, "2026-03-11", UNREAD) == []
    matter = the(ROOM + read, "2026-03-12", UNREAD)
    assert (matter.level, matter.about) == (Level.WATCH, "room")
    assert matter.says == "Climate not read in 3 enclosures: B3, B4 and B5."
    assert matter.house == ("climate.read_days", "climate.not_read_days")
    assert found(ROOM + read, "2026-03-06", UNREAD, house=house_with(climate={"read_days": 1})) != []


def test_a_tub_never_read_counts_a_week_from_the_day_it_is_lived_in() -> None:
    assert found(ROOM, "2026-03-10", UNREAD) == []
    assert found(ROOM, "2026-03-11", UNREAD) == ["watch climate not read room"]
    empty = ROOM + "2026-05-01\n08:00 c1 enclosure_set_up name=C1\n2026-07-01\n08:00 wattle moved to=c1\n"
    assert "C1" not in the(empty, "2026-07-10", UNREAD).says
    assert "C1" in the(empty, "2026-07-11", UNREAD).says


def test_where_hatchlings_live_three_days_late_are_enough() -> None:
    page = ROOM + "2026-04-01\n08:00 c1 enclosure_set_up name=C1\n"
    page += "08:10 group/hatch arrived name=Hatch count=9 hatched=2026-03-30 place=c1\n"
    page += "08:11 c1 climate_read basking_c=40 cool_c=24\n"
    page += "".join(f"08:12 {tub} climate_read basking_c=40 cool_c=24\n" for tub in ("b3", "b4", "b5"))
    assert found(page, "2026-04-04", UNREAD) == []
    assert the(page, "2026-04-05", UNREAD).says == "Climate not read in 1 enclosure: C1."


def test_where_eggs_incubate_it_is_for_today_counted_from_the_day_they_came() -> None:
    page = SHELF + "10:00 s1 climate_read air_c=30\n"
    assert "today climate not read s1" not in found(page, "2026-04-04", UNREAD)
    assert "today climate not read s1" in found(page, "2026-04-05", UNREAD)
    never = SHELF.replace("2026-04-01\n", "")
    assert "today climate not read s1" not in found(never, "2026-03-05", UNREAD)
    (matter,) = [one for one in all_found(never, "2026-03-06") if one.about == "enclosure/s1"]
    assert matter.says == "S1: temperature of the eggs not read since 2 Mar."
    assert [entry.kind for entry in matter.entries] == ["eggs_boxed"]


def test_ten_lamps_due_are_one_matter_of_the_room() -> None:
    page = ROOM.replace("2026-03-01", "2025-09-10")
    assert found(page, "2026-03-09", "lamp due") == []
    assert the(page, "2026-03-10", "lamp due").says == "UV lamp due in B3, B4 and B5."
    assert found(page, "2026-03-11", "lamp due") == ["watch lamp due room"]
    assert the(page, "2026-03-11", "lamp due").since == at("2026-03-10 00:00")
    changed = page + "2026-03-01\n09:00 b3 lamp_changed\n"
    assert the(changed, "2026-03-10", "lamp due").says == "UV lamp due in B4 and B5."
    metered = page + "2026-03-01\n09:00 b3 climate_read uv_index=4\n"
    assert the(metered, "2026-03-10", "lamp due").says == "UV lamp due in B4 and B5."
    more = "".join(
        f"2025-09-10\n08:00 c{one} enclosure_set_up name=C{one}\n08:01 a{one} arrived name=A{one} place=c{one}\n"
        for one in range(1, 8)
    )
    assert the(page + more, "2026-03-10", "lamp due").says == "UV lamp due in B3, B4, B5, C1, C2 and 5 others."
