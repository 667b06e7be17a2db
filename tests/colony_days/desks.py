"""Four desks of one room: who sits at them, what is done there, and what is damaged just now."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable
from pathlib import Path

from rounds.desk.desk import Desk
from rounds.errors import BadEntry, NotSaved
from tests.colony_days.copier import Copier
from tests.colony_days.machines import Killed, Machine, Room, Seat
from tests.desks.four_desks import Keeper


class FourDesks:
    """Two windows of one machine and two other machines, each with a copy of the colony."""

    def __init__(self, folder: Path, seed: int) -> None:
        self.room = Room(folder, seed)
        self.rng: random.Random = self.room.rng
        self.copier = Copier(self.room)
        places = (("shed", "AK"), ("shed", "EM"), ("house", "LO"), ("car", "RU"))
        self.seats = [Seat(self.room.machines[name], keeper) for name, keeper in places]
        self.keepers: dict[str, Keeper] = {}
        #: Files that are damaged just now, each with what puts it right.
        self.damaged: dict[Path, Callable[[], None]] = {}
        self.counts: Counter[str] = Counter()
        self.log: list[str] = []
        self.step = 0

    def guarded(self, seat: Seat, what: str, act: Callable[[Desk], object]) -> None:
        """A thing done at a desk, which may be killed meanwhile, or be refused by the disk."""
        desk = seat.desk
        assert desk is not None
        try:
            with seat.machine.here(), self.room.run_by(seat):
                done = act(desk)
                if desk.is_stale:
                    desk.read()
                    done = f"{done}, and reads all again"
        except Killed:
            seat.let_go()
            done = "is killed"
            self.counts["killed"] += 1
        except (NotSaved, BadEntry) as error:
            done = f"is told: {error}"
            self.counts["told that it is not saved"] += isinstance(error, NotSaved)
        self.note(seat.keeper, f"{what}: {done}")

    def start(self, seat: Seat) -> None:
        """A desk is opened."""
        try:
            seat.start()
        except Killed:
            seat.let_go()
            self.note(seat.keeper, "is killed at the start")
            return
        assert seat.desk is not None
        if seat.keeper in self.keepers:
            self.keepers[seat.keeper].desk = seat.desk
        else:
            self.keepers[seat.keeper] = Keeper(seat.desk, self.rng)
        self.note(seat.keeper, f"sits down as {seat.desk.name}")

    def end(self, seat: Seat, *, keeping: bool) -> None:
        """A desk is left, or its process found dead."""
        if seat.desk is None:
            return
        try:
            seat.close(keeping=keeping)
        except Killed:
            seat.let_go()
        seat.desk = None
        self.note(seat.keeper, "leaves")

    def leave_machine(self, machine: Machine) -> None:
        """What a machine wrote is on all copies, and its desks are left: it can be overwritten."""
        seats = [seat for seat in self.seats if seat.machine is machine]
        for path in [path for path in self.damaged if path.is_relative_to(machine.colony)]:
            self.put_right(path)
        for seat in seats:
            self.end(seat, keeping=False)
            seat.fault = seat.killed_in = None
        self.copier.make_alike()
        for seat in seats:
            self.start(seat)
        for seat in seats:
            self.end(seat, keeping=False)
        self.copier.make_alike()

    def some_seat(self) -> Seat:
        """One of the four."""
        return self.rng.choice(self.seats)

    def open_sheet(self) -> tuple[Machine, Path] | None:
        """The sheet of a running desk, where there is one."""
        seat = self.some_seat()
        sheet = seat.desk.sheets._writer.sheet if seat.desk is not None else None
        if sheet is None:
            return None
        path = seat.machine.colony / sheet.path
        return (seat.machine, path) if path.exists() and path.stat().st_size < 1 << 20 else None

    def copies_of(self, path: Path) -> list[Path]:
        """A sheet of one machine, and the same one of the others."""
        machines = [*self.room.machines.values()]
        (own,) = (machine for machine in machines if path.is_relative_to(machine.colony))
        return [machine.colony / path.relative_to(own.colony) for machine in machines]

    def put_right(self, path: Path) -> None:
        """A damaged file is put right."""
        self.damaged.pop(path)()
        self.note("keeper", f"puts {path.name} right")

    def note(self, who: str, what: str) -> None:
        """Put a line to the log."""
        self.log.append(f"{self.step} {self.room.now:%d %b %H:%M:%S} {who} {what}")
