"""What this desk had saved and what another program took off its sheets: found, written again, told."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from rounds.sheets.disk import Disk
from rounds.sheets.journal import Journal
from rounds.sheets.open_sheet import entries_at, gone_from
from rounds.sheets.parse import judge
from rounds.sheets.watch import SHEETS, day_in, name_of


class Rescue(NamedTuple):
    """What became of a desk's name and of its saves, to be told to the keeper once."""

    #: The name before and the name now; alike when the desk kept it.
    before: str
    name: str
    #: The sheets from which something was gone, and how many entries were written again.
    sheets: tuple[str, ...] = ()
    entries: int = 0
    #: The initials on the newest of them.
    by: str = ""

    @property
    def notice(self) -> str:
        """What the keeper is told."""
        were, are = ("entry was", "It is") if self.entries == 1 else ("entries were", "They are")
        return f"{self.entries} {were} gone from {self._where}. {are} saved again. Nothing is lost."

    @property
    def _where(self) -> str:
        return ", ".join(path.rpartition("/")[2] for path in self.sheets[:3])

    @property
    def sentence(self) -> str:
        """That entries were gone and stand on the sheets again, whence and why."""
        many = f"{self.entries} saved {'entry is' if self.entries == 1 else 'entries are'} written again"
        return (
            f"{many} by desk {self.name}: gone from {self._where}. The sheet was damaged, an older file was put "
            "there, or another machine had this desk's name."
        )


class Owed:
    """Sheets that this desk's saves stand on and that it writes to no more: what they lack is written again."""

    def __init__(self, disk: Disk, journal: Journal) -> None:
        self._disk = disk
        self._journal = journal
        #: The saves that should stand on each of these sheets.
        self._saves: dict[str, list[bytes]] = {}
        #: The state in which a sheet was seen to hold them all.
        self._seen: dict[str, tuple[int, int, int]] = {}
        #: Saves to be written again, with the sheet that lacks them.
        self._missing: dict[bytes, str] = {}
        #: Sheets of which nothing is told: a crash, not another program, kept the last save from them.
        self._unsaid: set[str] = set()

    def __bool__(self) -> bool:
        return bool(self._missing)

    def look_after(self, path: str, saves: list[bytes], *, unsaid: bool = False) -> None:
        """From now on see to it that these saves stand on a sheet, or somewhere else."""
        known = self._saves.get(path, [])
        self._saves[path] = list(dict.fromkeys([*known, *saves]))
        self._seen.pop(path, None)
        if unsaid:
            self._unsaid.add(path)
        else:
            self._unsaid.discard(path)

    def look(self, besides: bytes = b"") -> None:
        """Find what is gone from those sheets; `besides` is the save under way, which is yet to be written."""
        for path, saves in self._saves.items():
            state = self._state(path)
            if state is not None and state == self._seen.get(path):
                continue
            there = entries_at(self._disk, path)
            missing = [save for save in saves if save != besides and gone_from(save, there)]
            for save in missing:
                self._missing.setdefault(save, path)
            if not missing and state is not None:
                self._seen[path] = state

    def missing(self, today: date) -> dict[bytes, int]:
        """The saves to be written again, and how many entries of each stand on no sheet of its day or of today."""
        days = {day_in(path) for path in self._missing.values()} | {today.isoformat()}
        there: set[bytes] = set()
        for year in {day[:4] for day in days}:
            for path in self._sheets_in(f"{SHEETS}/{year}"):
                if name_of(path) is not None and day_in(path) in days:
                    there |= entries_at(self._disk, path)
        return {save: gone for save in self._missing if (gone := gone_from(save, there))}

    def _sheets_in(self, folder: str) -> list[str]:
        try:
            return [f"{folder}/{name}" for name, _ in self._disk.list(folder)]
        except OSError:
            return []

    def written(self, before: str, name: str, written: dict[bytes, int]) -> Rescue:
        """They stand on the sheets again: what is to be told of it."""
        told = [save for save in written if self._missing[save] not in self._unsaid]
        sheets = tuple(sorted({self._missing[save] for save in told}))
        lines = [line for save in told for line in save.splitlines()]
        newest = max(
            (entry for line in lines if (entry := judge(line).entry)), key=lambda one: one.id, default=None
        )
        for path in set(self._missing.values()):
            there = entries_at(self._disk, path)
            self._saves[path] = [save for save in self._saves[path] if not gone_from(save, there)]
            self._seen.pop(path, None)
            self._journal.keep_only(path, self._saves[path])
        self._missing.clear()
        many = sum(written[save] for save in told)
        return Rescue(before, name, sheets, many, newest.by if newest is not None else "")

    def _state(self, path: str) -> tuple[int, int, int] | None:
        try:
            status = self._disk.status(path)
        except OSError:
            return None
        return status.st_ino, status.st_size, status.st_mtime_ns
