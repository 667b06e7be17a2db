"""A disk in memory that can fail at any call, and whose power can be cut: what was not synced may be lost.

It keeps, of each file, the bytes that are on the platter for certain and the changes since that may or
may not have got there; of each folder, the names that are there for certain. After a failed sync a later
sync no longer brings those changes down, as on Linux, where the pages count as clean by then.
"""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Callable, Iterator
from typing import NamedTuple
from zlib import crc32

from rounds.sheets.disk import Disk, FileStatus

#: Calls that change something; the others only look.
CHANGING = frozenset({"create", "write", "sync", "sync_folder", "cut", "make_folder", "rename", "remove"})


class PowerCut(BaseException):
    """The machine is off: no call comes back any more."""


class Status(NamedTuple):
    """What `os.lstat` would say."""

    st_mode: int
    st_ino: int
    st_size: int
    st_mtime_ns: int
    st_ctime_ns: int = 1
    st_dev: int = 1
    st_nlink: int = 1
    st_gid: int = 1


class File:
    """A file's bytes, those that are certain and those that are not."""

    def __init__(self, inode: int) -> None:
        self.inode = inode
        self.content = b""
        self.certain = b""
        #: Changes since: ("write", bytes) or ("cut", size).
        self.pending: list[tuple[str, bytes | int]] = []
        self.doubtful = False
        self.mtime = 1

    def states(self) -> Iterator[bytes]:
        """Every content the file may have after a power cut."""
        content = self.certain
        yield content
        for what, value in self.pending:
            if isinstance(value, int):
                assert what == "cut"
                content = content[:value]
                yield content
            else:
                for length in range(1, len(value) + 1):
                    yield content + value[:length]
                yield content + bytes(len(value))  # the length was written, the bytes were not
                yield content + value[: len(value) // 2] + bytes(len(value) - len(value) // 2)
                content += value


class MemoryDisk(Disk):
    """Files below a colony's folder, in memory. `before` is called ahead of each call with its name."""

    def __init__(self, before: Callable[[str, str], None] | None = None) -> None:
        super().__init__("/nowhere")
        self.before = before
        self.files: dict[str, File] = {}
        self.folders: dict[str, int] = {"": 1}
        self.certain_names: dict[str, File] = {}
        self.certain_folders: dict[str, int] = {"": 1}
        self._open: dict[int, File] = {}
        self._next = 2
        self.ticks = 1
        #: How many bytes the next write takes before it fails (None: all).
        self.takes: int | None = None

    def _call(self, name: str, path: str = "") -> None:
        self.ticks += 1
        if self.before is not None:
            self.before(name, path)

    def _new_number(self) -> int:
        self._next += 1
        return self._next

    @staticmethod
    def _above(path: str) -> str:
        return path.rpartition("/")[0]

    def open(self, path: str, flags: int, mode: int = 0o600) -> int:
        assert mode & 0o002 == 0, "never for everybody to write"
        self._call("create" if flags & os.O_CREAT else "open", path)
        found = self.files.get(path)
        if path in self.folders:
            raise IsADirectoryError(errno.EISDIR, "Is a directory")
        if found is None:
            if not flags & os.O_CREAT or self._above(path) not in self.folders:
                raise FileNotFoundError(errno.ENOENT, "No such file or directory")
            found = self.files[path] = File(self._new_number())
            self._touch_folder(path)
        elif flags & os.O_EXCL:
            raise FileExistsError(errno.EEXIST, "File exists")
        handle = self._new_number()
        self._open[handle] = found
        return handle

    def _touch_folder(self, path: str) -> None:
        self.folders[self._above(path)] = self.ticks

    def close(self, handle: int) -> None:
        del self._open[handle]

    def write(self, handle: int, content: bytes) -> int:
        self._call("write")
        file = self._open[handle]
        taken = content if self.takes is None else content[: self.takes]
        self.takes = None
        file.content += taken
        file.pending.append(("write", taken))
        file.mtime = self.ticks
        return len(taken)

    def read(self, handle: int, size: int, offset: int) -> bytes:
        self._call("read")
        return self._open[handle].content[offset : offset + size]

    def let_read(self, handle: int, like: FileStatus) -> None:
        self._call("let_read")

    def sync(self, handle: int) -> None:
        file = self._open[handle]
        try:
            self._call("sync")
        except OSError:
            file.doubtful = True
            raise
        if not file.doubtful:
            file.certain, file.pending = file.content, []

    def sync_folder(self, path: str) -> None:
        self._call("sync_folder", path)
        for names, certain in ((self.files, self.certain_names), (self.folders, self.certain_folders)):
            for name in [name for name in certain if name and self._above(name) == path and name not in names]:
                del certain[name]
            for name, value in names.items():
                if name and self._above(name) == path:
                    certain[name] = value  # type: ignore[assignment]

    def cut(self, handle: int, size: int) -> None:
        self._call("cut")
        file = self._open[handle]
        file.content = file.content[:size]
        file.pending.append(("cut", size))
        file.mtime = self.ticks

    def _status(self, file: File) -> Status:
        return Status(stat.S_IFREG | 0o600, file.inode, len(file.content), file.mtime, file.mtime)

    def status(self, path: str) -> FileStatus:
        self._call("status", path)
        if path in self.folders:
            return Status(stat.S_IFDIR | 0o750, crc32(path.encode()), 0, self.folders[path])
        if path not in self.files:
            raise FileNotFoundError(errno.ENOENT, "No such file or directory")
        return self._status(self.files[path])

    def status_of(self, handle: int) -> FileStatus:
        self._call("status_of")
        return self._status(self._open[handle])

    def list(self, path: str) -> list[tuple[str, FileStatus]]:
        self._call("list", path)
        if path not in self.folders:
            raise FileNotFoundError(errno.ENOENT, "No such file or directory")
        found: list[tuple[str, FileStatus]] = []
        for name, file in self.files.items():
            if self._above(name) == path:
                found.append((name.rpartition("/")[2], self._status(file)))
        for name, tick in self.folders.items():
            if name and self._above(name) == path:
                found.append((name.rpartition("/")[2], Status(stat.S_IFDIR | 0o750, crc32(name.encode()), 0, tick)))
        return found

    def make_folder(self, path: str, mode: int) -> None:
        assert mode & 0o002 == 0, "never for everybody to write"
        self._call("make_folder", path)
        if path in self.folders:
            raise FileExistsError(errno.EEXIST, "File exists")
        if self._above(path) not in self.folders:
            raise FileNotFoundError(errno.ENOENT, "No such file or directory")
        self.folders[path] = self.ticks
        self._touch_folder(path)

    def rename(self, old: str, new: str) -> None:
        self._call("rename", new)
        self.files[new] = self.files.pop(old)
        self._touch_folder(old)
        self._touch_folder(new)

    def remove(self, path: str) -> None:
        self._call("remove", path)
        if path not in self.files:
            raise FileNotFoundError(errno.ENOENT, "No such file or directory")
        del self.files[path]
        self._touch_folder(path)

    # Power cuts

    def after_power_cut(self) -> Iterator[MemoryDisk]:
        """Every disk that may be found when the power comes back.

        Of the names that were not synced, all or none are there; of the bytes that were not, any beginning.
        """
        for names, folders in (
            (self.files, self.folders),
            (self.certain_names, self.certain_folders),
            ({**self.certain_names, **self.files}, {**self.certain_folders, **self.folders}),
        ):
            reachable = {path: file for path, file in names.items() if self._above(path) in folders}
            uncertain = [path for path, file in reachable.items() if file.pending]
            yield self._image({path: file.certain for path, file in reachable.items()}, folders)
            yield self._image({path: file.content for path, file in reachable.items()}, folders)
            for path in uncertain:
                for content in reachable[path].states():
                    contents = {one: file.certain for one, file in reachable.items()}
                    contents[path] = content
                    yield self._image(contents, folders)

    def _image(self, contents: dict[str, bytes], folders: dict[str, int]) -> MemoryDisk:
        image = MemoryDisk()
        image.folders = dict.fromkeys(folders, 1)
        image.certain_folders = dict(image.folders)
        for path, content in contents.items():
            file = image.files[path] = File(image._new_number())
            file.content = file.certain = content
            file.mtime = self.files[path].mtime if path in self.files else 1
        image.certain_names = dict(image.files)
        return image

    def copy(self) -> MemoryDisk:
        """Another disk that holds the same, all of it for certain."""
        return self._image(self.contents(), self.folders)

    def contents(self) -> dict[str, bytes]:
        """Every file's bytes by its path."""
        return {path: file.content for path, file in self.files.items()}


class HookedDisk(Disk):
    """The real disk, with `before` called ahead of each call."""

    def __init__(self, colony: str, before: Callable[[str, str], None]) -> None:
        super().__init__(colony)
        self.before = before
        self.takes: int | None = None

    def open(self, path: str, flags: int, mode: int = 0o600) -> int:
        self.before("create" if flags & os.O_CREAT else "open", path)
        return super().open(path, flags, mode)

    def write(self, handle: int, content: bytes) -> int:
        self.before("write", "")
        taken = content if self.takes is None else content[: self.takes]
        self.takes = None
        return super().write(handle, taken) if taken else 0

    def read(self, handle: int, size: int, offset: int) -> bytes:
        self.before("read", "")
        return super().read(handle, size, offset)

    def sync(self, handle: int) -> None:
        self.before("sync", "")
        super().sync(handle)

    def sync_folder(self, path: str) -> None:
        self.before("sync_folder", path)
        super().sync_folder(path)

    def cut(self, handle: int, size: int) -> None:
        self.before("cut", "")
        super().cut(handle, size)

    def status(self, path: str) -> FileStatus:
        self.before("status", path)
        return super().status(path)

    def status_of(self, handle: int) -> FileStatus:
        self.before("status_of", "")
        return super().status_of(handle)

    def list(self, path: str) -> list[tuple[str, FileStatus]]:
        self.before("list", path)
        return super().list(path)

    def make_folder(self, path: str, mode: int) -> None:
        self.before("make_folder", path)
        super().make_folder(path, mode)

    def rename(self, old: str, new: str) -> None:
        self.before("rename", new)
        super().rename(old, new)

    def remove(self, path: str) -> None:
        self.before("remove", path)
        super().remove(path)
