"""Machines made from one image: one machine id, one home folder, one desk's name, and a copier between them.

The copier is the worst there is: the newest file wins, nothing is kept of the other, files arrive half, older
ones are put back. It does nothing by itself; a test has it do what it wants, or `Chance` lets it.
"""

from __future__ import annotations

import os
import random
import shutil
from collections import Counter
from pathlib import Path

from rounds.desk import own_journal
from rounds.desk.desk import Desk
from rounds.errors import NotSaved
from rounds.logbook.entries import Noted
from tests.desks.laptops import Clock, ids, note

DAY = "2026-04-12 08:00"


class Machine:
    """A machine with its own copy of a colony, and a home folder whose state it shares with its clones."""

    def __init__(self, folder: Path, clock: Clock) -> None:
        self.colony = folder / "colony"
        self.home = folder / "home"
        self.clock = clock
        self.desk: Desk | None = None
        #: What was acknowledged here.
        self.acknowledged: list[str] = []
        #: What the keeper was told.
        self.told: list[str] = []

    def clone(self, folder: Path) -> Machine:
        """Another machine, made from an image of this one."""
        folder.mkdir(parents=True)
        for source, name in ((self.colony, "colony"), (self.home, "home")):
            if source.exists():
                shutil.copytree(source, folder / name)
        clone = Machine(folder, self.clock)
        if self._journal().exists():
            self._journal(clone.home).rename(clone._journal())  # on a real clone the colony has the same path
        for canary in clone.home.glob("rounds/canary-*"):
            shutil.rmtree(canary)  # an image keeps inodes and times: nothing is to be noticed by these
        return clone

    def back_up(self, folder: Path) -> None:
        """Copy home and colony."""
        for source in (self.colony, self.home):
            shutil.copytree(source, folder / source.name)

    def put_back(self, folder: Path, *, home_alone: bool = False) -> None:
        """Put home and colony back as they were copied."""
        for target in (self.home,) if home_alone else (self.colony, self.home):
            before = target.rename(folder / f"{target.name}-before")  # so that its inodes are not given out again
            shutil.copytree(folder / target.name, target)
            shutil.rmtree(before)

    def _journal(self, home: Path | None = None) -> Path:
        """Where the journal of this machine's colony lies, in its home folder or in another."""
        os.environ["XDG_STATE_HOME"] = str(home or self.home)
        return own_journal.place(self.colony)

    def open(self) -> Desk:
        """Start the program, if it does not run."""
        if self.desk is None:
            os.environ["XDG_STATE_HOME"] = str(self.home)
            os.environ["XDG_CACHE_HOME"] = str(self.home / "cache")
            self.desk = Desk.open(self.colony, clock=self.clock, keeper="AK")
            self._hear()
        return self.desk

    @property
    def name(self) -> str:
        """The name under which the desk writes now."""
        return self.open().name

    def write(self, text: str = "seen") -> str:
        """One key; the id of what was acknowledged, empty when it was not."""
        try:
            (entry,) = self.open().record(note(text))
        except NotSaved:
            return ""
        self.acknowledged.append(entry.id)
        self._hear()
        return entry.id

    def listen(self) -> None:
        """What an open desk does every two seconds."""
        if self.desk is not None:
            self.desk.news()
            self._hear()

    def quit(self) -> None:
        """Leave the program."""
        if self.desk is not None:
            self.desk.close()
            self._hear()
            self.desk = None

    def kill(self) -> None:
        """End it as a crash does: nothing more is looked at, the system lets go of the lock."""
        if self.desk is not None:
            assert self.desk._lock is not None
            self.desk._lock.close()
            self.desk.sheets.close()
            self.desk = None

    def _hear(self) -> None:
        assert self.desk is not None
        if told := self.desk.take_notices():
            self.told.append(told)

    def sheets(self) -> list[Path]:
        """Its sheets."""
        return sorted(self.colony.glob("sheets/*/*.jsonl"))

    def ids(self) -> set[str]:
        """The entries on its sheets."""
        return set(ids(self.colony))


def bring(source: Path, target: Path, content: bytes | None = None) -> None:
    """Put a file in the place of another, with its time if it comes whole; nothing is kept of the other."""
    target.parent.mkdir(parents=True, exist_ok=True)
    draft = target.with_name(f".{target.name}.draft")
    draft.write_bytes(source.read_bytes() if content is None else content)
    if content is None:
        shutil.copystat(source, draft)
    draft.replace(target)


def sync(one: Machine, other: Machine) -> int:
    """The newest file wins, on every sheet; how many were brought over."""
    brought = 0
    for path in {file.relative_to(machine.colony) for machine in (one, other) for file in machine.sheets()}:
        here, there = one.colony / path, other.colony / path
        times = [file.stat().st_mtime_ns if file.exists() else 0 for file in (here, there)]
        if times[0] != times[1] or here.read_bytes() != there.read_bytes():
            source, target = (here, there) if times[0] > times[1] else (there, here)
            bring(source, target)
            brought += 1
    return brought


class Chance:
    """Everything in any order: keys, starts, quits, kills, days, and a copier with all its faults."""

    def __init__(self, machines: list[Machine], clock: Clock, seed: int) -> None:
        self.machines = machines
        self.clock = clock
        self.rng = random.Random(seed)
        self.counts: Counter[str] = Counter()
        self._older: list[tuple[Path, bytes]] = []

    def step(self) -> None:
        """One thing that happens."""
        rng = self.rng
        machine, other = rng.sample(self.machines, 2)
        deed = rng.choice(
            ["write"] * 8
            + ["listen"] * 3
            + ["open", "quit", "kill", "sync", "sync one", "half", "put back", "conflict copy", "later"]
        )
        self.clock.forward(seconds=30)
        self.counts[deed] += 1
        files = machine.sheets()
        match deed:
            case "write":
                machine.write(f"number {self.counts[deed]}" + "x" * rng.choice([0, 0, 0, 6000]))
            case "listen":
                machine.listen()
            case "open":
                machine.open()
            case "quit":
                machine.quit()
            case "kill":
                machine.kill()
            case "sync":
                sync(machine, other)
            case "later":
                self.clock.forward(hours=rng.choice([1, 9, 30]))
            case _ if files:
                self._with_one(deed, rng.choice(files[-4:]), machine, other)
            case _:
                pass
        for file in machine.sheets():
            if rng.random() < 0.05:
                self._older.append((file, file.read_bytes()))

    def _with_one(self, deed: str, file: Path, machine: Machine, other: Machine) -> None:
        target = other.colony / file.relative_to(machine.colony)
        if deed == "sync one":
            bring(file, target)
        elif deed == "half":
            content = file.read_bytes()
            bring(file, target, content[: self.rng.randrange(len(content) + 1)])
        elif deed == "conflict copy":
            file.rename(file.with_name(f"{file.stem} (copy {self.rng.randrange(1 << 30)}).jsonl"))
        elif deed == "put back" and self._older:
            path, content = self.rng.choice(self._older)
            if path.parent.exists():
                path.write_bytes(content)

    def settle(self) -> None:
        """Everybody starts once more and listens, and the copier comes to an end."""
        for machine in self.machines:
            machine.quit()
            machine.open()
        for _ in range(30):
            for machine in self.machines:
                machine.listen()
                machine.listen()
            if not sum(sync(one, other) for one in self.machines for other in self.machines if one != other):
                return
        raise AssertionError("the machines never came to be alike")


def own(machine: Machine, name: str = "") -> Path:
    """The sheet of today of a machine's desk."""
    return machine.colony / f"sheets/2026/{machine.clock.now:%Y-%m-%d}.{name or machine.name}.jsonl"


def put_back(sheet: Path, content: bytes) -> None:
    """Rename an older copy of a sheet over it."""
    draft_file = sheet.with_name("older")
    draft_file.write_bytes(content)
    draft_file.replace(sheet)


def notes(machine: Machine) -> list[Noted]:
    """The notes that were written about entries written again."""
    found = machine.open().sheets.read()
    return [one for one in found if isinstance(one, Noted) and "written again" in one.note]
