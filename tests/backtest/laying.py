"""Colonies that pair and lay for some seasons, each forecast asked for the day after the mating or the clutch.

Everything about their courses is assumed: no paper tells how times to laying differ between and within females. The
program knows none of it. It reads what a keeper would have written, in the order it was written.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from random import Random
from typing import Final

from rounds.due.forecast import LayForecast, lay_forecast
from rounds.logbook import plain
from rounds.logbook.entries import Entry
from rounds.logbook.times import on_wall
from rounds.rules.house import House
from rounds.standing.fold import Standing, fold
from tests.backtest.tally import Case
from tests.notation import VIENNA

#: The middle of the house's windows, in days.
MATED, NEXT = math.sqrt(14 * 42), math.sqrt(21 * 42)
#: So many females, and so many seasons, of a colony.
FEMALES, SEASONS = 6, 5
#: Parts of all: matings that were seen, that took, and clutches that another one followed.
SEEN, TOOK, FOLLOWED = 0.7, 0.9, 0.7
FIRST_YEAR: Final = 2020


@dataclass(frozen=True)
class Course:
    """One way in which times may truly be: a draw of days about a middle, for a female's own factor."""

    name: str
    says: str
    draw: Callable[[Random, float], float]
    #: How far females differ from each other, in logs; and the middle, as a part of the house's.
    between: float = 0.12
    middle: float = 1.0


def _lognormal(random: Random, middle: float) -> float:
    return middle * math.exp(random.gauss(0, 0.14))


def _gamma(random: Random, middle: float) -> float:
    shape = 1 / 0.16**2
    return random.gammavariate(shape, middle / (shape - 1 / 3))


def _bimodal(random: Random, middle: float) -> float:
    return middle * (0.8 if random.random() < 0.5 else 1.25) * math.exp(random.gauss(0, 0.06))


COURSES: Final = (
    Course("log-normal", "as the model takes it: the house's middle, 18 % apart", _lognormal),
    Course("gamma", "skewed otherwise: the house's middle, 20 % apart", _gamma),
    Course("bimodal", "half of the clutches at 0.8, half at 1.25 of the middle", _bimodal),
    Course("slow", "a colony slower than the house's window says: 1.3 of its middle", _lognormal, middle=1.3),
    Course("fast", "a colony faster: 0.75 of the middle", _lognormal, middle=0.75),
    Course(
        "all alike",
        "females as alike as can be: 6 % apart in all",
        lambda r, m: m * math.exp(r.gauss(0, 0.06)),
        0.0,
    ),
)


def cases(course: Course, seed: int, house: House) -> Iterator[Case]:
    """Every forecast of one colony that a clutch followed, with what came."""
    random = Random(f"{course.name} {seed}")
    colony = _Colony(house)
    asked: list[tuple[datetime, str, date, str]] = []
    for number in range(FEMALES):
        colony.female(number)
        factor = course.middle * math.exp(random.gauss(0, course.between))
        for season in range(SEASONS):
            asked += _season(colony, course, random, number, FIRST_YEAR + season, factor)
    for moment, who, came, sort in asked:
        found = lay_forecast(colony.upto(moment), house, moment, who)
        if found is None:
            continue
        yield _case(course, sort, found, came)
        # Asked again on the likely day, while she waits: what is left.
        again = colony.moment(found.likely)
        left = (
            lay_forecast(colony.upto(again), house, again, who) if moment < again and came > found.likely else None
        )
        if left is not None and left.left is not None:
            early, likely, late = left.left
            yield replace(_case(course, "still waiting", left, came), early=early, likely=likely, late=late)


def _season(
    colony: _Colony, course: Course, random: Random, number: int, year: int, factor: float
) -> Iterator[tuple[datetime, str, date, str]]:
    """One female's season, written into the logbook; when a forecast is asked for, and what comes of it."""
    who, start = f"animal/f{number}", date(year, 3, 1) + timedelta(days=random.randrange(30))
    mated, seen = start + timedelta(days=random.randrange(3)), random.random() < SEEN
    colony.write(start, who, "put_together", "mate=he")
    if seen:
        colony.write(mated, who, "mating_seen", "sire=he")
    colony.write(start + timedelta(days=3), who, "parted")
    if random.random() > TOOK:
        return
    day, sort, asked = mated, "first clutch, mating seen" if seen else "first clutch, company only", start
    asked += timedelta(days=4)
    for clutch in range(4):
        middle = (MATED if clutch == 0 else NEXT) * factor
        laid = day + timedelta(days=max(7, round(course.draw(random, middle))))
        yield colony.moment(asked), who, laid, sort
        colony.write(laid, who, "eggs_laid", f"clutch=f{number}-{year}-{clutch}", "count=20", "complete=true")
        if random.random() > FOLLOWED:
            return
        day, sort, asked = laid, "later clutch", laid + timedelta(days=1)


def _case(course: Course, sort: str, found: LayForecast, came: date) -> Case:
    return Case(
        course.name, sort, found.own, found.early, found.likely, found.late, came, (found.opens, found.closes)
    )


class _Colony:
    """The logbook of a colony, as it grows."""

    def __init__(self, house: House) -> None:
        self.house = house
        self.entries: list[Entry] = []
        self.write(date(FIRST_YEAR, 1, 1), "animal/he", "arrived", "name=He", "sex=M")
        self._folded: tuple[datetime, Standing] | None = None

    def female(self, number: int) -> None:
        self.write(date(FIRST_YEAR, 1, 1), f"animal/f{number}", "arrived", f"name=F{number}", "sex=F")

    def moment(self, day: date) -> datetime:
        return on_wall(day, time(18), VIENNA)

    def write(self, day: date, about: str, kind: str, *words: str) -> None:
        number = len(self.entries)
        at = on_wall(day, time(12), VIENNA) + timedelta(seconds=number % 3000)
        self.entries.append(plain.entry(kind, about, words, id=f"{number:06d}", at=at, by="AK"))

    def upto(self, moment: datetime) -> Standing:
        """The standing by what was written up to a moment."""
        return fold(entry for entry in self.entries if entry.at <= moment)
