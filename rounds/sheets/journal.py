"""The journal: what this user's desks wrote on a colony's sheets, kept in the state folder, outside the colony.

A sheet's record (`record.py`) grows ahead of it by each save: so it says where a sheet of ours ended and with which
bytes, which save was under way, and what to write again (`agreement.py`). It is written without a sync: it
outlives the program, and after a power cut one that is behind costs the desk a new name and nothing else. A state
folder that cannot be written holds up no save.

Below the journal's folder lies a folder for each colony that lay at the path, `1`, `2` …: a colony is known again
by its colony.toml and by the first lines of its sheets, so that nothing of one is ever written on the sheets of
another.
"""

from __future__ import annotations

import contextlib
import re
from collections.abc import Iterator
from datetime import timedelta
from typing import Final

from rounds.sheets import limits
from rounds.sheets.agreement import MOST_TORN, end_of_last_save
from rounds.sheets.colony_marks import SETTINGS, first_line, has_one_of, marks_of
from rounds.sheets.disk import Disk, content_at, write_all
from rounds.sheets.record import Record, opened_record
from rounds.sheets.watch import SHEETS, SheetName, name_of

#: How long a record is kept after its day. No source, our choice.
KEPT: Final = timedelta(days=31)
_KNOWN: Final = "known-by"
#: A record is no longer than a part and a save under way; a larger file is none.
_LARGEST_RECORD: Final = limits.PART + limits.SAVE
_EMPTIED: Final = re.compile(rb"\0+")


class Journal:
    """The records of one colony. Without a disk nothing is kept, and sheets are held against nothing."""

    def __init__(self, disk: Disk | None, colony: Disk) -> None:
        self._disk = disk
        self._colony = colony
        #: Of the colonies that lay at this path, those that are this one; the last is written to.
        self._folders: list[str] | None = None
        #: The records that this run has opened, by sheet.
        self._opened: dict[str, Record] = {}

    @property
    def is_kept(self) -> bool:
        """Whether there is a journal at all."""
        return self._disk is not None

    def record(self, path: str) -> bytes | None:
        """What a sheet should hold: whole saves; None when no record of it is there."""
        for folder in reversed(self._of_this_colony()):
            content = self._content(f"{folder}/{_base(path)}")
            if content is not None:
                opened = self._opened.get(path)
                if opened is not None and opened.is_too_long:
                    content = content[: opened.size]
                content = self._filled(path, content)
                return content[: end_of_last_save(content)]
        return None

    def _filled(self, path: str, record: bytes) -> bytes:
        """A record with what the sheet has in the place of empty bytes, which a power cut has left in it."""
        if b"\0" not in record:
            return record
        sheet = content_at(self._colony, path, len(record) + MOST_TORN) or b""
        return _EMPTIED.sub(lambda found: sheet[found.start() : found.end()].ljust(len(found[0]), b"\0"), record)

    def open(self, path: str, size: int) -> Record:
        """The record of a sheet that is open for writing and holds so many bytes."""
        if self._disk is None:
            return Record(None, "", 0)
        folder = self._of_this_colony()[-1]
        if self._content(f"{folder}/{_KNOWN}") is None:
            self.remember_colony()
        record = f"{folder}/{_base(path)}"
        found = self._content(record) or b""
        whole = self._filled(path, found)
        if len(found) < size:  # a blank line, or what cannot be judged: it costs no record of the rest of the day
            sheet = content_at(self._colony, path, limits.AT_ONCE) or b""
            whole = sheet[:size] if sheet.startswith(found) else whole
        if whole != found:
            with contextlib.suppress(OSError):
                self._put(record, whole)
        self._opened[path] = opened = Record(self._disk, record, size)
        return opened

    def close(self) -> None:
        """Cut what could not be cut before."""
        for opened in self._opened.values():
            opened.cut_back()

    def sheets(self) -> dict[str, SheetName]:
        """The sheets of which there is a record, by path."""
        found: dict[str, SheetName] = {}
        for folder in self._of_this_colony():
            for path in self._records(folder):
                name = name_of(path)
                if name is not None:
                    found[path] = name
        return found

    def state(self, path: str) -> tuple[tuple[int, int, int] | None, ...]:
        """By what the records of a sheet are known again; none are read."""
        found: list[tuple[int, int, int] | None] = []
        for folder in self._of_this_colony():
            assert self._disk is not None
            try:
                status = self._disk.status(f"{folder}/{_base(path)}")
                found.append((status.st_ino, status.st_size, status.st_mtime_ns))
            except OSError:
                found.append(None)
        return tuple(found)

    def keep_only(self, path: str, saves: list[bytes]) -> None:
        """Let the record of a sheet hold these saves alone: the others were written again elsewhere."""
        if self._disk is None:
            return
        for folder in self._of_this_colony():
            record = f"{folder}/{_base(path)}"
            with contextlib.suppress(OSError):
                if not saves:
                    self._disk.remove(record)
                elif self._content(record) is not None:
                    self._put(record, b"".join(saves))

    def take_over(self, path: str) -> None:
        """Let the record of a sheet hold all of its whole saves, where it holds less: it was put back, or lost."""
        record, sheet = self.record(path) or b"", content_at(self._colony, path, limits.AT_ONCE)
        if self._disk is None or sheet is None or not sheet.startswith(record):
            return
        there = sheet[: end_of_last_save(sheet)]
        if len(there) > len(record):
            with contextlib.suppress(OSError):
                self._put(f"{self._of_this_colony()[-1]}/{_base(path)}", there)

    def remember_colony(self) -> None:
        """Note by what the colony is known again."""
        if self._disk is None:
            return
        with contextlib.suppress(OSError):
            lines = "".join(f"{path}\t{mark}\n" for path, mark in marks_of(self._colony).items()).encode()
            path = f"{self._of_this_colony()[-1]}/{_KNOWN}"
            if lines and self._content(path) != lines:
                self._put(path, lines)

    # Which colony

    def is_of_this_colony(self) -> bool:
        """Whether what lies at the path now is the colony whose records these are."""
        return any(self._is_of_this_colony(folder) for folder in self._of_this_colony())

    def is_of_another_colony(self) -> bool:
        """Whether these are the records of a colony that was taken away from here, under a running desk too."""
        known = any(True for folder in self._of_this_colony() for _ in self._marks(folder))
        return known and not self.is_of_this_colony()

    def _of_this_colony(self) -> list[str]:
        """Folders of this colony's records, oldest first; one at least when a journal is kept."""
        if self._folders is None:
            if self._disk is None:
                self._folders = []
                return self._folders
            try:
                numbers = sorted(int(name) for name, _ in self._disk.list("") if name.isdecimal())
            except OSError:
                numbers = []
            folders = [str(number) for number in numbers]
            ours = [folder for folder in folders if self._is_of_this_colony(folder)]
            unused = [folder for folder in folders if not any(True for _ in self._marks(folder))]
            self._folders = ours or unused[:1] or [str(max(numbers, default=0) + 1)]
        return self._folders

    def _is_of_this_colony(self, folder: str) -> bool:
        return has_one_of(self._colony, self._marks(folder))

    def _marks(self, folder: str) -> Iterator[tuple[str, str]]:
        """By what the colony of a folder is known again: each file with its mark."""
        assert self._disk is not None
        for path in self._records(folder):
            if mark := first_line(self._disk, f"{folder}/{_base(path)}"):
                yield path, mark
        for line in (self._content(f"{folder}/{_KNOWN}") or b"").decode(errors="replace").splitlines():
            path, _, mark = line.partition("\t")
            if (path == SETTINGS or name_of(path) is not None) and mark:
                yield path, mark

    # Files

    def _records(self, folder: str) -> list[str]:
        """Paths of the sheets of which a folder has records."""
        assert self._disk is not None
        try:
            names = [name for name, _ in self._disk.list(folder)]
        except OSError:
            return []
        paths = (f"{SHEETS}/{name[:4]}/{name}" for name in names)
        return sorted(path for path in paths if name_of(path) is not None)

    def _content(self, path: str) -> bytes | None:
        assert self._disk is not None
        return content_at(self._disk, path, _LARGEST_RECORD)

    def _put(self, path: str, content: bytes) -> None:
        """Put a file in the place of another at once. Raises `OSError`."""
        assert self._disk is not None
        draft = f"{path}.draft"
        with contextlib.suppress(FileNotFoundError):
            self._disk.remove(draft)
        handle = opened_record(self._disk, draft, 0)
        try:
            write_all(self._disk, handle, content)
        finally:
            self._disk.close(handle)
        self._disk.rename(draft, path)


def sheet_of(record: str) -> SheetName | None:
    """Of which sheet a record is, by its file's name; None when it is none."""
    return name_of(f"{SHEETS}/{record[:4]}/{record}")


def _base(path: str) -> str:
    return path.rpartition("/")[2]
