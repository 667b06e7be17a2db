"""The screens hear of other desks by themselves, and leave the keeper's hands alone."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest

from rounds.desk.desk import Desk
from rounds.logbook.entries import Weighed
from rounds.screens import app, opening
from tests.desks.clones import put_back
from tests.desks.laptops import ROOM, Clock, colony, laptop, stop, weight
from tests.screens.rack import PATIENCE, Rack, opened


@pytest.fixture(autouse=True)
def _listen_often(monkeypatch: pytest.MonkeyPatch) -> None:
    assert app.LISTEN <= 1, "entries by others appear within two seconds"
    monkeypatch.setattr(app, "LISTEN", 0.01)


async def until_seen(rack: Rack, words: str) -> None:
    """Wait, without a key, until the words stand on the board."""

    async def seen() -> None:
        while words not in " ".join((await rack.text()).split()):
            await rack.pilot.pause(0.01)

    await asyncio.wait_for(seen(), PATIENCE)


async def read_again(rack: Rack) -> None:
    """Until what was put back older has been read."""
    while rack.desk.is_stale:
        await rack.pilot.pause(0.01)


async def test_a_stop_done_at_another_desk_appears_without_a_key_and_nothing_typed_is_lost(tmp_path: Path) -> None:
    folder = colony(tmp_path / "colony", ROOM)
    async with opened(folder, "2026-04-12 08:00", keeper="AK") as rack:
        office = laptop(folder, Clock("2026-04-12 08:00"), "office", "EM")
        await rack.press("4", "5")
        await rack.sees("45_")
        office.record(stop("b3", "2026-04-12"))
        office.record(weight("sedge", 398))
        await until_seen(rack, "398 g")
        await rack.sees("45_", "EM 08:00")
        await rack.press("1", "enter")
        assert sorted((entry.by, entry.grams) for entry in rack.of(Weighed)) == [("AK", 451), ("EM", 398)]


async def test_a_clock_that_is_set_in_the_middle_of_a_shift_is_doubted_aloud(tmp_path: Path) -> None:
    folder = colony(tmp_path / "colony", ROOM)
    async with opened(folder, "2026-04-12 08:00", keeper="AK") as rack:
        await rack.press("4", "5", "1", "enter")
        rack.clock.set("2025-04-12 08:00")
        await until_seen(rack, "clock says 12 Apr 2025 08:00, but")
        await rack.press("right")
        await rack.sees_not("clock says")
        rack.clock.set("2026-04-12 08:05")
        for _ in range(5):
            await rack.pilot.pause(0.02)
        await rack.sees_not("clock says")


async def test_entries_written_again_under_a_new_name_are_told_where_the_keeper_stands_and_once(
    tmp_path: Path,
) -> None:
    folder = colony(tmp_path / "colony", ROOM)
    async with opened(folder, "2026-04-12 08:00", keeper="AK") as rack:
        await rack.press("4", "5", "1", "enter")
        sheet = folder / f"sheets/2026/2026-04-12.{rack.desk.name}.jsonl"
        older = sheet.read_bytes()
        await rack.press("4", "5", "2", "enter")
        sheet.with_name("older").write_bytes(older)
        sheet.with_name("older").replace(sheet)
        await until_seen(rack, "1 entry was gone from")
        await asyncio.wait_for(read_again(rack), PATIENCE)
        await rack.sees("It is saved again. Nothing is lost.")
        assert {one.grams for one in rack.of(Weighed)} >= {451, 452}
        await rack.press("right")
        for _ in range(5):
            await rack.pilot.pause(0.02)
        await rack.sees_not("was gone from")


async def test_that_the_drive_is_out_is_said_without_a_key(tmp_path: Path) -> None:
    folder = colony(tmp_path / "colony", ROOM)
    async with opened(folder, "2026-04-12 08:00", keeper="AK") as rack:
        folder.rename(tmp_path / "drive")
        await until_seen(rack, "The colony's folder is gone (a drive pulled out?). Bring it back.")
        await rack.sees("Wattle")
        (tmp_path / "drive").rename(folder)


def test_what_is_found_at_the_very_end_is_said_on_the_terminal(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = colony(tmp_path / "colony", ROOM)

    def left(running: app.RoundsApp, *_: object) -> None:
        desk = running.shift.desk
        desk.keeper = "AK"
        desk.record(weight("wattle", 451))
        sheet = folder / f"sheets/2026/2026-04-12.{desk.name}.jsonl"
        older = sheet.read_bytes()
        desk.record(weight("wattle", 452))
        put_back(sheet, older)

    monkeypatch.setattr(opening, "run_to_its_end", left)
    opening.run(folder, clock=Clock("2026-04-12 08:00"))
    assert "1 entry was gone from" in capsys.readouterr().err


async def test_entries_written_again_at_the_start_are_told_at_the_take_over(tmp_path: Path) -> None:
    folder = colony(tmp_path / "colony", ROOM)
    desk = Desk.open(folder, clock=Clock("2026-04-12 07:00"), keeper="EM")
    desk.record(weight("sedge", 398))
    desk.record(weight("wattle", 451))
    desk.close()
    (folder / f"sheets/2026/2026-04-12.{desk.name}.jsonl").unlink()
    async with opened(folder, "2026-04-12 08:00") as rack:
        await rack.sees("2 entries were gone from")
