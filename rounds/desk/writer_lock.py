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
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from rounds import system
from rounds.errors import RoundsError
from rounds.logbook.plain import slug
from rounds.sheets.identity import random_letters

_NAME: Final = re.compile(r"[a-z0-9][a-z0-9-]{0,39}-[a-z0-9]{4}")
_MOST_DESKS: Final = 999
#: So many names that were taken instead of others are remembered. No source, our choice.
_MOST_NAMES: Final = 100


class WriterLock:
    """A desk's name, held by this process alone until `close` or until the process ends."""

    def __init__(self, name: str, state_folder: Path, colony_folder: Path, handle: int = -1) -> None:
        self.name = name
        self._state_folder = state_folder
        self._colony_folder = colony_folder
        self._handle = handle

    def renew(self) -> str:
        """Take a name that nobody has, at once and for good: somebody else writes under this one. The new name.

        It is drawn for the whole installation, so that the next start has it too; another window of this user
        that has drawn one already has done so for this one. What cannot be remembered holds for this run.
        """
        known, before = _remembered(_file_of(self._state_folder)), self.name
        if known and not (self.name == known or self.name.startswith(f"{known}-")):
            drawn = known
        else:
            drawn = _drawn()
            with contextlib.suppress(OSError):
                _remember(_file_of(self._state_folder), drawn, instead_of=known)
        try:
            held = acquire(self._state_folder, self._colony_folder, drawn)
        except RoundsError:
            held = WriterLock(f"{drawn}-{random_letters(8)}", self._state_folder, self._colony_folder)
        self.close()
        self.name, self._handle = held.name, held._handle
        with contextlib.suppress(OSError):
            _note_renaming(_names_file(self._state_folder), before, self.name)
        return self.name

    def earlier_names(self) -> set[str]:
        """The names that this one was taken instead of, as far as is remembered: the same desk wrote under them."""
        found = {self.name}
        for before, after in reversed(_renamings(_names_file(self._state_folder))):
            if after in found:
                found.add(before)
        return found

    def may_be_ours(self, name: str) -> bool:
        """Whether a name was drawn on a machine of this one's host name."""
        return re.fullmatch(rf"{re.escape(_host())}-[a-z0-9]{{4}}(-.*)?", name) is not None

    @contextlib.contextmanager
    def borrow(self, name: str) -> Iterator[bool]:
        """Whether no running desk of this user has a name; none takes it while the context is open."""
        handle: int | None = None
        with contextlib.suppress(OSError):
            handle = _locked(self._state_folder / "desks" / f"{name}.lock")
        try:
            yield handle is not None
        finally:
            if handle is not None:
                os.close(handle)

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

    It is kept under a mark of the machine, so that a home folder copied to another machine, or shared by several,
    usually gets a name on each. Machines made from one image share the mark: there the desk's journal tells
    (`rounds/sheets/journal.py`). When nothing can be remembered there the name holds for this run.
    """
    file = _file_of(state_folder)
    for _ in range(3):
        known = _remembered(file)
        if known:
            return known
        name = _drawn()
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
                return WriterLock(name, state_folder, colony_folder, handle)
    except OSError:
        return WriterLock(f"{installation}-{random_letters(8)}", state_folder, colony_folder)
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


def machine() -> str:
    """A mark of this machine that tells nothing about it."""
    identity = system.machine_id() or socket.gethostname()
    return hashlib.sha256(b"rounds " + identity.encode(errors="replace")).hexdigest()[:12]


def _file_of(state_folder: Path) -> Path:
    """Where the name of the installation is remembered."""
    return state_folder / f"installation-{machine()}"


def _names_file(state_folder: Path) -> Path:
    """Where it is noted which name was taken instead of which: `before after`, a line each."""
    return state_folder / f"names-{machine()}"


def _renamings(file: Path) -> list[tuple[str, str]]:
    """Names with those that were taken instead, oldest first; none when nothing can be read."""
    try:
        lines = system.content_of(file, _MOST_NAMES * 200).decode("ascii").splitlines()
    except (OSError, ValueError):
        return []
    return [(before, after) for before, _, after in (line.partition(" ") for line in lines) if after]


def _note_renaming(file: Path, before: str, after: str) -> None:
    """Raises `OSError`."""
    lines = [f"{one} {other}\n" for one, other in [*_renamings(file), (before, after)][-_MOST_NAMES:]]
    draft = file.with_name(f"{file.name}.{random_letters(8)}")
    handle = system.open_file(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL)
    try:
        system.write_all(handle, "".join(lines).encode("ascii"))
    finally:
        os.close(handle)
    draft.replace(file)


def _drawn() -> str:
    """A name that no installation has: the machine's, and letters drawn at random."""
    return f"{_host()}-{random_letters(4)}"


def _host() -> str:
    return slug(socket.gethostname().partition(".")[0])[:40].strip("-") or "desk"


def _remembered(file: Path) -> str:
    try:
        name = file.read_text("ascii").strip()
    except (OSError, ValueError):
        return ""
    return name if _NAME.fullmatch(name) else ""


def _remember(file: Path, name: str, instead_of: str = "") -> None:
    """Write the name under its final path at once: of two processes that start together, one wins.

    A name that stands there already stays, unless it is the one to be replaced.
    """
    file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    draft = file.with_name(f"{file.name}.{random_letters(8)}")
    handle = system.open_file(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL)
    try:
        try:
            os.write(handle, name.encode() + b"\n")
            system.sync(handle)
        finally:
            os.close(handle)
        if file.exists() and _remembered(file) in ("", instead_of):  # damaged: it names nothing; or shared
            draft.replace(file)
        else:
            with contextlib.suppress(FileExistsError):
                system.name_finished_file(draft, file)
    finally:
        with contextlib.suppress(FileNotFoundError):
            draft.unlink()
