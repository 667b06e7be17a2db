"""Where sheets lie in a colony's folder and how they are named; which are there and which have changed."""

from __future__ import annotations

import os
import re
import stat
import time
from collections.abc import Iterable, Mapping
from datetime import date
from typing import Final, NamedTuple

from rounds.logbook.disk import Disk, FileStatus
from rounds.logbook.reading import Trouble

SHEETS: Final = "sheets"
ASIDE: Final = "sheets/aside"
DESK: Final = re.compile(r"[a-z0-9][a-z0-9-]{0,79}")
_SHEET: Final = re.compile(
    r"sheets/(\d{4})/((\d{4})-\d{2}-\d{2})\.([a-z0-9][a-z0-9-]{0,79})(?:\.([1-9]\d{0,5}))?\.jsonl"
)
#: A folder changed within this time before it was looked at is looked at again: the times that file
#: systems keep are coarse (2 s on memory sticks), so a second change may not show.
_SETTLED_NS: Final = 3_000_000_000
#: Days whose sheets are looked at each time: today, and the days on which desks may still be writing.
_HOT_DAYS: Final = 3
_NEWEST: Final = 16
#: Older sheets looked at each time, in turn, for a sync program that writes into them in place.
_IN_TURN: Final = 128
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
    name = path.rpartition("/")[2]
    return name[:10] if re.match(r"\d{4}-\d{2}-\d{2}", name) else ""


def shown(path: str) -> str:
    """A path that can be printed, whatever bytes another program put into the name."""
    text = os.fsencode(path).decode("utf-8", "backslashreplace")
    return "".join(sign if sign.isprintable() else sign.encode("unicode_escape").decode() for sign in text)


class Mark(NamedTuple):
    """How far a sheet has been read, and by what it is known again."""

    inode: int
    size: int
    mtime_ns: int
    #: Bytes and lines up to which everything has been handed out.
    end: int = 0
    lines: int = 0
    #: The last bytes before `end`, in hexadecimal.
    tail: str = ""
    troubled: bool = False

    def fits(self, status: FileStatus) -> bool:
        """Whether the file has not been touched since."""
        return self.size == status.st_size and self.mtime_ns == status.st_mtime_ns and self.inode == status.st_ino


class Watch:
    """Which sheets lie in the folder, and which have changed since they were marked."""

    def __init__(self, disk: Disk, folder: str) -> None:
        self._disk = disk
        self._folder = folder
        self.marks: dict[str, Mark] = {}
        #: Troubles with names and folders; those inside a sheet are told by the reading.
        self.troubles: dict[str, Trouble] = {}
        self._folders: dict[str, int | None] = {}
        self._paths: dict[str, set[str]] = {}
        self._ordered: list[str] | None = None
        self._hot: list[str] | None = None
        self._turn = 0

    def changes(self) -> list[str]:
        """Paths of sheets that are new or not as they were marked, oldest day first."""
        statuses: dict[str, FileStatus] = {}
        self._look_into(SHEETS, statuses, 0)
        for path in self._worth_a_look():
            if path not in statuses:
                try:
                    statuses[path] = self._disk.status(os.path.join(self._folder, path))
                except OSError:
                    self._folders.pop(path.rpartition("/")[0], None)
        changed = []
        for path, status in statuses.items():
            mark = self.marks.get(path)
            if mark is None or not mark.fits(status):
                changed.append(path)
        if changed:
            self._hot = None
        return sorted(changed, key=in_turn)

    def gone(self) -> list[str]:
        """Marked sheets that are no longer there."""
        there = set().union(*self._paths.values()) if self._paths else set()
        return [path for path in self.marks if path not in there]

    def paths(self) -> list[str]:
        """All sheets in the folder as last seen, oldest day first."""
        if self._ordered is None:
            self._ordered = sorted((path for paths in self._paths.values() for path in paths), key=in_turn)
            self._hot = None
        return self._ordered

    def _worth_a_look(self) -> Iterable[str]:
        """The newest sheets, by the day they carry and by when they were last written, and some others in turn."""
        paths = self.paths()
        if self._hot is None:
            days = sorted({day for path in paths if (day := day_in(path))}, reverse=True)[:_HOT_DAYS]
            newest = sorted(self.marks, key=lambda path: self.marks[path].mtime_ns)[-_NEWEST:]
            named = {path for path in paths if day_in(path) in days or not day_in(path)}
            self._hot = sorted(named.union(newest).intersection(paths))
        self._turn = self._turn % len(paths) if paths else 0
        cold = paths[self._turn : self._turn + _IN_TURN]
        self._turn += _IN_TURN
        return [*self._hot, *cold]

    def _look_into(self, folder: str, statuses: dict[str, FileStatus], depth: int) -> None:
        full = os.path.join(self._folder, folder)
        try:
            own = self._disk.status(full)
            if stat.S_ISLNK(own.st_mode):
                self._tell(folder, "is a link. Links are not followed; put the sheets themselves here")
                return
            if not stat.S_ISDIR(own.st_mode):
                self._tell(folder, "should be a folder and is none; no sheet in it can be read")
                return
            if self._folders.get(folder) == own.st_mtime_ns:
                for below in [path for path in self._folders if path.rpartition("/")[0] == folder]:
                    self._look_into(below, statuses, depth + 1)
                return
            names = self._disk.list(full)
        except FileNotFoundError:
            self._forget(folder)
            return
        except OSError as error:
            self._tell(folder, f"cannot be looked into ({error.strerror}); the sheets in it do not count now")
            self._forget(folder)
            return
        self.troubles.pop(folder, None)
        settled = abs(time.time_ns() - own.st_mtime_ns) > _SETTLED_NS
        self._folders[folder] = own.st_mtime_ns if settled else None
        sheets: set[str] = set()
        for name, status in names:
            path = f"{folder}/{name}"
            if stat.S_ISDIR(status.st_mode) and not name.endswith(".jsonl"):
                if path != ASIDE and depth < _DEEPEST:
                    self._look_into(path, statuses, depth + 1)
            elif stat.S_ISLNK(status.st_mode):
                self._tell(path, "is a link. Links are not followed; put the sheet itself here")
            elif name.endswith(".jsonl"):
                if not stat.S_ISREG(status.st_mode):
                    self._tell(path, "is no file; nothing can be read from it. Take it out of the sheets")
                    continue
                sheets.add(path)
                statuses[path] = status
                if name_of(path) is None:
                    self._tell(
                        path,
                        "is not named as a sheet of ours, so a copy, most likely by a sync program. Its entries "
                        "are read, and each counts once; when all is well it can be taken away",
                    )
        kept = {f"{folder}/{name}" for name, _ in names}
        for path in [p for p in (*self.troubles, *self._folders) if p.rpartition("/")[0] == folder]:
            if path not in kept:
                self._forget(path)
        self._paths[folder] = sheets
        self._ordered = None

    def _tell(self, path: str, what: str) -> None:
        self.troubles[path] = Trouble(shown(path), 0, f"{shown(path)} {what}.")

    def _forget(self, folder: str) -> None:
        self._ordered = None
        self.troubles.pop(folder, None)
        for known in (self._folders, self._paths):
            for path in [path for path in known if path == folder or path.startswith(folder + "/")]:
                del known[path]


def in_turn(path: str) -> tuple[str, str]:
    """The order in which sheets are read: by day, then path."""
    return (day_in(path), path)


def marks_of(saved: Mapping[str, Iterable[object]]) -> dict[str, Mark]:
    """Marks as they were saved (each a list). Raises `TypeError` or `ValueError` when they are none."""
    return {path: Mark(*values) for path, values in saved.items()}  # type: ignore[arg-type]
