"""Entries that stood on sheets before are written as they stood: each on a sheet of the day it was written on.

Input longer than one save is taken piece by piece, so that ten years pass through in the memory of some days. What
was written stays written when it is stopped; the same lines given again go on from there.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from itertools import chain, islice
from typing import TYPE_CHECKING, Final, NamedTuple

from rounds.cli.given import Line, json_lines, told
from rounds.errors import BadEntry, NotSaved
from rounds.logbook import rows
from rounds.logbook.times import fixed
from rounds.paper.plain_text import shown
from rounds.sheets import limits
from rounds.sheets.disk import Disk
from rounds.sheets.history import Shelf
from rounds.sheets.journal import KEPT
from rounds.sheets.store import Sheets
from rounds.sheets.watch import SHEETS, day_in

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from rounds.desk.desk import Desk
    from rounds.logbook.entries import Entry

#: Lines, and bytes of them, that are taken together.
PIECE_LINES: Final = limits.SAVE_LINES
PIECE_BYTES: Final = limits.SAVE // 2
#: Bytes of entries that are written in one save.
_SAVE_BYTES: Final = limits.SAVE // 4
_NEEDED: Final = ("id", "kind", "at", "by", "about")


class Restored(NamedTuple):
    """What a restore has written, and what stood there already."""

    written: int
    skipped: int


def pieces(lines: Iterable[bytes]) -> Iterator[list[bytes]]:
    """Lines of standard input, so many together as are taken at once."""
    coming = iter(lines)
    while first := list(islice(coming, 1)):
        piece, size = first, len(first[0])
        for line in islice(coming, PIECE_LINES - 1):
            piece.append(line)
            size += len(line)
            if size > PIECE_BYTES:
                break
        yield piece


def written_on(entry: Entry, zone: ZoneInfo, today: date) -> date:
    """The day on whose sheet an entry stood; today for one that is dated ahead."""
    return min(fixed(entry.written or entry.at, zone).date(), today)


def by_day(entries: Iterable[Entry], zone: ZoneInfo, today: date) -> dict[date, list[Entry]]:
    """Entries by the day on whose sheet they stood, the oldest day first."""
    found: dict[date, list[Entry]] = {}
    for entry in entries:
        found.setdefault(written_on(entry, zone, today), []).append(entry)
    return dict(sorted(found.items()))


def write_days(desk: Desk, days: Mapping[date, list[Entry]]) -> int:
    """Write entries on this desk's sheets of these days; how many. Raises `NotSaved`."""
    done = 0
    today = desk.clock_time().date()
    for day, entries in days.items():
        # Of the last days the desk keeps a journal; what lies further back passes it by.
        is_recent = today - day <= KEPT
        sheets = desk.sheets if is_recent else Sheets(desk.folder, desk.name)
        try:
            for save in _saves(entries):
                done += len(desk.restore(save, day) if is_recent else sheets.append(save, day))
        except NotSaved as error:
            raise NotSaved(
                f"{error} {done} entries before it are written. Give the same lines again to go on."
            ) from error
        finally:
            if not is_recent:
                sheets.close()
    return done


def _saves(entries: Iterable[Entry]) -> Iterator[list[Entry]]:
    save: list[Entry] = []
    size = 0
    for entry in entries:
        length = len(rows.plain_line(entry))
        if save and (size + length > _SAVE_BYTES or len(save) >= limits.SAVE_LINES // 4):
            yield save
            save, size = [], 0
        save.append(entry)
        size += length
    if save:
        yield save


def restore(desk: Desk, first: list[bytes], rest: Iterable[list[bytes]], *, dry_run: bool) -> Restored:
    """Write the entries of many lines. Raises `BadEntry` naming each line that cannot be written, or `NotSaved`."""
    standing = _Standing(desk)
    today = desk.clock_time().date()
    zone = desk.settings.zone
    written = skipped = 0
    number = 1
    for piece in chain([first], rest):
        errors: list[str] = []
        fresh: dict[date, list[Entry]] = {}
        above: dict[str, Entry] = {}
        try:
            lines = list(json_lines(b"".join(piece), number))
        except BadEntry as error:
            raise _stopped(error, written) from error
        for line in lines:
            try:
                entry = _entry(line)
            except BadEntry as error:
                errors.append(f"{line.where()}{error}")
                continue
            day = written_on(entry, zone, today)
            other = above.get(entry.id) or standing.found(entry.id, day)
            if other is None:
                above[entry.id] = entry
                fresh.setdefault(day, []).append(entry)
            elif other == entry:
                skipped += 1
            else:
                errors.append(f"{line.where()}the id {shown(entry.id)} belongs to another entry")
        if errors:
            raise _stopped(BadEntry(told(errors)), written)
        days = dict(sorted(fresh.items()))
        written += sum(map(len, days.values())) if dry_run else write_days(desk, days)
        standing.changed(days)
        number += len(piece)
    return Restored(written, skipped)


def _stopped(error: BadEntry, written: int) -> BadEntry:
    if not written:
        return error
    return BadEntry(
        f"{written} entries are written. Then it stopped: {error}\nMend these lines and give all of them again: "
        "what stands on the sheets is left as it is."
    )


def _entry(line: Line) -> Entry:
    for name in _NEEDED:
        if not line.members.get(name):
            raise BadEntry(
                f"it has no “{name}”. So many lines are taken as `rounds show --lines` prints them; give others in "
                f"parts of {PIECE_LINES:,} lines at most"
            )
    return rows.from_mapping(line.members)


class _Standing:
    """What stands on the sheets already, looked up by the day on which an entry was written."""

    def __init__(self, desk: Desk) -> None:
        self._shelf = Shelf(Disk(os.path.realpath(desk.folder)))
        self._paths: dict[str, list[str]] = {}
        #: Entries that stand on the sheets of another day than they were written on.
        self._elsewhere: dict[str, Entry] = {}
        self._known: dict[date, dict[str, Entry]] = {}
        today, zone = desk.clock_time().date(), desk.settings.zone
        for path in self._shelf.paths():
            day = day_in(path)
            self._paths.setdefault(day, []).append(path)
            for entry in self._shelf.reading(path).entries:
                if written_on(entry, zone, today).isoformat() != day:
                    self._elsewhere[entry.id] = entry

    def found(self, id: str, day: date) -> Entry | None:
        """The entry of this id, if it stands somewhere."""
        return self._elsewhere.get(id) or self._of_day(day).get(id)

    def _of_day(self, day: date) -> dict[str, Entry]:
        known = self._known.get(day)
        if known is None:
            paths = self._paths.get(day.isoformat(), ())
            known = {entry.id: entry for path in paths for entry in self._shelf.reading(path).entries}
            self._known[day] = known
        return known

    def changed(self, days: Iterable[date]) -> None:
        """Entries were written on these days."""
        self._known.clear()
        for day in days:
            folder = f"{SHEETS}/{day.year:04d}"
            try:
                names = [f"{folder}/{name}" for name, _ in self._shelf.disk.list(folder)]
            except OSError:
                continue
            there = self._paths.setdefault(day.isoformat(), [])
            there += [
                path
                for path in names
                if day_in(path) == day.isoformat() and path not in there and path.endswith(".jsonl")
            ]
