"""The disks that may be found after a power cut: what was synced is there, of the rest anything.

What the weakest file system promises is what counts. Between two syncs the sectors of a file reach the disk in
any order, or not at all; its size may have grown before its bytes, which are zeros then; a name in a folder, a
rename or a removal is certain once that folder was synced, and each may be there without the others. A rename is
done or not done, never half.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator
from itertools import product
from math import prod
from typing import NamedTuple

from tests.crashes.record import NO_TIMES, Change, Cut, FolderSynced, Named, Renamed, Synced, Times, Unnamed, Wrote

SECTORS = (512, 4096)
#: So many sizes, names or versions of a sector are tried one with another; of more a sample is drawn.
_FEW = 256

NameChange = Named | Unnamed | Renamed


class Found(NamedTuple):
    """A disk as it is found: each file's bytes by its path, and the folders."""

    files: dict[str, bytes]
    folders: frozenset[str]
    #: By path, which file it is, and its times.
    known_by: dict[str, tuple[int, Times]]

    @property
    def key(self) -> tuple[object, ...]:
        """What tells it from another."""
        return tuple(sorted(self.files.items())), self.folders


class File:
    """A file: what it was when it was last synced, and what it has been since."""

    def __init__(self, content: bytes = b"", times: Times = NO_TIMES) -> None:
        self.states = [content]
        self._times = [times]
        #: A sync has failed: a later one brings down nothing of what was pending then.
        self.doubtful = False

    def change(self, change: Wrote | Cut) -> None:
        """A write or a cut that is not synced yet."""
        now = self.states[-1]
        if isinstance(change, Cut):
            self.states.append(now[: change.size])
        else:
            end = change.offset + len(change.content)
            self.states.append(now[: change.offset].ljust(change.offset, b"\0") + change.content + now[end:])
        self._times.append(change.times)

    def sync(self, *, failed: bool) -> None:
        """What is pending is on the disk now, unless a sync has failed."""
        if failed:
            self.doubtful = True
        elif not self.doubtful:
            del self.states[:-1], self._times[:-1]

    def times(self, content: bytes) -> Times:
        """The times that are found with a content: size and times are written together."""
        return self._times[-1] if len(content) == len(self.states[-1]) else self._times[0]

    def sizes(self, sector: int) -> list[int]:
        """The sizes that may be found: each that it had, and each border of a sector on the way to it."""
        found = {len(state) for state in self.states}
        for before, after in zip(self.states, self.states[1:], strict=False):
            found.update(range((len(before) // sector + 1) * sector, len(after), sector))
        return sorted(found)

    def sector(self, number: int, size: int) -> list[bytes]:
        """What may be found in a sector: what it held at any time since the last sync."""
        start, stop = number * size, (number + 1) * size
        return list(dict.fromkeys(state[start:stop].ljust(size, b"\0") for state in self.states))

    def all_contents(self) -> list[bytes] | None:
        """Every content that may be found; None when they are too many to be tried."""
        if len(self.states) == 1:
            return self.states
        found: dict[bytes, None] = {}
        for size in SECTORS:
            versions = [self.sector(number, size) for number in range(-(-max(map(len, self.states)) // size))]
            sizes = self.sizes(size)
            if prod(map(len, versions)) * len(sizes) > _FEW:
                return None
            for sectors in product(*versions):
                whole = b"".join(sectors)
                found.update((whole[:stop], None) for stop in sizes)
        return list(found)

    def content(self, rng: random.Random) -> bytes:
        """A content that may be found, drawn by chance."""
        chance = rng.random()
        if len(self.states) == 1 or chance < 0.15:
            return self.states[-1]
        if chance < 0.3:
            return self.states[0]
        if chance < 0.45:  # cut off in the middle of a call
            number = rng.randrange(1, len(self.states))
            before, after = self.states[number - 1], self.states[number]
            if len(after) > len(before):
                return after[: rng.randrange(len(before), len(after) + 1)]
        size = rng.choice(SECTORS)
        stop = rng.choice(self.sizes(size))
        odds = rng.choice((0.1, 0.5, 0.9))
        parts: list[bytes] = []
        for number in range(-(-stop // size)):
            versions = self.sector(number, size)
            parts.append(versions[-1] if rng.random() < odds else rng.choice(versions))
        return b"".join(parts)[:stop]


class Disks:
    """Takes in the changes one by one; at any instant gives the disks that may be found."""

    def __init__(self, names: dict[str, int], contents: dict[int, tuple[bytes, Times]]) -> None:
        """`names` and the content of each file with its time are certain."""
        self.files = {file: File(*content) for file, content in contents.items()}
        self.certain = dict(names)
        self.pending: list[NameChange] = []

    def take(self, change: Change) -> None:
        """The next change of the story."""
        if isinstance(change, Wrote | Cut):
            self.files.setdefault(change.file, File()).change(change)
        elif isinstance(change, Synced):
            self.files[change.file].sync(failed=change.failed)
        elif isinstance(change, FolderSynced):
            done = [one for one in self.pending if change.folder in _folders_of(one)]
            _apply(self.certain, done)
            self.pending = [one for one in self.pending if one not in done]
        else:
            if isinstance(change, Named) and change.file:
                self.files.setdefault(change.file, File())
            self.pending.append(change)

    def some(self, many: int, rng: random.Random) -> Iterator[Found]:
        """All disks that may be found, if they are at most so many; else so many of them, drawn by chance."""
        seen: set[tuple[object, ...]] = set()
        whole = self._all(many)
        drawn = iter(whole) if whole is not None else (self._drawn(rng) for _ in range(many * 3))
        for found in drawn:
            if found.key not in seen:
                seen.add(found.key)
                yield found
                if len(seen) == many:
                    return

    def _all(self, many: int) -> list[Found] | None:
        if 2 ** len(self.pending) > many:
            return None
        found: list[Found] = []
        for chosen in product((False, True), repeat=len(self.pending)):
            names = self._names(chosen)
            files = sorted({file for file in names.values() if file})
            contents = [self.files[file].all_contents() for file in files]
            choices = [one for one in contents if one is not None]
            if len(choices) < len(contents) or prod(map(len, choices)) > many:
                return None
            found += [self._found(names, dict(zip(files, each, strict=True))) for each in product(*choices)]
            if len(found) > 4 * many:
                return None
        return found if len({one.key for one in found}) <= many else None

    def _drawn(self, rng: random.Random) -> Found:
        odds = rng.choice((0.0, 0.5, 0.5, 0.8, 1.0))
        names = self._names([rng.random() < odds for _ in self.pending])
        return self._found(names, {file: self.files[file].content(rng) for file in sorted({*names.values()} - {0})})

    def _found(self, names: dict[str, int], contents: dict[int, bytes]) -> Found:
        """What can be reached from the top: a name in a folder that is not there is lost with it."""
        folders = {""}
        files: dict[str, bytes] = {}
        known_by: dict[str, tuple[int, Times]] = {}
        for path, file in sorted(names.items(), key=lambda one: one[0].count("/")):
            if path.rpartition("/")[0] not in folders:
                continue
            if file:
                files[path] = contents[file]
                known_by[path] = file, self.files[file].times(contents[file])
            else:
                folders.add(path)
        return Found(files, frozenset(folders), known_by)

    def _names(self, chosen: Iterable[bool]) -> dict[str, int]:
        names = dict(self.certain)
        _apply(names, [change for change, done in zip(self.pending, chosen, strict=True) if done])
        return names


def _folders_of(change: NameChange) -> set[str]:
    paths = (change.old, change.new) if isinstance(change, Renamed) else (change.path,)
    return {path.rpartition("/")[0] for path in paths}


def _apply(names: dict[str, int], changes: Iterable[NameChange]) -> None:
    for change in changes:
        if isinstance(change, Named):
            names[change.path] = change.file
        elif isinstance(change, Unnamed):
            if names.get(change.path) == change.file:
                del names[change.path]
        else:
            if names.get(change.old) == change.file:
                del names[change.old]
            names[change.new] = change.file
