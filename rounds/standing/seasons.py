"""Breeding seasons: which clutches of a female belong to which.

A season begins with waking and lasts until the next; where no end of a brumation was noted, the best that was
noted of it parts the seasons. Without brumation a new one begins once no clutch came for the days of the house. No
month of the calendar has a part in it, so that a southern season across new year is one, as a northern one is. Each
clutch belongs to exactly one season.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import msgspec

from rounds.logbook.times import days_between
from rounds.standing.clutch import Clutch
from rounds.standing.cycle import Cycle
from rounds.standing.year import YearDays, brumations


class Season(msgspec.Struct, frozen=True):
    """One breeding season: since when, whether waking began it, and its clutches, oldest first.

    `since` is None for one that has begun only because no clutch came for long.
    """

    since: datetime | None
    by_waking: bool
    clutches: tuple[str, ...] = ()


def seasons_of(her: Cycle, now: datetime, days: YearDays) -> tuple[Season, ...]:
    """Her breeding seasons as far back as her page goes, oldest first; the last one is that of `now`."""
    parted = [one.parts_seasons_at for one in brumations(her.animal, days) if one.parts_seasons_at <= now]
    eggs = [one for one in her.clutches if one.begun_at is not None and one.begun_at <= now]
    return parted_into_seasons(eggs, parted, now, days.season_gap)


def parted_into_seasons(
    clutches: Sequence[Clutch], wakings: Sequence[datetime], now: datetime, gap_days: int
) -> tuple[Season, ...]:
    """Clutches in the seasons they belong to; none is in two, and none is left out."""
    begun = sorted((eggs.begun_at, eggs.subject) for eggs in clutches if eggs.begun_at is not None)
    events: list[tuple[datetime, int, str]] = [(at, 0, "") for at in wakings]
    events += [(at, 1, subject) for at, subject in begun]
    found: list[Season] = []
    last: datetime | None = None
    for at, _, subject in sorted(events):
        if not subject:
            found.append(Season(at, True))
            last = None
            continue
        if not found or (last is not None and days_between(last, at) > gap_days):
            found.append(Season(at, False))
        season = found[-1]
        found[-1] = msgspec.structs.replace(season, clutches=(*season.clutches, subject))
        last = at
    if not found or (last is not None and days_between(last, now) > gap_days):
        found.append(Season(None, False))
    return tuple(found)


def bred_in_a_row(seasons: Sequence[Season]) -> int:
    """How many seasons up to the last one she laid in without one of rest between them.

    The last one counts once a clutch came in it; a season without one is a rest only once it is over.
    """
    row = 0
    for place, season in enumerate(reversed(seasons)):
        if season.clutches:
            row += 1
        elif place:
            break
    return row
