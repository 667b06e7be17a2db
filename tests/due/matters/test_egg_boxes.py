"""Egg boxes that dry fast, take on water or are not weighed."""

from __future__ import annotations

from tests.due.matters.found import ROOM, found, the

BOX = ROOM + (
    '08:10 enclosure/k1 enclosure_set_up name=K1 what="egg box"\n'
    "2026-04-01\n"
    "06:00 wattle eggs_laid clutch=wattle-1 count=20 complete=true\n"
    "07:00 enclosure/k1 egg_box_made_up medium=vermiculite tare_grams=95 dry_grams=120 ratio=1\n"
    "08:00 wattle-1 eggs_boxed count=18 place=enclosure/k1 eggs_grams=72 up_marked=true\n"
    "09:00 enclosure/k1 egg_box_weighed grams=407\n"
)


def weighed(day: str, grams: float, added: float = 0) -> str:
    return f"2026-04-{day}\n09:00 enclosure/k1 egg_box_weighed grams={grams} added_grams={added}\n"


HABIT = BOX + weighed("08", 400, 7) + weighed("15", 401, 6)


def test_a_box_that_loses_more_than_twice_its_habit_dries_fast() -> None:
    # Its habit: 7 g and 6 g a week, so 6.5 g in 7 days; twice that is 13 g (house rule).
    assert found(HABIT + weighed("22", 394), "2026-04-22 10:00", "egg box dries fast") == []
    fast = HABIT + weighed("22", 393.9)
    assert found(fast, "2026-04-22 10:00", "egg box dries fast") == ["today egg box dries fast k1"]
    assert the(HABIT + weighed("22", 386), "2026-04-22 10:00", "egg box dries fast").says == (
        "K1 dries fast: 21 g in 7 days, its habit is 6 g. Top up 21 g (21 ml)."
    )
    assert found(fast + weighed("29", 394), "2026-04-29 10:00", "egg box dries fast") == []


def test_without_a_habit_nothing_dries_fast() -> None:
    assert found(BOX + weighed("08", 380, 27) + weighed("15", 350), "2026-04-15 10:00", "egg box dries fast") == []


def test_an_egg_taken_out_is_not_water_lost() -> None:
    page = HABIT + "2026-04-20\n08:00 wattle-1 eggs_lost count=4 place=enclosure/k1\n" + weighed("22", 387)
    assert found(page, "2026-04-22 10:00", "egg box dries fast") == [], "16 g were eggs, weighed when boxed"


def test_a_box_that_gains_takes_on_water() -> None:
    # From 2 g or 1 % of the target on: 4.07 g (house rule).
    assert found(BOX + weighed("08", 411), "2026-04-08 10:00", "egg box takes on water") == []
    page = BOX + weighed("08", 412)
    assert the(page, "2026-04-08 10:00", "egg box takes on water").says == "K1 gained 5 g of water in 7 days."
    assert found(page + weighed("15", 410), "2026-04-15 10:00", "egg box takes on water") == []


def test_eggs_that_no_one_weighed_explain_a_gain() -> None:
    page = BOX + "2026-04-05\n08:00 karri arrived name=Pearl sex=F\n"
    page += "08:00 sedge eggs_laid clutch=sedge-1 count=9\n09:00 sedge-1 eggs_boxed count=9 place=enclosure/k1\n"
    assert found(page + weighed("08", 447), "2026-04-08 10:00", "egg box takes on water") == []


def test_a_box_that_no_one_weighed_for_two_weeks_is_told() -> None:
    assert found(BOX, "2026-04-14 10:00", "egg box not weighed") == []
    assert the(BOX, "2026-04-15 10:00", "egg box not weighed").says == (
        "Weigh the egg box: K1 not weighed since 1 Apr."
    )
    assert found(BOX + weighed("15", 405), "2026-04-20 10:00", "egg box not weighed") == []
    never = BOX.replace("09:00 enclosure/k1 egg_box_weighed grams=407\n", "")
    assert the(never, "2026-04-15 10:00", "egg box not weighed").says == (
        "Weigh the egg box: K1 not weighed yet, eggs in it since 1 Apr."
    )
    assert found(never + "2026-04-02\n08:00 wattle-1 hatched count=18\n", "2026-04-20", "egg box not weighed") == []
