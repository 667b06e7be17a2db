"""The sheets as a TinyDB database, through TinyDB's own extension points: a Storage and a Table of ours.

A table is a day, a document an entry, its id the entry's id. Inserting appends one line and syncs it,
whatever the sheet holds already; nothing can be updated or removed, because what was seen is never
changed: a mistake is answered by a `corrected` entry.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from typing import Any, NoReturn

import msgspec
from tinydb import TinyDB
from tinydb.storages import Storage
from tinydb.table import Table

from rounds.logbook import rows
from rounds.logbook.entries import Entry
from rounds.sheets.writer import Writer

#: The table that shows the entries of all days together; to be read, not written.
EVERY_DAY = "every day"
Reader = Callable[[str | None], Iterable[tuple[str, Sequence[Entry]]]]
APPEND_ONLY = "the sheets are append only: write a `corrected` entry instead"


class AppendOnly(TypeError):
    """Something tried to change or remove what was seen."""

    def __init__(self) -> None:
        super().__init__(APPEND_ONLY)


class SheetStorage(Storage):
    """All sheets of a colony to read, one desk's own to append to."""

    def __init__(self, writer: Writer, reader: Reader) -> None:
        self.writer = writer
        self.reader = reader

    def read(self) -> dict[str, dict[str, Any]]:
        """Every entry of every sheet, as documents by the day of their sheet."""
        tables: dict[str, dict[str, Any]] = {}
        for day, entries in self.reader(None):
            tables.setdefault(day, {}).update(_documents(entries))
        return tables

    def read_day(self, day: str | None) -> dict[str, Mapping[str, Any]]:
        """The entries of one day's sheets, or of all, as documents by their id."""
        found: dict[str, Mapping[str, Any]] = {}
        for _, entries in self.reader(day):
            found.update(_documents(entries))
        return found

    def write(self, data: object) -> NoReturn:
        """Refused: writing everything again is how notes get lost."""
        raise AppendOnly

    def append(self, entries: Sequence[Entry], day: date) -> None:
        """One save at the end of this desk's sheet of the day, synced. Raises `OSError`."""
        self.writer.append(save_of(entries), day)

    def close(self) -> None:
        """Let go of the open sheet."""
        self.writer.close()


def save_of(entries: Sequence[Entry]) -> bytes:
    """The lines of one save."""
    last = len(entries) - 1
    return b"".join([rows.line_of(entry, last - place) + b"\n" for place, entry in enumerate(entries)])


def _documents(entries: Iterable[Entry]) -> dict[str, dict[str, Any]]:
    return {entry.id: msgspec.to_builtins(entry) for entry in entries}


class EntryTable(Table):
    """One day's entries. Inserting is an append; the rest of TinyDB's reading works as ever."""

    document_id_class = str  # type: ignore[assignment]  # TinyDB's own hint says int; any class will do
    _storage: SheetStorage

    def insert(self, document: Mapping[str, Any]) -> str:  # type: ignore[override]
        """Write one entry, given as the members of its JSON object; its id."""
        return self.insert_multiple([document])[0]

    def insert_multiple(self, documents: Iterable[Mapping[str, Any]]) -> list[str]:  # type: ignore[override]
        """Write entries in one save; their ids."""
        entries = [rows.from_mapping(dict(document)) for document in documents]
        self.insert_entries(entries)
        return [entry.id for entry in entries]

    def insert_entries(self, entries: Sequence[Entry]) -> None:
        """Write entries in one save. Raises `OSError`."""
        if self.name == EVERY_DAY:
            raise TypeError("name the day whose sheet it goes to: database.day(date)")
        if entries:
            self._storage.append(entries, date.fromisoformat(self.name))

    def _read_table(self) -> dict[str, Mapping[str, Any]]:
        return self._storage.read_day(None if self.name == EVERY_DAY else self.name)

    def _update_table(self, updater: object) -> NoReturn:
        # TinyDB's update, upsert, remove and truncate all come through here.
        raise AppendOnly


class Logbook(TinyDB):
    """The colony's sheets as a TinyDB database: `logbook.search(...)` looks at every day."""

    table_class = EntryTable
    default_table_name = EVERY_DAY

    def table(self, name: str, **options: Any) -> EntryTable:
        """A table: a day such as `2026-04-12`. Nothing is kept of a query, since other desks write too."""
        table = super().table(name, **{"cache_size": 0, **options})
        assert isinstance(table, EntryTable)
        return table

    def day(self, day: date) -> EntryTable:
        """The table of one day."""
        return self.table(day.isoformat())

    def drop_tables(self) -> NoReturn:
        """Refused."""
        raise AppendOnly

    def drop_table(self, name: str) -> NoReturn:
        """Refused."""
        raise AppendOnly
