"""The figure that a keeper types next answers no question: its first digit neither agrees, drops nor takes back."""

from __future__ import annotations

from pathlib import Path

import pytest

from rounds.logbook.entries import (
    Acknowledged,
    Corrected,
    Counted,
    Died,
    FeltForEggs,
    LayBoxIn,
    LayBoxOut,
    StopWalked,
    Weighed,
)
from tests.screens.failing_disk import failing
from tests.screens.rack import Rack, colony, opened

ROOM = """
    2026-03-01 AK
    08:00  b1      enclosure_set_up  name=B1
    08:00  b2      enclosure_set_up  name=B2
    08:00  b3      enclosure_set_up  name=B3
    08:10  wattle  arrived  name=Wattle sex=F place=b1 hatched=2023-03-01
    08:10  group/young  arrived  name=Young count=12 place=b3 hatched=2026-01-01
    08:20  wattle  weighed  grams=450
    08:30  wattle  lay_box_in  depth_cm=25
"""
MORNING = "2026-03-02 07:00"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return colony(tmp_path / "colony", ROOM)


async def quick(rack: Rack, *keys: str) -> None:
    """Keys as a quick hand types a figure."""
    await rack.press(*keys, after=0.12)


@pytest.mark.parametrize("figure", ["451", "410", "1", "045.5"])
@pytest.mark.parametrize("wait", [0.6, 0.8, 3.0])
async def test_a_figure_typed_at_a_doubt_is_the_figure_typed_again(wait: float, figure: str, folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press(*"45.8", "enter")
        await rack.sees("Is that what the scale says?", "y 45.8 g is right", "digits another figure")
        await rack.press(figure[0], after=wait)
        await quick(rack, *figure[1:])
        assert not rack.written
        await rack.sees(f"Weight of Wattle (g) {figure}")
        if figure in ("451", "410"):
            await quick(rack, "enter")
            assert [entry.grams for entry in rack.of(Weighed)] == [float(figure)]


async def test_a_figure_typed_before_a_doubt_could_be_seen_is_no_weight_of_the_animal_doubted(
    tmp_path: Path,
) -> None:
    page = ROOM + "    08:40  karri  arrived  name=Karri sex=M place=b1 hatched=2023-03-01\n"
    async with opened(colony(tmp_path / "two", page), MORNING, keeper="AK") as rack:
        await rack.press("down")
        await quick(rack, *"4510", "enter")
        await quick(rack, "down", *"465", "enter")
        assert not rack.of(Weighed)
        await rack.sees("Is that what the scale says?", "Not taken")


async def test_no_digit_says_that_a_vet_matter_was_read(folder: Path) -> None:
    page = f"{ROOM}\n    2026-03-01 AK\n    09:00 wattle mating_seen\n    10:00 wattle condition_seen look=dull\n"
    async with opened(colony(folder.parent / "dull", page), MORNING) as rack:
        await rack.press("enter", *"AK", "enter")
        await rack.sees("1 of 1 vet matter", "y I have read it")
        await rack.press(*"145", after=1)
        assert not rack.of(Acknowledged)
        await rack.press("y")
        assert rack.of(Acknowledged)


async def test_at_the_egg_check_too(folder: Path) -> None:
    page = f"{ROOM}\n    2026-02-14 AK\n    08:00 wattle mating_seen\n    08:10 wattle weighed grams=440\n"
    page = page.replace("    08:20  wattle  weighed  grams=450\n", "")
    async with opened(colony(folder.parent / "due", page), MORNING, keeper="AK") as rack:
        await rack.press("e", "enter")
        await rack.sees("Weight of Wattle")
        await rack.press(*"45.8", "enter")
        await rack.sees("Is that what the scale says?")
        await rack.press("4", after=0.6)
        await quick(rack, *"51", "enter")
        assert [entry.grams for entry in rack.of(Weighed)] == [451]
        await rack.sees("Felt Wattle for eggs?")
        await rack.press(*"4231")
        assert not rack.of(FeltForEggs)
        await rack.sees("Felt Wattle for eggs?")


async def test_a_figure_drops_nothing_that_is_not_saved(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        disk = failing(rack)
        disk.full = True
        await rack.press(*"452", "enter")
        await rack.press(*"123", after=2)
        await rack.sees("NOT SAVED")
        disk.full = False
        await rack.press("t")
        assert [entry.grams for entry in rack.of(Weighed)] == [452]


async def test_a_depth_typed_too_early_takes_no_lay_box_out(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("l", *"125", "enter")
        assert not rack.of(LayBoxOut)
        assert not rack.of(LayBoxIn)
        await rack.sees("take it out")
        await rack.press("o")
        assert rack.of(LayBoxOut)


async def test_a_right_figure_typed_too_early_takes_no_entry_back(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("p", "down", "x", *"145", "enter", "enter")
        assert not rack.of(Corrected)
        await rack.sees("take it back")


@pytest.mark.parametrize("keys", ["g", "iyc", "isk"])
async def test_a_figure_typed_behind_a_count_lets_no_one_die(keys: str, folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("right", "right", *keys)
        await rack.sees("How many are in Young")
        await rack.press(*"10", "enter")
        await rack.sees("2 fewer than the 12 reckoned")
        await rack.press(*"214")
        assert not rack.of(Died)
        await rack.press("n")
        assert [one.count for one in rack.of(Counted)] == [10]
        assert not rack.of(Died)


# Where no one takes the figure


@pytest.mark.parametrize("wait", [0.05, 0.2, 0.6, 2.0])
async def test_a_figure_where_nobody_lives_walks_no_stop(wait: float, folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("right", "4")
        await rack.sees("Nobody lives here.")
        await quick(rack, *"5.8")
        await rack.press("enter", after=wait)
        assert not rack.written
        await rack.sees("B2", "Nobody lives here. 45.8 was not written. Enter again goes on.")
        await rack.press("enter")
        assert [entry.about for entry in rack.of(StopWalked)] == ["enclosure/b2"]


async def test_nor_where_no_animal_is_selected(tmp_path: Path) -> None:
    page = ROOM + "    08:40  karri  arrived  name=Karri sex=M place=b1 hatched=2023-03-01\n"
    async with opened(colony(tmp_path / "two", page), MORNING, keeper="AK") as rack:
        await rack.press("down", "down", "down")
        await quick(rack, *"452")
        await rack.sees("Select the animal first")
        await quick(rack, "enter")
        assert not rack.written
        await rack.sees("Select the animal first: ↑ ↓. 452 was not written. Enter again goes on.")


async def test_another_key_behind_it_lets_enter_do_the_stop(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("right", *"45", "right", "enter")
        assert {entry.about for entry in rack.written} == {"enclosure/b3"}


async def test_a_figure_far_too_large_is_said_as_it_was_typed(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press(*"44444444444444", "enter")
        await rack.sees("44444444444444 g is too much: at most 5000 g can be written.")
