"""One open sheet of this desk: it grows by whole saves, or goes back to where it was."""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import Final

from rounds.sheets.disk import Disk, whole, write_all
from rounds.sheets.parse import judge, stripped

#: How far back from the end of a sheet the end of its last whole save is looked for.
_FIRST_LOOK: Final = 64 * 1024
_LAST_LOOK: Final = 8 * 1024 * 1024


class OpenSheet:
    """A sheet open for writing, from the end of its last good save on."""

    def __init__(self, disk: Disk, path: str, handle: int) -> None:
        self._disk = disk
        self.path = path
        self.handle = handle
        status = disk.status_of(handle)
        self._file = (status.st_ino, status.st_dev)
        #: Offset of the end of the last whole save, in bytes.
        self.end = status.st_size
        #: Whether the last line lacks its newline (an editor took it away).
        self.line_open = False
        #: What stands behind `end` is not certain: this sheet is not to be written to any more.
        self.uncertain = False
        #: The lines of each save of this run, to be written again if another program takes them away.
        self.saved: list[bytes] = []

    def grow(self, lines: bytes, lost: Sequence[bytes] = ()) -> None:
        """Write the lines of one save, those of lost ones first, and sync. Raises `OSError`: all is as before."""
        content = b"".join((b"\n" if self.line_open else b"", *lost, lines))
        sync_failed = False
        try:
            write_all(self._disk, self.handle, content)
            sync_failed = True
            self._disk.sync(self.handle)
        except BaseException:
            self._roll_back(content, sync_failed)
            raise
        self.end += len(content)
        self.line_open = False
        self.saved += [*lost, lines]

    def _roll_back(self, content: bytes, sync_failed: bool) -> None:
        # After a failed sync the system may hold pages for clean that never reached the disk, so that
        # a later sync would report success for nothing: such a sheet is cut back and left alone.
        self.uncertain = sync_failed
        try:
            if not content.startswith(whole(self._disk, self.handle, self.end)):
                self.uncertain = True  # somebody else has written behind it: that is not ours to cut
                return
            self._disk.cut(self.handle, self.end)
            self._disk.sync(self.handle)
        except OSError:
            self.uncertain = True

    def in_place(self) -> bool:
        """Whether the path still leads to this file, and nobody else has written to it."""
        try:
            status = self._disk.status(self.path)
        except OSError:
            return False
        return (status.st_ino, status.st_dev) == self._file and status.st_size == self.end

    def lost(self, besides: bytes = b"") -> list[bytes]:
        """The saves (their lines) that the file now at the path does not hold, `besides` the one under way."""
        there = lines_at(self._disk, self.path)
        return [lines for lines in self._all_saves() if lines != besides and not is_there(lines, there)]

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
        for line in content.split(b"\n"):
            judged = judge(stripped(line))
            if judged.sound:
                begun.append(stripped(line) + b"\n")
                if not judged.more:
                    saves.append(b"".join(begun))
                    begun.clear()
        return saves

    def close(self) -> None:
        """Let go of the file."""
        if self.handle >= 0:
            handle, self.handle = self.handle, -1
            self._disk.close(handle)


def lines_at(disk: Disk, path: str) -> set[bytes]:
    """The lines of the file at a path; none when it cannot be read."""
    try:
        handle = disk.open(path, os.O_RDONLY)
    except OSError:
        return set()
    try:
        return {stripped(line) for line in whole(disk, handle).split(b"\n")}
    except OSError:
        return set()
    finally:
        disk.close(handle)


def is_there(lines: bytes, there: set[bytes]) -> bool:
    """Whether all lines of a save are among those that are there."""
    return there.issuperset(lines.rstrip(b"\n").split(b"\n"))


def last_save(disk: Disk, handle: int, size: int) -> tuple[int, bool, bytes] | None:
    """The offset at which a sheet's last whole save ends, whether its newline is lacking, and what is torn behind.

    Only the end of the file is read, so that a long day costs no more than a short one. None when what
    stands behind it is no save broken off, or when no end is found: then nothing is to be cut.
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
            line = stripped(content[begin : stop - ended])
            if line.strip():
                judged = judge(line)
                if judged.more == 0 and (judged.sound or ended):
                    torn = content[stop:]
                    if torn.strip():
                        return start + stop, not ended, torn
                    return size, not content.endswith(b"\n"), b""
                if ended and not judged.sound:
                    return None
            stop = begin
        if start == 0:
            return 0, False, content
        if look >= _LAST_LOOK:
            return None
        look *= 8
