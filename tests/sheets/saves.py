"""Small entries by the number, for tests that write many."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, timedelta
from pathlib import Path

from rounds.logbook.entries import Entry, Noted, Watered, Weighed
from rounds.sheets.disk import Disk
from rounds.sheets.store import Sheets
from tests.notation import at

#: The colony of a disk that lies in memory.
NOWHERE = Path("/nowhere")
FIRST_DAY = date(2026, 3, 10)
SECOND_DAY = date(2026, 3, 11)
_MORNING = at("2026-03-10 08:00")


def moment(number: int) -> datetime:
    """A moment of its own for each number."""
    return _MORNING + timedelta(seconds=number)


def entry(number: int, by: str = "AK", note: str = "") -> Entry:
    """The entry of a number: a watering, a weight or a note."""
    identity = f"{by.lower()}-{number:06d}"
    if number % 3 == 0:
        return Watered(id=identity, at=moment(number), by=by, about="enclosure/b3", note=note)
    if number % 3 == 1:
        return Weighed(
            id=identity, at=moment(number), by=by, about="animal/wattle", grams=400.0 + number % 90, note=note
        )
    return Noted(id=identity, at=moment(number), by=by, about="room", note=note or f'note {number}, ä\n"quoted"')


def save(first: int, many: int = 1, by: str = "AK") -> list[Entry]:
    """The entries of a save."""
    return [entry(number, by) for number in range(first, first + many)]


def ids(entries: Iterable[Entry]) -> list[str]:
    """Ids in order, to compare by."""
    return sorted(one.id for one in entries)


def read_back(disk: Disk) -> list[Entry]:
    """What a reader that starts now finds."""
    return Sheets(NOWHERE, "reader", disk).read()
