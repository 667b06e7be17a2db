"""Whether the state folder was put there by a copy: from a backup, or from another disk.

Where the home folder is put back together with the colony, the journal fits the sheets, and nothing is noticed by
it. What tells is a canary: an empty file, made by each start and each end under a name drawn at random. Another
file notes its name, its inode and its folder's, and the time of its last change (ctime), which no program can set.
Whatever puts files back makes them at times, and mostly with inodes, of its own.

A canary of which the time alone differs says nothing: backups made of links and programs that set rights change it
too. An inode must differ as well, or a canary that is not noted must lie beside it, as in a folder that was copied
over. What is lacking or cannot be read says nothing either.
"""

from __future__ import annotations

import contextlib
import os
from pathlib import Path
from typing import Final

from rounds.sheets.disk import Disk, content_at, write_all
from rounds.sheets.identity import random_letters

_NOTED: Final = "noted"
_DRAFT: Final = "noted.draft"
_LETTERS: Final = 12
_LONGEST: Final = 200


def was_put_there(state_folder: Path, machine: str) -> bool:
    """Whether the state folder is a copy of what this machine wrote there. `machine` is the mark of the machine."""
    disk = _of(state_folder, machine)
    try:
        name, inode, folder, changed = (content_at(disk, _NOTED, _LONGEST) or b"").decode("ascii").split()
        found = dict(disk.list(""))
        canary = found.get(name)
        if canary is None or canary.st_ctime_ns == int(changed):
            return False
        inodes = canary.st_ino, disk.status("").st_ino
        return inodes != (int(inode), int(folder)) or bool(found.keys() - {name, _NOTED, _DRAFT})
    except (OSError, ValueError):
        return False


def leave_canary(state_folder: Path, machine: str) -> None:
    """Make another canary, note it and take the earlier one away. Where nothing can be written, nothing is."""
    disk = _of(state_folder, machine)
    with contextlib.suppress(OSError):
        (state_folder / _folder(machine)).mkdir(mode=0o700, parents=True, exist_ok=True)
        name = random_letters(_LETTERS)
        handle = disk.open(name, os.O_RDWR | os.O_CREAT | os.O_EXCL)
        try:
            canary = disk.status_of(handle)
        finally:
            disk.close(handle)
        handle = disk.open(_DRAFT, os.O_RDWR | os.O_APPEND | os.O_CREAT)
        try:
            disk.cut(handle, 0)
            noted = name, canary.st_ino, disk.status("").st_ino, canary.st_ctime_ns
            write_all(disk, handle, " ".join(map(str, noted)).encode())
        finally:
            disk.close(handle)
        disk.rename(_DRAFT, _NOTED)
        for other, _ in disk.list(""):
            if other not in (name, _NOTED, _DRAFT):
                disk.remove(other)


def _of(state_folder: Path, machine: str) -> Disk:
    return Disk(str(state_folder / _folder(machine)))


def _folder(machine: str) -> str:
    return f"canary-{machine}"
