"""Appending to a desk's own sheet of the day: written, synced, and still in its place, or not saved at all."""

from __future__ import annotations

import contextlib
import errno
import os
import stat
from collections.abc import Callable, Sequence
from datetime import date
from typing import Final

from rounds.logbook.disk import Disk, whole, write_all
from rounds.logbook.folder import ASIDE, SHEETS, name_of, sheet_path
from rounds.logbook.reading import Trouble, judge

#: How far back from the end of a sheet the end of its last whole save is looked for.
_FIRST_LOOK: Final = 64 * 1024
_LAST_LOOK: Final = 8 * 1024 * 1024
_MOST_PARTS: Final = 9_999

_REASONS: Final = {
    errno.ENOSPC: "the disk is full. Make room on it, then try again",
    errno.EDQUOT: "your share of the disk is used up. Make room, then try again",
    errno.EROFS: "the disk can only be read just now. Make it writable (a card's lock? a drive pulled out?), then try again",
    errno.EACCES: "this user may not write there. Have the folder's permissions set right, then try again",
    errno.EPERM: "this user may not write there. Have the folder's permissions set right, then try again",
    errno.EIO: "the disk answers with an error. Copy the colony's folder to another disk soon, and try again",
    errno.ENOENT: "the colony's folder is not there any more. Bring it back (a drive pulled out?), then try again",
    errno.ENOTDIR: "something else stands where a folder of the sheets should be. Put it away, then try again",
    errno.EEXIST: "something else stands where the sheet should be. Put it away, then try again",
    errno.EISDIR: "a folder stands where the sheet should be. Put it away, then try again",
    errno.ELOOP: "a link stands where the sheet or its folder should be. Links are not followed; put it away, then try again",
    errno.EMFILE: "too many files are open. Close other programs, then try again",
    errno.ENFILE: "too many files are open. Close other programs, then try again",
}


def reason(error: OSError) -> str:
    """Why the disk did not take it, and what to do."""
    return _REASONS.get(error.errno or 0) or f"the disk refused it ({error.strerror or error}). Try again"


class OwnSheet:
    """One open sheet of this desk. It grows by whole saves, or goes back to where it was."""

    def __init__(self, disk: Disk, full: str, handle: int) -> None:
        self._disk = disk
        self._full = full
        self.handle = handle
        status = disk.status_of(handle)
        self.dev, self.inode = status.st_dev, status.st_ino
        #: The end of the last good save.
        self.end = status.st_size
        self.line_open = False
        #: Never written to again: what stands behind its end is not certain.
        self.spoiled = False
        #: What this run has saved here, to be saved again if another program takes it away.
        self.saved: list[bytes] = []

    def append(self, save: bytes, owed: Sequence[bytes] = ()) -> None:
        """Write one save (and those owed, ahead of it) and sync. Raises `OSError`; the sheet is then as it was."""
        content = b"".join((b"\n" if self.line_open else b"", *owed, save))
        sync_failed = False
        try:
            write_all(self._disk, self.handle, content)
            sync_failed = True
            self._disk.sync(self.handle)
        except BaseException:
            self._go_back(sync_failed)
            raise
        self.end += len(content)
        self.line_open = False
        self.saved += [*owed, save]

    def _go_back(self, sync_failed: bool) -> None:
        # After a failed sync the system may hold pages for clean that never reached the disk, so that
        # a later sync would report success for nothing: such a sheet is cut back and left alone.
        self.spoiled = sync_failed
        try:
            self._disk.cut(self.handle, self.end)
            self._disk.sync(self.handle)
        except OSError:
            self.spoiled = True

    def in_place(self) -> bool:
        """Whether the path still leads to this file, and nobody else has written to it."""
        try:
            status = self._disk.status(self._full)
        except OSError:
            return False
        return (status.st_ino, status.st_dev, status.st_size) == (self.inode, self.dev, self.end)

    def lost(self, besides: bytes) -> list[bytes]:
        """The saves that the file now at the path does not hold, `besides` one that is not acknowledged."""
        there = lines_at(self._disk, self._full)
        return [save for save in self._all_saves() if save != besides and not is_there(save, there)]

    def _all_saves(self) -> list[bytes]:
        """Every save of the sheet: from the open file while it is intact, else those of this run."""
        try:
            content = whole(self._disk, self.handle, 0, self.end)
        except OSError:
            return self.saved
        if len(content) < self.end or not content.endswith(b"".join(self.saved)):
            return self.saved
        saves: list[bytes] = []
        begun: list[bytes] = []
        for line in content.splitlines(keepends=True):
            judged = judge(line.rstrip(b"\r\n"))
            if judged.sound:
                begun.append(line)
                if not judged.more:
                    saves.append(b"".join(begun))
                    begun.clear()
        return saves

    def close(self) -> None:
        """Let go of the file."""
        if self.handle >= 0:
            handle, self.handle = self.handle, -1
            self._disk.close(handle)


def lines_at(disk: Disk, full: str) -> set[bytes]:
    """The lines of the file at a path; none when it cannot be read."""
    try:
        handle = disk.open(full, os.O_RDONLY)
    except OSError:
        return set()
    try:
        return set(whole(disk, handle).split(b"\n"))
    except OSError:
        return set()
    finally:
        disk.close(handle)


def is_there(save: bytes, lines: set[bytes]) -> bool:
    """Whether all lines of a save are among these."""
    return lines.issuperset(save.rstrip(b"\n").split(b"\n"))


class Writer:
    """The one writer of a desk's sheets: it finds today's, or begins it, and never opens another day's."""

    def __init__(self, disk: Disk, folder: str, desk: str, tell: Callable[[Trouble], None]) -> None:
        self._disk = disk
        self._folder = folder
        self._desk = desk
        self._tell = tell
        self._day: date | None = None
        self.sheet: OwnSheet | None = None
        #: Path of the open sheet, relative to the colony.
        self.path = ""
        #: Saves that another program took away; they go ahead of the next one.
        self._owed: list[bytes] = []
        #: Sheets left for good in this run.
        self._left: set[str] = set()
        self._colony: tuple[int, int] | None = None

    def append(self, save: bytes, day: date) -> None:
        """Add one save to the sheet of `day`; it is on disk and in its place when this returns.

        Raises `OSError` when it is not; then nothing of it counts, and the same save can be tried again.
        """
        for _ in range(4):
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

    def _full(self, path: str) -> str:
        return os.path.join(self._folder, path)

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
        self._owed = self.sheet.lost(besides)
        if self._owed:
            what = (
                f"{self.path} was replaced, cut or taken away by another program; what this desk had saved "
                "there is saved again in a sheet of its own."
            )
            self._tell(Trouble(self.path, 0, what))
        self._leave()

    def _leave(self) -> None:
        """Go on in another part: this one is never written to again."""
        sheet, self.sheet = self.sheet, None
        assert sheet is not None
        self._left.add(self.path)
        if sheet.end == 0 and sheet.in_place():  # nothing was ever saved in it
            with contextlib.suppress(OSError):
                self._disk.remove(self._full(self.path))
        sheet.close()

    def _still_owed(self, day: date) -> list[bytes]:
        """Those owed that no part of the day's sheet holds: a drive that was away may have come back."""
        there: set[bytes] = set()
        for part in self._parts(day):
            there |= lines_at(self._disk, self._full(sheet_path(day, self._desk, part)))
        return [save for save in self._owed if not is_there(save, there)]

    def _parts(self, day: date) -> list[int]:
        folder = sheet_path(day, self._desk).rpartition("/")[0]
        names = [name_of(f"{folder}/{name}") for name, _ in self._disk.list(self._full(folder))]
        return sorted(name.part for name in names if name and name.day == day and name.desk == self._desk)

    def _opened(self, day: date) -> OwnSheet:
        """The sheet of the day, ready to grow: the last part there is, or a new one."""
        folders = self._folders(f"{SHEETS}/{day.year:04d}")
        parts = self._parts(day)
        part = max(parts, default=1)
        sheet = self._reopened(sheet_path(day, self._desk, part)) if parts else None
        while sheet is None:
            self.path = sheet_path(day, self._desk, part)
            try:
                sheet = self._begun(self.path, folders[-1])
            except FileExistsError:
                part += 1
                if part > _MOST_PARTS:
                    raise
        try:
            for folder in reversed(folders):
                self._disk.sync_folder(folder)
        except OSError:
            if sheet.end == 0:
                with contextlib.suppress(OSError):
                    self._disk.remove(self._full(self.path))
            sheet.close()
            raise
        return sheet

    def _begun(self, path: str, folder: str) -> OwnSheet:
        """A new sheet, readable by those who may read its folder, writable by its owner alone."""
        mode = 0o600 | self._disk.status(folder).st_mode & 0o044
        flags = os.O_RDWR | os.O_APPEND | os.O_CREAT | os.O_EXCL
        return OwnSheet(self._disk, self._full(path), self._disk.open(self._full(path), flags, mode))

    def _reopened(self, path: str) -> OwnSheet | None:
        """A sheet of this desk that is there already; None when it had better be left as it is."""
        self.path = path
        if path in self._left:
            return None
        try:
            handle = self._disk.open(self._full(path), os.O_RDWR | os.O_APPEND)
        except OSError:
            return None
        try:
            status = self._disk.status_of(handle)
            # A second name for the file may lie outside the colony, or in a backup made of links.
            if stat.S_ISREG(status.st_mode) and status.st_nlink == 1:
                sheet = OwnSheet(self._disk, self._full(path), handle)
                if self._made_ready(sheet):
                    return sheet
        except OSError:
            pass
        self._disk.close(handle)
        return None

    def _made_ready(self, sheet: OwnSheet) -> bool:
        """Find the end of the last whole save; what a crash left behind it is set aside and cut off."""
        found = _last_save(self._disk, sheet.handle, sheet.end)
        if found is None:
            return False
        end, line_open, rest = found
        if rest:
            aside = self._set_aside(rest, end)
            self._disk.cut(sheet.handle, end)
            self._disk.sync(sheet.handle)
            what = (
                f"{self.path} ended with a save that was not finished when the program or the power went. Nothing "
                f"of it was acknowledged; it lies in {aside}."
            )
            self._tell(Trouble(self.path, 0, what, rest[:4096]))
        sheet.end, sheet.line_open = end, line_open
        return True

    def _set_aside(self, rest: bytes, end: int) -> str:
        """Keep bytes that are about to be cut off; the path where they lie, relative to the colony."""
        folders = self._folders(ASIDE)
        name = self.path.rpartition("/")[2].removesuffix(".jsonl")
        return keep_aside(self._disk, self._folder, folders, f"{name}.torn-at-{end}", rest)

    def _folders(self, path: str) -> list[str]:
        """The colony's folder and those below it down to `path`, made where they are lacking."""
        status = self._disk.status(self._folder)
        identity = (status.st_dev, status.st_ino)
        if self._colony is None:
            self._colony = identity
        elif identity != self._colony:  # a drive that was pulled out leaves an empty folder in its place
            raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT), self._folder)
        return make_folders(self._disk, self._folder, path)


def make_folders(disk: Disk, colony: str, path: str) -> list[str]:
    """The full paths of the colony's folder and of each below it down to `path`, made where they are lacking.

    New ones take over who may enter from the colony's folder, but never let everybody write.
    """
    folders = [colony]
    mode = 0o700 | disk.status(colony).st_mode & 0o075
    for name in path.split("/"):
        folder = os.path.join(folders[-1], name)
        try:
            status = disk.status(folder)
        except FileNotFoundError:
            with contextlib.suppress(FileExistsError):
                disk.make_folder(folder, mode)
            status = disk.status(folder)
        if stat.S_ISLNK(status.st_mode):
            raise OSError(errno.ELOOP, os.strerror(errno.ELOOP), folder)
        if not stat.S_ISDIR(status.st_mode):
            raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR), folder)
        folders.append(folder)
    return folders


def keep_aside(disk: Disk, colony: str, folders: Sequence[str], name: str, content: bytes) -> str:
    """Write bytes under a name of their own into the last of `folders`, synced; the path they got."""
    for number in range(1, _MOST_PARTS):
        full = os.path.join(folders[-1], name if number == 1 else f"{name}-{number}")
        path = os.path.relpath(full, colony)
        try:
            handle = disk.open(full, os.O_RDWR | os.O_CREAT | os.O_EXCL | os.O_APPEND, 0o600)
        except FileExistsError:
            with contextlib.suppress(OSError):
                handle = disk.open(full, os.O_RDONLY)
                try:
                    if whole(disk, handle) == content:  # kept by a run that was stopped before it could cut
                        return path
                finally:
                    disk.close(handle)
            continue
        try:
            write_all(disk, handle, content)
            disk.sync(handle)
        finally:
            disk.close(handle)
        for folder in reversed(folders):
            disk.sync_folder(folder)
        return path
    raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), name)


def _last_save(disk: Disk, handle: int, size: int) -> tuple[int, bool, bytes] | None:
    """Where the last whole save of a sheet ends, whether its line is still open, and what stands behind it.

    Only the end of the file is read, so that a long day costs no more than a short one. None when what
    stands behind it is no save broken off, or when no end is found: then nothing is cut.
    """
    look = _FIRST_LOOK
    while True:
        start = max(0, size - look)
        content = whole(disk, handle, start, size - start)
        stop = len(content)
        while stop:
            ended = content.endswith(b"\n", 0, stop)
            begin = content.rfind(b"\n", 0, stop - ended) + 1
            if begin == 0 and start:
                break  # the line begins further to the front
            line = content[begin : stop - ended].rstrip(b"\r").removeprefix(b"\xef\xbb\xbf")
            if line.strip():
                judged = judge(line)
                if judged.more == 0 and (judged.sound or ended):
                    return start + stop, not ended, content[stop:]
                if ended and not judged.sound:
                    return None
            stop = begin
        if start == 0:
            return 0, False, content
        if look >= _LAST_LOOK:
            return None
        look *= 8
