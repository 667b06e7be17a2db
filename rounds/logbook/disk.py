"""What the sheets ask of the operating system, in one place, so that tests can put a failing disk there."""

from __future__ import annotations

import os
import stat
import sys
from typing import Final, Protocol

#: Where a folder cannot be synced at all (some network and memory-stick file systems) it need not be.
_NO_FOLDER_SYNC: Final = frozenset({"EINVAL", "ENOTSUP", "EOPNOTSUPP", "ENOSYS", "EBADF"})


class FileStatus(Protocol):
    """The part of `os.stat_result` that the sheets look at."""

    @property
    def st_mode(self) -> int: ...
    @property
    def st_dev(self) -> int: ...
    @property
    def st_ino(self) -> int: ...
    @property
    def st_size(self) -> int: ...
    @property
    def st_mtime_ns(self) -> int: ...
    @property
    def st_nlink(self) -> int: ...


class Disk:
    """The file calls the sheets make. Each raises `OSError`; no path is ever followed through a link at its end."""

    def open(self, path: str, flags: int, mode: int = 0o600) -> int:
        """Open a file; a link, and a pipe that would block, are refused or opened without waiting."""
        return os.open(path, flags | os.O_NOFOLLOW | os.O_CLOEXEC | os.O_NONBLOCK, mode)

    def close(self, handle: int) -> None:
        os.close(handle)

    def write(self, handle: int, content: bytes) -> int:
        """Write at the end; how many bytes were taken."""
        return os.write(handle, content)

    def read(self, handle: int, size: int, offset: int) -> bytes:
        """Up to `size` bytes from `offset`; fewer at the end of the file."""
        return os.pread(handle, size, offset)

    def sync(self, handle: int) -> None:
        """Return once the content is on the disk."""
        if sys.platform == "darwin":
            import fcntl

            fcntl.fcntl(handle, fcntl.F_FULLFSYNC)  # there, fsync stops at the drive's own memory
        else:
            os.fdatasync(handle)

    def sync_folder(self, path: str) -> None:
        """Return once the names in a folder are on the disk."""
        handle = os.open(path, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
        try:
            os.fsync(handle)
        except OSError as error:
            import errno

            if errno.errorcode.get(error.errno or 0) not in _NO_FOLDER_SYNC:
                raise
        finally:
            os.close(handle)

    def cut(self, handle: int, size: int) -> None:
        """Cut a file to a size."""
        os.ftruncate(handle, size)

    def status(self, path: str) -> FileStatus:
        """The status of what stands at a path; of a link, its own."""
        return os.lstat(path)

    def status_of(self, handle: int) -> FileStatus:
        """The status of an open file."""
        return os.fstat(handle)

    def list(self, path: str) -> list[tuple[str, FileStatus]]:
        """Names in a folder and the status of each (of a link, its own)."""
        found: list[tuple[str, FileStatus]] = []
        with os.scandir(path) as names:
            for name in names:
                try:
                    found.append((name.name, name.stat(follow_symlinks=False)))
                except FileNotFoundError:  # gone between the two looks
                    continue
        return found

    def make_folder(self, path: str, mode: int) -> None:
        """Make a folder with the mode of the one above it, whatever the umask, so that a group can share it."""
        os.mkdir(path, mode)
        made = os.lstat(path)
        if stat.S_IMODE(made.st_mode) & 0o777 != mode & 0o777:
            os.chmod(path, stat.S_IMODE(made.st_mode) & ~0o777 | mode & 0o777)

    def rename(self, old: str, new: str) -> None:
        """Put a file in the place of another at once."""
        os.rename(old, new)

    def remove(self, path: str) -> None:
        """Take a file away."""
        os.unlink(path)


DISK: Final = Disk()


def whole(disk: Disk, handle: int, offset: int = 0, most: int = 1 << 40) -> bytes:
    """All bytes of an open file from `offset` on, at most `most`."""
    parts: list[bytes] = []
    while most > 0 and (part := disk.read(handle, min(most, 1 << 24), offset)):
        parts.append(part)
        offset += len(part)
        most -= len(part)
    return parts[0] if len(parts) == 1 else b"".join(parts)


def write_all(disk: Disk, handle: int, content: bytes) -> None:
    """Write every byte, in as few calls as the system needs."""
    rest = content
    while rest:
        taken = disk.write(handle, rest)
        if taken <= 0:
            raise OSError(5, os.strerror(5))
        rest = rest[taken:]
