"""Records what a story does to the files below a folder, in order: each write, cut, sync, name made or taken away.

The story runs on real files. Around each call that can change something the folder is looked at, so that what
SQLite or a buffered file writes by itself is found too.
"""

from __future__ import annotations

import os
import sqlite3
import stat
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path
from typing import Any, NamedTuple, TypeAlias
from unittest import mock


class Times(NamedTuple):
    """When a file was last written to, and last changed in any way (ns)."""

    mtime_ns: int
    ctime_ns: int


NO_TIMES = Times(0, 0)


class Wrote(NamedTuple):
    """Bytes were written into a file at an offset."""

    file: int
    offset: int
    content: bytes
    #: The times that the file had afterwards.
    times: Times = NO_TIMES


class Cut(NamedTuple):
    """A file was cut to a size."""

    file: int
    size: int
    times: Times = NO_TIMES


class Synced(NamedTuple):
    """A file was synced, or could not be: then a later sync no longer brings down what was pending."""

    file: int
    failed: bool = False


class FolderSynced(NamedTuple):
    """The names in a folder were synced."""

    folder: str


class Named(NamedTuple):
    """A name was given to a file; 0 stands for a folder."""

    path: str
    file: int


class Unnamed(NamedTuple):
    """A name was taken away."""

    path: str
    file: int


class Renamed(NamedTuple):
    """A file was given another name at once, in place of what had it."""

    old: str
    new: str
    file: int


Change: TypeAlias = Wrote | Cut | Synced | FolderSynced | Named | Unnamed | Renamed


class Begun(NamedTuple):
    """A save was begun: its entries may be found from now on, all of them or none."""

    ids: tuple[str, ...]


class Acknowledged(NamedTuple):
    """What has to be found from now on."""

    ids: tuple[str, ...]


class Refused(NamedTuple):
    """A save of which the keeper was told that it is not saved: nothing of it may be found any more."""

    ids: tuple[str, ...]


class Excused(NamedTuple):
    """What another program took away: it need not be found until it is acknowledged again."""

    ids: tuple[str, ...]


Told: TypeAlias = Begun | Acknowledged | Refused | Excused
#: A call that is made to fail: its name, and the path or "" before it is done.
Before: TypeAlias = Callable[[str, str], None]
_CALLS = ("open", "write", "ftruncate", "mkdir", "unlink", "remove", "rmdir", "link", "close", "utime")


class Recorder:
    """What happened below a folder since it was begun."""

    def __init__(self, root: Path) -> None:
        self.root = str(root)
        self.events: list[Change | Told] = []
        #: Each path with its file, by a number of ours: systems give the number of a file that is gone to another.
        self.names: dict[str, int] = {}
        self._numbers: dict[int, int] = {}
        #: The system's number of each file.
        self.inodes: dict[int, int] = {}
        self.contents: dict[int, bytes] = {}
        self._times: dict[int, Times] = {}
        self._folders: dict[int, str] = {}
        self.modes: dict[str, int] = {}
        #: Fails a call by raising, or a write by what it leaves of the bytes.
        self.before: Before | None = None
        self.takes: int | None = None
        self._look()
        self.events.clear()
        #: The disk as the story found it: names, and bytes by file.
        self.first = dict(self.names), {file: (bytes, self._times[file]) for file, bytes in self.contents.items()}

    def tell(self, told: Told) -> None:
        """Note what the story knows by now."""
        self._look()
        self.events.append(told)

    @contextmanager
    def running(self) -> Iterator[None]:
        """The story runs: its calls are recorded."""
        real = {name: getattr(os, name) for name in _CALLS}
        with ExitStack() as patched:
            for name, call in real.items():
                patched.enter_context(mock.patch.object(os, name, self._around(name, call)))
            for name in ("rename", "replace"):
                patched.enter_context(mock.patch.object(os, name, self._renaming(getattr(os, name))))
            for name in ("fsync", "fdatasync"):
                patched.enter_context(mock.patch.object(os, name, self._syncing(getattr(os, name))))
            patched.enter_context(mock.patch.object(sqlite3, "connect", self._connecting(sqlite3.connect)))
            yield
        self._look()

    def _around(self, name: str, call: Callable[..., Any]) -> Callable[..., Any]:
        def done(*given: Any, **named: Any) -> Any:
            self._look()
            if self.before is not None:
                self.before(name, os.fspath(given[0]) if name in ("open", "mkdir", "unlink") else "")
            if name == "write" and self.takes is not None:
                given, self.takes = (given[0], given[1][: self.takes]), None
            try:
                return call(*given, **named)
            finally:
                self._look()

        return done

    def _renaming(self, call: Callable[..., Any]) -> Callable[..., Any]:
        def done(old: Any, new: Any, **named: Any) -> None:
            self._look()
            call(old, new, **named)
            here, there = self._below(old), self._below(new)
            if here and there and here in self.names:
                file = self.names.pop(here)
                self.names[there] = file
                self.modes[there] = self.modes.get(here, 0o600)
                self.events.append(Renamed(here, there, file))
            self._look()

        return done

    def _syncing(self, call: Callable[..., Any]) -> Callable[..., Any]:
        def done(handle: int) -> None:
            self._look()
            status = os.fstat(handle)
            if stat.S_ISDIR(status.st_mode):
                call(handle)
                if status.st_ino in self._folders:
                    self.events.append(FolderSynced(self._folders[status.st_ino]))
                return
            try:
                if self.before is not None:
                    self.before("sync", "")
                call(handle)
            except OSError:
                self._synced(status.st_ino, failed=True)
                raise
            self._synced(status.st_ino, failed=False)

        return done

    def _synced(self, inode: int, *, failed: bool) -> None:
        if inode in self._numbers:
            self.events.append(Synced(self._numbers[inode], failed))

    def _connecting(self, call: Callable[..., Any]) -> Callable[..., Any]:
        def done(*given: Any, **named: Any) -> Any:
            database = call(*given, **named)
            database.set_trace_callback(lambda _statement: self._look())
            return database

        return done

    def _below(self, path: Any) -> str | None:
        """A path relative to the folder ("" for itself); None when it lies elsewhere."""
        full = os.fspath(path)
        if full == self.root:
            return ""
        return full[len(self.root) + 1 :] if full.startswith(self.root + "/") else None

    def _look(self) -> None:
        """Note what has changed since the last look."""
        names: dict[str, int] = {}
        contents: dict[int, bytes] = {}
        self._folders = {Path(self.root).stat().st_ino: ""}
        for path, status in _tree(self.root):
            file = self._number(status.st_ino) if stat.S_ISREG(status.st_mode) else 0
            names[path] = file
            if not file:
                self._folders[status.st_ino] = path
            self.modes[path] = stat.S_IMODE(status.st_mode)
            if file and file not in contents:
                contents[file] = Path(self.root, path).read_bytes()
                self._times[file] = Times(status.st_mtime_ns, status.st_ctime_ns)
        if names == self.names and contents == self.contents:
            return
        for path, file in sorted(names.items()):
            if self.names.get(path) != file:
                self.events.append(Named(path, file))
        for file, content in contents.items():
            self.events += _changes(file, self.contents.get(file, b""), content, self._times[file])
        for path, file in sorted(self.names.items(), reverse=True):
            if path not in names:
                self.events.append(Unnamed(path, file))
        self.names, self.contents = names, contents
        self._numbers = {inode: file for inode, file in self._numbers.items() if file in contents}

    def _number(self, inode: int) -> int:
        if inode not in self._numbers:
            number = self._numbers[inode] = len(self.inodes) + 1
            self.inodes[number] = inode
        return self._numbers[inode]


def _tree(folder: str, above: str = "") -> Iterator[tuple[str, os.stat_result]]:
    with suppress(FileNotFoundError), os.scandir(folder) as found:
        for one in found:
            path = f"{above}{one.name}"
            status = one.stat(follow_symlinks=False)
            yield path, status
            if one.is_dir(follow_symlinks=False):
                yield from _tree(one.path, f"{path}/")


def _changes(file: int, before: bytes, after: bytes, times: Times) -> Iterator[Change]:
    """The writes that make one content of another: one behind the end, and one for each run of changed sectors."""
    if len(after) < len(before):
        yield Cut(file, len(after), times)
        before = before[: len(after)]
    start: int | None = None
    for place in range(0, len(before) + 512, 512):
        differs = (
            place < len(before) and before[place : place + 512] != after[place : min(place + 512, len(before))]
        )
        if differs and start is None:
            start = place
        if not differs and start is not None:
            stop = min(place, len(before))
            yield Wrote(file, start, after[start:stop], times)
            start = None
    if len(after) > len(before):
        yield Wrote(file, len(before), after[len(before) :], times)
