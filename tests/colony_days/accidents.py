"""What can happen to a colony's files: each is a function that strikes, and says in a line what it did."""

from __future__ import annotations

import errno
import os
import shutil
from collections.abc import Callable, Sequence
from datetime import timedelta
from pathlib import Path
from typing import BinaryIO, Final

from tests.colony_days.copier import in_place, put
from tests.colony_days.desks import FourDesks
from tests.colony_days.machines import Machine

#: The size of the huge file: above what any sheet may be, and sparse, so that it costs no disk.
HUGE: Final = 1 << 30
#: What a home folder holds beside the colony.
_OWN: tuple[str, ...] = ("state", "cache")
_FAILS = (errno.ENOSPC, errno.EIO, errno.EROFS, errno.EACCES)


def kill(desks: FourDesks) -> str:
    """A process is killed at one of its next calls to the disk."""
    seat = desks.some_seat()
    seat.killed_in = desks.rng.randrange(1, 30)
    return f"{seat.keeper} will be killed in {seat.killed_in} calls"


def disk_fails(desks: FourDesks) -> str:
    """The disk is full, broken or read-only for a call, or for a while."""
    seat = desks.some_seat()
    code = desks.rng.choice(_FAILS)
    many = desks.rng.choice((1, 1, 2, 40))
    seat.fault = (code, many)
    return f"the disk of {seat.keeper} fails {many} calls: {errno.errorcode[code]}"


def half_copied(desks: FourDesks) -> str:
    """A sync program stops in the middle of files; it comes back to them later."""
    return desks.copier.some(half=True)


def back_in_time(desks: FourDesks) -> str:
    """An older copy of a sheet takes its place under the desk, with a time of now, so that it wins everywhere."""
    sheet = desks.open_sheet()
    if sheet is None:
        return ""
    machine, path = sheet
    content = path.read_bytes()
    ends = [place + 1 for place, byte in enumerate(content) if byte == 10]
    if len(ends) < 2:
        return ""
    older = content[: desks.rng.choice(ends[-6:-1])]
    with machine.here():
        time_ns = desks.room.stamp() if desks.rng.random() < 0.5 else path.stat().st_mtime_ns - 1
        if desks.rng.random() < 0.5:
            put(path, older, time_ns, desks.room)
        else:
            in_place(path, older, time_ns, desks.room)
    return f"{machine.name}: {path.name} back from {len(content)} to {len(older)} bytes"


def byte_flipped(desks: FourDesks) -> str:
    """A byte changes and no time with it; later it is put right wherever it was carried, as `cp -a` does."""
    found = _sound_sheet(desks)
    if found is None:
        return ""
    machine, path, content = found
    place = desks.rng.randrange(len(content))
    flipped = bytes([content[place] ^ 1 << desks.rng.randrange(8)])
    _at_times(path, lambda file: _one_for_another(file, place, content[place : place + 1], flipped))
    is_seen = desks.rng.random() < 0.5  # or a worn-out cell of the disk that comes back: no time tells of it

    def put_right() -> None:
        for copy in desks.copies_of(path):
            _at_times(copy, lambda file: _one_for_another(file, place, flipped, content[place : place + 1]))
            if copy.exists() and is_seen:
                desks.room.note_change(copy)

    desks.damaged[path] = put_right
    return f"{machine.name}: byte {place} of {path.name} flipped"


def last_line_damaged(desks: FourDesks) -> str:
    """The end of the last line of a sheet is overwritten, its newline with it; later a good copy is put back."""
    found = _sound_sheet(desks)
    if found is None:
        return ""
    machine, path, content = found
    damaged = content[:-1] + b"\x8a" if desks.rng.random() < 0.5 else content[:-2] + b"!"
    in_place(path, damaged, path.stat().st_mtime_ns, desks.room)

    def put_right() -> None:
        for copy in desks.copies_of(path):
            if copy.exists() and copy.read_bytes() == damaged:  # nobody has written to it since
                in_place(copy, content, copy.stat().st_mtime_ns, desks.room)

    desks.damaged[path] = put_right
    return f"{machine.name}: the last line of {path.name} damaged"


def huge_file(desks: FourDesks) -> str:
    """A file of a gigabyte stands where the open sheet was; later somebody takes it away."""
    sheet = desks.open_sheet()
    if sheet is None or sheet[1] in desks.damaged:
        return ""
    machine, path = sheet
    with machine.here():
        with path.with_name(".huge").open("wb") as file:
            file.truncate(HUGE)
        now = desks.room.stamp()
        os.utime(path.with_name(".huge"), ns=(now, now))
        path.with_name(".huge").replace(path)

    def take_away() -> None:
        if path.exists() and path.stat().st_size >= HUGE:
            path.unlink()

    desks.damaged[path] = take_away
    return f"{machine.name}: a huge file in place of {path.name}"


def clock_set(desks: FourDesks) -> str:
    """A machine's clock is set back or forward, within what the program takes for a difference of clocks."""
    machine = desks.rng.choice([*desks.room.machines.values()])
    machine.ahead = timedelta(seconds=desks.rng.randrange(-1_500, 1_500))
    return f"{machine.name}: the clock is {machine.ahead.total_seconds():.0f} s ahead now"


def rebuilt_at_once(desks: FourDesks) -> str:
    """The cache of a machine is gone, and its desks start together."""
    machine = desks.room.machines["shed"]
    shutil.rmtree(machine.home / "cache", ignore_errors=True)
    seats = [seat for seat in desks.seats if seat.machine is machine]
    for seat in seats:
        desks.end(seat, keeping=False)
    readings = []
    for seat in seats:
        desks.start(seat)
        if seat.desk is not None:
            readings.append((seat, seat.desk.reading()))
    while readings:
        seat, reading = desks.rng.choice(readings)
        with machine.here(), desks.room.run_by(seat):
            if next(reading, None) is None:
                readings.remove((seat, reading))
    for seat in seats:
        if seat.desk is not None:
            with machine.here(), desks.room.run_by(seat):
                seat.desk.news()
                seat.desk.keep()
    return f"{machine.name}: both windows start without a cache"


def home_restored(desks: FourDesks) -> str:
    """A machine's home folder is put back from a backup of some time ago; the colony lies elsewhere."""
    return _restored(desks, _OWN)


def all_restored(desks: FourDesks) -> str:
    """The home folder is put back, and the colony with it. What it lacks then is on the other machines."""
    return _restored(desks, (*_OWN, "colony"))


def _restored(desks: FourDesks, folders: Sequence[str]) -> str:
    machine = desks.rng.choice([*desks.room.machines.values()])
    backup = machine.home / f"backup-{len(folders)}"
    done = f"{machine.name}: {', '.join(folders)} are backed up"
    if backup.exists() and desks.rng.random() < 0.6:
        desks.leave_machine(machine)
        _home_from(backup, machine, folders)
        done = f"{machine.name}: {', '.join(folders)} are put back from a backup"
    elif "colony" in folders and any(path.is_relative_to(machine.colony) for path in desks.damaged):
        return ""  # what is damaged in a backup nobody puts right
    else:
        shutil.rmtree(backup, ignore_errors=True)
        _home_to(machine, backup, folders)
    return done


def cloned(desks: FourDesks) -> str:
    """One machine is made from the image of another: the same home, the same machine id, the same host name."""
    house, car = desks.room.machines["house"], desks.room.machines["car"]
    if car.identity == house.identity:
        return ""
    desks.leave_machine(car)
    for backup in car.home.glob("backup-*"):
        shutil.rmtree(backup)  # of the machine that this was before
    image, names = house.home / "image", _OWN
    if desks.rng.random() < 0.5:  # the colony lies on the same card
        names = (*_OWN, "colony")
    _home_to(house, image, names)
    _home_from(image, car, names)
    for canary in car.state.glob("rounds/canary-*"):
        shutil.rmtree(canary)  # an image keeps inodes and times: nothing is to be noticed by these
    shutil.rmtree(image)
    car.identity, car.host = house.identity, house.host
    return "the car's machine is a clone of the house's now"


ACCIDENTS: Final[dict[str, tuple[int, Callable[[FourDesks], str]]]] = {
    "kill": (30, kill),
    "disk fails": (15, disk_fails),
    "half copied": (20, half_copied),
    "back in time": (10, back_in_time),
    "byte flipped": (10, byte_flipped),
    "last line damaged": (6, last_line_damaged),
    "huge file": (2, huge_file),
    "clock set": (6, clock_set),
    "rebuilt at once": (4, rebuilt_at_once),
    "home restored": (6, home_restored),
    "all restored": (4, all_restored),
    "cloned": (3, cloned),
}


#: What may happen when nothing else is said.
USUAL: Final = tuple(ACCIDENTS)


def _sound_sheet(desks: FourDesks) -> tuple[Machine, Path, bytes] | None:
    """A sheet of some machine that is not damaged just now."""
    machine = desks.rng.choice([*desks.room.machines.values()])
    sheets = [machine.colony / path for path in desks.copier.sheets(machine)]
    names = {path.name for path in desks.damaged}
    sheets = [path for path in sheets if path.name not in names and 40 < path.stat().st_size < 1 << 20]
    if not sheets:
        return None
    path = desks.rng.choice(sheets)
    return machine, path, path.read_bytes()


def _at_times(path: Path, change: Callable[[BinaryIO], None]) -> None:
    """Change a file and leave its time as it was."""
    if path.exists():
        time_ns = path.stat().st_mtime_ns
        with path.open("r+b") as file:
            change(file)
        os.utime(path, ns=(time_ns, time_ns))


def _one_for_another(file: BinaryIO, place: int, before: bytes, after: bytes) -> None:
    file.seek(place)
    if file.read(1) == before:
        file.seek(place)
        file.write(after)


def _home_to(machine: Machine, folder: Path, names: Sequence[str] = _OWN) -> None:
    folder.mkdir()
    for name in names:
        if (machine.home / name).exists():
            shutil.copytree(machine.home / name, folder / name)


def _home_from(folder: Path, machine: Machine, names: Sequence[str] = _OWN) -> None:
    for name in names:
        before = machine.home / f"{name}-before"  # so that its inodes are not given out again
        if (machine.home / name).exists():
            (machine.home / name).rename(before)
        if (folder / name).exists():
            shutil.copytree(folder / name, machine.home / name)
            for file in (machine.home / name).rglob("*"):
                machine.room.note_change(file)
        shutil.rmtree(before, ignore_errors=True)
