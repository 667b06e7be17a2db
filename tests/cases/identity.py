"""Who writes a sheet: machines that were copied, homes that were restored, and a copier between the colonies."""

from __future__ import annotations

import os
import random
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Final

from tests.cases.home import Home, Ran, enclosures
from tests.cases.verdict import Verdict, case, tells
from tests.cases.window import Window

#: How often a machine writes in one case, and how often it does so by an open window. A number of our own choosing.
STEPS: Final = 120
SEED: Final = 20260412


class Machine:
    """A home on a machine, the window that may be open on it, and what was acknowledged there."""

    def __init__(self, name: str, home: Home) -> None:
        self.name = name
        self.home = home
        self.window: Window | None = None
        self.acknowledged: list[str] = []
        self.said = ""

    def open(self) -> None:
        """Open the app, or leave it."""
        if self.window is None:
            self.window = Window(self.home)
            self.window.take_over()
        else:
            self.leave()

    def leave(self) -> None:
        """Leave the app by its key."""
        if self.window is not None:
            window, self.window = self.window, None
            with window:
                window.quiet(0.1)
                self.said += window.text
                window.leave()
                self.said += window.text

    def kill(self) -> None:
        """Kill the app when it is open."""
        if self.window is not None:
            self.window.end()
            self.window = None

    def writes(self, number: int) -> None:
        """Write a note that nobody else writes: in the window when one is open, else by a command."""
        note = f"{self.name}{number}"
        if self.window is None:
            ran = self.home.run("log", "noted", "room", f"note={note}")
            self.said += ran.err
            if ran.code == 0:
                self.acknowledged.append(note)
        else:
            self.window.press(f"n{note}\r")
            if self.window.sees(f"note: {note}", patience=6):
                self.acknowledged.append(note)
            self.said += self.window.text


Copying = Callable[[Path, Path], None]


def alike(one: Path, other: Path, copying: Copying) -> None:
    """Bring the sheets of two colonies to be alike: of two files the one written last takes the other's place."""
    names = {path.relative_to(folder) for folder in (one, other) for path in folder.glob("sheets/2*/*")}
    for name in sorted(names):
        here, there = one / name, other / name
        if not here.exists() or not there.exists():
            source, target = (here, there) if here.exists() else (there, here)
        elif here.read_bytes() == there.read_bytes():
            continue
        elif here.stat().st_mtime_ns >= there.stat().st_mtime_ns:
            source, target = here, there
        else:
            source, target = there, here
        copying(source, target)


def newest_wins(source: Path, target: Path) -> None:
    """Replace a whole file, keeping its time; what stood there is gone."""
    target.parent.mkdir(parents=True, exist_ok=True)
    draft = target.with_name(f".copy-{target.name}")
    shutil.copy2(source, draft)
    draft.replace(target)


def half_copied(chance: random.Random) -> Copying:
    """Copy in place, and every third time stop half way; the next look copies on."""

    def copying(source: Path, target: Path) -> None:
        content = source.read_bytes()
        if chance.random() < 0.34:
            content = content[: chance.randrange(len(content) + 1)]
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(content)
        if content == source.read_bytes():
            shutil.copystat(source, target)
        else:
            os.utime(target, (1, 1))

    return copying


def two_machines(
    rounds: Path, folder: Path, *, cloned: bool, shared: bool = False, inside: tuple[str, ...] = ()
) -> tuple[Machine, Machine]:
    """Two machines with a colony each (or one folder for both); cloned, the second has the first one's home."""
    colony = folder / "colony"
    Home(rounds, folder / "home-of-set-up", colony).begin(enclosures(3))
    first = Home(rounds, folder / "home-1", colony, inside)
    first.must("log", "noted", "room", "note=before")
    other = colony if shared else folder / "colony-2"
    if not shared:
        shutil.copytree(colony, other)
    if cloned:
        shutil.copytree(first.folder, folder / "home-2", symlinks=True)
    return Machine("a", first), Machine("b", Home(rounds, folder / "home-2", other, inside))


def run_both(
    one: Machine, other: Machine, copying: Copying, chance: random.Random, steps: int = STEPS, kills: float = 0.0
) -> None:
    """Both write in turn, now and then open or leave the app, and a copier works between their colonies."""
    apart = one.home.colony != other.home.colony
    for number in range(steps):
        machine = chance.choice((one, other))
        machine.writes(number)
        if chance.random() < 0.06:
            machine.open()
        if chance.random() < kills:
            machine.kill()
        if apart and chance.random() < 0.15:
            alike(one.home.colony, other.home.colony, copying)
    for machine in (one, other):
        machine.leave()
    settled(one, other)


def settled(one: Machine, other: Machine) -> None:
    """Start each machine once more and make the colonies alike in between, as the next morning would."""
    apart = one.home.colony != other.home.colony
    for machine in (one, other):
        if apart:
            alike(one.home.colony, other.home.colony, newest_wins)
        with Window(machine.home) as window:
            window.take_over()
            window.watch(1.2)
            machine.said += window.text
            window.leave()
    if apart:
        alike(one.home.colony, other.home.colony, newest_wins)


def counted(what: str, one: Machine, other: Machine, before: tuple[str, ...] = ("before",)) -> Verdict:
    """How many of the acknowledged notes are in neither colony, or not in both."""
    acknowledged = {*one.acknowledged, *other.acknowledged, *before}
    gone = acknowledged - one.home.notes()
    gone_there = acknowledged - other.home.notes()
    checks = [machine.home.check() for machine in (one, other)]
    twice = one.home.folder != other.home.folder and names_shared(one, other)
    told = "" if not gone else "; check says nothing" if not any(map(speaks, checks)) else "; check says so"
    apart = f"; {len(gone ^ gone_there)} in one colony only" if gone ^ gone_there else ""
    names = "; one name for both machines at the end" if twice else ""
    sentence = f"{what}: {len(gone) or 'none'} of {len(acknowledged)} acknowledged entries gone{told}{apart}{names}"
    return Verdict(not gone and not gone_there, sentence)


def names_shared(one: Machine, other: Machine) -> bool:
    """Whether both machines write their next entry on a sheet of one name."""
    found = []
    for machine in (one, other):
        before = {path: path.stat().st_size for path in machine.home.sheets()}
        machine.home.run("log", "noted", "room", "note=which sheet")
        after = {path: path.stat().st_size for path in machine.home.sheets()}
        found.append({path.name for path, size in after.items() if before.get(path) != size})
    return bool(found[0] & found[1])


def speaks(ran: Ran) -> bool:
    """Whether check reports anything as damaged or missing."""
    return ran.code != 0


@case("1a", "a machine cloned with its home, a copier where the newest file wins")
def cloned(rounds: Path, folder: Path) -> Verdict:
    one, other = two_machines(rounds, folder, cloned=True)
    run_both(one, other, newest_wins, random.Random(SEED))
    return counted("cloned machine, newest wins", one, other)


@case("1b", "a machine cloned with its home, a copier that leaves files half copied")
def cloned_half_copied(rounds: Path, folder: Path) -> Verdict:
    one, other = two_machines(rounds, folder, cloned=True)
    chance = random.Random(SEED + 1)
    run_both(one, other, half_copied(chance), chance)
    return counted("cloned machine, half-copied files", one, other)


@case("1c", "a home restored from yesterday, the colony in a synced folder untouched")
def home_restored(rounds: Path, folder: Path) -> Verdict:
    one, other = two_machines(rounds, folder, cloned=False)
    other.writes(0)
    backup = folder / "backup-of-home"
    shutil.copytree(one.home.folder, backup, symlinks=True)
    for number in range(1, 30):
        one.writes(number)
        other.writes(number)
        alike(one.home.colony, other.home.colony, newest_wins)
    # The disk fails. The home comes back as it was, the colony as the copier has it, and an older one wins a race.
    behind = folder / "colony-behind"
    shutil.copytree(one.home.colony, behind)
    for number in range(30, 40):
        one.writes(number)
    alike(one.home.colony, other.home.colony, newest_wins)
    shutil.rmtree(one.home.folder)
    shutil.copytree(backup, one.home.folder, symlinks=True)
    shutil.rmtree(one.home.colony)
    shutil.copytree(behind, one.home.colony)
    for number in range(40, 60):
        one.writes(number)
    for machine in (one, other):
        alike(one.home.colony, other.home.colony, newest_wins)
        machine.writes(60)
    settled(one, other)
    return counted("home restored from yesterday, colony a little behind", one, other)


@case("1d", "two machines with names of their own: the control")
def own_names(rounds: Path, folder: Path) -> Verdict:
    one, other = two_machines(rounds, folder, cloned=False)
    run_both(one, other, newest_wins, random.Random(SEED + 2))
    return counted("names of their own, newest wins", one, other)


@case("1e", "two clones in one shared folder, both windows open and writing at the same instant")
def cloned_one_folder(rounds: Path, folder: Path) -> Verdict:
    one, other = two_machines(rounds, folder, cloned=True, shared=True)
    one.open()
    other.open()
    assert one.window is not None
    assert other.window is not None
    for number in range(60):
        one.window.press(f"na{number}\r")
        other.window.press(f"nb{number}\r")
        for machine in (one, other):
            assert machine.window is not None
            if machine.window.sees(f"note: {machine.name}{number}", patience=6):
                machine.acknowledged.append(f"{machine.name}{number}")
    for machine in (one, other):
        machine.leave()
    return counted("two clones in one folder, at the same instant", one, other)


#: A machine that does not say which it is.
NO_MACHINE_ID: Final = (
    "unshare", "--mount", "sh", "-c",
    'for f in /etc/machine-id /var/lib/dbus/machine-id; do [ -e $f ] && mount --bind /dev/null $f; done; exec "$@"',
    "sh",
)  # fmt: skip


@case("1f", "a machine cloned with its home, and machine-id missing on both")
def no_machine_id(rounds: Path, folder: Path) -> Verdict:
    if shutil.which("unshare") is None or Home(rounds, folder, inside=NO_MACHINE_ID).run("--version").code:
        return Verdict(None, "machine-id cannot be hidden here (unshare --mount)")
    one, other = two_machines(rounds, folder, cloned=True, inside=NO_MACHINE_ID)
    run_both(one, other, newest_wins, random.Random(SEED + 5), STEPS // 2)
    return counted("cloned, no machine-id, newest wins", one, other)


@case("1g", "home and colony restored together from this morning, the other laptop further on")
def both_restored(rounds: Path, folder: Path) -> Verdict:
    one, other = two_machines(rounds, folder, cloned=False)
    one.writes(0)
    backups = [shutil.copytree(path, folder / f"backup-{path.name}") for path in (one.home.folder, one.home.colony)]
    for number in range(1, 21):
        one.writes(number)
    alike(one.home.colony, other.home.colony, newest_wins)
    with Window(other.home) as window:  # the other laptop has read them
        window.take_over()
        window.watch(1.2)
        window.leave()
    for backup, path in zip(backups, (one.home.folder, one.home.colony), strict=True):
        shutil.rmtree(path)
        shutil.copytree(backup, path, symlinks=True)
    for number in range(21, 31):
        one.writes(number)
    alike(one.home.colony, other.home.colony, newest_wins)
    other.said = ""
    settled(one, other)
    verdict = counted("home and colony restored together", one, other)
    told = tells(
        other.said + other.home.check().said, "went back", "missing", "less than", "not there any more", "gone"
    )
    return Verdict(
        verdict.holds or told, f"{verdict.sentence}; the other laptop {'says so' if told else 'says nothing'}"
    )


@case("1h", "a machine cloned with its home, and kill -9 at random")
def cloned_and_killed(rounds: Path, folder: Path) -> Verdict:
    one, other = two_machines(rounds, folder, cloned=True)
    run_both(one, other, newest_wins, random.Random(SEED + 7), STEPS // 2, kills=0.06)
    return counted("cloned machine, newest wins, killed at random", one, other)
