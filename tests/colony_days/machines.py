"""Machines in one process: each with a home, a name and a clock of its own, and a disk that fails when told."""

from __future__ import annotations

import os
import random
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager, suppress
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any
from unittest import mock

from rounds import system
from rounds.desk.desk import Desk
from rounds.logbook.entries import Entry
from rounds.sheets.disk import Disk
from rounds.sheets.store import Sheets
from tests.notation import at

BEGIN = at("2026-04-12 06:00")
_READING = ("open", "read", "status", "status_of", "list")
_CHANGING = ("write", "sync", "sync_folder", "cut", "make_folder", "rename", "remove")


class Killed(BaseException):
    """The process is gone: no call comes back any more."""


class Status:
    """What the system says of a file, with the time of its last change by the room's clock."""

    def __init__(self, status: os.stat_result, changed: dict[int, int]) -> None:
        self._status = status
        self.st_ctime_ns = changed.get(status.st_ino, status.st_mtime_ns)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._status, name)


class Machine:
    """A machine: its copy of the colony, and where it keeps what is its own."""

    def __init__(self, name: str, home: Path, room: Room) -> None:
        self.name = name
        self.home = home
        self.room = room
        #: What the system says this machine is; a clone says the same.
        self.identity = f"machine-{name}"
        self.host = name
        #: How far its clock is from the room's.
        self.ahead = timedelta()

    @property
    def colony(self) -> Path:
        """Its copy of the colony."""
        return self.home / "colony"

    @property
    def state(self) -> Path:
        """What a restore of the home folder puts back beside the colony."""
        return self.home / "state"

    def clock(self) -> datetime:
        """What its clock says."""
        return self.room.now + self.ahead

    @contextmanager
    def here(self) -> Iterator[None]:
        """The program runs on this machine."""
        before, self.room.machine = self.room.machine, self
        places = {
            f"XDG_{name}_HOME": str(self.home / name.lower()) for name in ("STATE", "CACHE", "CONFIG", "DATA")
        }
        os.environ.update(HOME=str(self.home), **places)
        try:
            yield
        finally:
            self.room.machine = before


class Seat:
    """A keeper at a desk: open, closed or killed."""

    def __init__(self, machine: Machine, keeper: str) -> None:
        self.machine = machine
        self.keeper = keeper
        self.desk: Desk | None = None
        #: After so many calls to the disk the process is killed; None: it is not.
        self.killed_in: int | None = None
        self.is_dead = False
        #: What each changing call fails with, and for how many calls.
        self.fault: tuple[int, int] | None = None

    def called(self, name: str) -> None:
        """A call to the disk is about to be made."""
        if self.is_dead:
            raise Killed
        if self.killed_in is not None:
            self.killed_in -= 1
            if self.killed_in <= 0:
                self.is_dead = True
                raise Killed
        if self.fault is not None and name in ("create", "write", "sync", "sync_folder", "cut", "rename"):
            code, left = self.fault
            self.fault = (code, left - 1) if left > 1 else None
            raise OSError(code, os.strerror(code))

    def start(self) -> None:
        """Open a desk, as a process that begins does."""
        self.is_dead, self.killed_in = False, None
        with self.machine.here(), self.machine.room.run_by(self):
            self.desk = Desk.open(self.machine.colony, clock=self.machine.clock, keeper=self.keeper)

    def close(self, *, keeping: bool) -> None:
        """Leave as a keeper does."""
        if self.desk is not None:
            with self.machine.here(), self.machine.room.run_by(self):
                self.desk.close(keeping=keeping)
        self.desk = None
        self.machine.room.forget_handles_of(self)

    def let_go(self) -> None:
        """What the system does when a process is gone: its handles are closed, and its locks with them."""
        self.desk = None
        self.is_dead, self.fault = True, None
        self.machine.room.close_all_of(self)


def _file_of(handle: int) -> tuple[int, int]:
    status = os.fstat(handle)
    return status.st_dev, status.st_ino


class Room:
    """The room's time, its machines, and what was acknowledged in it."""

    def __init__(self, folder: Path, seed: int) -> None:
        self.folder = folder
        self.rng = random.Random(seed)
        self.now = BEGIN
        self.machines = {name: Machine(name, folder / name, self) for name in ("shed", "house", "car")}
        self.machine = self.machines["shed"]
        #: What each process holds open: by handle, the file.
        self._handles: dict[Seat, dict[int, tuple[int, int]]] = {}
        self._seat: Seat | None = None
        self._ticks = 0
        #: When each file was last changed in any way (ns), by its number: what no program can set.
        self.changed: dict[int, int] = {}
        self.acknowledged: dict[str, Entry] = {}
        self.begun: dict[str, Entry] = {}
        self.twice: list[str] = []

    def stamp(self, machine: Machine | None = None) -> int:
        """The time of a change to a file, in ns: by the machine's clock, and no two alike."""
        self._ticks += 1
        return int((machine or self.machine).clock().timestamp() * 1e9) + self._ticks

    def note_change(self, path: Path) -> None:
        """A file was changed by somebody else than a desk."""
        self.changed[path.stat().st_ino] = self.stamp()

    def _holds(self, seat: Seat, handle: int) -> None:
        """A process holds a file open; who held one by this number before has closed it."""
        for handles in self._handles.values():
            handles.pop(handle, None)
        self._handles.setdefault(seat, {})[handle] = _file_of(handle)

    def forget_handles_of(self, seat: Seat) -> None:
        """A process has ended by itself."""
        self._handles.pop(seat, None)

    def close_all_of(self, seat: Seat) -> None:
        """A process is gone: the system closes what it held open."""
        for handle, file in self._handles.pop(seat, {}).items():
            with suppress(OSError):
                if _file_of(handle) == file:
                    os.close(handle)

    @contextmanager
    def run_by(self, seat: Seat) -> Iterator[None]:
        """What runs now is the process of this seat."""
        before, self._seat = self._seat, seat
        try:
            yield
        finally:
            self._seat = before

    @contextmanager
    def open(self) -> Iterator[Room]:
        """The machines run: their clocks, names, disks and chances are those of the room."""
        drawn = random.Random(self.rng.randrange(1 << 30)).randbytes
        with ExitStack() as patched:
            for target, value in {
                "os.urandom": drawn,
                "rounds.desk.desk.urandom": drawn,
                "socket.gethostname": lambda: self.machine.host,
                "rounds.system.machine_id": lambda: self.machine.identity,
                "time.time_ns": lambda: int(self.machine.clock().timestamp() * 1e9),
            }.items():
                patched.enter_context(mock.patch(target, value))
            patched.enter_context(mock.patch.dict(os.environ))
            patched.enter_context(mock.patch.object(system, "lock", self._lock(system.lock)))
            for name in (*_READING, *_CHANGING):
                patched.enter_context(mock.patch.object(Disk, name, self._call(name, getattr(Disk, name))))
            patched.enter_context(mock.patch.object(Disk, "close", self._close(Disk.close)))
            patched.enter_context(mock.patch.object(Sheets, "append", self._append(Sheets.append)))
            yield self

    def _call(self, name: str, call: Callable[..., Any]) -> Callable[..., Any]:
        def done(disk: Disk, first: Any, *given: Any) -> Any:
            seat = disk.__dict__.setdefault("_seat", self._seat)
            creates = name == "open" and bool(given and given[0] & os.O_CREAT)
            if seat is not None:
                seat.called("create" if creates else name)
            before = os.path.lexists(disk._at(first)) if creates else True
            result = call(disk, first, *given)
            if name == "open" and seat is not None:
                self._holds(seat, result)
            if name in ("write", "cut") or not before:
                handle = first if name in ("write", "cut") else result
                now = self.stamp()
                os.utime(handle, ns=(now, now))
                self.changed[os.fstat(handle).st_ino] = now
            if name in ("status", "status_of"):
                return Status(result, self.changed)
            if name == "list":
                return [(one, Status(status, self.changed)) for one, status in result]
            if not before or name in ("make_folder", "rename", "remove"):
                for path in (first, *given[:1]) if name == "rename" else (first,):
                    os.utime(os.path.dirname(disk._at(path)), ns=(self.stamp(),) * 2)  # noqa: PTH120
            return result

        return done

    def _close(self, call: Callable[[Disk, int], None]) -> Callable[[Disk, int], None]:
        def done(disk: Disk, handle: int) -> None:
            seat = disk.__dict__.get("_seat")
            if seat is not None:
                if seat.is_dead:
                    raise Killed
                self._handles.get(seat, {}).pop(handle, None)
            call(disk, handle)

        return done

    def _lock(self, lock: Callable[[int], bool]) -> Callable[[int], bool]:
        def done(handle: int) -> bool:
            held = lock(handle)
            # The lock of a desk's name is held as long as its process is there.
            if held and self._seat is not None and self._is_of_a_desk(handle):
                self._holds(self._seat, handle)
            return held

        return done

    def _is_of_a_desk(self, handle: int) -> bool:
        file = os.fstat(handle)
        return any(os.path.samestat(file, one.stat()) for one in self.machine.state.glob("rounds/desks/*.lock"))

    def _append(self, append: Callable[..., Any]) -> Callable[..., Any]:
        def done(sheets: Sheets, entries: Sequence[Entry], day: date) -> tuple[Entry, ...]:
            self.begun.update((entry.id, entry) for entry in entries)
            saved: tuple[Entry, ...] = append(sheets, entries, day)
            for entry in saved:
                if entry.id in self.acknowledged:
                    self.twice.append(entry.id)
                self.acknowledged[entry.id] = entry
            return saved

        return done
