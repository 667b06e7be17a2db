"""A start from what was kept: the stop is there at once; when old sheets say otherwise all is read again, aloud."""

from __future__ import annotations

import os
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import date
from pathlib import Path

import pytest

from rounds.desk.desk import Desk
from rounds.logbook.entries import Weighed
from rounds.screens.app import RoundsApp
from rounds.sheets.store import Sheets
from rounds.standing.fold import fold
from rounds.standing.pages import StoredPages
from tests.notation import logbook
from tests.screens.rack import Clock, Rack, colony

DAYS = "\n".join(
    f"2026-03-{day:02d} AK\n08:00 wattle weighed grams={400 + day}\n08:10 enclosure/b3 fed" for day in range(2, 31)
)
ROOM = f"""
2026-03-01 AK
08:00 b3      enclosure_set_up name=B3
08:01 wattle  arrived name=Wattle sex=F hatched=2023-02-01 place=b3
{DAYS}
"""
OLD = "sheets/2026/2026-03-01.office.jsonl"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    made = colony(tmp_path / "colony", ROOM)
    office = Sheets(made, "office")
    office.append(
        logbook("2026-03-01 EM\n09:00 wattle weighed grams=300\n09:01 wattle weighed grams=301"), date(2026, 3, 1)
    )
    office.close()
    # As old as sheets are in the morning: nothing was written in the seconds before.
    for path in (made / "sheets", made / "sheets/2026", made / OLD):
        os.utime(path, ns=(10**18, 10**18))
    desk = Desk.open(made, clock=Clock("2026-03-31 07:00"), keeper="AK")
    desk.close(keeping=True)
    return made


@asynccontextmanager
async def started(folder: Path) -> AsyncIterator[Rack]:
    """The app as `rounds` opens it."""
    clock = Clock("2026-03-31 07:05")
    desk = Desk.open(folder, clock=clock, keeper="AK", at_once=True)
    assert isinstance(desk.standing.pages, StoredPages)
    app = RoundsApp(desk)
    try:
        async with app.run_test(size=(80, 24)) as pilot:
            yield Rack(folder, desk, app, pilot, clock)
    finally:
        desk.close(keeping=True)


def changed_in_place(sheet: Path) -> None:
    """Another program empties a sheet; the folder's time does not tell."""
    times = sheet.parent.stat()
    with sheet.open("r+b") as out:
        out.truncate()
    os.utime(sheet.parent, ns=(times.st_atime_ns, times.st_mtime_ns))


async def test_the_stop_is_there_at_once_and_stays_when_the_sheets_are_as_they_were(folder: Path) -> None:
    async with started(folder) as rack:
        await rack.sees("B3", "Wattle", "430 g")
        rack.app.listen()
        await rack.sees_not("read again")
        assert not rack.desk.is_stale


async def test_an_old_sheet_changed_in_place_is_found_and_all_is_read_anew_between_keys(folder: Path) -> None:
    changed_in_place(folder / OLD)
    async with started(folder) as rack:
        await rack.sees("B3", "Wattle", "430 g")
        rack.app.listen()
        await rack.press("4", "4", "4", "enter")
        await rack.comes("All sheets were read again")
        assert [entry.grams for entry in rack.of(Weighed)] == [444]
        rack.app.listen()
        assert rack.desk.standing == fold(Sheets(folder, "reader").read())
        assert 300 not in [entry.grams for entry in rack.desk.standing.page("animal/wattle").of(Weighed)]
        await rack.sees("444 g")
    desk = Desk.open(folder, clock=Clock("2026-03-31 07:10"), writing=False)
    assert isinstance(desk.standing.pages, StoredPages), "what was read again is kept"
    assert desk.standing == fold(Sheets(folder, "reader").read())
