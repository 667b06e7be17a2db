"""The writer lock: a name of its own for each running writer, so that no sheet ever has two.

A desk's name is an installation (this user on this machine) and a number: `shed-k3x9`, and `shed-k3x9-2` for a
second window. It is held by a lock on a file in the user's own state folder, which the system lets go when the
process ends, however it ends: a stale lock file holds nothing up.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
import socket
from pathlib import Path
from typing import Final

from rounds import system
from rounds.errors import RoundsError
from rounds.logbook.plain import slug

_NAME: Final = re.compile(r"[a-z0-9][a-z0-9-]{0,39}-[a-z0-9]{4}")
_LETTERS: Final = "0123456789abcdefghjkmnpqrstvwxyz"
_MOST_DESKS: Final = 999


class WriterLock:
    """A desk's name, held by this process alone until `close` or until the process ends."""

    def __init__(self, name: str, handle: int = -1) -> None:
        self.name = name
        self._handle = handle

    def close(self) -> None:
        """Give the name back."""
        if self._handle >= 0:
            handle, self._handle = self._handle, -1
            os.close(handle)

    def __enter__(self) -> WriterLock:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def installation(state_folder: Path) -> str:
    """The name of this user's installation on this machine, made once and remembered.

    It is kept under a mark of the machine: a home folder copied to another machine, or shared by
    several, gets a name on each. When nothing can be remembered there the name holds for this run.
    """
    host = slug(socket.gethostname().partition(".")[0])[:40].strip("-") or "desk"
    file = state_folder / f"installation-{_machine()}"
    for _ in range(3):
        known = _remembered(file)
        if known:
            return known
        name = f"{host}-{_random(4)}"
        try:
            _remember(file, name)
        except OSError:
            return name
    return name


def acquire(state_folder: Path, colony_folder: Path, installation: str) -> WriterLock:
    """Lock the first name of this installation that no running process holds.

    Names do not depend on the colony, so that one colony reached by two paths cannot be written by two desks of
    one name; `colony_folder` is noted in the lock file for whoever looks. Where locks cannot be had (a home folder
    that cannot be written to), a name drawn at random for this run does. Raises `RoundsError` when all are held.
    """
    try:
        folder = state_folder / "desks"
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        for number in range(1, _MOST_DESKS + 1):
            name = installation if number == 1 else f"{installation}-{number}"
            handle = _locked(folder / f"{name}.lock")
            if handle is not None:
                with contextlib.suppress(OSError):
                    os.ftruncate(handle, 0)
                    os.write(handle, f"{os.getpid()}\n{colony_folder}\n".encode(errors="replace"))
                return WriterLock(name, handle)
    except OSError:
        return WriterLock(f"{installation}-{_random(8)}")
    raise RoundsError(f"{_MOST_DESKS} desks of this user are open; close some of them.")


def _locked(file: Path) -> int | None:
    """An open handle on the locked file; None when another process holds it. Raises `OSError`."""
    while True:
        handle = system.open_file(file, os.O_RDWR | os.O_CREAT)
        keep = False
        try:
            if not system.lock(handle):
                return None
            # A lock on a file that was taken away in between would be a lock on nothing.
            with contextlib.suppress(FileNotFoundError):
                keep = os.path.samestat(os.fstat(handle), os.lstat(file))
            if keep:
                return handle
        finally:
            if not keep:
                os.close(handle)


def _machine() -> str:
    """A mark of this machine that tells nothing about it."""
    identity = system.machine_id() or socket.gethostname()
    return hashlib.sha256(b"rounds " + identity.encode(errors="replace")).hexdigest()[:12]


def _remembered(file: Path) -> str:
    try:
        name = file.read_text("ascii").strip()
    except (OSError, ValueError):
        return ""
    return name if _NAME.fullmatch(name) else ""


def _remember(file: Path, name: str) -> None:
    """Write the name under its final path at once: of two processes that start together, one wins."""
    file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    draft = file.with_name(f"{file.name}.{_random(8)}")
    handle = system.open_file(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL)
    try:
        try:
            os.write(handle, name.encode() + b"\n")
            system.sync(handle)
        finally:
            os.close(handle)
        if file.exists() and not _remembered(file):  # damaged: it names nothing
            draft.replace(file)
        else:
            with contextlib.suppress(FileExistsError):
                system.name_finished_file(draft, file)
    finally:
        with contextlib.suppress(FileNotFoundError):
            draft.unlink()


def _random(length: int) -> str:
    return "".join(_LETTERS[byte & 31] for byte in os.urandom(length))
