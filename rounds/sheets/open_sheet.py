"""One open sheet of this desk: it grows by whole saves, or goes back to where it was."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final
from zlib import crc32

from rounds.logbook import rows
from rounds.sheets import limits
from rounds.sheets.agreement import MOST_TORN, Agreement, agreement, begin_of_last_save, saves_in
from rounds.sheets.disk import Disk, content_at, whole, write_all
from rounds.sheets.parse import judge, stripped

#: How much of the end of a sheet is looked through first for the end of its last whole save.
_FIRST_LOOK: Final = 64 * 1024


class OpenSheet:
    """A sheet open for writing, from the end of its last good save on."""

    def __init__(self, disk: Disk, path: str, handle: int) -> None:
        self._disk = disk
        self.path = path
        self.handle = handle
        status = disk.status_of(handle)
        self._file = (status.st_ino, status.st_dev)
        #: When it was last written to and when it was last changed in any way, as far as that is known (ns).
        self._times: tuple[int, int] | None = (status.st_mtime_ns, status.st_ctime_ns)
        #: Offset of the end of the last whole save, in bytes.
        self.end = status.st_size
        #: Whether the last line lacks its newline (an editor took it away).
        self.line_open = False
        #: What stands behind `end` is not certain: this sheet is not to be written to any more.
        self.uncertain = False
        #: CRC-32 of all bytes up to `end`, where they are known.
        self.check: int | None = None if self.end else 0
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
        if self.check is not None:
            self.check = crc32(content, self.check)
        self._note_time()

    def goes_on(self, record: bytes) -> bool:
        """Whether the sheet holds what its record says, or all but the end of its last save, which is written then.

        Raises `OSError`.
        """
        there = whole(self._disk, self.handle, 0, len(record) + MOST_TORN)
        if agreement(record, there) is Agreement.OTHER:
            return False
        if not there.startswith(record):
            if not record.startswith(there):  # empty bytes where its last save would stand
                there = there[: begin_of_last_save(record)]
                self._disk.cut(self.handle, len(there))
            write_all(self._disk, self.handle, record[len(there) :])
            self._disk.sync(self.handle)
            self._note_time()
        self.end, self.check = max(len(there), len(record)), crc32(record)
        return True

    def _note_time(self) -> None:
        try:
            status = self._disk.status_of(self.handle)
            self._times = (status.st_mtime_ns, status.st_ctime_ns)
        except OSError:
            self._times = None

    def _roll_back(self, content: bytes, sync_failed: bool) -> None:
        # After a failed sync the system may hold pages for clean that never reached the disk, so that
        # a later sync would report success for nothing: such a sheet is cut back and left alone.
        self.uncertain = sync_failed
        try:
            if not content.startswith(whole(self._disk, self.handle, self.end, len(content) + 1)):
                self.uncertain = True  # somebody else has written behind it: that is not ours to cut
                return
            self._disk.cut(self.handle, self.end)
            self._note_time()
            self._disk.sync(self.handle)
        except OSError:
            self.uncertain = True

    def in_place(self) -> bool:
        """Whether the path still leads to this file, and nobody else has written to it."""
        try:
            status = self._disk.status(self.path)
        except OSError:
            return False
        if (status.st_ino, status.st_dev) != self._file or status.st_size != self.end:
            return False
        # Where the bytes are not known to compare them with, another time says nothing.
        times = (status.st_mtime_ns, status.st_ctime_ns)
        return self.check is None or self._times is None or self._times == times

    def is_as_left(self) -> bool:
        """Whether the file now at the path holds just the bytes that this desk left there; reads it whole."""
        if self.check is None:
            return False
        content = content_at(self._disk, self.path, self.end)
        return content is not None and len(content) == self.end and crc32(content) == self.check

    def is_only_touched(self) -> bool:
        """Whether the file at the path is this one and as it was left; its times are those of now from here on."""
        try:
            status = self._disk.status(self.path)
        except OSError:
            return False
        if (status.st_ino, status.st_dev) != self._file or not self.is_as_left():
            return False
        self._times = (status.st_mtime_ns, status.st_ctime_ns)
        return True

    def all_saves(self) -> list[bytes]:
        """Every save of the sheet: from the open file while it is intact, else those of this run."""
        try:
            content = whole(self._disk, self.handle, 0, self.end)
        except OSError:
            return self.saved
        if len(content) < self.end or not content.endswith(b"".join(self.saved)):
            return self.saved
        return saves_in(content)

    def close(self) -> None:
        """Let go of the file."""
        if self.handle >= 0:
            handle, self.handle = self.handle, -1
            self._disk.close(handle)


def entries_in(content: bytes) -> set[bytes]:
    """The sound lines, each as the last of its save: a repair may have made it so."""
    lines = (stripped(line) for line in content.split(b"\n"))
    return {rows.last_of_save(line) for line in lines if rows.is_whole(line)}


def entries_at(disk: Disk, path: str) -> set[bytes]:
    """The sound lines of the file at a path; none when it cannot be read, or is too large for a sheet."""
    return entries_in(content_at(disk, path, limits.AT_ONCE) or b"")


def gone_from(save: bytes, there: set[bytes]) -> int:
    """How many entries of a save are not among those that are there."""
    return len(entries_in(save) - there)


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
                if judged.more == 0:  # as for whoever reads: a damaged line ends its save, too
                    torn = content[stop:]
                    if torn.strip():
                        return start + stop, not ended, torn
                    return size, not content.endswith(b"\n"), b""
                if ended and not judged.sound:
                    return None
            stop = begin
        if start == 0:
            return 0, False, content
        if look >= limits.LAST_LOOK:
            return None
        look = min(8 * look, limits.LAST_LOOK)
