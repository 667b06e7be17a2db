"""What a season came to: of one that went wrong, of one that did not, of a room."""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Final

from rounds.due.matter import Level, Matter
from rounds.logbook.entries import (
    Ate,
    BehaviourSeen,
    ConditionSeen,
    EggCheckDone,
    EggsLaid,
    Entry,
    FeltForEggs,
    MatingSeen,
    Moved,
    PutTogether,
    Weighed,
)
from rounds.logbook.words import DANGER_SIGNS
from tests.simulation.courses import DAY, Course
from tests.simulation.keepers import LOOKS
from tests.simulation.rooms import TUB
from tests.simulation.season import Season, Walked

#: A matter that comes back within so many days is the same one.
_SAME_DAYS: Final = 3
_LONG_AGO: Final = 1000
#: Lines and *today* matters are counted from this day on: a colony that starts has all its care before it.
_SETTLED: Final = 14
#: Mornings of the busiest weeks that are told apart.
_BUSIEST: Final = 28
#: Days before the trouble whose entries tell why one was not caught.
_TOLD_DAYS: Final = 14


def worst(found: Iterable[Matter], about: tuple[str, ...]) -> Matter | None:
    """The worst open matter about these subjects."""
    here = [one for one in found if one.about in about and one.put_off is None]
    return max(here, key=lambda one: one.level, default=None)


@dataclass
class Sick:
    """One that went wrong. Hours of the season."""

    course: str
    number: int
    trouble: float
    no_return: float
    #: The first walk on which a vet matter stood, once she was ill; by which rule, at which level.
    caught: float | None = None
    rule: str = ""
    level: int = 0
    #: The hour at which the alarm was gone again without an entry that answers it, and what was written then.
    silenced: float | None = None
    silenced_by: tuple[str, ...] = ()
    #: It went when eggs were written: an answer, though not a true one.
    eggs_answered: bool = False
    #: Vet matters before she was ill.
    early: int = 0
    #: What was written of her from two weeks before trouble to the hour of no return.
    written: Counter[str] = field(default_factory=Counter)
    #: The worst matter that stood at the hour of no return.
    stood: str = "nothing"

    @property
    def before(self) -> float | None:
        """Hours between alarm and the hour of no return, below 0 when the alarm came after it."""
        return None if self.caught is None else self.no_return - self.caught

    @property
    def in_time(self) -> bool:
        return self.caught is not None and self.caught <= self.no_return


class Onsets:
    """Counts matters as they begin: one that was there on the last walk, or within the last days, is not new."""

    def __init__(self, least: Level, most: Level) -> None:
        self.least, self.most = least, most
        self.begun: Counter[str] = Counter()
        self._last: dict[tuple[str, str], tuple[int, int]] = {}
        self._walk = 0

    def take(self, day: int, found: Iterable[Matter], counted: bool = True) -> None:
        """The matters of a walk."""
        self._walk += 1
        for one in found:
            if one.put_off is not None or not self.least <= one.level <= self.most:
                continue
            walk, last = self._last.get((one.rule, one.about), (-1, -_LONG_AGO))
            if counted and self._walk > walk + 1 and day - last > _SAME_DAYS:
                self.begun[one.rule] += 1
            self._last[one.rule, one.about] = self._walk, day


@dataclass
class Well:
    """A healthy season of one female or of a room. Lines are those of a walk on arrival at each stop."""

    course: str
    number: int
    weeks: float = 0.0
    vets: Counter[str] = field(default_factory=Counter)
    todays: Counter[str] = field(default_factory=Counter)
    watches: Counter[str] = field(default_factory=Counter)
    #: *Today* and *watch* matters standing, summed over the walks; and how many mornings were walked.
    standing: Counter[str] = field(default_factory=Counter)
    walks: int = 0
    mornings: int = 0
    #: By care, over the mornings: lines that are not plain, and looks on each morning.
    lines: Counter[str] = field(default_factory=Counter)
    looks: list[int] = field(default_factory=list)

    @property
    def busiest(self) -> float:
        """Looks on a morning in the busiest four weeks."""
        spans = [self.looks[first : first + _BUSIEST] for first in range(max(1, len(self.looks) - _BUSIEST + 1))]
        return max((sum(span) / len(span) for span in spans if span), default=0.0)


def sick(season: Season, course: Course, number: int, her: tuple[str, str]) -> Sick:
    """Walk the season of one that goes wrong, to her death."""
    assert course.trouble is not None
    assert course.no_return is not None
    result = Sick(course.name, number, course.trouble, course.no_return)
    early = Onsets(Level.VET, Level.VET_NOW)
    subject, loud = her[0], False
    recent: deque[tuple[float, tuple[Entry, ...]]] = deque()
    for walk in season.walks():
        top = worst(walk.matters, her)
        alarmed = top is not None and top.level >= Level.VET
        if walk.hour < course.trouble:
            early.take(walk.day, walk.matters)
            recent.append((walk.hour, walk.entries))
            continue
        if walk.hour <= course.no_return:
            recent.append((walk.hour, walk.entries))
            result.stood = "nothing" if top is None else f"{top.level.word}: {top.rule}"
        if alarmed and result.caught is None:
            assert top is not None
            result.caught, result.rule, result.level = walk.hour, top.rule, int(top.level)
        if loud and not alarmed and result.silenced is None and not season.dwellers[0].dead:
            mine = [entry for entry in walk.entries if subject in entry.subjects()]
            if any(isinstance(entry, EggsLaid) for entry in mine):
                result.eggs_answered = True
            else:
                result.silenced = walk.hour
                result.silenced_by = tuple(sorted({entry.kind for entry in mine})) or ("a later hour",)
        loud = alarmed
    result.early = early.begun.total()
    for hour, entries in recent:
        told = _evidence(entries, subject)
        near = hour >= course.trouble - _TOLD_DAYS * DAY
        result.written.update(what for what in told if near or what == "with a male")
    return result


def _evidence(entries: Iterable[Entry], subject: str) -> Iterable[str]:
    """What entries about her say, in a few words."""
    for entry in entries:
        if isinstance(entry, Moved) and entry.to == TUB:
            yield "with a male"
        if entry.about != subject:
            continue
        if isinstance(entry, EggCheckDone | ConditionSeen):
            signs = set(entry.present if isinstance(entry, EggCheckDone) else entry.signs)
            dull = isinstance(entry, ConditionSeen) and entry.look == "dull"
            if signs & DANGER_SIGNS or dull:
                yield "danger sign"
            if "digging" in signs:
                yield "digging"
            if "off food" in signs:
                yield "off food"
            if isinstance(entry, EggCheckDone) and not signs:
                yield "clear check"
        elif isinstance(entry, BehaviourSeen):
            yield "digging"
        elif isinstance(entry, Ate):
            yield "off food" if entry.how == "refused" else "ate"
        elif isinstance(entry, FeltForEggs):
            yield "eggs felt" if entry.found == "eggs" else "no eggs felt"
        elif isinstance(entry, Weighed):
            yield "weighed"
        elif isinstance(entry, EggsLaid):
            yield "eggs, complete" if entry.complete else "eggs so far"
        elif isinstance(entry, MatingSeen | PutTogether):
            yield "with a male"


def well(season: Season, name: str, number: int) -> Well:
    """Walk a healthy season to its end."""
    result = Well(name, number)
    vets, todays = Onsets(Level.VET, Level.VET_NOW), Onsets(Level.TODAY, Level.TODAY)
    watches = Onsets(Level.WATCH, Level.WATCH)
    for walk in season.walks():
        settled = walk.day >= _SETTLED
        vets.take(walk.day, walk.matters)
        todays.take(walk.day, walk.matters, settled)
        watches.take(walk.day, walk.matters, settled)
        if not settled:
            continue
        result.walks += 1
        for one in walk.matters:
            result.standing[one.level.word] += 1
        if walk.part == "morning":
            _morning(result, walk)
    result.weeks = (season.dwellers[0].course.days - _SETTLED) / 7
    result.vets, result.todays, result.watches = vets.begun, todays.begun, watches.begun
    return result


def _morning(result: Well, walk: Walked) -> None:
    result.mornings += 1
    looks = 0
    for line in walk.lines:
        if line.care in LOOKS:
            looks += 1
        if not line.plain:
            result.lines[line.care] += 1
    result.looks.append(looks)
