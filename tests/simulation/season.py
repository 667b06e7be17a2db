"""A season, walk by walk: what was true, what was written, what was due, and what needed attention."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from random import Random
from typing import Final
from zlib import crc32

from rounds.due.line import DueLine
from rounds.due.matter import Level, Matter
from rounds.logbook.entries import Arrived, EnclosureSetUp, Entry, StopWalked, Weighed
from rounds.logbook.words import WalkPart
from rounds.standing.fold import Standing, fold
from tests.simulation.assumed import Biology, Habits
from tests.simulation.courses import DAY
from tests.simulation.dwellers import SHELF, Dweller, Walk
from tests.simulation.judge import Judge
from tests.simulation.keepers import Keeper
from tests.simulation.pen import FIRST_DAY, Pen, moment

#: When the walks begin, by the room's clock.
_WALKS: Final[tuple[tuple[WalkPart, float], ...]] = (("morning", 7.5), ("evening", 18.5))
#: A vet is phoned about a vet matter that has stood for so long, and again after so long, in hours.
_PHONED_AFTER, _PHONED_AGAIN = 20.0, 72.0
#: Days before the season over which she was weighed, and every so many of them.
_BEFORE, _WEIGHED_EVERY = 84, 14
_KEEPERS: Final = ("AK", "BT", "CM")


@dataclass(frozen=True)
class Stop:
    """An enclosure on the walk and who lives in it."""

    enclosure: str
    dwellers: tuple[Dweller, ...]


@dataclass(frozen=True)
class Walked:
    """A walk that was made: its hour and the moment it ended, the entries, the lines by stop, the matters."""

    hour: float
    now: datetime
    part: WalkPart
    entries: tuple[Entry, ...]
    lines: tuple[DueLine, ...]
    matters: tuple[Matter, ...]

    @property
    def day(self) -> int:
        return int(self.hour // DAY)


class Season:
    """Stops, a keeper and a judge, from the first morning on.

    `watched` are the subjects that matters are asked about, all if there are none. Nobody tells a vet of an
    animal in trouble: the keeper goes on as ever, so that it can be seen whether an alarm stays.
    """

    def __init__(
        self,
        key: str,
        stops: Sequence[Stop],
        others: Sequence[Dweller],
        habits: Habits,
        biology: Biology,
        judge: Judge,
        watched: tuple[str, ...] = (),
    ) -> None:
        self.key = key
        self.stops = stops
        self.habits = habits
        self.judge = judge
        self.watched = watched
        self.dwellers = tuple(one for stop in stops for one in stop.dwellers)
        self.others = tuple(others)
        self.pen = Pen()
        self.keeper = Keeper(habits, biology, self.pen)
        self.biology = biology
        self.standing: Standing = fold(())
        self._raised: dict[str, float] = {}
        self._phoned: dict[str, float] = {}

    def opening(self) -> list[Entry]:
        """Who and what is there when the season begins, and the weighings before it."""
        pen = self.pen
        pen.walk_begins(moment(-DAY * 90 + 9), "AK")
        enclosures = dict.fromkeys([*(stop.enclosure for stop in self.stops), *(one.tub for one in self.others)])
        for enclosure in enclosures:
            what = "incubator shelf" if enclosure == SHELF else "tub"
            pen.write(EnclosureSetUp, enclosure, name=enclosure.partition("/")[2].upper(), what=what)
        if SHELF not in enclosures:
            pen.write(EnclosureSetUp, SHELF, name="Shelf", what="incubator shelf")
        for one in (*self.dwellers, *self.others):
            hatched = FIRST_DAY - timedelta(days=one.age_days)
            pen.write(
                Arrived, one.subject, name=one.name, sex=one.sex, hatched=hatched, place=one.tub, bred_here=True
            )
        for days in range(_BEFORE, 0, -1):
            pen.walk_begins(moment(-DAY * days + 9), "AK")
            for one in self.dwellers:
                luck = Random(f"{self.key} {one.subject} {days}")
                # Each has a weighing day of its own: a room is not weighed on one morning.
                turn = (days + crc32(one.subject.encode()) % _WEIGHED_EVERY) % _WEIGHED_EVERY == 0
                if turn and luck.random() < self.habits.weighs:
                    grams = one.course.grams(-DAY * days) * (1 + luck.gauss(0, self.biology.scale_noise))
                    pen.write(Weighed, one.subject, grams=float(round(grams)))
        return pen.taken()

    def walks(self) -> Iterator[Walked]:
        """Every walk that somebody makes, until nobody is left or the season is over."""
        opening = self.opening()
        self.standing = fold(opening)
        entries = opening
        for day in range(max(one.course.days for one in self.dwellers)):
            luck = Random(f"{self.key} {day}")
            missed = luck.random() < self.habits.misses_day
            for part, begins in _WALKS:
                draw, late, who = luck.random(), luck.random(), luck.choice(_KEEPERS)
                misses = self.habits.misses_morning if part == "morning" else self.habits.misses_evening
                if missed or draw < misses:
                    continue
                yield self._walk(day * DAY + begins + late, part, who, entries)
                entries = []
            if all(one.dead for one in self.dwellers if one.course.death is not None) and any(
                one.dead for one in self.dwellers
            ):
                return

    def _walk(self, hour: float, part: WalkPart, who: str, before: list[Entry]) -> Walked:
        key = f"{self.key} {hour:.3f}"
        self.pen.walk_begins(moment(hour), who)
        written = list(before)
        lines: list[DueLine] = []
        for stop in self.stops:
            lines += self._stop(stop, Walk(hour, part, key, Random(0)), written)
        now = self.pen.now + timedelta(minutes=1)
        found = tuple(self.judge.matters(self.standing, now, self.watched))
        self._heed(found, hour)
        return Walked(hour, now, part, tuple(written), tuple(lines), found)

    def _stop(self, stop: Stop, walk: Walk, written: list[Entry]) -> Sequence[DueLine]:
        for one in stop.dwellers:
            if self._wants_a_call(one, walk.hour):
                self._phoned[one.subject] = walk.hour
                self.keeper.phones(one, walk)
            self.keeper.sees(one, walk.with_luck(one.subject))
        self._take(written)
        lines = self.judge.lines(self.standing, self.pen.now, stop.enclosure, walk.part)
        self.keeper.answers(lines, (*stop.dwellers, *self.others), walk)
        self.pen.write(StopWalked, stop.enclosure, walk=walk.part, day=self._date(walk))
        self._take(written)
        return lines

    def _take(self, written: list[Entry]) -> None:
        fresh = self.pen.taken()
        if fresh:
            written += fresh
            self.standing = self.standing.after_all(fresh)

    def _date(self, walk: Walk) -> date:
        return FIRST_DAY + timedelta(days=walk.day)

    def _wants_a_call(self, one: Dweller, hour: float) -> bool:
        raised = self._raised.get(one.subject)
        if raised is None or one.dead or (one.course.trouble is not None and hour >= one.course.trouble):
            return False
        return hour - raised >= _PHONED_AFTER and hour - self._phoned.get(one.subject, -1e9) >= _PHONED_AGAIN

    def _heed(self, found: Sequence[Matter], hour: float) -> None:
        """Keep in mind what stood at the end of this walk, and since when."""
        for one in self.dwellers:
            here = [matter for matter in found if matter.about in (one.subject, one.tub)]
            one.told = any(matter.level >= Level.TODAY for matter in here)
            if any(matter.level >= Level.VET and matter.put_off is None for matter in here):
                self._raised.setdefault(one.subject, hour)
            else:
                self._raised.pop(one.subject, None)
