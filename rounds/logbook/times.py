"""Moments and days in the room's own zone. Nothing here reads the clock."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta, timezone
from typing import Literal
from zoneinfo import ZoneInfo

#: Whether 3/4 is the third of April or the fourth of March: as the colony writes it (colony.toml, date_order).
DateOrder = Literal["day-month", "month-day"]


def fixed(moment: datetime, zone: ZoneInfo | None = None) -> datetime:
    """The same moment with the room's offset at that moment as a fixed offset, to the second.

    Two moments with one and the same ``ZoneInfo`` subtract by the wall clock, so that a night in
    which the clocks change would count an hour too many or too few; with fixed offsets they subtract
    by elapsed time.
    """
    try:
        here = moment.astimezone(zone) if zone is not None else moment
    except OverflowError:
        # The first and the last day of the calendar, as a foreign sheet may have them.
        here = moment
    offset = here.utcoffset()
    if offset is None:
        raise ValueError("a moment without an offset is no moment")
    return here.replace(microsecond=0, tzinfo=timezone(offset), fold=0)


def on_wall(day: date, clock: time, zone: ZoneInfo) -> datetime:
    """The moment at which the room's clock shows `clock` on `day`, with a fixed offset.

    A time that the spring change leaves out is read with the offset before the change (RFC 5545
    §3.3.5); a time that the autumn change shows twice is the first of the two.
    """
    wall = datetime.combine(day, clock.replace(tzinfo=None, fold=0), tzinfo=zone)
    return fixed(wall.astimezone(UTC), zone)


def days_between(earlier: datetime | date, later: datetime | date) -> int:
    """Calendar days from one to the other, each by the date its own clock showed."""
    return (_day(later) - _day(earlier)).days


def hours_between(earlier: datetime, later: datetime) -> float:
    """Elapsed hours, whatever the clocks did in between."""
    return (later - earlier) / timedelta(hours=1)


def months_between(earlier: date, later: date) -> int:
    """Whole months from one day to another; from the 31st, a month is over on the last day of a short month."""
    months = (later.year - earlier.year) * 12 + later.month - earlier.month
    return months - (later.day < min(earlier.day, _days_in(later.year, later.month)))


def months_after(day: date, months: int) -> date:
    """The day so many months later, as far as the calendar goes: 31 January and a month is the last of February."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    if year > date.max.year:
        return date.max
    return date(year, month + 1, min(day.day, _days_in(year, month + 1)))


def with_year(day: date) -> str:
    """`14 Jul 2025`: for a sentence that is read years later, or is of another year."""
    return f"{day.day} {day:%b} {day.year}"


def _days_in(year: int, month: int) -> int:
    # The calendar module brings the names of months in every language with it, 1 ms at each start.
    if month == 2:
        return 29 if year % 4 == 0 and (year % 100 != 0 or year % 400 == 0) else 28
    return 30 if month in (4, 6, 9, 11) else 31


def _day(moment: datetime | date) -> date:
    return moment.date() if isinstance(moment, datetime) else moment
