"""Who eats on which day: heads by age class, as they were, and as those who are here now will be.

An animal that brumates does not eat. What is still to come counts those who are here, awake, in the class they
will be in by then; no one who may hatch, arrive or leave.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from itertools import accumulate
from typing import Final, TypeAlias

from rounds.due.age import AgeClass
from rounds.due.round import walk_day
from rounds.logbook.entries import BrumationBegan, BrumationEnded, Entry
from rounds.logbook.times import months_after
from rounds.rules.house import House
from rounds.standing.animal import Animal, animal
from rounds.standing.fold import Standing
from rounds.standing.group import Group, group

#: So many days back and ahead are reckoned.
REACH: Final = 400
_GOES_ON: Final = date.max.toordinal()
_LIMITS: Final[tuple[tuple[AgeClass, str | None], ...]] = (
    ("hatchling", "feeding.hatchling_until_months"),
    ("young", "feeding.young_until_months"),
    ("adult", "feeding.adult_until_months"),
    ("older", None),
)


class Heads:
    """How many of each age class are there to eat, on each day from `first` on."""

    def __init__(self, house: House, today: date) -> None:
        self.house = house
        self.today = today
        #: Days as ordinals: the first, and the one after the last.
        self.first = max(1, today.toordinal() - REACH)
        self.end = min(date.max.toordinal(), today.toordinal() + REACH)
        days = self.end - self.first + 1
        self._insects: dict[AgeClass, list[float]] = {name: [0.0] * days for name, _ in _LIMITS}
        self._greens: dict[AgeClass, list[float]] = {name: [0.0] * days for name, _ in _LIMITS}
        #: How many are here and awake today.
        self.awake = 0

    def add(self, hatched: date | None, spans: Sequence[tuple[int, int, int]]) -> None:
        """Count one or several of one age; `spans` are from a day to before another, and how many."""
        weeks = self.house.number("feeding.greens_from_weeks")
        greens = hatched.toordinal() + int(weeks * 7) if hatched is not None else 0
        for age, since, until in _classes(hatched, self.house):
            for begins, ends, count in spans:
                self._span(self._insects[age], max(begins, since), min(ends, until), count)
                self._span(self._greens[age], max(begins, since, greens), min(ends, until), count)
        now = self.today.toordinal()
        self.awake += sum(count for begins, ends, count in spans if begins <= now < ends)

    def _span(self, steps: list[float], begins: int, ends: int, count: int) -> None:
        begins, ends = max(begins, self.first), min(ends, self.end)
        if begins < ends:
            steps[begins - self.first] += count
            steps[ends - self.first] -= count

    def of(self, use: str) -> Mapping[AgeClass, Sequence[float]]:
        """Heads of each class on each day from `first` on; of those who eat greens where `use` is greens."""
        steps = self._greens if use == "greens" else self._insects
        return {age: tuple(accumulate(counts)) for age, counts in steps.items()}


def heads(standing: Standing, house: House, now: datetime) -> Heads:
    """Who eats, some 400 days back and ahead of the room's day."""
    found = Heads(house, walk_day(now, house))
    back = found.first
    for sort in ("animal", "group"):
        for subject in standing.subjects(sort):
            card = standing.card(subject)
            # Of the many who left years ago none ate in the days that are looked at.
            if card.here or (card.since is not None and card.since.toordinal() >= back):
                found.add(*_life(standing, house, subject))
    return found


#: From a day to before another, and how many there were; one that goes on ends with the calendar.
_Spans: TypeAlias = tuple[tuple[int, int, int], ...]


def _life(standing: Standing, house: House, subject: str) -> tuple[date | None, _Spans]:
    """When one hatched and the spans in which it eats, by its page alone: looked up once until that has changed."""
    kept = standing.register.kept.setdefault(subject, {})
    known: tuple[House, date | None, _Spans] | None = kept.get("eats")
    if known is None or known[0] is not house:
        one = group(standing, subject) if subject.startswith("group/") else animal(standing, subject)
        spans = () if one.arrived is None else _counts(one, house) if isinstance(one, Group) else _awake(one, house)
        known = kept["eats"] = (house, one.hatched, tuple(spans))
    return known[1], known[2]


def _classes(hatched: date | None, house: House) -> Iterator[tuple[AgeClass, int, int]]:
    """Each age class with the day from which and before which it is of it; an age not known is an adult's."""
    if hatched is None:
        yield "adult", 0, date.max.toordinal()
        return
    since = 0
    for age, key in _LIMITS:
        until = date.max.toordinal() if key is None else months_after(hatched, house.days(key)).toordinal()
        yield age, since, until
        since = until


def _day(entry: Entry, house: House) -> int:
    return walk_day(entry.at, house).toordinal()


def _awake(one: Animal, house: House) -> Iterator[tuple[int, int, int]]:
    """The spans in which an animal is here and awake."""
    arrived, gone = one.arrived, one.gone
    assert arrived is not None
    begins = _day(arrived, house)
    ends = _day(gone, house) if gone is not None else _GOES_ON
    sleeps = sorted((*one.own(BrumationBegan), *one.own(BrumationEnded)), key=lambda entry: entry.key)
    awake_from: int | None = begins
    for entry in sleeps:
        at = _day(entry, house)
        if isinstance(entry, BrumationBegan):
            if awake_from is not None:
                yield awake_from, min(at, ends), 1
            awake_from = None
        elif awake_from is None:
            awake_from = max(at, begins)
    if awake_from is not None:
        yield awake_from, ends, 1


def _counts(young: Group, house: House) -> Iterator[tuple[int, int, int]]:
    """The spans of a group, each with how many there were: what its census adds up to, step by step."""
    steps = [(walk_day(step.at, house).toordinal(), step.count) for step in young.census.steps]
    ends = [at for at, _ in steps[1:]] + [_GOES_ON]
    for (at, count), until in zip(steps, ends, strict=True):
        if count > 0:
            yield at, until, count
