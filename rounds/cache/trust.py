"""Whether the cache's place on disk can be trusted: this user's alone, no link, and on a disk whose locks hold."""

from __future__ import annotations

import os
import stat
from pathlib import Path
from typing import Final

from rounds import system

#: The file that a colony is known again by.
SETTINGS: Final = "colony.toml"


class Doubtful(Exception):
    """Something of the cache is not as it was written, or not written by us: it is dropped and made again."""


def is_folder_of_ours(folder: Path) -> bool:
    """Whether a folder is this user's, and no one else may write into it."""
    try:
        status = os.lstat(folder)
    except OSError:
        return False
    return stat.S_ISDIR(status.st_mode) and system.is_ours(status)


def known_again(path: Path) -> tuple[int, int]:
    """What a file is known again by: its inode and when it was last written (ns); zeros when there is none."""
    try:
        status = os.lstat(path)
    except OSError:
        return 0, 0
    return status.st_ino, status.st_mtime_ns


def check_file(path: Path) -> None:
    """Raises `Doubtful` when there is no such file, others may have written to it, or it is a link."""
    try:
        status = os.lstat(path)
    except OSError as error:
        raise Doubtful(f"{path.name}: {error.strerror}") from error
    if not stat.S_ISREG(status.st_mode) or not system.is_ours(status) or status.st_nlink != 1:
        raise Doubtful(f"{path.name}: others may have written to it")


def make_file(path: Path) -> None:
    """An empty file that only this user reads. Raises `OSError` when something is there already."""
    os.close(system.open_file(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL))


def lock(path: Path) -> int:
    """A handle that holds the lock of this file until it is closed.

    Raises `BlockingIOError` when another holds it, another `OSError` when the disk gives no lock.
    """
    handle = system.open_file(path, os.O_RDONLY | os.O_CREAT)
    try:
        if not system.lock(handle):
            raise BlockingIOError
    except BaseException:
        os.close(handle)
        raise
    return handle


def locks_hold(path: Path) -> bool:
    """Whether this disk keeps locks: one that is held is refused. Some network homes give none, or give two."""
    try:
        first = lock(path)
    except BlockingIOError:
        return True
    except OSError:
        return False
    try:
        os.close(lock(path))
    except BlockingIOError:
        return True
    except OSError:
        return False
    finally:
        os.close(first)
    return False
