"""What is coming on a day: one thing, about one subject; and the days that are looked at."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, datetime, time
from typing import Final, TypeAlias

import msgspec

from rounds.due.dates import days_after
from rounds.due.round import Round, walk_day
from rounds.logbook.times import fixed, on_wall
from rounds.rules.house import House
from rounds.standing.as_of import as_of
from rounds.standing.fold import Standing

#: So many days are looked at, today among them.
DAYS: Final = 14


class Coming(msgspec.Struct, frozen=True, kw_only=True):
    """One thing that comes on a day. A day before today is overdue, and stands under today.

    `what` is one word for it, by which things of a day are put together; `about` the subject to go to; `why` the
    rest, in a few words, which may be empty. `clock` is an hour agreed, as 10:30. `house` are its house rules.
    """

    day: date
    what: str
    about: str
    why: str = ""
    clock: str = ""
    house: tuple[str, ...] = ()


#: A source: what comes of one sort, on any day up to the last that is looked at.
Source: TypeAlias = "Callable[[Standing, House, datetime], Iterator[Coming]]"


def last_day(house: House, now: datetime) -> date:
    """The last of the days that are looked at."""
    return days_after(walk_day(now, house), DAYS - 1)


def round_on(standing: Standing, house: House, now: datetime, day: date) -> Round:
    """The walk of a day still to come, as it will be if nothing is done until then; today's is that of `now`."""
    standing = as_of(standing, now)
    if day <= walk_day(now, house):
        return Round(standing, house, now, "morning")
    try:
        noon = on_wall(day, time(12), house.zone)
    except OverflowError:
        # The last day of the calendar, as only a broken clock writes it.
        noon = fixed(now, house.zone)
    return Round(standing, house, max(noon, now), "morning")
