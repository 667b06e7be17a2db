"""When the disk does not take an entry: told in the way, nothing goes on, and nothing is lost unasked."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from rounds.logbook.entries import BehaviourSeen, Corrected, HandedOver, StopWalked, TakenOver, Weighed
from tests.screens.failing_disk import failing
from tests.screens.rack import colony, opened

ROOM = """
    2026-03-01 AK
    08:00  b1      enclosure_set_up  name=B1
    08:00  b2      enclosure_set_up  name=B2
    08:10  wattle  arrived  name=Wattle sex=F place=b1 hatched=2023-03-01
    08:10  karri   arrived  name=Karri sex=M place=b2 hatched=2022-03-01
    08:20  wattle  weighed  grams=450
    08:20  karri   weighed  grams=510
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return colony(tmp_path / "colony", ROOM)


async def test_a_stop_that_was_not_saved_is_not_walked(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        disk = failing(rack)
        disk.full = True
        await rack.press("enter")
        await rack.sees(
            "NOT SAVED",
            "the disk is full",
            "B1: fed insects",
            "B1: morning stop",
            "try again",
        )
        # No key leads past it: not the next stop, not another screen, not leaving, nor a scanned label.
        await rack.press(
            "right", "escape", "backspace", "q", "a", "h", "w", "ctrl+p", "ctrl+q", "f1", "j", "b", "4"
        )
        await rack.paste("B2\r")
        await rack.sees("NOT SAVED", "B1: fed greens")
        assert rack.screen == "WalkScreen"
        assert rack.app.is_running
        assert not rack.written
        # Still full.
        await rack.press("t")
        await rack.sees("NOT SAVED")
        disk.full = False
        await rack.press("enter")
        assert [entry.about for entry in rack.of(StopWalked)] == ["enclosure/b1"]
        assert len(rack.written) == 5
        await rack.sees("B2", "stop 2 of 2, 1 done")


async def test_an_entry_can_be_written_to_a_file_instead(folder: Path, home: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        failing(rack).full = True
        await rack.write("452")
        await rack.press("enter", "f")
        await rack.sees("not to the logbook", "rounds log -")
        assert not rack.written
        (file,) = home.glob("rounds-not-saved-*.jsonl")
        (row,) = [json.loads(line) for line in file.read_text().splitlines()]
        assert (row["kind"], row["about"], row["grams"], row["by"]) == ("weighed", "animal/wattle", 452, "AK")
        await rack.press("x")
        await rack.sees("B1", "450 g")


async def test_where_the_home_folder_takes_nothing_either_the_question_stays(
    folder: Path, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        disk = failing(rack)
        disk.full = True
        await rack.write("452")
        await rack.press("enter")
        monkeypatch.setenv("HOME", str(home / "gone"))
        await rack.press("f")
        await rack.sees("NOT SAVED", "That folder did not take it either", "Wattle: weighed 452 g")
        disk.full = False
        await rack.press("t")
        assert [entry.grams for entry in rack.of(Weighed)] == [452]


async def test_what_is_dropped_is_said_to_be_dropped(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        disk = failing(rack)
        disk.full = True
        await rack.press("b", "h", "d")
        await rack.sees("Dropped: not written down anywhere")
        disk.full = False
        await rack.press("b", "a")
        assert [entry.behaviour for entry in rack.of(BehaviourSeen)] == ["arm-waving"]


async def test_nobody_takes_over_or_hands_over_on_a_disk_that_takes_nothing(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00") as rack:
        disk = failing(rack)
        disk.full = True
        await rack.press("enter", "a", "k", "enter")
        await rack.sees("NOT SAVED", "room: taken over")
        await rack.press("d")
        assert rack.desk.keeper == ""
        assert rack.screen == "TakeOverScreen"
        disk.full = False
        await rack.press("enter", "a", "k", "enter")
        assert [entry.by for entry in rack.of(TakenOver)] == ["AK"]
        disk.full = True
        await rack.press("h", "s", "enter", "enter")
        await rack.sees("NOT SAVED", "room: handed over")
        await rack.press("d")
        assert rack.desk.keeper == "AK"
        assert rack.screen == "HandOverScreen"
        disk.full = False
        await rack.press("s", "enter", "enter")
        assert [entry.by for entry in rack.of(HandedOver)] == ["AK"]


async def test_a_correction_that_was_not_saved_can_be_tried_again(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="EM") as rack:
        disk = failing(rack)
        await rack.write("452")
        await rack.press("enter")
        disk.full = True
        await rack.press("z", "enter")
        await rack.sees("NOT SAVED", "the disk is full")
        await rack.press("ctrl+q", "ctrl+p")
        assert rack.app.is_running
        assert rack.screen == "WalkScreen"
        disk.full = False
        await rack.press("enter")
        assert [entry.replaces for entry in rack.of(Corrected)] == [entry.id for entry in rack.of(Weighed)]
        disk.full = True
        await rack.press("p", "down", "down", "x", "c", *"425", "f2", "1", "enter")
        await rack.sees("NOT SAVED")
        await rack.sees("corrected: Wattle, yesterday 08:20 AK: weighed 450 g")
        await rack.press("d")
        assert len(rack.of(Corrected)) == 1


async def test_what_is_not_saved_stands_there_in_the_keepers_words(folder: Path) -> None:
    async with opened(folder, "2026-03-02 07:00", keeper="AK") as rack:
        disk = failing(rack)
        disk.full = True
        await rack.press("n", *"left eye half shut", "enter")
        await rack.sees("This is not on disk: Wattle: note: left eye half shut")
        await rack.press("d", "i", "b", "m", *"kar", "enter", *"1 mar 18", "f2")
        await rack.sees("This is not on disk: Wattle: mating seen with Karri, yesterday 18:00")
        await rack.sees_not("animal/")
