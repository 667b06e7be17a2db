"""The sheets as a TinyDB database, through TinyDB's own extension points: a Storage and a Table of ours.

A table is a day, a document an entry, its id the entry's id. Inserting is `Sheets.append`: one save at the end of a
sheet, whatever it holds already. Nothing can be updated or removed, because what was seen is never changed: a
mistake is answered by a `corrected` entry.
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

#: The table that shows the entries of all days together; to be read, not written.
EVERY_DAY = "every day"
#: `Sheets.append`.
Append = Callable[[Sequence[Entry], date], object]
#: The entries of one day's sheets, or of every day's, by day.
Reader = Callable[[str | None], Iterable[tuple[str, Sequence[Entry]]]]
APPEND_ONLY = "the sheets are append only: write a `corrected` entry instead"


class AppendOnly(TypeError):
    """Something tried to change or remove what was seen."""

    def __init__(self) -> None:
        super().__init__(APPEND_ONLY)


class SheetStorage(Storage):
    """All sheets of a colony to read, one desk's own to append to."""

    def __init__(self, append: Append, reader: Reader) -> None:
        self.append = append
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


def _documents(entries: Iterable[Entry]) -> dict[str, dict[str, Any]]:
    return {entry.id: msgspec.to_builtins(entry) for entry in entries}


class EntryTable(Table):
    """One day's entries. Inserting is an append; the rest of TinyDB's reading works as ever."""

    document_id_class = str  # type: ignore[assignment]  # TinyDB's own hint says int; any class will do
    _storage: SheetStorage

    def insert(self, document: Mapping[str, Any]) -> str:  # type: ignore[override]
        """Write one entry, given as the members of its JSON object; its id. Raises `BadEntry`, `NotSaved`."""
        return self.insert_multiple([document])[0]

    def insert_multiple(self, documents: Iterable[Mapping[str, Any]]) -> list[str]:  # type: ignore[override]
        """Write entries in one save; their ids. Raises `BadEntry`, `NotSaved`."""
        if self.name == EVERY_DAY:
            raise TypeError("name the day whose sheet it goes to: database.day(date)")
        entries = [rows.from_mapping(dict(document)) for document in documents]
        self._storage.append(entries, date.fromisoformat(self.name))
        return [entry.id for entry in entries]

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
