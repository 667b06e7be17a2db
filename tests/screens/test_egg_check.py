"""The egg check: a look says what was seen, what was not, and nothing of what was not looked for."""

from __future__ import annotations

from pathlib import Path

import pytest

from rounds.logbook.entries import EggCheckDone, FeltForEggs, Weighed
from rounds.logbook.words import LOOK_SIGNS
from rounds.screens.board.board import wrap
from tests.screens.rack import colony, opened

#: In her window, and due to be weighed.
ROOM = """
    2026-03-01 AK
    08:00  b1      enclosure_set_up  name=B1
    08:10  wattle  arrived  name=Wattle sex=F place=b1 hatched=2023-03-01 bred_here=true
    08:20  wattle  weighed  grams=450
    09:00  wattle  mating_seen
"""
MORNING = "2026-03-20 07:00"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return colony(tmp_path / "colony", ROOM)


async def test_a_routine_look_is_two_keys_and_denies_nothing(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("e", "enter")
        (check,) = rack.of(EggCheckDone)
        assert (check.present, check.absent) == ((), ())


async def test_n_says_what_a_look_shows_and_a_digit_behind_it_is_what_was_seen(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("e", "n", "9", "enter")
        (check,) = rack.of(EggCheckDone)
        assert check.present == ("digging",)
        assert check.absent == tuple(sign for sign in LOOK_SIGNS if sign != "digging")
        assert not {"off food", "eggs felt"} & {*check.present, *check.absent}, "a look shows neither"


async def test_the_digit_goes_round_seen_not_seen_not_looked_for(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("e")
        for mark in ("YES straining", "no straining", "– straining"):
            await rack.press("4")
            await rack.sees(f"4 {mark}")
        await rack.press("n", "4", "4")
        await rack.sees("4 no straining")


async def test_weight_and_felt_are_asked_behind_it_when_her_weighing_is_due(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("e", "enter")
        await rack.sees("Weight of Wattle", "Enter alone: not weighed")
        assert len(rack.of(EggCheckDone)) == 1, "on disk before anything else is asked"
        await rack.press("backspace")
        await rack.sees("The check is written.")
        await rack.press(*"462", "enter")
        await rack.sees("Felt Wattle for eggs?", "do not press")
        await rack.press("enter")
        assert [one.grams for one in rack.of(Weighed)] == [462]
        assert not rack.of(FeltForEggs), "not felt unless said"
        await rack.press("e", "enter")
        await rack.sees_not("Weight of")


async def test_with_a_danger_sign_the_telephone_comes_before_the_scales(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("e", "7", "enter")
        await rack.sees("Wattle: prolapse. Phone a vet now.")
        await rack.sees_not("Weight of")
        assert rack.of(EggCheckDone)[-1].present == ("prolapse",)


async def test_a_clear_look_after_a_danger_sign_says_that_it_stays(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("e", "1", "enter")
        rack.clock.forward(hours=9)
        await rack.press("e")
        await rack.sees("lethargy seen 07:00, no vet heard yet")
        await rack.press("n", "enter")
        await rack.sees("Signs come and go: it stays for the vet.", "VET NOW Wattle: lethargy 20 Mar 07:00")


async def test_nothing_marked_is_dropped_by_one_key(folder: Path) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("e", "7", "n", "backspace")
        await rack.sees("Not written yet. Enter writes it, Backspace again drops it: prolapse seen, 7 not seen.")
        await rack.press("enter")
        (check,) = rack.of(EggCheckDone)
        assert check.present == ("prolapse",)
        await rack.press("e", "backspace")
        await rack.sees("B1", "due")
        assert len(rack.of(EggCheckDone)) == 1


def test_no_line_ends_between_a_figure_and_its_unit() -> None:
    assert wrap("eggs felt 25 Nov; 21 % above", 19) == ["eggs felt 25 Nov;", "21 % above"]
    assert wrap("Vet by 26 Nov 06:35.", 10) == ["Vet by", "26 Nov", "06:35."]
