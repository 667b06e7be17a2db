"""The record of one sheet: a copy that grows ahead of it, and is cut back when the sheet did not take a save."""

from __future__ import annotations

import contextlib
import errno
import os

from rounds.sheets.disk import Disk, write_all


class Record:
    """The journal of one sheet, which grows ahead of it. Nothing here raises `OSError`."""

    def __init__(self, disk: Disk | None, path: str, size: int) -> None:
        self._disk = disk
        self._path = path
        self._handle = -1
        #: How many bytes of the file tell of what was saved; what stands behind them in a file too long does not.
        self.size = size
        self.is_too_long = False
        #: Bytes that it did not take yet: they are tried again with the next.
        self._behind = b""

    def append(self, content: bytes) -> None:
        """Take the lines of a save that is about to be written."""
        if self._disk is None:
            return
        self._behind += content
        try:
            if self._handle < 0:
                self._handle = opened_record(self._disk, self._path, self.size)
                self.is_too_long = False
            write_all(self._disk, self._handle, self._behind)
        except OSError:
            self._cut()
        else:
            self.size += len(self._behind)
            self._behind = b""

    def take_back(self, content: bytes) -> None:
        """Forget the save that was taken last: the sheet did not take it."""
        if self._disk is None:
            return
        if self._behind:
            self._behind = self._behind.removesuffix(content)
            return
        self.size -= len(content)
        self._cut()

    def _cut(self) -> None:
        """Back to what was saved. A record that cannot be cut stays: it may be the only good copy of the others."""
        if self._handle < 0 or self._disk is None:
            return
        try:
            self._disk.cut(self._handle, self.size)
        except OSError:
            self.is_too_long = True
            self._let_go()  # whoever opens it again cuts it

    def close(self) -> None:
        """Let go of the file, cut to what was saved."""
        self.cut_back()
        self._let_go()

    def cut_back(self) -> None:
        """Cut it to what was saved, if that could not be done before."""
        if self.is_too_long and self._disk is not None:
            with contextlib.suppress(OSError):
                handle = opened_record(self._disk, self._path, self.size)
                self.is_too_long = False
                self._disk.close(handle)

    def _let_go(self) -> None:
        if self._handle >= 0 and self._disk is not None:
            handle, self._handle = self._handle, -1
            with contextlib.suppress(OSError):
                self._disk.close(handle)


def opened_record(disk: Disk, path: str, size: int) -> int:
    """A record open to grow from so many bytes on. Raises `OSError`."""
    folder = path.rpartition("/")[0]
    flags = os.O_RDWR | os.O_APPEND | os.O_CREAT
    try:
        handle = disk.open(path, flags)
    except FileNotFoundError:
        disk.make_folder(folder, 0o700)
        handle = disk.open(path, flags)
    try:
        there = disk.status_of(handle).st_size
        if there < size:
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        if there > size:  # what a crash left of a save
            disk.cut(handle, size)
    except BaseException:
        disk.close(handle)
        raise
    return handle
