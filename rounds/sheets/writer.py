"""The one writer of a desk's sheets: each save is on disk and in its place, or not saved at all."""

from __future__ import annotations

import contextlib
import errno
import os
import stat
from collections.abc import Callable
from datetime import date
from typing import Final

from rounds.sheets.aside import keep_aside, make_folders, sync_folders
from rounds.sheets.disk import Disk
from rounds.sheets.open_sheet import OpenSheet, is_there, last_save, lines_at
from rounds.sheets.parse import Trouble
from rounds.sheets.save import Save
from rounds.sheets.watch import SHEETS, name_of, sheet_path

_MOST_PARTS: Final = 9_999
#: How often in one save the sheet may be taken away before the keeper is told.
_TRIES: Final = 4


class Writer:
    """Finds today's sheet, or begins it; it never opens another day's."""

    def __init__(self, disk: Disk, desk: str, tell: Callable[[Trouble], None]) -> None:
        self._disk = disk
        self._desk = desk
        #: Hears of what is found wrong with this desk's sheets.
        self._tell = tell
        self._day: date | None = None
        self.sheet: OpenSheet | None = None
        #: Saves (their lines) that another program took away; they are written again ahead of the next one.
        self._lost: list[bytes] = []
        #: Paths of sheets that this run writes to no more.
        self._abandoned: set[str] = set()
        self._colony = self._colony_folder()

    def write(self, save: Save, day: date) -> None:
        """Put one save at the end of this desk's sheet of `day`; it is on disk and in its place when this returns.

        Raises `OSError` when it is not; then nothing of it counts, and the same save can be tried again.
        """
        for _ in range(_TRIES):
            sheet = self._sheet_of(day)
            lost = self._still_lost(day) if self._lost else []
            try:
                sheet.grow(save.lines, lost)
            except BaseException:
                if sheet.uncertain:
                    self._abandon()
                raise
            self._lost = []
            if sheet.in_place():
                return
            # A sync program put another file in its place while this was being written.
            self._abandon_replaced(besides=save.lines)
        raise OSError(errno.EAGAIN, "another program keeps replacing the sheet; stop it")

    def close(self) -> None:
        """Let go of the sheet."""
        if self.sheet is not None:
            self.sheet.close()
        self.sheet = self._day = None

    def _sheet_of(self, day: date) -> OpenSheet:
        if self.sheet is not None:
            if not self.sheet.in_place():
                self._abandon_replaced()
            elif self._day != day:
                self.close()
        if self.sheet is None:
            self.sheet = self._opened(day)
            self._day = day
        return self.sheet

    def _abandon_replaced(self, besides: bytes = b"") -> None:
        """Abandon a sheet that is no longer in its place, and note which saves are lost with it."""
        assert self.sheet is not None
        path = self.sheet.path
        self._lost = self.sheet.lost(besides)
        if self._lost:
            what = (
                f"{path} was replaced, cut or taken away by another program; what this desk had saved there is "
                "saved again in a sheet of its own."
            )
            self._tell(Trouble(path, 0, what))
        self._abandon()

    def _abandon(self) -> None:
        """Go on in another part: this one is never written to again."""
        sheet, self.sheet = self.sheet, None
        assert sheet is not None
        self._abandoned.add(sheet.path)
        self._drop_if_empty(sheet)
        sheet.close()

    def _drop_if_empty(self, sheet: OpenSheet) -> None:
        """Take away a sheet in which nothing was ever saved, so that failed tries leave no files behind."""
        if sheet.end == 0 and sheet.in_place():
            with contextlib.suppress(OSError):
                self._disk.remove(sheet.path)
                self._abandoned.discard(sheet.path)

    def _still_lost(self, day: date) -> list[bytes]:
        """Lost saves that no part of the day's sheet holds: a drive that was away may have come back."""
        there: set[bytes] = set()
        for part in self._parts(day):
            there |= lines_at(self._disk, sheet_path(day, self._desk, part))
        return [lines for lines in self._lost if not is_there(lines, there)]

    def _parts(self, day: date) -> list[int]:
        folder = sheet_path(day, self._desk).rpartition("/")[0]
        names = [name_of(f"{folder}/{name}") for name, _ in self._disk.list(folder)]
        return sorted(name.part for name in names if name and name.day == day and name.desk == self._desk)

    def _opened(self, day: date) -> OpenSheet:
        """The sheet of the day, ready to grow: the last part there is, or a new one. Raises `OSError`."""
        if self._colony is None:
            self._colony = self._colony_folder()
        elif self._colony_folder() != self._colony:  # a drive that was pulled out leaves an empty folder behind
            raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT))
        folders = make_folders(self._disk, f"{SHEETS}/{day.year:04d}")
        parts = self._parts(day)
        part = max(parts, default=1)
        sheet = self._reopened(sheet_path(day, self._desk, part)) if parts else None
        while sheet is None:
            try:
                sheet = self._begun(sheet_path(day, self._desk, part), folders[-1])
            except FileExistsError:
                part += 1
                if part > _MOST_PARTS:
                    raise
        try:
            sync_folders(self._disk, folders)
        except BaseException:
            self._drop_if_empty(sheet)
            sheet.close()
            raise
        return sheet

    def _begun(self, path: str, folder: str) -> OpenSheet:
        """A new sheet, readable by those who may read its folder, writable by its owner alone."""
        mode = 0o600 | self._disk.status(folder).st_mode & 0o044
        handle = self._disk.open(path, os.O_RDWR | os.O_APPEND | os.O_CREAT | os.O_EXCL, mode)
        try:
            return OpenSheet(self._disk, path, handle)
        except BaseException:
            self._disk.close(handle)
            raise

    def _reopened(self, path: str) -> OpenSheet | None:
        """A sheet of this desk that is there already; None when it had better be left as it is."""
        if path in self._abandoned:
            return None
        try:
            handle = self._disk.open(path, os.O_RDWR | os.O_APPEND)
        except OSError:
            return None
        try:
            status = self._disk.status_of(handle)
            # A second name for the file may lie outside the colony, or in a backup made of links.
            if stat.S_ISREG(status.st_mode) and status.st_nlink == 1:
                sheet = OpenSheet(self._disk, path, handle)
                if self._made_ready(sheet):
                    return sheet
        except OSError:
            pass
        except BaseException:
            self._disk.close(handle)
            raise
        self._disk.close(handle)
        return None

    def _made_ready(self, sheet: OpenSheet) -> bool:
        """Find the end of the last whole save; what a crash left behind it is set aside and cut off."""
        found = last_save(self._disk, sheet.handle, sheet.end)
        if found is None:
            return False
        end, line_open, torn = found
        if torn:
            name = sheet.path.rpartition("/")[2].removesuffix(".jsonl")
            aside = keep_aside(self._disk, f"{name}.torn-at-{end}", torn)
            self._disk.cut(sheet.handle, end)
            self._disk.sync(sheet.handle)
            what = (
                f"{sheet.path} ended with something that is no whole save, as a crash or a power cut leaves it. "
                f"Nothing of it was acknowledged; it lies in {aside}."
            )
            self._tell(Trouble(sheet.path, 0, what, torn[:4096]))
        sheet.end, sheet.line_open = end, line_open
        return True

    def _colony_folder(self) -> tuple[int, int] | None:
        """What the colony's folder is known again by: device and inode."""
        try:
            status = self._disk.status("")
        except OSError:
            return None
        return status.st_dev, status.st_ino
