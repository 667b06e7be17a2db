"""What was being typed when the app ended: kept for the next start, in this user's state folder, until answered.

One file for each desk, `unfinished/<mark of the colony>/<desk>.json`. It is no part of the logbook: nothing of it
was acknowledged, and nothing of it is ever written by itself.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import threading
from collections.abc import Iterable, Sequence
from datetime import datetime
from pathlib import Path
from typing import Annotated, Final

import msgspec

from rounds import system

#: What is asked for the notes that are signed with the hand-over.
NOTES: Final = "For the next keeper"
#: So much is kept for one desk: pieces, letters of each text of a piece, and bytes that are read of a file.
_MOST: Final = 20
_MOST_LETTERS: Final = 20_000
_MOST_BYTES: Final = 4 << 20
#: The years between which every time can be told in every zone.
_FIRST: Final = 1970
_LAST: Final = 9998


class Unfinished(msgspec.Struct, frozen=True):
    """One thing that was being typed: by whom, when, about whom, what was asked, and what was typed."""

    by: str
    at: Annotated[datetime, msgspec.Meta(tz=True)]
    #: The subject; `room` where it was about no other.
    about: str
    #: The question, or the heading of the form.
    asked: str
    #: What stood in its fields, by field.
    held: dict[str, str]
    #: All of it in words, what was answered before among it.
    words: str

    def bounded(self) -> Unfinished:
        """The same, no longer than is kept."""
        held = {_fit(name): _fit(text) for name, text in list(self.held.items())[:_MOST]}
        words, asked = _fit(self.words), _fit(self.asked)
        return msgspec.structs.replace(self, held=held, words=words, asked=asked)

    def same(self, other: Unfinished) -> bool:
        """Whether nothing was typed since the other; the moment does not count."""
        return msgspec.structs.replace(self, at=other.at) == other


class UnfinishedFile:
    """The file of one desk. No other process writes it while this one lives. Raises no `OSError`."""

    def __init__(self, state: Path, colony: Path, desk: str) -> None:
        mark = hashlib.blake2b(os.fsencode(os.path.realpath(colony)), digest_size=12).hexdigest()
        self._folder = state / "unfinished" / mark
        self._desk = desk
        self._path = self._folder / f"{desk}.json"
        self._handle = -1
        self._writing = threading.Lock()
        self._content = b""

    def take(self) -> tuple[list[Unfinished], str]:
        """What earlier runs left here, at desks that have ended; and a sentence about what cannot be read.

        What another desk left is from now on this one's.
        """
        troubles: list[str] = []
        found: list[Unfinished] = []
        with contextlib.suppress(OSError):
            system.make_folders(self._folder, 0o700)
            handle = self._locked(self._desk)
            if handle is None:
                return [], ""
            self._handle = handle
            found += self._read(self._path, troubles)
            self._content = _bytes(found)
            for path in sorted(self._folder.glob("*.json")):
                if path != self._path:
                    self._adopt(path, found, troubles)
        return sorted(found, key=lambda one: one.at), " ".join(troubles)

    def keep(self, pieces: Iterable[Unfinished]) -> None:
        """Have these on the disk, and nothing else, for the next start."""
        content = _bytes([one.bounded() for one in pieces][-_MOST:])
        with self._writing, contextlib.suppress(OSError):
            if content == self._content:
                return
            if content:
                self._write(content)
            else:
                self._path.unlink(missing_ok=True)
            self._content = content

    def wait(self, seconds: float) -> None:
        """Wait so long at most for what is being written."""
        if self._writing.acquire(timeout=seconds):
            self._writing.release()

    def close(self) -> None:
        """Let another desk take what lies there."""
        if self._handle >= 0:
            handle, self._handle = self._handle, -1
            os.close(handle)

    def _adopt(self, path: Path, found: list[Unfinished], troubles: list[str]) -> None:
        handle = self._locked(path.stem)
        if handle is None:
            return  # that desk is open
        try:
            theirs = self._read(path, troubles)
            if theirs:
                found += theirs
                self.keep(found)
            if self._content == _bytes([one.bounded() for one in found][-_MOST:]):
                path.unlink(missing_ok=True)
        finally:
            os.close(handle)

    def _locked(self, desk: str) -> int | None:
        handle = system.open_file(self._folder / f"{desk}.lock", os.O_RDWR | os.O_CREAT)
        if system.lock(handle):
            return handle
        os.close(handle)
        return None

    def _read(self, path: Path, troubles: list[str]) -> list[Unfinished]:
        try:
            found = msgspec.json.decode(system.content_of(path, _MOST_BYTES), type=list[Unfinished])
            if any(not _FIRST <= one.at.year <= _LAST for one in found):
                raise msgspec.DecodeError("at no time that a zone can tell")
            return [one.bounded() for one in found][-_MOST:]
        except FileNotFoundError:
            return []
        except (OSError, msgspec.DecodeError, UnicodeDecodeError, RecursionError):
            aside = path.with_suffix(".unreadable")
            with contextlib.suppress(OSError):
                path.replace(aside)
            troubles.append(f"What was being typed before cannot be read. It lies in {aside}.")
            return []

    def _write(self, content: bytes) -> None:
        new = self._path.with_suffix(".new")
        new.unlink(missing_ok=True)
        handle = system.open_file(new, os.O_WRONLY | os.O_CREAT | os.O_EXCL)
        try:
            system.write_all(handle, content)
            system.sync(handle)
        finally:
            os.close(handle)
        new.replace(self._path)
        system.sync_folder(self._folder)


def _fit(text: str) -> str:
    """As much of a text as is kept, as UTF-8 can have it."""
    return text[:_MOST_LETTERS].encode(errors="replace").decode()


def _bytes(pieces: Sequence[Unfinished]) -> bytes:
    return msgspec.json.encode(pieces) if pieces else b""
