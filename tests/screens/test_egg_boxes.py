"""Egg boxes at the rack: made up from the scale, eggs in, weighed, topped up, candled, looked at; keys counted."""

from __future__ import annotations

from pathlib import Path

import pytest

from rounds.logbook.entries import (
    Candled,
    EggBoxMadeUp,
    EggBoxShelved,
    EggBoxWeighed,
    EggsBoxed,
    EggsLost,
    EggsSeen,
    Hatched,
)
from rounds.screens.screen import RoundScreen
from tests.screens.rack import Rack, colony, opened

#: A shelf, a box ready on it, one with eggs, and a clutch that waits.
ROOM = """
    2026-03-01 AK
    08:00  enclosure/k1  enclosure_set_up  name=K1 what="egg box" order=1
    08:00  enclosure/k2  enclosure_set_up  name=K2 what="egg box" order=2
    08:00  enclosure/s1  enclosure_set_up  name=S1 what="incubator shelf" order=3
    08:10  wattle  arrived  name=Wattle sex=F hatched=2023-03-01 bred_here=true
    09:00  wattle  eggs_laid  clutch=clutch/wattle-2026-1 count=19 slugs=1 complete=true
    09:10  enclosure/k1  egg_box_made_up  medium=vermiculite tare_grams=95 dry_grams=120 ratio=1 shelf=enclosure/s1
    09:20  clutch/wattle-2026-1  eggs_boxed  count=18 place=enclosure/k1 eggs_grams=77 up_marked=true
    09:30  enclosure/k1  egg_box_weighed  grams=412
"""
WAITING = (
    ROOM
    + """
    2026-03-14 AK
    07:00  wattle  eggs_laid  clutch=clutch/wattle-2026-2 count=22 slugs=2 complete=true
"""
)
MORNING = "2026-03-14 08:00"
#: Old enough to hatch.
HATCHING = "2026-05-01 08:00"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return colony(tmp_path / "colony", WAITING)


async def at_box(rack: Rack, name: str = "k1") -> None:
    """Stand at a box, with no key counted."""
    await rack.press("j", *name, "enter")
    rack.count()


async def test_topping_up_a_box_is_five_keys(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await at_box(rack)
        await rack.sees("Wattle 1", "18/18 day 13", "412 g of 412 g", "weigh, target 412 g")
        await rack.press(*"405", "enter")
        await rack.sees("Top up 7 g (7 ml)", "405 g of 412 g")
        assert not rack.of(EggBoxWeighed), "one entry, with the water in it"
        await rack.press("enter")
        assert rack.count() == 5
        (weighed,) = rack.of(EggBoxWeighed)
        assert (weighed.about, weighed.grams, weighed.added_grams) == ("enclosure/k1", 405, 7)
        await rack.sees("box weighed 405 g, 7 g of water added")


async def test_an_enter_that_bounces_adds_no_water(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await at_box(rack)
        await rack.burst(*"405", "enter", "enter")
        assert not rack.of(EggBoxWeighed), "the question was not seen yet"
        await rack.press("enter")
        assert [one.added_grams for one in rack.of(EggBoxWeighed)] == [7]


async def test_where_animals_live_no_word_is_of_egg_boxes(tmp_path: Path) -> None:
    folder = colony(
        tmp_path / "colony", ROOM + "    08:00 b1 enclosure_set_up name=B1\n    08:00 wattle moved to=b1\n"
    )
    async with opened(folder, MORNING, keeper="AK") as rack:
        await at_box(rack, "b1")
        await rack.sees("Wattle")
        await rack.sees_not("box weight")


async def test_a_box_that_lost_little_is_asked_no_more(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await at_box(rack)
        await rack.press(*"408", "enter")
        (weighed,) = rack.of(EggBoxWeighed)
        assert (weighed.grams, weighed.added_grams, rack.count()) == (408, 0, 4)
        await rack.sees_not("Top up")


async def test_no_key_drops_the_reading_and_another_figure_is_what_was_added(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await at_box(rack)
        await rack.press(*"400", "enter")
        screen = rack.app.screen
        assert isinstance(screen, RoundScreen)
        assert screen.unfinished() == ("Weight of the egg box K1, lid on", {"": "400"}, "400 g")
        await rack.press("backspace")
        await rack.sees("400 g is not lost.")
        await rack.press("5", "enter")
        assert [(one.grams, one.added_grams) for one in rack.of(EggBoxWeighed)] == [(400, 5)]
        await rack.sees("top up 7 g (7 ml)")


async def test_a_far_off_weight_is_asked_about_once(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await at_box(rack)
        await rack.press(*"504", "enter")
        await rack.sees("K1: 504 g is 92 g more than 412 g on 1 Mar. Is that what the scale says?")
        await rack.press(*"404", "enter", "enter")
        assert [(one.grams, one.added_grams) for one in rack.of(EggBoxWeighed)] == [(404, 8)]


async def test_candling_a_box_is_six_keys_at_most(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await at_box(rack)
        await rack.sees("candle", "for veins, day 13")
        await rack.press("e", "c", *"18", "enter")
        assert rack.count() == 5
        await rack.press("e", "c", *"16", "enter", "c")
        assert rack.count() == 6
        await rack.press("e", "c", *"14", "enter", "1")
        found = [(one.fertile, one.unclear, one.clear, one.place) for one in rack.of(Candled)]
        assert found == [(18, 0, 0, "enclosure/k1"), (16, 0, 2, "enclosure/k1"), (14, 3, 1, "enclosure/k1")]


async def test_a_sign_with_its_count_is_three_keys(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await at_box(rack)
        await rack.press("e", "m", "2")
        assert rack.count() == 3
        await rack.sees("TODAY", "Wattle 1: 2 with mould")
        await rack.press("e", "d", "enter", "e", "n")
        seen = [(one.signs, one.count, one.place) for one in rack.of(EggsSeen)]
        assert seen == [
            (("mould",), 2, "enclosure/k1"),
            (("dented",), None, "enclosure/k1"),
            ((), None, "enclosure/k1"),
        ]
        await rack.sees_not("with mould,")


async def test_an_egg_taken_out_moves_the_target_and_the_sum_is_said(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await at_box(rack)
        await rack.press("e", "x", "2", "m")
        assert rack.count() == 4
        (lost,) = rack.of(EggsLost)
        assert (lost.count, lost.why, lost.how, lost.place) == (2, "mould", "removed", "enclosure/k1")
        await rack.sees("19 laid = 1 slug + 2 removed + 16 in", "16/18", "403 g")
        await rack.press("e", "f", "m", *"17", "enter")
        await rack.sees("19 laid = 1 slug + 2 removed + 16 in: 17 cannot be lost.")
        assert len(rack.of(EggsLost)) == 1


async def test_a_box_is_made_up_from_the_scale(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await at_box(rack, "k2")
        await rack.press("e", "u", "v", *"90", "enter", *"7.5", "enter", "enter")
        await rack.sees("K2: on the lid", "Enter takes it")
        await rack.press("enter")
        (made,) = rack.of(EggBoxMadeUp)
        assert (made.tare_grams, made.dry_grams, made.ratio, made.water_grams) == (90, 7.5, 1, 7.5)
        assert made.lid == "K2"
        assert made.shelf == "enclosure/s1", "the only shelf is not asked for"
        await rack.sees("Add water until the scale reads 105 g.")
        await rack.press(*"104.35", "enter")
        await rack.sees("104.35 g: add 0.65 g more.")
        await rack.press(*"108.2", "enter")
        await rack.sees("3.2 g too much: add 3.2 g dry, or pour off.")
        await rack.press("backspace")
        await rack.sees("The box is written down.")
        await rack.press(*"105", "enter")
        await rack.sees("105 g: right.")
        await rack.press("enter")
        assert [one.grams for one in rack.of(EggBoxWeighed)] == [105]
        await rack.sees("K2: made up", "-135 kPa ± 30 %")


async def test_dry_medium_added_for_too_much_water_changes_the_target(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await at_box(rack, "k2")
        await rack.press("e", "u", "v", *"90", "enter", *"100", "enter", "enter", "enter")
        await rack.press(*"293.2", "enter", *"296.4", "enter")
        await rack.sees("296.4 g: right.")
        await rack.press("enter")
        made = rack.of(EggBoxMadeUp)[-1]
        assert (made.dry_grams, made.water_grams) == (103.2, 103.2)


async def test_perlite_goes_by_a_target_weight(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await at_box(rack, "k2")
        await rack.press("e", "u", "p", "enter", *"310", "enter", *"Kurt", "enter", *"300", "enter")
        await rack.sees("300 g: add 10 g more.")
        await rack.press("enter")
        (made,) = rack.of(EggBoxMadeUp)
        assert (made.medium, made.target_grams, made.dry_grams, made.lid) == ("perlite", 310, None, "Kurt")


async def test_too_much_water_in_perlite_says_how_much_dry_where_its_dry_weight_is_known(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await at_box(rack, "k2")
        # 90 g box, 80 g dry: 120 g water makes 290 g, 1.5 to 1.
        await rack.press("e", "u", "p", *"90", "enter", *"290", "enter", *"80", "enter", "enter")
        await rack.press(*"293", "enter")
        await rack.sees("3 g too much: add 2 g dry, or pour off.")
        await rack.press(*"295", "enter")
        await rack.sees("295 g: right.")
        await rack.press("enter")
        made = rack.of(EggBoxMadeUp)[-1]
        assert (made.dry_grams, made.water_grams, made.target_grams) == (82, 123, 295)


async def test_too_much_water_in_perlite_that_was_not_weighed_dry_is_poured_off(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await at_box(rack, "k2")
        await rack.press("e", "u", "p", *"90", "enter", *"290", "enter", "enter", "enter", *"293", "enter")
        await rack.sees("3 g too much: pour off.")


async def test_a_clutch_goes_into_a_box_and_the_rest_into_the_next(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await at_box(rack, "k2")
        await rack.press("e", "b")
        await rack.sees("Wattle 2", "20 not boxed")
        await rack.press("enter", *"12", "enter", "enter", "y", "enter")
        (boxed,) = rack.of(EggsBoxed)
        assert (boxed.about, boxed.count, boxed.place) == ("clutch/wattle-2026-2", 12, "enclosure/k2")
        assert (boxed.up_marked, boxed.eggs_grams) == (True, None)
        await rack.sees("Lid: K2 · Wattle 2 · laid 14 Mar · 12 eggs", "8 not boxed yet.")
        await rack.press("e", "b", "enter", "enter", "enter", "y", "enter")
        assert [one.count for one in rack.of(EggsBoxed)] == [12, 8], "Enter takes all that wait"
        await rack.sees("20/20")


async def test_from_the_shelf_each_box_is_weighed_in_turn(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await at_box(rack, "s1")
        await rack.sees("K1", "Wattle 1", "18/18 day 13")
        await rack.press(*"406", "enter", "enter")
        assert [(one.about, one.added_grams) for one in rack.of(EggBoxWeighed)] == [("enclosure/k1", 6)]


async def test_a_box_is_set_onto_another_shelf(tmp_path: Path) -> None:
    folder = colony(
        tmp_path / "colony",
        ROOM + 'enclosure/s2 enclosure_set_up name=S2 what="incubator shelf"\n'.join(["    08:00 ", ""]),
    )
    async with opened(folder, MORNING, keeper="AK") as rack:
        await at_box(rack)
        await rack.press("m", "enter")
        assert [one.shelf for one in rack.of(EggBoxShelved)] == ["enclosure/s2"]


async def test_from_the_incubator_screen_the_box_selected_is_weighed(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("v", "i", "4")
        await rack.sees("Select an egg box first")
        await rack.press("down", *"405", "enter", "enter")
        assert [(one.about, one.added_grams) for one in rack.of(EggBoxWeighed)] == [("enclosure/k1", 7)]
        await rack.sees("412 g")


async def test_with_the_scale_set_to_zero_the_readings_are_without_the_box(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await at_box(rack, "k2")
        await rack.press("e", "u", "v", "enter", *"120", "enter", "enter", "enter", *"183.4", "enter")
        await rack.sees("vermiculite 120 g dry, water 1 : 1 by weight", "183.4 g: add 56.6 g more.")
        await rack.press("enter")
        (made,) = rack.of(EggBoxMadeUp)
        assert (made.tare_grams, made.water_grams) == (None, 120)
        assert not rack.of(EggBoxWeighed), "the box itself was not weighed"


async def test_two_clutches_in_one_box_are_candled_each(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await at_box(rack)
        await rack.press("e", "b", "enter", "2", "enter", "enter", "y", "enter")
        await rack.sees("Wattle 1 18/18 day 13", "Wattle 2 2/2 day 0")
        await rack.press("down", "e", "c", "2", "enter", "up", "e", "c", *"18", "enter")
        assert [(one.about[-1], one.fertile) for one in rack.of(Candled)] == [("2", 2), ("1", 18)]


async def test_what_is_due_to_a_box_can_be_left_out_with_the_reason(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await at_box(rack)
        await rack.press("enter")
        await rack.sees("Still open: egg box, candle Wattle 1.")
        await rack.press("o", "1")
        await rack.write("scale broken")
        await rack.press("enter")
        await rack.sees("left out: scale broken")


async def test_young_out_at_a_box_are_out_of_the_eggs_of_that_box(folder: Path) -> None:
    async with opened(folder, HATCHING, keeper="AK") as rack:
        await at_box(rack)
        await rack.press("e", "h")
        await rack.sees("into group")
        await rack.press(*"5", "f2")
        await rack.sees("Into which group?")
        await rack.press("ctrl+u", "enter")
        (out,) = rack.of(Hatched)
        assert (out.count, out.place) == (5, "enclosure/k1")


async def test_a_shelf_is_chosen_by_an_arrow_and_left_out_by_enter_alone(tmp_path: Path) -> None:
    two = WAITING + '    08:00  enclosure/s2  enclosure_set_up  name=S2 what="incubator shelf" order=4\n'
    folder = colony(tmp_path / "colony", two)
    async with opened(folder, MORNING, keeper="AK") as rack:
        await at_box(rack, "k2")
        made = ("e", "u", "v", *"95", "enter", *"120", "enter", "enter")
        await rack.press(*made)
        await rack.sees("onto which shelf", "Enter alone leaves it out; ↓ chooses one")
        await rack.sees_not("> S1")
        await rack.press("down")
        await rack.sees("> S1")
        await rack.press("down", "enter", "enter", "enter")
        assert [one.shelf for one in rack.of(EggBoxMadeUp)] == ["enclosure/s2"]
        await rack.press(*made, "enter", "enter", "enter")
        assert rack.of(EggBoxMadeUp)[-1].shelf is None


async def test_what_hatches_in_a_box_selected_is_out_of_that_box_and_into_a_tub(tmp_path: Path) -> None:
    tubs = '    08:00  l1  enclosure_set_up  name=L1 what="lay box"\n    08:00  t1  enclosure_set_up  name=T1\n'
    folder = colony(tmp_path / "colony", WAITING + tubs)
    async with opened(folder, HATCHING, keeper="AK") as rack:
        await at_box(rack)
        await rack.press("e", "h", "5", "f2", "enter")
        await rack.sees("Where does Wattle young live", "> T1", "L1")
        await rack.press("enter")
        (hatched,) = rack.of(Hatched)
        assert (hatched.count, hatched.place) == (5, "enclosure/k1")


async def test_of_more_young_than_eggs_it_is_asked_whether_there_were_twins(tmp_path: Path) -> None:
    folder = colony(tmp_path / "colony", WAITING + "    08:00  t1  enclosure_set_up  name=T1\n")
    async with opened(folder, HATCHING, keeper="AK") as rack:
        await at_box(rack)
        await rack.press("e", "h", "1", "9", "f2")
        await rack.sees("19 young, 18 eggs in. Twins? Out of how many eggs")
        await rack.press("1", "8", "enter", "enter", "enter")
        (hatched,) = rack.of(Hatched)
        assert (hatched.count, hatched.eggs) == (19, 18)


async def test_a_clutch_goes_by_one_name_on_its_stop(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await at_box(rack)
        await rack.sees("Wattle 1 18 eggs boxed in K1")
        await rack.sees_not("wattle-2026-1")
        await rack.press("e", "h")
        await rack.sees("Hatched: Wattle 1")


async def test_an_empty_box_says_how_it_is_made_up(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await at_box(rack, "k2")
        await rack.sees("e make it up, box eggs into it")
        await at_box(rack)
        await rack.sees("e candle, look, take out, box eggs")


async def test_any_entry_leads_to_the_making_up_and_to_one_of_before(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await at_box(rack, "k2")
        await rack.press("i", "e", "u")
        await rack.sees("K2: medium", "made up earlier")
        await rack.press("v", *"90", "enter", *"7.5", "enter", "enter", "enter")
        await rack.sees("Add water until the scale reads 105 g.")
        await rack.press("enter")
        (made,) = rack.of(EggBoxMadeUp)
        assert (made.tare_grams, made.water_grams) == (90, 7.5)
        await rack.press("i", "e", "u", "e")
        await rack.sees("Egg box made up: K2", "when")
