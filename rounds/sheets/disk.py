"""The file calls of the sheets, in one place, so that tests can put a failing disk there.

Every path is relative to the colony's folder and never leads out of it: links are not followed.
"""

from __future__ import annotations

import errno
import os
from typing import Final, Protocol

from rounds import system

#: The smallest piece that a dying disk refuses.
_BLOCK: Final = 4096


class FileStatus(system.Readable, Protocol):
    """The part of `os.stat_result` that the sheets look at."""

    @property
    def st_dev(self) -> int: ...
    @property
    def st_ino(self) -> int: ...
    @property
    def st_size(self) -> int: ...
    @property
    def st_mtime_ns(self) -> int: ...
    @property
    def st_ctime_ns(self) -> int: ...
    @property
    def st_nlink(self) -> int: ...


class Disk:
    """The file calls the sheets make below one colony's folder. Each raises `OSError`."""

    def __init__(self, colony: str) -> None:
        self._colony = colony

    def _at(self, path: str) -> str:
        return f"{self._colony}/{path}" if path else self._colony

    def open(self, path: str, flags: int, mode: int = 0o600) -> int:
        """Open a file. A link is refused, and a pipe does not keep the caller waiting."""
        return system.open_file(self._at(path), flags, mode)

    def close(self, handle: int) -> None:
        """Close an open file."""
        os.close(handle)

    def write(self, handle: int, content: bytes) -> int:
        """Write at the end; how many bytes were written."""
        return os.write(handle, content)

    def read(self, handle: int, size: int, offset: int) -> bytes:
        """Up to `size` bytes from `offset`; fewer at the end of the file."""
        return system.read_at(handle, size, offset)

    def let_read(self, handle: int, like: FileStatus) -> None:
        """Let those read an open file who can read another one, by its status, as far as this user may say so."""
        system.let_read(handle, like)

    def sync(self, handle: int) -> None:
        """Return once the content is on the disk."""
        system.sync(handle)

    def sync_folder(self, path: str) -> None:
        """Return once the names in a folder are on the disk, where that can be asked for."""
        system.sync_folder(self._at(path))

    def cut(self, handle: int, size: int) -> None:
        """Cut an open file to a size."""
        os.ftruncate(handle, size)

    def status(self, path: str) -> FileStatus:
        """The status of what stands at a path; of a link, its own."""
        return os.lstat(self._at(path))

    def status_of(self, handle: int) -> FileStatus:
        """The status of an open file."""
        return os.fstat(handle)

    def list(self, path: str) -> list[tuple[str, FileStatus]]:
        """Names in a folder and the status of each (of a link, its own)."""
        found: list[tuple[str, FileStatus]] = []
        with os.scandir(self._at(path)) as names:
            for name in names:
                try:
                    found.append((name.name, name.stat(follow_symlinks=False)))
                except FileNotFoundError:  # gone between the two looks
                    continue
        return found

    def make_folder(self, path: str, mode: int) -> None:
        """Make a folder with just this mode, whatever the umask, so that a group the keeper let in can share it."""
        system.make_folder(self._at(path), mode)

    def rename(self, old: str, new: str) -> None:
        """Put a file in the place of another at once."""
        os.replace(self._at(old), self._at(new))  # noqa: PTH105

    def remove(self, path: str) -> None:
        """Take a file away."""
        os.unlink(self._at(path))  # noqa: PTH108


def whole(disk: Disk, handle: int, offset: int = 0, most: int = 1 << 40) -> bytes:
    """All bytes of an open file from `offset` on, at most `most`. Raises `OSError`."""
    parts: list[bytes] = []
    while most > 0 and (part := disk.read(handle, min(most, 1 << 24), offset)):
        parts.append(part)
        offset += len(part)
        most -= len(part)
    return parts[0] if len(parts) == 1 else b"".join(parts)


def what_can_be_read(disk: Disk, handle: int, offset: int = 0, most: int = 1 << 40) -> bytes:
    """Like `whole`; where the disk answers with an I/O error, empty bytes stand for what it refuses."""
    try:
        return whole(disk, handle, offset, most)
    except OSError as error:
        if error.errno != errno.EIO:
            raise
    stop = min(disk.status_of(handle).st_size, offset + most)
    parts: list[bytes] = []
    while offset < stop:
        length = min(_BLOCK - offset % _BLOCK, stop - offset)
        try:
            part = disk.read(handle, length, offset)
        except OSError:
            part = bytes(length)
        if not part:
            break
        parts.append(part)
        offset += len(part)
    return b"".join(parts)


def write_all(disk: Disk, handle: int, content: bytes) -> None:
    """Write every byte, in as few calls as the system needs. Raises `OSError`."""
    rest = content
    while rest:
        written = disk.write(handle, rest)
        if written <= 0:
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        rest = rest[written:]


def content_at(disk: Disk, path: str, most: int = 1 << 40) -> bytes | None:
    """The bytes of a file; None when it cannot be read, or is larger than `most`."""
    try:
        handle = disk.open(path, os.O_RDONLY)
    except OSError:
        return None
    try:
        if disk.status_of(handle).st_size > most:
            return None
        return whole(disk, handle, 0, most + 1)
    except OSError:
        return None
    finally:
        disk.close(handle)
