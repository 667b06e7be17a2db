"""Files of the cache: each is read piece by piece, and no wrong byte of it is ever used.

An index is sections behind a header; a pack is pieces one behind the other, found by the index. Header,
sections and pieces each have a digest that is checked when they are read.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import stat
import struct
from collections.abc import Mapping
from pathlib import Path
from typing import Final, NamedTuple

import msgspec

from rounds import system

MAGIC: Final = b"rounds kept 1\n\0\0"
_LENGTH: Final = struct.Struct("<I")
_DIGEST: Final = 16
#: Bytes of the digest of a piece of a pack.
PIECE_DIGEST: Final = 8


class Doubtful(Exception):
    """Something of the cache is not as it was written, or not written by us: it is dropped and made again."""


class Piece(NamedTuple):
    """Where a piece of a pack lies, and what it is known by."""

    offset: int
    length: int
    digest: bytes


class _Header(msgspec.Struct, array_like=True, frozen=True):
    program: str
    colony: str
    pack: str
    sections: dict[str, tuple[int, int, bytes]]


def folder_of_ours(folder: Path) -> bool:
    """Whether a folder is this user's, and nobody else may write into it."""
    try:
        status = os.lstat(folder)
    except OSError:
        return False
    return stat.S_ISDIR(status.st_mode) and system.is_ours(status)


def opened(path: Path, flags: int = os.O_RDONLY) -> int:
    """An open handle on a file of ours. Raises `Doubtful` when there is none, or others may write to it."""
    try:
        handle = system.open_file(path, flags)
    except OSError as error:
        raise Doubtful(f"{path.name}: {error.strerror}") from error
    status = os.fstat(handle)
    if not stat.S_ISREG(status.st_mode) or not system.is_ours(status) or status.st_nlink != 1:
        os.close(handle)
        raise Doubtful(f"{path.name}: others may have written to it")
    return handle


def _read(handle: int, length: int, offset: int) -> bytes:
    try:
        content = system.read_at(handle, length, offset)
    except (OSError, OverflowError, ValueError) as error:
        raise Doubtful(str(error)) from error
    if len(content) != length:
        raise Doubtful("it ends too soon")
    return content


def _digest(content: bytes, size: int = _DIGEST) -> bytes:
    # Of the digests that every Python has, the one that processors help with.
    return hashlib.sha256(content, usedforsecurity=False).digest()[:size]


class Index:
    """An index as it lies in a file."""

    def __init__(self, path: Path, program: str, colony: str) -> None:
        """Open it. Raises `Doubtful` when it is damaged, another program's or another colony's."""
        self._handle = opened(path)
        try:
            start = _read(self._handle, len(MAGIC) + _LENGTH.size + _DIGEST, 0)
            if not start.startswith(MAGIC):
                raise Doubtful("it is no index of ours")
            (length,) = _LENGTH.unpack_from(start, len(MAGIC))
            content = _read(self._handle, min(length, 1 << 20), len(start))
            if _digest(content) != start[-_DIGEST:]:
                raise Doubtful("its header is damaged")
            try:
                header = msgspec.msgpack.decode(content, type=_Header)
            except msgspec.MsgspecError as error:
                raise Doubtful("its header is damaged") from error
            if (header.program, header.colony) != (program, colony):
                raise Doubtful("another version of the program wrote it, or it is of another colony")
        except BaseException:
            self.close()
            raise
        self.pack = header.pack
        self._sections = header.sections
        self._start = len(start) + length

    def section(self, name: str) -> bytes:
        """The content of a section. Raises `Doubtful`."""
        if name not in self._sections or self._handle < 0:
            raise Doubtful(f"it has no {name}")
        offset, length, digest = self._sections[name]
        content = _read(self._handle, length, self._start + offset)
        if _digest(content) != digest:
            raise Doubtful(f"its {name} is damaged")
        return content

    def close(self) -> None:
        """Let go of the file."""
        if self._handle >= 0:
            handle, self._handle = self._handle, -1
            os.close(handle)


def write_index(path: Path, program: str, colony: str, pack: str, sections: Mapping[str, bytes]) -> None:
    """Write an index in the place of the one that was there, at once. Raises `OSError`."""
    table: dict[str, tuple[int, int, bytes]] = {}
    offset = 0
    for name, content in sections.items():
        table[name] = (offset, len(content), _digest(content))
        offset += len(content)
    header = msgspec.msgpack.encode(_Header(program, colony, pack, table))
    draft = path.with_name(f"{path.name}.{os.getpid()}")
    handle = system.open_file(draft, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
    try:
        with open(handle, "wb") as out:  # noqa: PTH123 (a handle, not a path)
            out.write(MAGIC + _LENGTH.pack(len(header)) + _digest(header) + header)
            out.writelines(sections.values())
        draft.replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            draft.unlink()
        raise


class Pack:
    """A file of pieces that only grows, so that whoever reads an older index finds its pieces still in place."""

    def __init__(self, path: Path, *, writing: bool = False) -> None:
        """Open it. Raises `Doubtful`."""
        self.path = path
        self._handle = -1
        self._handle = opened(path, os.O_RDWR | os.O_APPEND if writing else os.O_RDONLY)
        self.size = os.fstat(self._handle).st_size
        self._waiting: list[bytes] = []

    @classmethod
    def begun(cls, path: Path) -> Pack:
        """A new and empty one. Raises `OSError`."""
        os.close(system.open_file(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL))
        return cls(path, writing=True)

    def piece(self, piece: Piece) -> bytes:
        """The content of a piece. Raises `Doubtful`."""
        content = _read(self._handle, piece.length, piece.offset)
        if _digest(content, PIECE_DIGEST) != piece.digest:
            raise Doubtful(f"{self.path.name}: a piece is damaged")
        return content

    def add(self, content: bytes) -> Piece:
        """Put a piece behind the others; it is in the file after `flush`. Raises `OSError`."""
        piece = Piece(self.size, len(content), _digest(content, PIECE_DIGEST))
        self._waiting.append(content)
        self.size += len(content)
        if len(self._waiting) >= 256:
            self.flush()
        return piece

    def flush(self) -> None:
        """Write what was added. Raises `OSError`."""
        content = memoryview(b"".join(self._waiting))
        self._waiting.clear()
        while content:
            content = content[os.write(self._handle, content) :]

    def close(self) -> None:
        """Let go of the file."""
        if self._handle >= 0:
            handle, self._handle = self._handle, -1
            os.close(handle)

    def __del__(self) -> None:
        # Standings that are still looked at hold on to it, and nobody else says when the last is gone.
        self.close()
