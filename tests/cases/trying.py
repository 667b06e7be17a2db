"""Trying a case in a folder of its own, and several at a time: most of a case is waiting for the program."""

from __future__ import annotations

import shutil
import tempfile
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path
from typing import Final, NamedTuple

from tests.cases.all import CASES
from tests.cases.verdict import Verdict
from tests.cases.window import OPEN

#: Cases that measure seconds are tried one after the other, with nothing beside them.
MEASURED: Final = frozenset({"4c", "5e"})


class Tried(NamedTuple):
    """A case that was tried: its name, what it found, and the seconds it took."""

    name: str
    verdict: Verdict
    seconds: float

    @property
    def line(self) -> str:
        """The one line that is printed."""
        return f"{self.name:5} {self.verdict.word:9} {self.verdict.sentence}  ({self.seconds:.0f} s)"


def try_all(names: Sequence[str], rounds: Path, keep: Path | None, jobs: int) -> Iterator[Tried]:
    """Try cases, so many at a time; those that measure come last."""
    one = partial(try_one, rounds=rounds, keep=keep)
    together = [name for name in names if name not in MEASURED]
    with ProcessPoolExecutor(jobs) as workers:
        yield from workers.map(one, together)
    yield from map(one, (name for name in names if name in MEASURED))


def try_one(name: str, rounds: Path, keep: Path | None = None) -> Tried:
    """Try a case. One that falls over is broken: what it stands on did not happen."""
    if keep is not None:
        keep.mkdir(parents=True, exist_ok=True)
    folder = Path(tempfile.mkdtemp(prefix=f"case-{name}-", dir=keep))
    begin = time.monotonic()
    case = CASES[name]
    try:
        verdict = case.trial(rounds, folder)
    except (AssertionError, OSError, ValueError) as error:
        first, *rest = str(error).splitlines() or [""]
        shown = " / ".join(row.strip() for row in rest if row.strip())[:300]
        verdict = Verdict(False, f"{case.about}: it could not go on: {type(error).__name__}: {first} {shown}")
    finally:
        while OPEN:
            OPEN[-1].end()
        if keep is None:
            shutil.rmtree(folder, ignore_errors=True)
    return Tried(name, verdict, time.monotonic() - begin)
