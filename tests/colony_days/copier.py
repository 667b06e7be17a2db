"""A sync program of the worst sort: the file with the newer time wins, whatever it holds, and no copy is kept."""

from __future__ import annotations

import os
from collections import Counter
from pathlib import Path

from tests.colony_days.machines import Machine, Room

#: What is larger is no sheet; sync programs leave such alone too.
_MOST = 1 << 26


class Copier:
    """Carries sheets between machines, when the room says so."""

    def __init__(self, room: Room) -> None:
        self.room = room
        self.counts: Counter[str] = Counter()

    def sheets(self, machine: Machine) -> list[str]:
        """The sheets of a machine's copy of the colony."""
        return sorted(str(path.relative_to(machine.colony)) for path in machine.colony.glob("sheets/*/*.jsonl"))

    def some(self, *, half: bool) -> str:
        """One round between two machines, of some sheets or all; some of them only in part."""
        rng = self.room.rng
        one, other = rng.sample([*self.room.machines.values()], 2)
        paths = self.sheets(one)
        if rng.random() < 0.5:
            paths = [path for path in paths[-8:] if rng.random() < 0.5]
        done = [self.carry(one, other, path, half=half and rng.random() < 0.3) for path in paths]
        return f"{one.name} to {other.name}: {', '.join(filter(None, done)) or 'nothing new'}"

    def carry(self, one: Machine, other: Machine, path: str, *, half: bool = False) -> str:
        """Bring a sheet over if it is newer there than here; what was done."""
        here, there = one.colony / path, other.colony / path
        try:
            status = here.lstat()
            if status.st_size > _MOST or (there.exists() and there.lstat().st_size > _MOST):
                return ""
            if there.exists() and there.lstat().st_mtime_ns >= status.st_mtime_ns:
                return ""
            content = here.read_bytes()
        except OSError:
            return ""
        if there.exists() and there.read_bytes() == content:
            return ""
        rng = self.room.rng
        time_ns, what = status.st_mtime_ns, "whole"
        if half and len(content) > 1:
            content, time_ns, what = content[: rng.randrange(len(content))], time_ns - 1, "half"
        with other.here():
            if rng.random() < 0.5 and there.exists():
                in_place(there, content, time_ns, self.room)
                what += " in place"
            else:
                put(there, content, time_ns, self.room)
        self.counts[what] += 1
        return f"{path.rpartition('/')[2]} {what}"

    def make_alike(self) -> None:
        """Carry whole sheets until nothing is newer anywhere."""
        machines = [*self.room.machines.values()]
        for _ in range(20):
            done = [
                self.carry(one, other, path)
                for one in machines
                for other in machines
                if one is not other
                for path in self.sheets(one)
            ]
            if not any(done):
                return
        raise AssertionError("the copies never came to be alike")


def put(path: Path, content: bytes, time_ns: int, room: Room) -> None:
    """Put a file in the place of another at once, with this time."""
    if not path.parent.exists():
        path.parent.mkdir(parents=True)
    draft = path.with_name(".sync-draft")
    draft.write_bytes(content)
    os.utime(draft, ns=(time_ns, time_ns))
    draft.replace(path)
    room.note_change(path)
    now = room.stamp()
    for folder in (path.parent, path.parent.parent):
        os.utime(folder, ns=(now, now))


def in_place(path: Path, content: bytes, time_ns: int, room: Room) -> None:
    """Write over a file, and give it this time."""
    with path.open("r+b") as file:
        file.truncate(0)
        file.write(content)
    os.utime(path, ns=(time_ns, time_ns))
    room.note_change(path)
