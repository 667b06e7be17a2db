"""Seasons of a whole colony: from the first waking to the first waking of the next winter.

Nobody wakes with all the others on one day: wakings that follow each other closely are one spring. No month of the
calendar has a part in it. A colony of which no waking was noted has a season by gaps: it begins with the first
clutch after the days of the house without one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import msgspec

from rounds.logbook.times import days_between, fixed
from rounds.standing.animal import animal
from rounds.standing.clutch import clutch
from rounds.standing.fold import Standing
from rounds.standing.year import YearDays, brumations

_HALF_A_YEAR = 183


class ColonySeason(msgspec.Struct, frozen=True):
    """One season: its first day and its last; the one that goes on has none to end it."""

    begins: date
    ends: date | None = None
    #: Whether the season behind it has the same year: the time before a colony's first waking.
    before: bool = False

    @property
    def called(self) -> str:
        """`2026`, or `2026/27` where most of a year from its first day lies beyond new year; `before 2026/27`."""
        return f"before {self.years}" if self.before else self.years

    @property
    def years(self) -> str:
        """The year it is of, or two."""
        year = self.begins.year
        beyond = (date(year, 12, 31) - self.begins).days < _HALF_A_YEAR
        return f"{year}/{(year + 1) % 100:02}" if beyond else str(year)


def colony_seasons(standing: Standing, now: datetime, days: YearDays, zone: ZoneInfo) -> tuple[ColonySeason, ...]:
    """The seasons, oldest first; the last one is that of `now`. None where nothing parts one from another."""
    moments = [at for at in _wakings(standing, days) if at <= now] or [at for at in _laid(standing) if at <= now]
    begins = [fixed(at, zone).date() for at in _first_of_each(moments, days.season_gap)]
    if not begins:
        return ()
    known = [fixed(at, zone).date() for at in _first_entries(standing)]
    if known and min(known) < begins[0]:
        begins.insert(0, min(known))
    found = [
        ColonySeason(one, later - timedelta(days=1), ColonySeason(one).years == ColonySeason(later).years)
        for one, later in pairwise(begins)
    ]
    return (*found, ColonySeason(begins[-1]))


def _wakings(standing: Standing, days: YearDays) -> Iterator[datetime]:
    """When animals woke; where no end of a brumation was noted, when they were warmed up."""
    for subject in standing.subjects("animal"):
        for one in brumations(animal(standing, subject), days):
            entry = one.ended or one.warm_up
            if entry is not None:
                yield entry.at


def _laid(standing: Standing) -> Iterator[datetime]:
    for subject in standing.subjects("clutch"):
        if (begun := clutch(standing, subject).begun_at) is not None:
            yield begun


def _first_entries(standing: Standing) -> Iterator[datetime]:
    yield from _laid(standing)
    for subject in standing.subjects("animal"):
        one = animal(standing, subject)
        if one.arrived is not None:
            yield min(entry.at for entry in one.own(type(one.arrived)))


def _first_of_each(moments: Iterable[datetime], gap: int) -> Iterator[datetime]:
    last: datetime | None = None
    for at in sorted(moments):
        if last is None or days_between(last, at) > gap:
            yield at
        last = at
