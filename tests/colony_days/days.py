"""The days themselves: keepers at four desks, a sync program, accidents by chance, and the reckoning at the end."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import timedelta
from pathlib import Path
from typing import Final, NamedTuple

from rounds.desk.desk import Desk
from rounds.logbook.entries import Corrected, Entry
from rounds.sheets.store import Sheets
from tests.colony_days.accidents import ACCIDENTS, USUAL
from tests.colony_days.desks import FourDesks
from tests.colony_days.machines import BEGIN, Seat
from tests.desks.four_desks import ANIMALS, begin
from tests.desks.laptops import weight

#: Hours of the day at which the room is worked in: two shifts, and the night in which the day ends.
SHIFTS: Final = ((7.0, 2.5), (17.0, 2.5), (23.9, 0.3))
#: Seconds between two things that happen in the room.
_PACE: Final = (5, 45)
#: How often, of a thousand things that happen, one is an accident.
ACCIDENTS_OF_1000: Final = 45


class Wrong(AssertionError):
    """A promise was not kept."""


class Told(NamedTuple):
    """What the days came to."""

    digest: str
    #: Of everything that happened, in order.
    log: str
    steps: int
    acknowledged: int
    counts: Counter[str]


class Days(FourDesks):
    """So many days of one room, by a seed: the same again each time."""

    def __init__(self, folder: Path, seed: int, accidents: Sequence[str] = USUAL, watched: str = "") -> None:
        super().__init__(folder, seed)
        self.accidents = {name: ACCIDENTS[name] for name in accidents}
        self._watched = watched.encode()
        self._seen = ""

    # The days

    def pass_by(self, days: float, until: int | None = None) -> Told:
        """Let the days pass, then settle everything and hold it to what was promised. Raises `Wrong`."""
        with self.room.open():
            first = self.room.machines["shed"]
            with first.here():
                begin(first.colony)
                for machine in self.room.machines.values():
                    machine.colony.mkdir(parents=True, exist_ok=True)
                    (machine.colony / "colony.toml").write_bytes((first.colony / "colony.toml").read_bytes())
            self.copier.make_alike()
            for begins, ends in _shifts(days):
                self.room.now = max(BEGIN + begins, self.room.now)
                stop = BEGIN + ends
                while self.room.now < stop:
                    self.room.now += timedelta(seconds=self.rng.randrange(*_PACE))
                    self.step += 1
                    if until is not None and self.step > until:
                        return self._told("")
                    self._happens()
            return self._told(self._settled())

    def _happens(self) -> None:
        chance = self.rng.random()
        if chance < ACCIDENTS_OF_1000 / 1000:
            self._accident()
        elif chance < 0.12:
            self.note("copier", self.copier.some(half=False))
        elif chance < 0.14 and self.damaged:
            self.put_right(self.rng.choice([*self.damaged]))
        else:
            seat = self.rng.choice(self.seats)
            if seat.desk is None:
                self.start(seat)
            else:
                self._at_the_desk(seat)
        if self._watched:
            self._watch()

    def _accident(self) -> None:
        names = [*self.accidents]
        weights = [self.accidents[name][0] for name in names]
        (name,) = self.rng.choices(names, weights)
        what = self.accidents[name][1](self)
        if what:
            self.counts[name] += 1
            self.note(name, what)

    def _at_the_desk(self, seat: Seat) -> None:
        chance = self.rng.random()
        if chance < 0.02:
            self.end(seat, keeping=chance < 0.01)
        elif chance < 0.25:
            self.guarded(seat, "listens", lambda desk: sorted(desk.news()))
        elif chance < 0.30:
            self.guarded(seat, "weighs", lambda desk: self._weighed_again_and_again(desk))
        else:
            self.guarded(seat, "writes", lambda _desk: [one.id for one in self.keepers[seat.keeper].key()])

    def _weighed_again_and_again(self, desk: Desk) -> list[str]:
        """One animal on the scale several times, seconds apart."""
        animal = f"a{self.rng.randrange(ANIMALS)}"
        ids: list[str] = []
        for _ in range(self.rng.randrange(2, 6)):
            self.room.now += timedelta(seconds=self.rng.randrange(1, 4))
            ids += [one.id for one in desk.record(weight(animal, float(self.rng.randrange(380, 400))))]
        return ids

    # The end

    def _settled(self) -> str:
        """Nobody writes any more; everything is put right, carried everywhere, and read by all. Raises `Wrong`."""
        for path in [*self.damaged]:
            self.put_right(path)
        for machine in self.room.machines.values():
            machine.ahead = timedelta()
        self.room.now += timedelta(hours=3)
        for seat in self.seats:
            seat.fault = seat.killed_in = None
        for _ in range(3):
            for seat in self.seats:
                self.end(seat, keeping=True)
            for seat in self.seats:
                self.room.now += timedelta(seconds=30)
                self.start(seat)
            self.copier.make_alike()
            for seat in self.seats:
                self.guarded(seat, "listens", lambda desk: sorted(desk.news()))
        digests: dict[str, str] = {}
        for seat in self.seats:
            digests[seat.keeper] = self._reckoned(seat)
        if len(set(digests.values())) != 1:
            raise self._wrong(f"the standings differ: {digests}")
        return next(iter(digests.values()))

    def _reckoned(self, seat: Seat) -> str:
        """Hold one desk to what was promised; the digest of its standing."""
        desk = seat.desk
        assert desk is not None
        with seat.machine.here():
            entries = Sheets(seat.machine.colony, "reader").read()
            again = Desk(
                seat.machine.colony, desk.settings, Sheets(seat.machine.colony, "reader"), clock=desk._clock
            )
            again.read()
        found: dict[str, Entry] = {}
        for entry in entries:
            if entry.id in found:
                raise self._wrong(f"{seat.keeper}: {entry.id} is handed out twice")
            found[entry.id] = entry
        if lost := sorted(self.room.acknowledged.keys() - found.keys()):
            raise self._wrong(f"{seat.keeper}: {len(lost)} acknowledged entries are lost, the first {lost[:3]}")
        for entry_id, entry in self.room.acknowledged.items():
            if found[entry_id] != entry:
                raise self._wrong(f"{seat.keeper}: {entry_id} says something else now")
        if strange := sorted(found.keys() - self.room.begun.keys()):
            raise self._wrong(f"{seat.keeper}: {len(strange)} entries that nobody wrote, the first {strange[:3]}")
        if self.room.twice:
            raise self._wrong(f"one id was given twice: {self.room.twice[:3]}")
        if again.ahead:
            raise self._wrong(f"{seat.keeper}: {len(again.ahead)} entries do not count yet")
        digest = again.standing.digest()
        if desk.standing.digest() != digest:
            raise self._wrong(f"{seat.keeper}: what came bit by bit is not what is read at once")
        return digest

    def _wrong(self, what: str) -> Wrong:
        return Wrong(f"step {self.step}: {what}")

    # What happened

    def _watch(self) -> None:
        """Note when the entry that is watched appears on a machine's sheets, or goes."""
        where = [
            f"{machine.name}/{path.name}"
            for machine in self.room.machines.values()
            for path in sorted(machine.home.rglob("*.jsonl"))
            if path.stat().st_size < 1 << 24 and self._watched in path.read_bytes()
        ]
        if (seen := ", ".join(where)) != self._seen:
            self._seen = seen
            self.note("----", f"it stands in {seen or 'nothing'}")

    def _told(self, digest: str) -> Told:
        log = hashlib.sha256("\n".join(self.log).encode()).hexdigest()[:16]
        written = sum(not isinstance(one, Corrected) for one in self.room.acknowledged.values())
        self.counts["corrections"] = len(self.room.acknowledged) - written
        self.counts.update(self.copier.counts)
        return Told(digest, log, self.step, len(self.room.acknowledged), self.counts)


def _shifts(days: float) -> Iterator[tuple[timedelta, timedelta]]:
    """When each shift begins and ends; of half a day there is the morning, and so on."""
    for number in range(max(1, round(days * len(SHIFTS)))):
        day, shift = divmod(number, len(SHIFTS))
        begins = timedelta(days=day, hours=SHIFTS[shift][0] - BEGIN.hour)
        yield begins, begins + timedelta(hours=SHIFTS[shift][1])
