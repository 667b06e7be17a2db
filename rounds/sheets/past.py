"""What stands on the sheets now, by day, period, sheet or subject, read for whoever asks.

Nothing is noted of it: what `news` hands out is not affected.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from rounds.logbook.entries import Entry
from rounds.sheets.disk import Disk
from rounds.sheets.history import Shelf, Slice


class PastSheets:
    """The sheets of one colony, read again for each question."""

    def __init__(self, disk: Disk) -> None:
        self._disk = disk
        self._shelf = Shelf(disk)

    def read_days(self, first: date, last: date) -> list[Entry]:
        """Good entries of the sheets of these days (when they were written, not seen), each once.

        Copies that carry no day in their name are read too.
        """
        return self._shelf.of_days(first, last)

    def entries_of(self, path: str) -> list[Entry]:
        """Good entries of one sheet."""
        return self._shelf.reading(path).entries

    def entries_of_day(self, day: str) -> list[Entry]:
        """Good entries of the sheets that carry this day (`2026-04-12`), each once."""
        return [entry for _, entries in self._shelf.by_day(day) for entry in entries]

    def by_day(self) -> Iterator[list[Entry]]:
        """All entries, the sheets of one day at a time, oldest day first: for histories too long for a list.

        Each counts once within its day; a copy of a sheet under another day comes again.
        """
        return (entries for _, entries in self._shelf.by_day())

    def each_day(self) -> Iterator[list[Entry]]:
        """All entries, each once, the sheets of one day at a time, oldest day first.

        What stands on the sheets of several days comes with the first of them.
        """
        return self._shelf.each_day()

    def newest_first(self, first: date | None = None, last: date | None = None) -> Iterator[Slice]:
        """The sheets of one day at a time, newest day first, as far as entries seen in a period need them.

        A late note stands on a later sheet than the day it was seen; it is among them.
        """
        return self._shelf.newest_first(first, last)

    def about(self, subject: str) -> Iterator[Entry]:
        """Every good entry on a subject's page, each once, newest sheet first; only what is asked for is read.

        Sheets in which the subject is not named are passed over without decoding.
        """
        return self._shelf.about(subject)
