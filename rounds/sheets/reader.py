"""The sheets of one colony as they are read: what stands on them, what is wrong, and what has come since."""

from __future__ import annotations

import os
import threading
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from pathlib import Path
from typing import Any, Final

from rounds.logbook.entries import Entry
from rounds.sheets.disk import Disk
from rounds.sheets.doubles import Double, doubles_among, told_twice
from rounds.sheets.freshness import Freshness
from rounds.sheets.history import ID_OF, Part, unreadable
from rounds.sheets.parse import Reading, Sift, Trouble
from rounds.sheets.past import PastSheets
from rounds.sheets.positions import SheetLines
from rounds.sheets.watch import Mark, Watch, day_in, marks_of

#: Lines that no desk writes between two looks.
_MANY_LINES: Final = 20


class SheetReader(PastSheets):
    """The sheets of one colony, read. Safe to call from several threads."""

    def __init__(self, folder: Path, disk: Disk | None = None) -> None:
        """Nothing is read yet."""
        super().__init__(disk or Disk(os.path.realpath(folder)))
        self.folder = folder
        self._lock = threading.RLock()
        self._watch = Watch(self._disk)
        self._known: set[str] = set()
        self._inside: dict[str, list[Trouble]] = {}
        self._unreadable: dict[str, Trouble] = {}
        #: Sheets found shorter than they were, with the size and time they had then.
        self._shorter: dict[str, tuple[int, int]] = {}
        #: Ids of all entries that the last `news` read, also of those that were known.
        self.heard: set[str] = set()
        #: The marks of sheets that are gone, or were changed behind their mark, since all was read.
        self._changed_behind: dict[str, Mark] = {}
        self._found_writing: list[Trouble] = []
        self._freshness = Freshness.VERIFIED
        #: How many sheets were marked again, though nothing came to them.
        self.marked_anew = 0

    def read(self) -> list[Entry]:
        """Every good entry of every sheet, each once, sheet by sheet. What is damaged is in `troubles`."""
        with self._lock:
            self._begin_again()
            doubles: list[Double] = []
            entries: list[Entry] = []
            for path in self._watch.changes():
                entries += self._taken(path, doubles)
            self._tell_doubles(told_twice(doubles, entries))
            return entries

    def _begin_again(self) -> None:
        self._watch = Watch(self._disk)
        self._known, self._inside, self._unreadable, self._changed_behind = set(), {}, {}, {}
        self._freshness = Freshness.VERIFIED

    def read_through(self, sift: Sift | None = None) -> Iterator[Part]:
        """Every sheet in turn, newest day first, for histories too long for one list; `news` goes on from there.

        What stands twice on the sheets of one day is handed out once, and reported; the fold does not mind
        the rest. Of the entries of sound sheets only those are handed out that `sift` gives back. Broken off
        half way, all is to be read again.
        """
        with self._lock:
            self._begin_again()
            paths, size = self._watch.changes(), self._watch.size
        done = 0
        for _, group in groupby(reversed(paths), day_in):
            of_day = [*group][::-1]
            with self._lock:
                readings = self._read_day(of_day, sift)
            for path, reading in zip(of_day, readings, strict=True):
                done += 1
                lines = reading.all_lines
                many = len(lines.about) if lines is not None else len(reading.entries)
                yield Part(path, reading.entries, many, done, len(paths), lines, size)
            del readings, reading, lines  # the memory of one day serves the next

    def _read_day(self, paths: list[str], sift: Sift | None) -> list[Reading]:
        """The sheets of one day, each entry once; what stands twice is found before it is sifted."""
        ids: list[str] = []

        def noting(entries: list[Entry]) -> list[Entry]:
            ids.extend(map(ID_OF, entries))
            return entries if sift is None else sift(entries)

        readings = [self._marked(path, sift if len(paths) == 1 else noting) for path in paths]
        ids += [entry.id for reading in readings if reading.all_lines is None for entry in reading.entries]
        if len(set(ids)) == len(ids) and not any(reading.is_doubled for reading in readings):
            return readings
        for path in paths:
            self._watch.marks.pop(path, None)
        doubles: list[Double] = []
        readings = [
            reading._replace(entries=self._new_ones(path, reading.entries, doubles), all_lines=None)
            for path, reading in zip(paths, map(self._marked, paths), strict=True)
        ]
        self._tell_doubles(told_twice(doubles, [entry for reading in readings for entry in reading.entries]))
        self._known.clear()
        return readings

    def news(self) -> list[Entry]:
        """Good entries that have appeared since the last `read`, `news` or `resume`, save this desk's own.

        Costs some file looks, however long the history is, when nothing has changed.
        """
        with self._lock:
            entries: list[Entry] = []
            self.heard.clear()
            marks = dict(self._watch.marks)
            changed = self._watch.changes()
            gone = {path: mark for path, mark in marks.items() if path not in self._watch.marks}
            self._changed_behind = gone | self._changed_behind
            if gone and self._freshness is Freshness.VERIFIED:
                self._freshness = Freshness.LACKING
            self._hear_of_changes(gone, changed)
            in_turn = self._watch.to_read_in_turn()
            came: set[str] = set()
            for path in changed if in_turn is None or in_turn in changed else (*changed, in_turn):
                if self._is_being_copied(path):
                    continue
                before = self._watch.marks.get(path)
                entries += self._taken(path)
                if (now := self._watch.marks.get(path)) and _may_double(before, now):
                    came.add(day_in(path))
            self._tell_doubles_of(came)
            return entries

    def _hear_of_changes(self, gone: Mapping[str, Mark], changed: Sequence[str]) -> None:
        """Sheets are gone or were found changed: for whoever has written some of them."""

    def _is_being_copied(self, path: str) -> bool:
        """Whether a sheet is shorter than it was, and not as it was at the last look: it is read at the next one.

        Some sync programs write a file again from its beginning; nothing of it is missing when they are through.
        """
        before, mark = self._shorter.pop(path, None), self._watch.marks.get(path)
        try:
            status = self._disk.status(path)
        except OSError:
            return False
        if mark is None or status.st_size >= mark.end:
            return False
        self._shorter[path] = found = (status.st_size, status.st_mtime_ns)
        return found != before

    @property
    def lines(self) -> SheetLines:
        """Lines by where they stand, for an index of subjects."""
        return SheetLines(self._shelf, self._watch.marks)

    @property
    def troubles(self) -> list[Trouble]:
        """What was found damaged or out of place, by sheet and line; nothing of it is fatal."""
        with self._lock:
            found = {*self._watch.troubles.values(), *self._watch.missing.values(), *self._found_writing}
            found.update(self._unreadable.values())
            for inside in self._inside.values():
                found.update(inside)
        return sorted(found)

    def look_over(self) -> list[Trouble]:
        """Read every sheet line by line, also those that seem sound, and say all that is wrong.

        Slower than `read`, and finds more: lines missing within a save. `news` is not affected.
        """
        return sorted(self._shelf.look_over().union(self._found_writing))

    # Going on from where an earlier run stopped

    def marks(self) -> dict[str, list[Any]]:
        """How far each sheet has been read, to be kept (as JSON) beside what was worked out from it."""
        with self._lock:
            return {path: list(mark) for path, mark in self._watch.marks.items()}

    def marks_before(self) -> dict[str, Mark]:
        """How far each sheet had been read, also those that are gone or were changed behind their mark since."""
        with self._lock:
            return {**self._watch.marks, **self._changed_behind}

    def gone(self) -> dict[str, Mark]:
        """Sheets that were read and are not there any more, each with its mark."""
        with self._lock:
            marks = self._watch.marks
            return {path: mark for path, mark in self._changed_behind.items() if path not in marks}

    def folders(self) -> dict[str, int]:
        """The folders in which sheets lie, each with its time (ns) when it was looked into; 0 when that was too
        shortly after a change to tell a second one."""
        with self._lock:
            return {path: mtime_ns or 0 for path, mtime_ns in self._watch.folders.items()}

    def restore(self, marks: Mapping[str, Mark]) -> None:
        """Go on from marks kept earlier, without looking at the sheets yet: that is for `verify` to do."""
        with self._lock:
            self._watch = Watch(self._disk, marks)
            self._known, self._inside, self._unreadable, self._changed_behind = set(), {}, {}, {}
            self._freshness = Freshness.UNVERIFIED

    def verify(self) -> bool:
        """Whether every sheet is, up to its mark, as it was when it was marked; costs a look at each, once.

        When it is not, what was worked out from the sheets is stale, and everything is to be read again. When
        it is, `news` gives what came after the marks; doubles of entries from before them may be handed out
        again, which the fold does not mind.
        """
        with self._lock:
            if self._freshness is not Freshness.UNVERIFIED:
                return self.is_verified
            known = dict(self._watch.marks)
            watch = Watch(self._disk, known)
            changed = {*watch.changes()}
            # The status of a file can be set back, on some disks; the check at its end tells of the newest.
            changed.update(
                path for path in watch.hot() if path in known and not self._shelf.ends_as(path, known[path])
            )
            if len(watch.marks) < len(known) or not all(self._has_only_grown(path, known) for path in changed):
                self._freshness = Freshness.STALE
                return False
            self._watch, self._freshness = watch, Freshness.VERIFIED
            for path, mark in known.items():
                if mark.troubled:
                    self._note(path, self._shelf.reading(path))
            troubled = {path for path, mark in known.items() if mark.troubled}
            grown = {path for path in changed if path not in known or not self._is_of_size(path, known[path].size)}
            self._tell_doubles_of({day_in(path) for path in grown | troubled})
            return True

    def resume(self, marks: Mapping[str, Sequence[Any]]) -> bool:
        """Go on from marks kept earlier, and whether they hold; False also for what are no marks."""
        try:
            known = marks_of(marks)
        except (TypeError, ValueError):
            return False
        self.restore(known)
        return self.verify()

    @property
    def is_stale(self) -> bool:
        """Whether a sheet was changed behind where it had been read, so that all is to be read again."""
        with self._lock:
            return self._freshness is Freshness.STALE

    @property
    def is_verified(self) -> bool:
        """Whether all that was handed out is known to stand on the sheets."""
        with self._lock:
            return self._freshness is Freshness.VERIFIED

    def _has_only_grown(self, path: str, known: Mapping[str, Mark]) -> bool:
        mark = known.get(path)
        return mark is None or self._shelf.is_as_marked(path, mark)

    def _is_of_size(self, path: str, size: int) -> bool:
        try:
            return self._disk.status(path).st_size == size
        except OSError:
            return False

    # One sheet

    def _taken(self, path: str, doubles: list[Double] | None = None) -> list[Entry]:
        """The entries of a sheet behind its mark that have not been handed out yet; the sheet is marked.

        `doubles` collects those that were handed out before, in a first reading of everything.
        """
        reading = self._marked(path, unfinished=doubles is not None)
        if doubles is None:
            self.heard.update(map(ID_OF, reading.entries))
        return self._new_ones(path, reading.entries, doubles)

    def _marked(self, path: str, sift: Sift | None = None, *, unfinished: bool = True) -> Reading:
        """A sheet read behind its mark, and marked; a save that is not finished is a trouble if `unfinished`."""
        mark = self._watch.marks.get(path)
        try:
            reading, found, goes_on = self._shelf.read_behind(path, mark, sift)
        except FileNotFoundError:
            return Reading([], [], 0, 0)
        except OSError as error:
            self._unreadable[path] = unreadable(path, error)
            if mark is not None:
                self._watch.mark(path, mark._replace(troubled=True))
            return Reading([], [], 0, 0)
        self._unreadable.pop(path, None)
        if mark is not None and mark.end and not goes_on:
            self._freshness = Freshness.STALE
            self._changed_behind.setdefault(path, mark)
        if not unfinished and reading.unfinished not in self._inside.get(path, []):
            # Another desk may be in the middle of a save.
            reading = reading._replace(unfinished=None)
        self._note(path, reading, mark.lines if mark and mark.end and goes_on else -1)
        now = found._replace(troubled=bool(self._inside.get(path)))
        self.marked_anew += goes_on and not reading.entries and now != mark
        self._watch.mark(path, now)
        return reading

    def _note(self, path: str, reading: Reading, lines: int = -1) -> None:
        """Note the troubles of a sheet; those of the first `lines`, which were not read again, still hold."""
        found = [trouble for trouble in self._inside.get(path, []) if trouble.line <= lines]
        found += [trouble for trouble in reading.troubles if trouble not in found]
        if reading.unfinished:
            found.append(reading.unfinished)
        if found:
            self._inside[path] = found
        else:
            self._inside.pop(path, None)

    def _tell_doubles(self, found: Iterable[tuple[str, Trouble]]) -> None:
        """Note what stands twice; such a sheet has troubles, so that it is looked into at each start."""
        for path, trouble in found:
            inside = self._inside.setdefault(path, [])
            if trouble not in inside:
                inside.append(trouble)
            if (mark := self._watch.marks.get(path)) is not None:
                self._watch.mark(path, mark._replace(troubled=True))

    def _tell_doubles_of(self, days: Iterable[str]) -> None:
        """Note what stands twice on the sheets of these days."""
        for day in days:
            paths = self._watch.of_day(day)
            self._tell_doubles(doubles_among((path, self._shelf.reading(path).entries) for path in paths))

    def _new_ones(self, path: str, entries: list[Entry], doubles: list[Double] | None) -> list[Entry]:
        """Those that have not been handed out, each once."""
        known = self._known
        ids = set(map(ID_OF, entries))
        if len(ids) == len(entries) and known.isdisjoint(ids):
            known |= ids
            return entries
        fresh: list[Entry] = []
        here: set[str] = set()
        for entry in entries:
            if entry.id not in known:
                known.add(entry.id)
                fresh.append(entry)
            elif doubles is not None:
                doubles.append(Double(path, entry, entry.id in here))
            here.add(entry.id)
        return fresh


def _may_double(before: Mark | None, now: Mark) -> bool:
    """Whether so much came to a sheet at once that another program may have put it together."""
    return now.lines > 0 if before is None else now.lines - before.lines >= max(_MANY_LINES, before.lines // 2)
