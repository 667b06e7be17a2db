"""Whatever door an entry comes by, it is validated, once, before anything of it reaches the disk."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import msgspec
import pytest
from hypothesis import given

from rounds.desk.desk import Desk
from rounds.desk.shift import Shift
from rounds.errors import BadEntry
from rounds.logbook import rows
from rounds.logbook.drafts import Draft, draft
from rounds.logbook.entries import Entry, Noted, Weighed
from rounds.rules.default import default_rules
from rounds.rules.settings import settings_of
from rounds.sheets.store import Sheets
from tests.any_entries import entries as any_entries
from tests.notation import at
from tests.sheets.memory_disk import MemoryDisk
from tests.sheets.saves import FIRST_DAY, NOWHERE, read_back

NOW = at("2026-03-10 08:00")
SETTINGS = settings_of('name = "Quandong shed"\ntime_zone = "Europe/Vienna"', default_rules())
GOOD = Weighed(id="good", at=NOW, by="AK", about="animal/wattle", grams=411)
#: What a sheet cannot hold, or what would not read back as it was said.
BAD: dict[str, dict[str, Any]] = {
    "a weight below nothing": {"grams": -3.0},
    "a weight that is a word": {"grams": "heavy"},
    "a weight that is no number": {"grams": float("nan")},
    "about a place": {"about": "enclosure/b3"},
    "about no subject": {"about": "../../etc"},
    "a note that is no text": {"note": "\ud800"},
    "by nobody we could name": {"by": 7},
}


class Doors:
    """One desk over a disk in memory, and every way in for an entry."""

    def __init__(self) -> None:
        self.disk = MemoryDisk()
        self.sheets = Sheets(NOWHERE, "rack", self.disk)
        self.desk = Desk(NOWHERE, SETTINGS, self.sheets, clock=lambda: NOW, keeper="AK")
        self.shift = Shift(self.desk)
        self.all: dict[str, Callable[[list[Entry]], object]] = {
            "a key": lambda entries: self.shift.record(*map(as_draft, entries)),
            "a command": lambda entries: self.desk.record(*map(as_draft, entries)),
            "whole entries": lambda entries: self.desk.record(*entries),
            "a correction": lambda entries: self.desk.correct(GOOD, as_draft(entries[-1])),
            "the sheets": lambda entries: self.sheets.append(entries, FIRST_DAY),
            "a table": lambda entries: self.table.insert_multiple(map(as_document, entries)),
            "one document": lambda entries: [self.table.insert(as_document(entry)) for entry in reversed(entries)],
            "the storage": lambda entries: self.storage.append(entries, FIRST_DAY),
        }

    @property
    def storage(self) -> Any:
        return self.sheets.database.storage

    @property
    def table(self) -> Any:
        return self.sheets.database.day(FIRST_DAY)


def as_draft(entry: Entry) -> Draft:
    fields = {name: getattr(entry, name) for name in entry.__struct_fields__}
    about = fields.pop("about")
    return Draft(type(entry), about, {k: v for k, v in fields.items() if k not in ("id", "at", "by", "written")})


def as_document(entry: Entry) -> dict[str, Any]:
    fields = {name: getattr(entry, name) for name in entry.__struct_fields__}
    return {"kind": entry.kind, **fields, "at": entry.at.isoformat(), "written": None}


DOORS = list(Doors().all)
#: Drafts are signed by the desk, whatever they say.
SIGNED = ("a key", "a command", "a correction")


@pytest.mark.parametrize(
    ("door", "wrong"),
    [(door, wrong) for door in DOORS for wrong in BAD if door not in SIGNED or "by" not in BAD[wrong]],
)
def test_nothing_of_a_save_with_a_bad_entry_reaches_the_disk(door: str, wrong: str) -> None:
    doors = Doors()
    doors.sheets.append([Noted(id="before", at=NOW, by="AK", about="room", note="all well")], FIRST_DAY)
    before = doors.disk.contents()
    with pytest.raises(BadEntry):
        doors.all[door]([GOOD, msgspec.structs.replace(GOOD, id="bad", **BAD[wrong])])
    assert doors.disk.contents() == before
    assert doors.desk.record(draft(Noted, "room", note="and on"))


@pytest.mark.parametrize("door", DOORS)
def test_a_good_entry_comes_in_by_each_door_and_is_no_news_to_its_own_desk(door: str) -> None:
    doors = Doors()
    doors.desk.read()
    doors.all[door]([GOOD])
    assert [one.grams for one in read_back(doors.disk) if isinstance(one, Weighed)] == [411]
    assert doors.sheets.news() == []


@given(any_entries())
def test_what_is_acknowledged_is_what_reads_back(entries: list[Entry]) -> None:
    disk = MemoryDisk()
    assert list(Sheets(NOWHERE, "rack", disk).append(entries, FIRST_DAY)) == read_back(disk)


@contextmanager
def counted(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[Entry]]:
    seen: list[Entry] = []
    validated = rows.validated

    def counting(entry: Entry) -> Entry:
        seen.append(entry)
        return validated(entry)

    monkeypatch.setattr(rows, "validated", counting)
    yield seen


@pytest.mark.parametrize("door", ["a key", "a command", "whole entries", "the sheets", "the storage"])
def test_each_entry_is_validated_once(door: str, monkeypatch: pytest.MonkeyPatch) -> None:
    doors = Doors()
    with counted(monkeypatch) as seen:
        doors.all[door]([GOOD, msgspec.structs.replace(GOOD, id="again", grams=412)])
    assert [one.grams for one in seen if isinstance(one, Weighed)] == [411, 412]
