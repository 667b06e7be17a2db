"""The next fourteen days: what comes on which day. One function a source; `SOURCES` has a row for each."""

from __future__ import annotations

from datetime import date, datetime
from typing import Final

import msgspec

from rounds.due.coming import DAYS, Coming, Source
from rounds.due.coming_agreed import agreed, orders, put_off, supply_counts
from rounds.due.coming_breeding import hatches, pairs, windows
from rounds.due.coming_care import counts, egg_boxes, full_cleans, lamps, quarantines, treatments, weighings
from rounds.due.dates import days_after
from rounds.due.round import walk_day
from rounds.rules.house import House
from rounds.standing.as_of import as_of
from rounds.standing.fold import Standing

#: Where what comes is asked, in the order in which it stands on a day.
SOURCES: Final[tuple[Source, ...]] = (
    agreed,
    put_off,
    windows,
    hatches,
    pairs,
    treatments,
    quarantines,
    egg_boxes,
    weighings,
    counts,
    lamps,
    full_cleans,
    orders,
    supply_counts,
)


class Day(msgspec.Struct, frozen=True):
    """One of the fourteen days, with what comes on it; what is overdue stands under today, the oldest first."""

    day: date
    overdue: tuple[Coming, ...]
    coming: tuple[Coming, ...]


def fortnight(standing: Standing, house: House, now: datetime) -> tuple[Day, ...]:
    """Today and the thirteen days after it. Entries dated later than `now` do not count."""
    standing = as_of(standing, now)
    today = walk_day(now, house)
    days: dict[date, list[Coming]] = {days_after(today, ahead): [] for ahead in range(DAYS)}
    overdue: list[Coming] = []
    for source in SOURCES:
        for one in dict.fromkeys(source(standing, house, now)):
            if one.day < today:
                overdue.append(one)
            elif one.day in days:
                days[one.day].append(one)
    overdue.sort(key=lambda one: one.day)
    for found in days.values():
        # What has an hour stands first; else in the order of the sources.
        found.sort(key=lambda one: (not one.clock, one.clock))
    return tuple(Day(day, tuple(overdue) if day == today else (), tuple(found)) for day, found in days.items())
