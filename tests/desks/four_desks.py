"""Four desks in processes of their own, killed at random, with a sync program between their folders.

    python -m tests.desks.four_desks FOLDER ENTRIES KILLS SEED

Two desks are two windows of one machine on one folder; the other two are machines of their own, whose
folders are copies. Each desk writes what keepers write (weights, walks, moves, deaths, corrections of
what the others wrote) and tells down a pipe what was acknowledged. At the end nobody writes any more,
the folders come to be alike, and each desk tells what it has read. Prints the counts as JSON. It goes on until so
many entries were acknowledged and so many desks killed: a machine busy with other things sees as many.
"""

from __future__ import annotations

import json
import os
import random
import select
import signal
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime, timedelta
from pathlib import Path
from typing import ClassVar, NamedTuple, NoReturn

from rounds.desk.colony_file import write_new
from rounds.desk.desk import Desk
from rounds.due import reckon
from rounds.logbook.drafts import Draft, draft
from rounds.logbook.entries import (
    Arrived,
    BehaviourSeen,
    Corrected,
    Died,
    EnclosureSetUp,
    Entry,
    Fed,
    Moved,
    Noted,
    StopWalked,
    Watered,
    Weighed,
)
from rounds.sheets.parse import CHANGED
from rounds.sheets.store import Sheets
from tests.desks.copier import Copier
from tests.notation import at

ANIMALS, PLACES = 60, 24
#: A second of the test is eight hours in the room, so that the sheets of several days are written.
PACE = 8 * 3600
BEGIN = at("2026-04-12 06:00")
#: How long anything may take on a machine that is busy with other things, in s.
PATIENCE = 100.0
#: So many entries of others have to have been corrected.
CORRECTIONS = 50
#: How far the clocks of the machines are from the room's.
CLOCKS = {"shed": 0, "house": 7 * 60, "car": -4 * 60}

#: What a desk is asked for once no key is pressed any more: to listen; anything else is to tell what it has read.
LISTEN = b"l"


class Machine(NamedTuple):
    """A machine: its name, its copy of the colony, and where it keeps what is its own."""

    name: str
    colony: Path
    state: Path


def room(started: float, ahead: int) -> Callable[[], datetime]:
    """The clock of a machine so many seconds ahead of the room's."""
    return lambda: BEGIN + timedelta(seconds=(time.monotonic() - started) * PACE + ahead)


def begin(colony: Path) -> None:
    """A room with places and animals."""
    write_new(colony, "Quandong shed", "Europe/Vienna")
    moment = at("2026-03-01 08:00")
    entries: list[Entry] = [
        EnclosureSetUp(id=f"place-{n:03}", at=moment, by="AK", about=f"enclosure/p{n}", name=f"P{n}")
        for n in range(PLACES)
    ]
    entries += [
        Arrived(
            id=f"animal-{n:03}",
            at=moment,
            by="AK",
            about=f"animal/a{n}",
            name=f"A{n}",
            sex="FM"[n % 2],  # type: ignore[arg-type]
            place=f"enclosure/p{n % PLACES}",
        )
        for n in range(ANIMALS)
    ]
    Sheets(colony, "before").append(entries, moment.date())


class Keeper:
    """What one keeper does at one desk, by chance."""

    def __init__(self, desk: Desk, rng: random.Random) -> None:
        self.desk = desk
        self.rng = rng
        self.count = 0

    def key(self) -> tuple[Entry, ...]:
        """One key: one save. What was acknowledged."""
        self.count += 1
        chance = self.rng.random()
        if chance < 0.12:
            return self.correct()
        if chance < 0.15:
            wrong = {entry.id for entry in self.desk.take_back("a wrong key")}
            return tuple(one for one in self.desk.recent if isinstance(one, Corrected) and one.replaces in wrong)
        return self.desk.record(*self.seen(chance))

    def seen(self, chance: float) -> list[Draft]:
        rng = self.rng
        animal = f"animal/a{rng.randrange(ANIMALS)}"
        place = f"enclosure/p{rng.randrange(PLACES)}"
        if chance < 0.45:
            return [draft(Weighed, animal, grams=float(rng.randrange(300, 500)))]
        if chance < 0.75:
            walked = draft(StopWalked, place, walk="morning", day=self.desk.now().date())
            return [draft(Fed, place, what="roaches", dusted="calcium"), draft(Watered, place), walked]
        if chance < 0.85:
            return [draft(Moved, animal, to=place)]
        if chance < 0.90:
            return [draft(BehaviourSeen, animal, behaviour="nest digging")]
        if chance < 0.91:
            return [draft(Died, animal, cause="not known")]
        if chance < 0.93:
            return [draft(Arrived, animal, name="Back", place=place)]
        return [draft(Noted, "room", note="x" * rng.choice([3, 60, 5_000]))]

    def correct(self) -> tuple[Entry, ...]:
        """Correct what stands on some page, if it can be another's entry."""
        pages = [page for page in self.desk.standing.pages.values() if page.strands.keys() & {Weighed, Moved}]
        page = self.rng.choice(pages) if pages else self.desk.standing.page("room")
        written: tuple[Entry, ...] = (*page.of(Weighed), *page.of(Moved), *page.of(Fed))
        others = [one for one in written if one.by != self.desk.keeper]
        if not others:
            return ()
        wrong = self.rng.choice(others)
        right = draft(Weighed, wrong.about, grams=401.0) if isinstance(wrong, Weighed) else None
        return self.desk.correct(wrong, right, because="seen otherwise")


def sit_at(machine: Machine, by: str, started: float, seed: int, told: int, asked: int) -> NoReturn:
    """One desk, from its start until it is killed or until nobody writes any more."""
    os.environ["XDG_STATE_HOME"] = str(machine.state)
    os.environ["XDG_CACHE_HOME"] = str(machine.state / "cache")
    rng = random.Random(seed)
    desk = Desk.open(machine.colony, clock=room(started, CLOCKS[machine.name]), keeper=by)
    keeper = Keeper(desk, rng)
    os.write(told, f"desk {desk.name}\n".encode())
    while not select.select([asked], [], [], rng.choice([0, 0, 0, 0, 0.004]))[0]:
        saved = keeper.key()
        if saved:
            corrections = sum(isinstance(one, Corrected) for one in saved)
            os.write(told, f"saved {corrections} {' '.join(one.id for one in saved)}\n".encode())
        if rng.random() < 0.2:
            desk.news()
    os.write(told, b"stopped\n")
    os.read(asked, 1)
    # No key is pressed any more; what the sync program took away meanwhile is written again by listening.
    while os.read(asked, 1) == LISTEN:
        for _ in range(3):
            desk.news()
            if desk.is_stale:  # a sheet was put back older: all is read again, as the screens do
                desk.read()
        os.write(told, b"listened\n")
    os.write(told, f"read {what_is_read(desk)}\n".encode())
    os._exit(0)


def what_is_read(desk: Desk) -> str:
    """What a desk knows, as JSON: by news since its start, and read anew."""
    again = Desk.open(desk.folder, clock=lambda: BEGIN + timedelta(days=40), writing=False)
    entries = again.sheets.read()
    moment = BEGIN + timedelta(days=40)
    matters = [
        [(one.level.word, one.about, one.says) for one in reckon.matters(it.standing, it.house, moment)]
        for it in (desk, again)
    ]
    return json.dumps(
        {
            "by news": desk.standing.digest(),
            "anew": again.standing.digest(),
            "entries": sorted(entry.id for entry in entries),
            "matters": len(matters[1]),
            "same matters": matters[0] == matters[1],
            "ahead": len(again.ahead),
            "changed lines": [one.what for one in again.troubles if CHANGED in one.what],
        }
    )


class Window:
    """A desk's process as the test sees it."""

    #: The test's ends of all pipes: a desk begun later must not hold those of others open.
    ends: ClassVar[set[int]] = set()

    def __init__(self, machine: Machine, by: str, started: float, seed: int) -> None:
        self.machine = machine
        self.by = by
        self.told, told = os.pipe()
        asked, self.ask = os.pipe()
        self._rest = b""
        #: Whether it has told anything.
        self.has_begun = False
        self.child = os.fork()
        if self.child == 0:
            for end in (self.told, self.ask, *self.ends):
                os.close(end)
            try:
                sit_at(machine, by, started, seed, told, asked)
            except BaseException:
                import traceback

                traceback.print_exc()
            finally:
                os._exit(3)
        os.close(told)
        os.close(asked)
        self.ends.update((self.told, self.ask))

    def lines(self) -> list[str]:
        """What it has told since."""
        while select.select([self.told], [], [], 0)[0]:
            part = os.read(self.told, 1 << 16)
            if not part:
                break
            self._rest += part
            self.has_begun = True
        *whole, self._rest = self._rest.split(b"\n")
        return [line.decode() for line in whole]

    def wait_for(self, word: str, patience: float = PATIENCE) -> list[str]:
        """What it tells up to a line that begins with the word."""
        found: list[str] = []
        stop = time.monotonic() + patience
        while not any(line.startswith(word) for line in found):
            assert time.monotonic() < stop, f"{self.by} never said {word!r}"
            select.select([self.told], [], [], 0.2)
            found += self.lines()
        return found

    def kill(self) -> list[str]:
        """Kill it; the last it told."""
        os.kill(self.child, signal.SIGKILL)
        _, status = os.waitpid(self.child, 0)
        assert os.WIFSIGNALED(status), f"{self.by} ended by itself: {status}"
        found = self.lines()
        for end in (self.told, self.ask):
            os.close(end)
            self.ends.discard(end)
        return found


class Counts:
    """What was told."""

    def __init__(self) -> None:
        self.acknowledged: list[str] = []
        self.corrections = 0
        self.names: dict[str, set[str]] = {}

    def take(self, window: Window, lines: list[str]) -> None:
        """Note what a desk told."""
        for line in lines:
            word, *rest = line.split()
            if word == "desk":
                self.names.setdefault(window.machine.name, set()).add(rest[0])
            elif word == "saved":
                self.corrections += int(rest[0])
                self.acknowledged += rest[1:]


def settle(windows: list[Window], copier: Copier) -> None:
    """All listen and the folders are made alike, in turn, until nothing comes of it."""
    quiet = 0
    for _ in range(30):
        before = [copier.contents(folder) for folder in copier.folders]
        for window in windows:
            os.write(window.ask, LISTEN)
            window.wait_for("listened")
        copier.make_alike()
        quiet = quiet + 1 if [copier.contents(folder) for folder in copier.folders] == before else 0
        if quiet == 2:
            return
    raise AssertionError("the desks never came to rest")


def main() -> None:
    """Write, kill, copy; then hold all four against one another."""
    folder, entries, least, seed = Path(sys.argv[1]), *map(int, sys.argv[2:5])
    rng = random.Random(seed)
    machines = {
        name: Machine(name, folder / name / "colony", folder / name / "state") for name in ("shed", "house", "car")
    }
    first = machines["shed"].colony
    begin(first)
    copier = Copier([machine.colony for machine in machines.values()], rng.randrange(1 << 30))
    for machine in machines.values():
        machine.colony.mkdir(parents=True, exist_ok=True)
        (machine.colony / "colony.toml").write_bytes((first / "colony.toml").read_bytes())
    copier.make_alike()
    started = time.monotonic()
    seats = [("shed", "AK"), ("shed", "EM"), ("house", "LO"), ("car", "RU")]
    counts, kills = Counts(), 0
    windows = [Window(machines[name], by, started, rng.randrange(1 << 30)) for name, by in seats]
    copying = copier.begin()
    while len(counts.acknowledged) < entries or kills < least or counts.corrections < CORRECTIONS:
        assert time.monotonic() < started + PATIENCE, f"only {len(counts.acknowledged)} entries, {kills} kills"
        time.sleep(rng.random() * 0.1)
        for window in windows:
            counts.take(window, window.lines())
        # The last is left alone after a while, so that it has heard nearly everything as news.
        window = windows[place := rng.randrange(4 if kills < least / 3 else 3)]
        # Few are killed before they have told their name: on a busy machine no desk would ever write.
        if rng.random() < (0.8 if window.has_begun else 0.1):
            counts.take(window, window.kill())
            kills += 1
            windows[place] = Window(window.machine, window.by, started, rng.randrange(1 << 30))
    wrote = time.monotonic() - started
    for window in windows:
        os.write(window.ask, b".")
    for window in windows:
        counts.take(window, window.wait_for("stopped"))
    copies = copying.end()
    settle(windows, copier)
    reports = []
    for window in windows:
        with suppress(BrokenPipeError):
            os.write(window.ask, b".")
        (last,) = [line for line in window.wait_for("read") if line.startswith("read")]
        reports.append(json.loads(last.removeprefix("read ")))
        os.waitpid(window.child, 0)
    acknowledged = set(counts.acknowledged)
    print(
        json.dumps(
            {
                "seconds": round(wrote, 1),
                "kills": kills,
                "acknowledged": len(counts.acknowledged),
                "acknowledged twice": len(counts.acknowledged) - len(acknowledged),
                "corrections": counts.corrections,
                "names": {name: sorted(names) for name, names in counts.names.items()},
                "copies": copies,
                "sheets": len(list(first.rglob("*.jsonl"))),
                "digests": sorted({report[how] for report in reports for how in ("by news", "anew")}),
                "reports": [
                    {
                        **report,
                        "entries": len(report["entries"]),
                        "twice": len(report["entries"]) - len(set(report["entries"])),
                        "lost": sorted(acknowledged - set(report["entries"])),
                        "not acknowledged": len(set(report["entries"]) - acknowledged) - ANIMALS - PLACES,
                    }
                    for report in reports
                ],
            }
        )
    )


if __name__ == "__main__":
    main()
