"""What an open colony has lost since it was read, and what has come back: the sheets say, `Missing` notes it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from pathlib import Path

from rounds.cache.state import State
from rounds.cache.trust import SETTINGS, known_again
from rounds.desk.missing import Missing, known_entries, lines_of, no_more_there, renamed, set_aside, shorter
from rounds.logbook.entries import Entry
from rounds.sheets.store import Sheets
from rounds.sheets.watch import SHEETS, Mark, day_in, name_of


class Lookout:
    """Holds what is known of one colony against its sheets. Without `missing` nothing is noted."""

    def __init__(self, missing: Missing | None, folder: Path, sheets: Sheets) -> None:
        self._missing = missing
        self._folder = folder
        self._sheets = sheets
        #: What colony.toml was known again by when what is known was read.
        self.colony_file = known_again(folder / SETTINGS)
        #: Sheets of other desks that are gone since they were read.
        self._gone: frozenset[str] = frozenset()
        self._found_gone: frozenset[str] = frozenset()

    @property
    def awaited(self) -> Collection[str]:
        """Ids of what stands on no sheet and may come back."""
        return self._missing.awaited.keys() if self._missing is not None else frozenset[str]()

    def is_perhaps_another(self) -> bool:
        """Whether another colony may lie here than was read: sheets and colony.toml are not as they were."""
        if self._missing is None or not (self._sheets.is_stale or self._sheets.gone()):
            return False
        return (0, 0) != known_again(self._folder / SETTINGS) != self.colony_file

    def came_back(self, ids: Iterable[str]) -> None:
        """These stand on a sheet."""
        if self._missing is not None:
            self._missing.came_back(ids)

    def are_there_still(self, state: State) -> None:
        """What was kept stands on the sheets: one may be back, byte for byte, since something was missing."""
        if self._missing is None or not (awaited := self._missing.awaited):
            return
        self.came_back(entry.id for entry in state.recent.entries)
        for subject in {subject for subject in awaited.values() if subject in state.standing.pages}:
            for strand in state.standing.page(subject).strands.values():
                self.came_back(entry.id for entry in strand)

    def compare(self, before: State, marks: Mapping[str, Mark], state: State) -> None:
        """Note what was known before and is not there any more, now that all was read again."""
        if self._missing is None or not marks or not (self._folder / SETTINGS).exists():
            return
        now = self._sheets.marks_before()
        lost, found = no_more_there(before, state)
        earlier, self.colony_file = self.colony_file, known_again(self._folder / SETTINGS)
        if not found and earlier != self.colony_file:
            self._missing.put_aside()  # another colony stands at this place now
            return
        self._missing.look_at_sheets(now)
        short = shorter(marks, now)
        if lost or short:
            repaired, aside = set_aside(self._folder)
            lost = [entry for entry in lost if entry.id not in aside]
            # What this user's desks wrote they write again themselves.
            told = short.keys() - repaired - renamed(marks, now) - self._sheets.own_sheets()
            if lost or lines_of(now, repaired) < lines_of(marks, repaired):
                self._note(lost, {path: short[path] for path in told}, marks)

    def _note(self, lost: list[Entry], short: Mapping[str, int], marks: Mapping[str, Mark]) -> None:
        if self._missing is not None:
            days = {(entry.written or entry.at).date().isoformat() for entry in lost}
            damaged = {one.path for one in self._sheets.troubles if one.line and day_in(one.path) in days}
            self._missing.note(lost, short, {path: marks[path].lines for path in short}, damaged)

    def look(self, state: State) -> None:
        """When a sheet of another desk is gone, note what is known of it; when it is back, that it is."""
        if self._missing is not None:
            self._missing.look()
            self._missing.came_back(self._sheets.heard)
            if self._missing.has_short_sheets:
                self._missing.look_at_sheets(self._sheets.marks_before())
        gone = {
            path: mark for path, mark in self._sheets.gone().items() if mark.lines and name_of(path) is not None
        }
        if gone:
            gone = {path: gone[path] for path in gone.keys() - self._sheets.own_sheets()}
        # One that is gone at one look only is being replaced by a sync program.
        still = self._found_gone & gone.keys()
        self._found_gone = frozenset(gone)
        if self._missing is None or self._gone == still or (gone and is_away(self._folder)):
            return
        before, self._gone = self._gone, still
        for path in before - gone.keys():
            self.came_back(entry.id for entry in self._sheets.entries_of(path))
        if new := still - before:
            days = {day_in(path) for path in new}
            there = {entry.id for day in days for entry in self._sheets.entries_of_day(day)}
            lost = [
                entry
                for entry in known_entries(state)
                if (entry.written or entry.at).date().isoformat() in days and entry.id not in there
            ]
            short = {path: gone[path].lines for path in new - renamed(gone, self._sheets.marks_before())}
            self._note(lost, short, gone)


def is_away(folder: Path) -> bool:
    """Whether the colony's folder or that of its sheets is gone: nothing is missing for that."""
    return not (folder / SHEETS).is_dir() or not (folder / SETTINGS).exists()
