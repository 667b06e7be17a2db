"""A story told, the power cut at each of its instants, and each disk found afterwards held to what was promised."""

from __future__ import annotations

import os
import random
import shutil
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import NamedTuple
from unittest import mock

from rounds.desk.colony_file import write_new
from rounds.desk.desk import Desk
from rounds.errors import NoColony
from rounds.logbook.entries import Entry
from rounds.sheets.disk import Disk
from rounds.sheets.store import Sheets
from tests.crashes.disks import Disks, Found
from tests.crashes.paper import kept_beside
from tests.crashes.record import Acknowledged, Begun, Excused, Recorder, Refused, Times
from tests.crashes.stage import Stage
from tests.crashes.stories import Story
from tests.desks.laptops import note


class Demand(NamedTuple):
    """What has to be found at an instant, and what must not be."""

    required: frozenset[str]
    begun: frozenset[str]


class Verdict(NamedTuple):
    """What a disk holds when it is opened, and what is wrong with it whatever the instant."""

    ids: frozenset[str]
    wrong: str
    #: Whether some lines of a save under way are there without the others; it is reported then.
    in_part: bool = False
    #: What the desk wrote down by itself at its start.
    noted: tuple[Entry, ...] = ()


class Point(NamedTuple):
    """A crash point: an instant of a story, a disk found afterwards, and what is wrong; "" for nothing."""

    instant: int
    number: int
    found: Found
    wrong: str
    #: Whether of a save that was never acknowledged some lines count, and the sheet is reported for it.
    in_part: bool
    #: What the desk wrote down by itself at its start.
    noted: tuple[Entry, ...]


class Telling:
    """One telling of a story, by a seed, with the power cut at each instant of it."""

    def __init__(self, story: Story, seed: int, root: Path) -> None:
        self.story = story
        self.rng = random.Random(f"{story.name} {seed}")
        self.stage = Stage(root, self.rng)
        _emptied(root)
        self.recorder: Recorder = self.stage.tell(story.prelude, story.told)
        self.stage.clock.forward(hours=2)
        self._known: dict[tuple[object, ...], Verdict] = {}

    def points(self, disks_an_instant: int) -> Iterator[Point]:
        """Every instant with the disks that may be found after it, at most so many for each."""
        with self.stage.at_home():
            yield from self._points(disks_an_instant)

    def _points(self, disks_an_instant: int) -> Iterator[Point]:
        disks = Disks(*self.recorder.first)
        required, begun = set(self.stage.before), set(self.stage.before)
        events = self.recorder.events
        for instant in range(-1, len(events)):
            if instant >= 0:
                event = events[instant]
                if isinstance(event, Begun):
                    begun.update(event.ids)
                elif isinstance(event, Acknowledged):
                    required.update(event.ids)
                elif isinstance(event, Refused):
                    begun.difference_update(event.ids if self.story.refuses_for_certain else ())
                elif isinstance(event, Excused):
                    required.difference_update(event.ids)
                else:
                    disks.take(event)
            after = events[instant + 1] if instant + 1 < len(events) else None
            if isinstance(after, Begun | Acknowledged | Refused):
                continue  # what is told next makes it the stricter
            demand = Demand(frozenset(required), frozenset(begun))
            for number, found in enumerate(disks.some(disks_an_instant, self.rng)):
                if found.key not in self._known:
                    self._known[found.key] = self._opened(found)
                verdict = self._known[found.key]
                yield Point(instant, number, found, self._wrong(verdict, demand), verdict.in_part, verdict.noted)

    def _wrong(self, verdict: Verdict, demand: Demand) -> str:
        """What is wrong with a disk found at an instant."""
        if verdict.wrong:
            return verdict.wrong
        if lost := demand.required - verdict.ids:
            return f"lost though acknowledged: {sorted(lost)}"
        if more := verdict.ids - demand.begun:
            return f"never begun, or told as not saved: {sorted(more)}"
        return ""

    def _opened(self, found: Found) -> Verdict:
        """Lay out the disk, open it as the keeper would, write on it, read it back."""
        before = lay_out(found, self.stage.root, self.recorder)
        with same_files(before):
            try:
                return self._worked_on()
            except NoColony as error:
                if not self.story.begins_nothing:
                    return Verdict(frozenset(), f"refused: {error}")
                return self._begun_again()
            except Exception as error:  # whatever it is, the keeper would see it
                return Verdict(frozenset(), f"{type(error).__name__}: {error}")

    def _begun_again(self) -> Verdict:
        """There is no colony yet: then one can be begun."""
        write_new(self.stage.colony, "Quandong shed", "Europe/Vienna")
        return self._worked_on()

    def _worked_on(self) -> Verdict:
        stage, clock = self.stage, self.stage.clock
        noted: list[Entry] = []
        append = Sheets.append

        def noting(sheets: Sheets, entries: Sequence[Entry], day: date) -> tuple[Entry, ...]:
            noted.extend(entries)
            return append(sheets, entries, day)

        with mock.patch.object(Sheets, "append", noting):
            desk = Desk.open(stage.colony, clock=clock, keeper="EM")
        found = _entries(stage.colony)
        by_news = desk.standing.digest()
        if by_news != _anew(desk):
            return Verdict(frozenset(), "the standing is another than the sheets say")
        (one,) = desk.record(note("and on it goes"))
        later = _entries(stage.colony)
        desk.close()
        ids = frozenset(later).union(kept_beside(stage)) - {one.id} - {written.id for written in noted}
        if later.get(one.id) != one:
            return Verdict(ids, "what was written next cannot be read back")
        if not found.keys() <= later.keys():
            return Verdict(ids, "what was found was lost by writing on")
        in_part = [save for save in stage.saves if 0 < len(ids.intersection(save)) < len(save)]
        if in_part and not Sheets(stage.colony, "reader").look_over():
            return Verdict(ids, f"half a save, and nothing is told: {sorted(ids.intersection(in_part[0]))}")
        for entry_id in ids & stage.entries.keys():
            if later[entry_id] != stage.entries[entry_id]:
                return Verdict(ids, f"{entry_id} says something else now")
        return Verdict(ids, "", bool(in_part), tuple(noted))


def _entries(colony: Path) -> dict[str, Entry]:
    """Every entry that a reader finds; each is handed out once."""
    entries = Sheets(colony, "reader").read()
    by_id = {entry.id: entry for entry in entries}
    assert len(by_id) == len(entries), "an entry is handed out twice"
    return by_id


def _anew(desk: Desk) -> str:
    again = Desk(desk.folder, desk.settings, Sheets(desk.folder, "reader"), clock=desk._clock)
    again.read()
    return again.standing.digest()


def lay_out(found: Found, root: Path, recorder: Recorder) -> dict[int, tuple[int, Times]]:
    """Make the folder hold just what was found.

    By the number of each file, the one that it had before, and its times.
    """
    _emptied(root)
    before: dict[int, tuple[int, Times]] = {}
    for folder in sorted(found.folders - {""}):
        (root / folder).mkdir(recorder.modes.get(folder, 0o700))
    for path, content in found.files.items():
        handle = os.open(root / path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, recorder.modes.get(path, 0o600))
        os.write(handle, content)
        file, times = found.known_by[path]
        os.utime(handle, ns=(times.mtime_ns, times.mtime_ns))
        before[os.fstat(handle).st_ino] = recorder.inodes[file], times
        os.close(handle)
    return before


class _Status:
    """What the system says of a file, as if it were the one from before the power was cut."""

    def __init__(self, status: os.stat_result, before: dict[int, tuple[int, Times]]) -> None:
        self._status = status
        now = Times(status.st_mtime_ns, status.st_ctime_ns)
        self.st_ino, times = before.get(status.st_ino, (status.st_ino, now))
        self.st_ctime_ns = times.ctime_ns if times.mtime_ns == now.mtime_ns else now.ctime_ns

    def __getattr__(self, name: str) -> object:
        return getattr(self._status, name)


@contextmanager
def same_files(before: dict[int, tuple[int, Times]]) -> Iterator[None]:
    """The program finds the same files that were there before, not copies of them, until it writes to them."""
    lstat, fstat, listed = os.lstat, os.fstat, Disk.list

    def all_of(disk: Disk, path: str) -> list[tuple[str, object]]:
        return [(name, _Status(status, before)) for name, status in listed(disk, path)]  # type: ignore[arg-type]

    with (
        mock.patch("os.lstat", lambda path, **named: _Status(lstat(path, **named), before)),
        mock.patch("os.fstat", lambda handle: _Status(fstat(handle), before)),
        mock.patch.object(Disk, "list", all_of),
    ):
        yield


def _emptied(root: Path) -> None:
    for one in root.iterdir():
        if one.is_dir() and not one.is_symlink():
            shutil.rmtree(one)
        else:
            one.unlink()
