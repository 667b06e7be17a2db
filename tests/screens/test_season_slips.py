"""Slips at egg boxes and young: the next figure typed too soon, another desk's entries, keys for animals."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from rounds.desk.desk import Desk
from rounds.logbook.drafts import draft
from rounds.logbook.entries import (
    Candled,
    EggBoxShelved,
    EggBoxWeighed,
    EggsBoxed,
    EggsLost,
    Left,
    Released,
)
from rounds.screens.keys.key_map import KeyMap
from tests.screens.rack import Clock, Rack, colony, opened

EGGS = """
    2026-03-01 AK
    08:00  s1  enclosure_set_up  name=S1 what="incubator shelf" order=1
    08:00  s2  enclosure_set_up  name=S2 what="incubator shelf" order=2
    08:00  k1  enclosure_set_up  name=K1 what="egg box" order=3
    08:00  k2  enclosure_set_up  name=K2 what="egg box" order=4
    08:10  wattle  arrived  name=Wattle sex=F hatched=2023-03-01
    08:10  myall   arrived  name=Myall sex=F hatched=2023-03-01
    09:00  wattle  eggs_laid  clutch=clutch/wattle-2026-1 count=18 complete=true
    09:00  myall   eggs_laid  clutch=clutch/myall-2026-1 count=12 complete=true
    09:10  k1  egg_box_made_up  medium=vermiculite tare_grams=95 dry_grams=120 ratio=1 shelf=s1
    09:10  k2  egg_box_made_up  medium=vermiculite tare_grams=95 dry_grams=120 ratio=1 shelf=s1
    09:20  clutch/wattle-2026-1  eggs_boxed  count=18 place=k1 eggs_grams=77 up_marked=true
    09:20  clutch/myall-2026-1   eggs_boxed  count=12 place=k2 eggs_grams=50 up_marked=true
    09:30  k1  egg_box_weighed  grams=412
    09:30  k2  egg_box_weighed  grams=385
"""
MORNING = "2026-03-14 08:00"


@contextmanager
def other_desk(folder: Path, clock: Clock) -> Iterator[Desk]:
    """A desk in the other room, open at the same time."""
    desk = Desk.open(folder, clock=clock, keeper="EM")
    try:
        yield desk
    finally:
        desk.close()


async def at_stop(rack: Rack, name: str) -> None:
    await rack.press("j", *name, "enter")


async def test_the_weight_of_the_next_box_typed_too_soon_is_not_water(tmp_path: Path) -> None:
    async with opened(colony(tmp_path / "colony", EGGS), MORNING, keeper="AK") as rack:
        await at_stop(rack, "s1")
        await rack.press(*"405", "enter", *"378", "enter")
        assert rack.written == []
        await rack.sees("378 g of water added is 371 g above its target")
        await rack.press("enter", "7", "enter")
        assert [(one.about, one.grams, one.added_grams) for one in rack.of(EggBoxWeighed)] == [
            ("enclosure/k1", 405, 7)
        ]


async def test_as_much_water_as_that_is_written_by_y(tmp_path: Path) -> None:
    async with opened(colony(tmp_path / "colony", EGGS), MORNING, keeper="AK") as rack:
        await at_stop(rack, "s1")
        await rack.press(*"405", "enter", *"60", "enter", "y")
        assert [one.added_grams for one in rack.of(EggBoxWeighed)] == [60], "and it is asked about once"


async def test_more_clear_eggs_than_are_left_are_refused_and_not_made_fewer(tmp_path: Path) -> None:
    async with opened(colony(tmp_path / "colony", EGGS), MORNING, keeper="AK") as rack:
        await at_stop(rack, "k1")
        await rack.press("e", "c", *"14", "enter", "7")
        assert rack.of(Candled) == []
        await rack.sees("7 is too many: at most 4.")
        await rack.press("m", "9", "enter")
        await rack.sees("9 is too much: at most 4 can be written.")
        await rack.press("backspace", "3", "enter")
        assert [(one.fertile, one.unclear, one.clear) for one in rack.of(Candled)] == [(14, 1, 3)]


async def test_keys_of_animals_write_nothing_at_an_egg_box(tmp_path: Path) -> None:
    async with opened(colony(tmp_path / "colony", EGGS), MORNING, keeper="AK") as rack:
        await at_stop(rack, "k1")
        for key in "bfl":
            await rack.press(key)
            await rack.sees("Egg boxes are here, no animal. e is for the eggs.")
        assert rack.written == []


async def test_a_box_that_another_desk_filled_stays_the_one_selected(tmp_path: Path) -> None:
    clock = Clock(MORNING)
    folder = colony(tmp_path / "colony", EGGS)
    async with opened(folder, clock, keeper="AK") as rack:
        with other_desk(folder, clock) as other:
            await at_stop(rack, "s1")
            await rack.press("down")
            assert rack.app.walk_screen.cursor == "enclosure/k2 clutch/myall-2026-1"
            other.record(draft(EggsLost, "clutch/myall-2026-1", count=12, place="enclosure/k2"))
            rack.app.listen()
            await rack.press(*"335", "enter", "y")
            assert [one.about for one in rack.of(EggBoxWeighed)] == ["enclosure/k2"]


async def test_a_box_that_another_desk_took_away_is_said(tmp_path: Path) -> None:
    clock = Clock(MORNING)
    folder = colony(tmp_path / "colony", EGGS)
    async with opened(folder, clock, keeper="AK") as rack:
        with other_desk(folder, clock) as other:
            await at_stop(rack, "s1")
            await rack.press("down")
            other.record(draft(EggBoxShelved, "enclosure/k2", shelf="enclosure/s2"))
            rack.app.listen()
            await rack.sees("K2 is here no more.")


async def test_in_the_incubator_the_cursor_stays_on_its_box_whatever_comes_before_it(tmp_path: Path) -> None:
    clock = Clock(MORNING)
    folder = colony(tmp_path / "colony", EGGS)
    async with opened(folder, clock, keeper="AK") as rack:
        with other_desk(folder, clock) as other:
            await rack.press("v", "i", "down")
            chosen = rack.app.screen.whom()  # type: ignore[attr-defined]
            first, second = ("k1", "k2") if "wattle" in chosen else ("k2", "k1")
            await rack.press("down")
            other.record(draft(EggBoxShelved, f"enclosure/{first}", shelf="enclosure/s2"))
            rack.app.listen()
            await rack.press(*"380", "enter", "y")
            await rack.sees("Top up") if second == "k1" else None
            await rack.press("0", "enter")
            assert {one.about for one in rack.of(EggBoxWeighed)} == {f"enclosure/{second}"}


async def test_in_the_incubator_a_clutch_that_is_gone_is_said(tmp_path: Path) -> None:
    clock = Clock(MORNING)
    folder = colony(tmp_path / "colony", EGGS)
    async with opened(folder, clock, keeper="AK") as rack:
        with other_desk(folder, clock) as other:
            await rack.press("v", "i", "down")
            chosen = rack.app.screen.whom()  # type: ignore[attr-defined]
            count = 18 if "wattle" in chosen else 12
            other.record(draft(EggsLost, chosen, count=count))
            rack.app.listen()
            await rack.sees("1 is here no more.")


YOUNG = """
    2026-02-01 AK
    08:00  t1      enclosure_set_up  name=T1
    08:00  t2      enclosure_set_up  name=T2
    2026-04-10 AK
    08:00  group/hatch  arrived  name=Hatch count=16 place=t1 hatched=2026-04-10 bred_here=true
    08:00  group/small  arrived  name=Small count=4 place=t2 hatched=2026-04-10 bred_here=true
    2026-06-20 AK
    08:00  group/hatch  reserved  whom=Bo count=3
    08:00  group/hatch  reserved  whom=Ann count=2
"""


async def test_a_group_another_desk_gave_away_is_said_and_not_passed_over(tmp_path: Path) -> None:
    clock = Clock("2026-06-21 09:00")
    folder = colony(tmp_path / "colony", YOUNG)
    async with opened(folder, clock, keeper="AK") as rack:
        with other_desk(folder, clock) as other:
            await rack.press("v", "y", "down")
            gone = rack.app.screen.whom()  # type: ignore[attr-defined]
            assert gone == "group/small"
            other.record(draft(Left, gone, how="given"))
            rack.app.listen()
            await rack.sees("Small is here no more.")


async def test_whose_reservation_ends_is_chosen_before_its_number_is_typed(tmp_path: Path) -> None:
    async with opened(colony(tmp_path / "colony", YOUNG), "2026-06-21 09:00", keeper="AK") as rack:
        await rack.press("v", "y", "o", "f")
        await rack.sees("Which of these ends?", "Bo", "Ann")
        second = next(row for row in rack.board_text.splitlines() if " 2" in row and "reserved for" in row)
        await rack.press("2")
        await rack.sees("How many of the")
        assert rack.of(Released) == []
        await rack.press("1", "enter")
        (released,) = rack.of(Released)
        assert released.count == 1
        assert f"reserved for {released.whom}" in second


async def test_the_lowest_of_a_night_is_put_right(tmp_path: Path) -> None:
    page = EGGS + "    2026-03-13 AK\n    08:00 s1 climate_read air_low_c=9 air_high_c=30\n"
    async with opened(colony(tmp_path / "colony", page), MORNING, keeper="AK") as rack:
        rack.app.open_subject("enclosure/s1")
        await rack.settled()
        await rack.press("x", "c")
        await rack.sees("lowest", "highest")


async def test_who_goes_to_a_clutch_stands_at_its_box_and_weighs_that(tmp_path: Path) -> None:
    async with opened(colony(tmp_path / "colony", EGGS), MORNING, keeper="AK") as rack:
        rack.app.walk_to("clutch/myall-2026-1")
        await rack.settled()
        await rack.press("right")
        rack.app.walk_screen.stand_at("enclosure/s1", "clutch/myall-2026-1")
        await rack.press(*"385", "enter")
        assert [one.about for one in rack.of(EggBoxWeighed)] == ["enclosure/k2"]


UNNAMED = """
    2026-03-01 AK
    08:00  s1  enclosure_set_up  name=S1 what="incubator shelf"
    08:10  wattle  arrived  name=Wattle sex=F hatched=2023-03-01
    08:10  myall   arrived  name=Myall sex=F hatched=2023-03-01
    09:00  wattle  eggs_laid  clutch=clutch/wattle-2026-1 count=18 complete=true
    09:00  myall   eggs_laid  clutch=clutch/myall-2026-1 count=12 complete=true
    09:20  clutch/wattle-2026-1  eggs_boxed  count=18 place=s1 box_grams=400
    09:20  clutch/myall-2026-1   eggs_boxed  count=12 place=s1 box_grams=300
"""


async def test_of_boxes_without_a_name_no_digit_of_a_weight_chooses_one(tmp_path: Path) -> None:
    async with opened(colony(tmp_path / "colony", UNNAMED), MORNING, keeper="AK") as rack:
        rack.app.open_subject("enclosure/s1")
        await rack.settled()
        await rack.press("3")
        await rack.sees("Which box?")
        await rack.press("1", "2")
        await rack.sees("Which box?")
        assert rack.written == []


async def test_on_the_page_of_an_egg_box_a_digit_begins_its_weight(tmp_path: Path) -> None:
    async with opened(colony(tmp_path / "colony", EGGS), MORNING, keeper="AK") as rack:
        rack.app.open_subject("enclosure/k1")
        await rack.settled()
        await rack.press(*"411", "enter")
        assert [(one.about, one.grams) for one in rack.of(EggBoxWeighed)] == [("enclosure/k1", 411)]


async def test_of_two_clutches_that_wait_none_is_boxed_by_enter_alone(tmp_path: Path) -> None:
    waiting = "\n".join(line for line in EGGS.splitlines() if " eggs_boxed " not in line)
    async with opened(colony(tmp_path / "colony", waiting), MORNING, keeper="AK") as rack:
        await at_stop(rack, "k1")
        await rack.press("e", "b", "enter", "enter")
        await rack.sees("eggs of which clutch")
        await rack.press("down", "enter", "enter", "enter", "y", "enter")
        assert len(rack.of(EggsBoxed)) == 1


async def test_a_keeper_s_own_key_is_named_at_an_egg_box(tmp_path: Path) -> None:
    own = KeyMap({"egg-check": ("f8",)})
    async with opened(colony(tmp_path / "colony", EGGS), MORNING, keeper="AK", key_map=own) as rack:
        await at_stop(rack, "k1")
        await rack.sees("F8 candle, look, take out")


async def test_one_sold_at_both_desks_is_told_as_soon_as_the_other_is_heard_of(tmp_path: Path) -> None:
    async with opened(colony(tmp_path / "colony", EGGS), MORNING, keeper="AK") as rack:
        with other_desk(rack.folder, rack.clock) as other:
            rack.app.shift.record(draft(Left, "animal/myall", how="sold", to="Ann"))
            rack.clock.forward(seconds=1)
            other.record(draft(Left, "animal/myall", how="sold", to="Bo"))
            rack.app.listen()
            await rack.press("a")
            await rack.comes("Myall left twice: sold to Ann (AK), sold to Bo (EM).")
