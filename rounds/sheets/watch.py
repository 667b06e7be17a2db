"""Where sheets lie in a colony's folder and how they are named; which are there and which have changed."""

from __future__ import annotations

import os
import re
import stat
import time
from collections.abc import Iterable, Mapping
from datetime import date
from functools import lru_cache
from heapq import nlargest
from typing import Final, NamedTuple

from rounds.sheets.aside import ASIDE
from rounds.sheets.disk import Disk, FileStatus
from rounds.sheets.parse import Trouble

SHEETS: Final = "sheets"
DESK: Final = re.compile(r"[a-z0-9][a-z0-9-]{0,79}")
_SHEET: Final = re.compile(
    r"sheets/(\d{4})/((\d{4})-\d{2}-\d{2})\.([a-z0-9][a-z0-9-]{0,79})(?:\.([1-9]\d{0,5}))?\.jsonl"
)
_DAY: Final = re.compile(r"\d{4}-\d{2}-\d{2}")
#: Paths whose name is remembered: each is asked for several times at a start.
_PATHS: Final = 1 << 15
#: A folder changed within this time before it was looked at is looked at again: the times that file
#: systems keep are coarse (2 s on memory sticks), so a second change may not show.
_SETTLED_NS: Final = 3_000_000_000
#: Days whose sheets are looked at each time: today, and the days on which desks may still be writing.
_HOT_DAYS: Final = 3
_NEWEST: Final = 16
#: Older sheets looked at each time, in turn, for a sync program that writes into them in place.
_IN_TURN: Final = 128
#: A sheet of so many bytes at most is read in turn (in 1 ms).
_READ_IN_TURN: Final = 2 << 20
#: Sheets with troubles that are read again each time, in turn.
_TROUBLED: Final = 4
#: Bytes at the end of a sheet that are known again by `Mark.last`; its last check is among them.
LAST: Final = 64
_DEEPEST: Final = 8


class SheetName(NamedTuple):
    """What the path of a sheet says."""

    day: date
    desk: str
    part: int


def sheet_path(day: date, desk: str, part: int = 1) -> str:
    """The path of a desk's sheet of a day, relative to the colony. Parts from 2 on carry their number."""
    number = "" if part == 1 else f".{part}"
    return f"{SHEETS}/{day.year:04d}/{day.isoformat()}.{desk}{number}.jsonl"


@lru_cache(maxsize=_PATHS)
def name_of(path: str) -> SheetName | None:
    """What a sheet's path says; None when it is not named and placed as ours are (a copy, most likely)."""
    found = _SHEET.fullmatch(path)
    if found is None or found[1] != found[3] or found[5] == "1":
        return None
    try:
        return SheetName(date.fromisoformat(found[2]), found[4], int(found[5] or 1))
    except ValueError:
        return None


def day_in(path: str) -> str:
    """The day a path carries, also that of a copy, as `2026-04-12`; empty when there is none."""
    found = _DAY.match(path, path.rfind("/") + 1)
    return found[0] if found else ""


def shown(path: str) -> str:
    """A path that can be printed, whatever bytes another program put into the name."""
    text = os.fsencode(path).decode("utf-8", "backslashreplace")
    if text.isprintable():
        return text
    return "".join(sign if sign.isprintable() else sign.encode("unicode_escape").decode() for sign in text)


class Mark(NamedTuple):
    """How far a sheet has been read, and by what it is known again."""

    inode: int
    size: int
    mtime_ns: int
    #: Bytes and lines up to which everything has been handed out.
    end: int = 0
    lines: int = 0
    #: CRC-32 of the bytes up to `end`.
    check: int = 0
    troubled: bool = False
    #: The time of its last change of any kind, which no program sets (ns); 0 while that was too shortly ago to
    #: tell a second one.
    ctime_ns: int = 0
    #: CRC-32 of the last bytes up to `end`.
    last: int = 0

    def fits(self, status: FileStatus) -> bool:
        """Whether the file has not been touched since, as far as its status tells.

        Of a sheet with troubles never: it may have been put back as it was, by a program that sets back its time.
        """
        return not self.troubled and self.is_of(status)

    def is_of(self, status: FileStatus) -> bool:
        """Whether it is the mark of a file with this status."""
        return self.ctime_ns == status.st_ctime_ns != 0 and self._is_nearly_of(status)

    def may_fit(self, status: FileStatus) -> bool:
        """Whether only the bytes can tell that the file was not touched: it was marked shortly after a change."""
        return not self.troubled and not self.ctime_ns and self._is_nearly_of(status)

    def _is_nearly_of(self, status: FileStatus) -> bool:
        return self.size == status.st_size and self.mtime_ns == status.st_mtime_ns and self.inode == status.st_ino


def settled_time(status: FileStatus) -> int:
    """When a file was last changed in any way (ns); 0 when that was too shortly ago to tell a second change."""
    changed = max(status.st_ctime_ns, status.st_mtime_ns)
    return status.st_ctime_ns if abs(time.time_ns() - changed) > _SETTLED_NS else 0


class Watch:
    """Which sheets lie in the folder, and which have changed since they were marked."""

    def __init__(self, disk: Disk, marks: Mapping[str, Mark] | None = None) -> None:
        self._disk = disk
        self.marks: dict[str, Mark] = dict(marks or {})
        #: Troubles with names and folders; those inside a sheet are reported by the reading.
        self.troubles: dict[str, Trouble] = {}
        #: Sheets that were read and are gone.
        self.missing: dict[str, Trouble] = {}
        #: Folders looked into, with their times; None when that was too shortly after a change.
        self.folders: dict[str, int | None] = {}
        #: How many bytes the sheets are together that were last found changed.
        self.size = 0
        self._paths: dict[str, set[str]] = {}
        self._ordered: list[str] | None = None
        self._hot: list[str] = []
        #: Sheets found changed at the last look, with the mark they had: looked at again until they have another.
        self._changed: dict[str, Mark | None] = {}
        self._turn = self._troubled_turn = self._read_turn = 0
        self._looked = False
        self._troubled = {path for path, mark in self.marks.items() if mark.troubled}

    def of_day(self, day: str) -> list[str]:
        """The sheets that carry a day (`2026-04-12`, "" for none), in the order in which they are read."""
        return sorted(
            (path for paths in self._paths.values() for path in paths if day_in(path) == day), key=in_turn
        )

    def mark(self, path: str, mark: Mark) -> None:
        """Note how far a sheet has been read."""
        self.marks[path] = mark
        (self._troubled.add if mark.troubled else self._troubled.discard)(path)

    def to_read_in_turn(self) -> str | None:
        """A sheet that is to be read though nothing tells that it has changed: one at a time, all in turn."""
        paths = self._ordered or ()
        if not paths:
            return None
        self._read_turn %= len(paths)
        path = paths[self._read_turn]
        self._read_turn += 1
        mark = self.marks.get(path)
        return path if mark is not None and mark.size <= _READ_IN_TURN else None

    def changes(self) -> list[str]:
        """Paths of sheets that are new or not as they were marked, oldest day first."""
        statuses: dict[str, FileStatus] = {}
        self._look_into(SHEETS, statuses, 0)
        first = not self._looked
        if first:  # marks kept from an earlier run may be of sheets that are gone since
            self._looked = True
            for path in self.marks.keys() - statuses.keys():
                self._miss(path)
        again = {*self._found_changed(), *self.hot(), *self._troubled_in_turn()}
        for path in (*again, *self._some_in_turn()):
            if path not in statuses:
                try:
                    statuses[path] = self._disk.status(path)
                except OSError:
                    self.folders.pop(path.rpartition("/")[0], None)  # gone: list the folder next time
        changed = [
            path
            for path, status in statuses.items()
            if (mark := self.marks.get(path)) is None
            or not mark.is_of(status)
            or (mark.troubled and (first or (path in again and mark.size <= _READ_IN_TURN)))
        ]
        if changed:
            self._ordered = None
        self.size = sum(statuses[path].st_size for path in changed)
        self._changed = {path: self.marks.get(path) for path in changed}
        return sorted(changed, key=in_turn)

    def _found_changed(self) -> list[str]:
        """Those found changed at the last look and not read since: `Sheets.verify` looks, and reads none."""
        return [path for path, mark in self._changed.items() if self.marks.get(path) is mark]

    def hot(self) -> list[str]:
        """The newest sheets, by the day they carry and by when they were last written."""
        paths = self._ordered
        if paths is None:
            paths = sorted((path for paths in self._paths.values() for path in paths), key=in_turn)
            self._ordered = paths
            days: set[str] = set()
            hot: set[str] = set()
            for path in reversed(paths):  # those without a day come last
                day = day_in(path)
                if day and day not in days:
                    if len(days) == _HOT_DAYS:
                        break
                    days.add(day)
                hot.add(path)
            hot.update(nlargest(_NEWEST, self.marks, key=lambda path: self.marks[path].mtime_ns))
            self._hot = sorted(hot.intersection(paths))
        return self._hot

    def _some_in_turn(self) -> list[str]:
        paths = self._ordered or []
        if self._turn >= len(paths):
            self._turn = 0
        now = paths[self._turn : self._turn + _IN_TURN]
        self._turn += _IN_TURN
        return now

    def _troubled_in_turn(self) -> list[str]:
        """Some of the sheets with troubles, in turn."""
        troubled = sorted(self._troubled & self.marks.keys()) if self._troubled else []
        if self._troubled_turn >= len(troubled):
            self._troubled_turn = 0
        now = troubled[self._troubled_turn : self._troubled_turn + _TROUBLED]
        self._troubled_turn += _TROUBLED
        return now

    def _look_into(self, folder: str, statuses: dict[str, FileStatus], depth: int) -> None:
        try:
            own = self._disk.status(folder)
            if stat.S_ISLNK(own.st_mode):
                self._lose(folder)
                self._tell(folder, "is a link. Links are not followed; put the sheets themselves here")
                return
            if not stat.S_ISDIR(own.st_mode):
                self._lose(folder)
                self._tell(folder, "should be a folder and is none; no sheet in it can be read")
                return
            if self.folders.get(folder) == own.st_mtime_ns:
                for below in [path for path in self.folders if path.rpartition("/")[0] == folder]:
                    self._look_into(below, statuses, depth + 1)
                return
            names = self._disk.list(folder)
        except FileNotFoundError:
            lost = self._lose(folder)
            if lost and folder == SHEETS:
                self._tell(folder, "is not there any more (a drive pulled out?). Bring it back")
            return
        except OSError as error:
            self._lose(folder)
            self._tell(folder, f"cannot be looked into ({error.strerror}); the sheets in it do not count now")
            return
        self.troubles.pop(folder, None)
        settled = abs(time.time_ns() - own.st_mtime_ns) > _SETTLED_NS
        self.folders[folder] = own.st_mtime_ns if settled else None
        there = {f"{folder}/{name}" for name, _ in names}
        for path in [path for path in (*self.troubles, *self.folders) if path.rpartition("/")[0] == folder]:
            if path not in there:
                self._lose(path)
        sheets: set[str] = set()
        for name, status in names:
            path = f"{folder}/{name}"
            if stat.S_ISDIR(status.st_mode) and not name.endswith(".jsonl"):
                if path != ASIDE and depth < _DEEPEST:
                    self._look_into(path, statuses, depth + 1)
            elif self._is_sheet(path, status):
                self.missing.pop(path, None)
                sheets.add(path)
                statuses[path] = status
        before = self._paths.get(folder, set())
        for path in before - sheets:
            self._miss(path)
        if before != sheets:
            self._paths[folder] = sheets
            self._ordered = None

    def _is_sheet(self, path: str, status: FileStatus) -> bool:
        """Whether there are entries to be read there; what is odd about it is told."""
        self.troubles.pop(path, None)
        if stat.S_ISLNK(status.st_mode):
            self._tell(path, "is a link. Links are not followed; put the sheet itself here")
            return False
        if not path.endswith(".jsonl"):
            return False
        if not stat.S_ISREG(status.st_mode):
            self._tell(path, "is no file; nothing can be read from it. Take it out of the sheets")
            return False
        if name_of(path) is None:
            self._tell(
                path,
                "is not named as a sheet of ours, so a copy, most likely by a sync program. Its entries are "
                "read, and each counts once; `rounds check --repair` takes it away when it holds nothing new",
            )
        return True

    def _miss(self, path: str) -> None:
        """A sheet that was read is gone: what it held still counts until the program is started again."""
        mark = self.marks.pop(path, None)
        if mark is not None and mark.end and name_of(path) is not None:
            what = (
                f"{shown(path)} is not there any more. What it held counts until rounds is started again; bring it "
                "back from a backup, or from the desk that wrote it."
            )
            self.missing[path] = Trouble(shown(path), 0, what)

    def _lose(self, folder: str) -> bool:
        """Forget a folder or path and all below; whether a sheet was lost with it."""
        self.troubles.pop(folder, None)
        self._ordered = None
        lost = False
        for path in [path for path in self.folders if path == folder or path.startswith(folder + "/")]:
            del self.folders[path]
        for path in [path for path in self._paths if path == folder or path.startswith(folder + "/")]:
            for sheet in self._paths.pop(path):
                lost = True
                if folder == SHEETS:
                    self.marks.pop(sheet, None)
                else:
                    self._miss(sheet)
        return lost

    def _tell(self, path: str, what: str) -> None:
        self.troubles[path] = Trouble(shown(path), 0, f"{shown(path)} {what}.")


def in_turn(path: str) -> tuple[str, bool, str]:
    """The order in which sheets are read: by day, and copies after what they may be copies of."""
    return (day_in(path) or "~", name_of(path) is None, path)


def marks_of(saved: Mapping[str, Iterable[object]]) -> dict[str, Mark]:
    """Marks as they were saved (each a list). Raises `TypeError` or `ValueError` when they are none."""
    marks: dict[str, Mark] = {}
    for path, values in saved.items():
        mark = Mark(*values)  # type: ignore[arg-type]
        if not all(isinstance(value, int) for value in mark):
            raise TypeError(f"{path!r} has no mark")
        marks[path] = mark
    return marks
