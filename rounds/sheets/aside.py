"""Folders of the sheets, made as the keeper's own folder is, and bytes kept aside before anything is cut."""

from __future__ import annotations

import contextlib
import errno
import os
import stat
from collections.abc import Sequence
from typing import Final

from rounds.sheets.disk import Disk, FileStatus, whole, write_all

ASIDE: Final = "sheets/aside"
_MOST: Final = 9_999


def make_folders(disk: Disk, path: str) -> list[str]:
    """The colony's folder ("") and each below it down to `path`, made where they are lacking.

    New ones let in whom the colony's folder lets in, but never let everybody write. Raises `OSError`,
    also for a link or a file where a folder should be.
    """
    folders = [""]
    mode = 0o700 | disk.status("").st_mode & 0o075
    for name in path.split("/"):
        folder = f"{folders[-1]}/{name}".lstrip("/")
        try:
            status = disk.status(folder)
        except FileNotFoundError:
            with contextlib.suppress(FileExistsError):  # another desk was quicker
                disk.make_folder(folder, mode)
            status = disk.status(folder)
        if stat.S_ISLNK(status.st_mode):
            raise OSError(errno.ELOOP, os.strerror(errno.ELOOP), folder)
        if not stat.S_ISDIR(status.st_mode):
            raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR), folder)
        folders.append(folder)
    return folders


def keep_aside(disk: Disk, name: str, content: bytes, like: FileStatus | None = None) -> str:
    """Keep bytes under a name of their own in `sheets/aside`, on disk when this returns; their path.

    Whoever can read the sheet that they come from, `like` its status, can read them there; without it this user
    alone. Raises `OSError`. What is there already is never written over.
    """
    folders = make_folders(disk, ASIDE)
    for number in range(1, _MOST):
        path = f"{ASIDE}/{name}" if number == 1 else f"{ASIDE}/{name}-{number}"
        try:
            handle = disk.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL | os.O_APPEND, 0o600)
        except FileExistsError:
            if _holds(disk, path, content):  # kept by a run that was stopped before it could go on
                break
            continue
        try:
            if like is not None:
                disk.let_read(handle, like)
            write_all(disk, handle, content)
            disk.sync(handle)
        finally:
            disk.close(handle)
        break
    else:
        raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), name)
    sync_folders(disk, folders)
    return path


def sync_folders(disk: Disk, folders: Sequence[str]) -> None:
    """Sync folders from the innermost outwards. Raises `OSError`."""
    for folder in reversed(folders):
        disk.sync_folder(folder)


def _holds(disk: Disk, path: str, content: bytes) -> bool:
    try:
        handle = disk.open(path, os.O_RDONLY)
    except OSError:
        return False
    try:
        if whole(disk, handle, 0, len(content) + 1) != content:
            return False
        disk.sync(handle)
        return True
    except OSError:
        return False
    finally:
        disk.close(handle)
