"""Where a story plays: a keeper's home folder with a colony in it, a clock, and the recorder."""

from __future__ import annotations

import io
import os
import random
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import Any, TypeAlias
from unittest import mock

from rounds.cli import main
from rounds.desk.desk import Desk
from rounds.errors import NotSaved
from rounds.logbook.drafts import Draft, draft
from rounds.logbook.entries import Entry, Fed, Watered
from rounds.sheets.store import Sheets
from tests.crashes.record import Acknowledged, Begun, Recorder, Refused
from tests.desks.laptops import Clock, note, stop, weight

_FOLDERS = ("STATE", "CACHE", "CONFIG", "DATA")
_A_WHILE_NS = 60_000_000_000
_BEGIN = "2026-04-12 07:30"


class Stage:
    """Where a story plays: a keeper's home folder with a colony in it, a clock, and the recorder."""

    def __init__(self, root: Path, rng: random.Random) -> None:
        self.root = root
        self.rng = rng
        self.clock = Clock(_BEGIN)
        #: How long ago files were last changed, as the program sees it (ns).
        self.later_ns = _A_WHILE_NS
        self.recorder: Recorder | None = None
        #: Every save that was begun, by its entries' ids; each is found whole or not at all.
        self.saves: list[tuple[str, ...]] = []
        #: Every entry of them, and those that were there before.
        self.entries: dict[str, Entry] = {}
        #: What was there when the recording began.
        self.before: frozenset[str] = frozenset()

    @property
    def colony(self) -> Path:
        """The colony's folder."""
        return self.root / "colony"

    def _later(self, clock: Callable[[], int]) -> Callable[[], int]:
        return lambda: clock() + self.later_ns

    @contextmanager
    def at_home(self) -> Iterator[None]:
        """The keeper's folders are here, and what is drawn at random is drawn by the seed."""
        places = {f"XDG_{name}_HOME": str(self.root / name.lower()) for name in _FOLDERS}
        drawn = random.Random(self.rng.randrange(1 << 30)).randbytes
        with (
            mock.patch.dict(os.environ, {"HOME": str(self.root), "ROUNDS_KEEPER": "AK", **places}),
            mock.patch("os.urandom", drawn),
            mock.patch("rounds.desk.desk.urandom", drawn),
            mock.patch("socket.gethostname", return_value="rack"),
            mock.patch("time.time_ns", self._later(time.time_ns)),
        ):
            yield

    def tell(self, prelude: Part, told: Part) -> Recorder:
        """Let a story happen, and record what comes after its prelude."""
        with mock.patch.object(Sheets, "append", self._appending(Sheets.append)):
            with self.at_home():
                prelude(self)
            self.before = frozenset(self.entries)
            self.recorder = Recorder(self.root)
            with self.at_home(), self.recorder.running():
                told(self)
        return self.recorder

    def _appending(self, append: Callable[..., Any]) -> Callable[..., Any]:
        def done(sheets: Sheets, entries: Sequence[Entry], day: date) -> tuple[Entry, ...]:
            ids = tuple(entry.id for entry in entries)
            self.saves.append(ids)
            if self.recorder is not None:
                self.recorder.tell(Begun(ids))
            try:
                saved: tuple[Entry, ...] = append(sheets, entries, day)
            except NotSaved:
                if self.recorder is not None:
                    self.recorder.tell(Refused(ids))
                raise
            self.entries.update((entry.id, entry) for entry in saved)
            if self.recorder is not None:
                self.recorder.tell(Acknowledged(ids))
            return saved

        return done

    # What a keeper does

    def desk(self) -> Desk:
        """A desk that is opened now."""
        return Desk.open(self.colony, clock=self.clock, keeper="AK")

    def rounds(self, *words: str, stdin: bytes = b"") -> str:
        """A plain command that succeeds; what it printed."""
        out, err = io.StringIO(), io.StringIO()
        asked = ("--colony", str(self.colony), *words)
        code = main(asked, clock=self.clock, stdin=io.BytesIO(stdin), out=out, err=err)
        assert code in (0, 1), f"{words}: {err.getvalue()}"
        return out.getvalue()

    def wait(self, seconds: int = 20) -> None:
        """Time goes by."""
        self.clock.forward(seconds=seconds)

    def at_a_stop(self, desk: Desk) -> None:
        """A stop done, or a figure, or a word."""
        self.wait(self.rng.randrange(5, 90))
        chance = self.rng.random()
        if chance < 0.4:
            place = f"enclosure/{self.rng.choice(('b3', 'b4'))}"
            desk.record(draft(Fed, place, what="roaches"), draft(Watered, place), self.stop())
        elif chance < 0.8:
            desk.record(weight("wattle", float(self.rng.randrange(380, 460))))
        else:
            desk.record(note("x" * self.rng.choice((3, 40, 300, 700))))

    def stop(self) -> Draft:
        """A stop walked."""
        return stop(self.rng.choice(("b3", "b4")), self.clock.now.date().isoformat())

    def sheet(self) -> Path:
        """The sheet that was written to last, of the day and by the rack."""
        return max(
            self.colony.glob("sheets/*/*.rack*.jsonl"), key=lambda path: (path.name, path.stat().st_mtime_ns)
        )


@contextmanager
def failing(stage: Stage, call: str, code: int, takes: int | None = None) -> Iterator[None]:
    """The next such call fails; a write takes so many bytes before it does."""
    recorder = stage.recorder
    assert recorder is not None
    left = [takes is not None]

    def before(name: str, _path: str) -> None:
        if name != call:
            return
        if left[0]:
            left[0] = False
            recorder.takes = takes
            return
        recorder.before = None
        raise OSError(code, os.strerror(code))

    recorder.before = before
    yield
    recorder.before = None


#: What happens on a stage: a story, or what was before it.
Part: TypeAlias = Callable[[Stage], None]
