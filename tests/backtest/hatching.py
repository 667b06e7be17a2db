"""Clutches on a shelf with a logger, each forecast asked for after boxing and once more on day 35.

All of it is assumed: how much warmth eggs of a colony need, from which base on it counts, how far clutches differ.
The program knows its own base and sum; the colony's may be others.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from importlib import import_module
from importlib.util import find_spec
from random import Random
from typing import Any, Final

from rounds.logbook import plain
from rounds.logbook.entries import Entry
from rounds.logbook.times import on_wall
from rounds.rules.house import House
from rounds.standing.fold import fold
from tests.backtest.tally import Case
from tests.notation import VIENNA

#: So many clutches in a season, and so many seasons.
CLUTCHES, SEASONS = 4, 3
FIRST_YEAR: Final = 2024
#: `hatch_forecast(standing, house, now, clutch)` with `early`, `likely`, `late` and `own`; None without one.
Forecaster = Callable[..., Any]


@dataclass(frozen=True)
class Course:
    """How the eggs of a colony truly are: base in °C, days at 29.5 °C, and how far clutches differ, in logs."""

    name: str
    says: str
    base_c: float
    days: float
    apart: float = 0.05


COURSES: Final = (
    Course("as believed", "base 18 °C, 58 days at 29.5 °C, clutches 5 % apart", 18, 58),
    Course("quick", "10 % quicker", 18, 52),
    Course("slow", "12 % slower", 18, 65),
    Course("other base", "warmth counts from 21 °C on, as many days at 29.5 °C", 21, 58),
    Course("clutches differ", "10 % apart", 18, 58, 0.1),
)


def forecaster() -> Forecaster | None:
    """The program's forecast of hatching."""
    if find_spec("rounds.due.hatching") is None:
        return None
    found: Forecaster = import_module("rounds.due.hatching").hatch_forecast
    return found


def cases(course: Course, seed: int, house: House, forecast: Forecaster) -> Iterator[Case]:
    """Every forecast of one colony, with what came."""
    random = Random(f"{course.name} {seed}")
    book = _Book()
    asked: list[tuple[datetime, str, date, str]] = []
    for season in range(SEASONS):
        start, mean = date(FIRST_YEAR + season, 4, 1), random.uniform(28.5, 30.5)
        warmth = [mean + random.gauss(0, 0.4) for _ in range(140)]
        for number, air in enumerate(warmth):
            logged = ("minutes=0,1439", f"air_c={air:.1f},{air:.1f}")
            book.write(start + timedelta(number), time(0), "enclosure/s1", "climate_logged", *logged)
        for number in range(CLUTCHES):
            first = random.randrange(30)
            clutch, laid = f"f-{FIRST_YEAR + season}-{number}", start + timedelta(first)
            book.write(laid, time(12), "animal/f", "eggs_laid", f"clutch={clutch}", "count=20", "complete=true")
            book.write(laid, time(13), f"clutch/{clutch}", "eggs_boxed", "count=20", "place=s1")
            out = laid + timedelta(_days(course, random, warmth[first:]))
            book.write(out, time(12), f"clutch/{clutch}", "hatched", "count=18", "into=young")
            for day, sort in ((1, "hatching, day 1"), (35, "hatching, day 35")):
                asked.append((book.moment(laid + timedelta(day)), f"clutch/{clutch}", out, sort))
    for moment, subject, out, sort in asked:
        found = forecast(fold(entry for entry in book.entries if entry.at <= moment), house, moment, subject)
        if found is not None and moment.date() < out:
            yield Case(course.name, sort, found.own, found.early, found.likely, found.late, out)


def _days(course: Course, random: Random, warmth: list[float]) -> int:
    """Days until the first is out, by the warmth of each."""
    wanted = course.days * (29.5 - course.base_c) * math.exp(random.gauss(0, course.apart))
    for number, air in enumerate(warmth, 1):
        wanted -= max(0.0, min(air, 32) - course.base_c)
        if wanted <= 0:
            return number
    return len(warmth)


class _Book:
    """The logbook of a colony with one shelf."""

    def __init__(self) -> None:
        self.entries: list[Entry] = []
        began = date(FIRST_YEAR, 1, 1)
        self.write(began, time(8), "enclosure/s1", "enclosure_set_up", "name=S1", "what=incubator shelf")
        self.write(began, time(8), "animal/f", "arrived", "name=F", "sex=F")

    def moment(self, day: date) -> datetime:
        return on_wall(day, time(18), VIENNA)

    def write(self, day: date, clock: time, about: str, kind: str, *words: str) -> None:
        number = len(self.entries)
        at = on_wall(day, clock, VIENNA) + timedelta(seconds=number % 3000)
        self.entries.append(plain.entry(kind, about, words, id=f"{number:06d}", at=at, by="AK"))
