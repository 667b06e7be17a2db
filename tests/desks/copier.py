"""A sync program between copies of a colony, with the habits of real ones, and some of the bad ones.

It replaces whole files (written beside, then renamed), late and in any order; it brings an older version
before the newest; it doubles a file under a name of its own; and when a file has changed on both sides, or
when it puts an older version back, it keeps what it replaces as a copy. It loses nothing by itself.
"""

from __future__ import annotations

import json
import os
import random
import select
from collections import Counter
from pathlib import Path
from typing import NamedTuple


class Copying:
    """A sync program at work in a process of its own."""

    def __init__(self, child: int, asked: int, told: int) -> None:
        self._child = child
        self._ask = asked
        self._told = told

    def end(self) -> dict[str, int]:
        """Have the folders made alike; how often it did what."""
        os.write(self._ask, b".")
        with os.fdopen(self._told, "rb") as lines:
            text = lines.read()
        os.close(self._ask)
        _, status = os.waitpid(self._child, 0)
        assert os.waitstatus_to_exitcode(status) == 0, "the sync program fell over"
        counts: dict[str, int] = json.loads(text)
        return counts


class Sheet(NamedTuple):
    """A sheet of some folder."""

    folder: Path
    path: str

    @property
    def file(self) -> Path:
        return self.folder / self.path

    def content(self) -> bytes | None:
        """What it holds; None when it is not there."""
        try:
            return self.file.read_bytes()
        except FileNotFoundError:
            return None


class Copier:
    """Keeps folders alike. One for all of them, as a server between machines would be."""

    def __init__(self, folders: list[Path], seed: int) -> None:
        self.folders = folders
        self.rng = random.Random(seed)
        self.counts: Counter[str] = Counter()
        #: What a sheet was in two folders when they were last alike.
        self._base: dict[tuple[Path, Path, str], bytes] = {}

    def begin(self) -> Copying:
        """Go to work in a process of its own."""
        asked, ask = os.pipe()
        told, tell = os.pipe()
        child = os.fork()
        if child == 0:
            os.close(ask)
            os.close(told)
            try:
                while not select.select([asked], [], [], self.rng.random() * 0.03)[0]:
                    self.some()
                self.make_alike()
                os.write(tell, json.dumps(self.counts).encode())
                os._exit(0)
            except BaseException:
                import traceback

                traceback.print_exc()
            finally:
                os._exit(3)
        os.close(asked)
        os.close(tell)
        return Copying(child, ask, told)

    def some(self) -> None:
        """One thing such a program does."""
        one, other = self.rng.sample(self.folders, 2)
        paths = self.paths(one)
        if not paths:
            return
        path = self.rng.choice(paths[-6:] if self.rng.random() < 0.8 else paths)
        chance = self.rng.random()
        if chance < 0.08:
            self.double(Sheet(one, path))
        elif chance < 0.11:
            self.put_back(Sheet(one, path))
        elif chance < 0.6:
            self.sync(one, other, path)
        else:
            for each in paths:
                self.sync(one, other, each)

    def paths(self, folder: Path) -> list[str]:
        """The sheets of a folder."""
        return sorted(str(path.relative_to(folder)) for path in folder.glob("sheets/*/*.jsonl"))

    def contents(self, folder: Path) -> dict[str, bytes]:
        """The bytes of the sheets of a folder."""
        return {path: (folder / path).read_bytes() for path in self.paths(folder)}

    def make_alike(self) -> None:
        """Copy until all folders hold the same."""
        for _ in range(50):
            before = self.counts.total()
            for one in self.folders:
                for other in self.folders:
                    if one != other:
                        for path in self.paths(one):
                            self.sync(one, other, path, plainly=True)
            if self.counts.total() == before:
                return
        raise AssertionError("the folders never came to be alike")

    def sync(self, one: Path, other: Path, path: str, *, plainly: bool = False) -> None:
        """Bring a sheet from one folder to another, or back, as its base tells."""
        here, there = Sheet(one, path), Sheet(other, path)
        mine, theirs = here.content(), there.content()
        base = self._base.get((one, other, path))
        if mine is None:
            return
        if mine == theirs:
            self._agreed(one, other, path, mine)
        elif theirs is None or theirs == base:
            if not plainly and len(mine) > 400 and self.rng.random() < 0.25:
                self.counts["an older version first"] += 1
                self.replace(there, mine[: self.rng.randrange(len(mine))], theirs)
                return  # the rest comes another time: to this program the two now differ
            self.counts["replaced whole"] += 1
            self.replace(there, mine, theirs)
            self._agreed(one, other, path, mine)
        elif mine == base:
            self.counts["replaced whole"] += 1
            self.replace(here, theirs, mine)
            self._agreed(one, other, path, theirs)
        else:
            self.counts["changed on both sides"] += 1
            winner, loser = (mine, there) if len(mine) >= len(theirs) else (theirs, here)
            self.replace(loser, winner, None)
            self._agreed(one, other, path, winner)

    def double(self, sheet: Sheet) -> None:
        """Put a copy beside a sheet, whole or cut short."""
        content = sheet.content()
        if content is None:
            return
        if self.rng.random() < 0.5:
            content = content[: self.rng.randrange(len(content) + 1)]
        self.counts["doubled"] += 1
        self._write(self._beside(sheet), content)

    def put_back(self, sheet: Sheet) -> None:
        """Put an older version in the place of a sheet; what it replaces stays beside it."""
        content = sheet.content()
        if content is None or b"\n" not in content:
            return
        self.counts["an older version put back"] += 1
        ends = [place for place, byte in enumerate(content) if byte == 10]
        self.replace(sheet, content[: self.rng.choice(ends) + 1], None)

    def replace(self, sheet: Sheet, content: bytes, known: bytes | None) -> None:
        """Replace a whole file. What stood there and is not `known` to stand elsewhere is kept beside it."""
        beside = self._beside(sheet)
        draft = self._write(sheet.file.with_name(f".sync-{self.rng.randrange(1 << 40)}"), content)
        try:
            sheet.file.rename(beside)
        except FileNotFoundError:
            pass
        else:
            if beside.read_bytes() in (known, content):
                beside.unlink()
        draft.rename(sheet.file)

    def _agreed(self, one: Path, other: Path, path: str, content: bytes) -> None:
        self._base[one, other, path] = self._base[other, one, path] = content

    def _beside(self, sheet: Sheet) -> Path:
        return sheet.file.with_name(f"{sheet.file.stem} (copy {self.rng.randrange(1 << 30)}).jsonl")

    def _write(self, file: Path, content: bytes) -> Path:
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(content)
        return file
