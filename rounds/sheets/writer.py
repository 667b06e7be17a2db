"""The one writer of a desk's sheets: each save written, synced and in its place, or not saved at all."""

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
from rounds.sheets.open_sheet import OwnSheet, is_there, last_save, lines_at
from rounds.sheets.parse import Trouble
from rounds.sheets.watch import SHEETS, name_of, sheet_path

_MOST_PARTS: Final = 9_999
#: How often in one save the sheet may be taken away before the keeper is told.
_TRIES: Final = 4


class Writer:
    """Finds today's sheet, or begins it; it never opens another day's."""

    def __init__(self, disk: Disk, desk: str, tell: Callable[[Trouble], None]) -> None:
        self._disk = disk
        self._desk = desk
        self._tell = tell
        self._day: date | None = None
        self.sheet: OwnSheet | None = None
        #: Saves that another program took away; they go ahead of the next one.
        self._owed: list[bytes] = []
        #: Sheets left for good in this run.
        self._left: set[str] = set()
        self._colony = self._identity()

    def append(self, save: bytes, day: date) -> None:
        """Add one save to the sheet of `day`; it is on disk and in its place when this returns.

        Raises `OSError` when it is not; then nothing of it counts, and the same save can be tried again.
        """
        for _ in range(_TRIES):
            sheet = self._sheet_of(day)
            owed = self._still_owed(day) if self._owed else []
            try:
                sheet.append(save, owed)
            except BaseException:
                if sheet.spoiled:
                    self._leave()
                raise
            self._owed = []
            if sheet.in_place():
                return
            # A sync program put another file in its place while this was being written.
            self._take_along(besides=save)
        raise OSError(errno.EAGAIN, "another program keeps replacing the sheet; stop it")

    def close(self) -> None:
        """Let go of the sheet."""
        if self.sheet is not None:
            self.sheet.close()
        self.sheet = self._day = None

    def _sheet_of(self, day: date) -> OwnSheet:
        if self.sheet is not None:
            if not self.sheet.in_place():
                self._take_along()
            elif self._day != day:
                self.close()
        if self.sheet is None:
            self.sheet = self._opened(day)
            self._day = day
        return self.sheet

    def _take_along(self, besides: bytes = b"") -> None:
        """Leave a sheet that is no longer in its place, with the saves that are gone with it."""
        assert self.sheet is not None
        path = self.sheet.path
        self._owed = self.sheet.lost(besides)
        if self._owed:
            what = (
                f"{path} was replaced, cut or taken away by another program; what this desk had saved there is "
                "saved again in a sheet of its own."
            )
            self._tell(Trouble(path, 0, what))
        self._leave()

    def _leave(self) -> None:
        """Go on in another part: this one is never written to again."""
        sheet, self.sheet = self.sheet, None
        assert sheet is not None
        self._left.add(sheet.path)
        self._drop_if_empty(sheet)
        sheet.close()

    def _drop_if_empty(self, sheet: OwnSheet) -> None:
        """Take away a sheet in which nothing was ever saved, so that failed tries leave no files behind."""
        if sheet.end == 0 and sheet.in_place():
            with contextlib.suppress(OSError):
                self._disk.remove(sheet.path)
                self._left.discard(sheet.path)

    def _still_owed(self, day: date) -> list[bytes]:
        """Those owed that no part of the day's sheet holds: a drive that was away may have come back."""
        there: set[bytes] = set()
        for part in self._parts(day):
            there |= lines_at(self._disk, sheet_path(day, self._desk, part))
        return [save for save in self._owed if not is_there(save, there)]

    def _parts(self, day: date) -> list[int]:
        folder = sheet_path(day, self._desk).rpartition("/")[0]
        names = [name_of(f"{folder}/{name}") for name, _ in self._disk.list(folder)]
        return sorted(name.part for name in names if name and name.day == day and name.desk == self._desk)

    def _opened(self, day: date) -> OwnSheet:
        """The sheet of the day, ready to grow: the last part there is, or a new one. Raises `OSError`."""
        if self._colony is None:
            self._colony = self._identity()
        elif self._identity() != self._colony:  # a drive that was pulled out leaves an empty folder behind
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

    def _begun(self, path: str, folder: str) -> OwnSheet:
        """A new sheet, readable by those who may read its folder, writable by its owner alone."""
        mode = 0o600 | self._disk.status(folder).st_mode & 0o044
        handle = self._disk.open(path, os.O_RDWR | os.O_APPEND | os.O_CREAT | os.O_EXCL, mode)
        try:
            return OwnSheet(self._disk, path, handle)
        except BaseException:
            self._disk.close(handle)
            raise

    def _reopened(self, path: str) -> OwnSheet | None:
        """A sheet of this desk that is there already; None when it had better be left as it is."""
        if path in self._left:
            return None
        try:
            handle = self._disk.open(path, os.O_RDWR | os.O_APPEND)
        except OSError:
            return None
        try:
            status = self._disk.status_of(handle)
            # A second name for the file may lie outside the colony, or in a backup made of links.
            if stat.S_ISREG(status.st_mode) and status.st_nlink == 1:
                sheet = OwnSheet(self._disk, path, handle)
                if self._made_ready(sheet):
                    return sheet
        except OSError:
            pass
        except BaseException:
            self._disk.close(handle)
            raise
        self._disk.close(handle)
        return None

    def _made_ready(self, sheet: OwnSheet) -> bool:
        """Find the end of the last whole save; what a crash left behind it is set aside and cut off."""
        found = last_save(self._disk, sheet.handle, sheet.end)
        if found is None:
            return False
        end, line_open, rest = found
        if rest:
            name = sheet.path.rpartition("/")[2].removesuffix(".jsonl")
            aside = keep_aside(self._disk, f"{name}.torn-at-{end}", rest)
            self._disk.cut(sheet.handle, end)
            self._disk.sync(sheet.handle)
            what = (
                f"{sheet.path} ended with something that is no whole save, as a crash or a power cut leaves it. "
                f"Nothing of it was acknowledged; it lies in {aside}."
            )
            self._tell(Trouble(sheet.path, 0, what, rest[:4096]))
        sheet.end, sheet.line_open = end, line_open
        return True

    def _identity(self) -> tuple[int, int] | None:
        try:
            status = self._disk.status("")
        except OSError:
            return None
        return status.st_dev, status.st_ino


#: Why the disk did not take it, and what to do, by what the system says.
_REASONS: Final = {
    errno.ENOSPC: "the disk is full. Make room on it, then try again",
    errno.EDQUOT: "your share of the disk is used up. Make room, then try again",
    errno.EROFS: "the disk can only be read just now. Make it writable (a lock on the card?), then try again",
    errno.EACCES: "this user may not write there. Have the folder's permissions set right, then try again",
    errno.EPERM: "this user may not write there. Have the folder's permissions set right, then try again",
    errno.EIO: "the disk answers with an error. Copy the colony to another disk soon, and try again",
    errno.ENOENT: "the colony's folder is gone (a drive pulled out?). Bring it back, then try again",
    errno.ENOTDIR: "something else stands where a folder of the sheets should be. Move it, then try again",
    errno.EEXIST: "something else stands where the sheet should be. Move it, then try again",
    errno.EISDIR: "a folder stands where the sheet should be. Move it, then try again",
    errno.ELOOP: "a link stands where the sheets should be, and links are not followed. Move it, then try again",
    errno.EMFILE: "too many files are open. Close other programs, then try again",
    errno.ENFILE: "too many files are open. Close other programs, then try again",
}


def reason(error: OSError) -> str:
    """Why the disk did not take it, and what to do, in a keeper's words."""
    known = _REASONS.get(error.errno or 0)
    return known or f"the disk refused it ({error.strerror or error}). Try again"
