"""How days and moments are said in matters and lines: `12 Apr`, `12 Apr 18:10`, `12 to 14 Apr`."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Final

_MONTHS: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def day(moment: datetime | date, now: datetime | None = None) -> str:
    """`12 Apr`; with `now`, the year too when it is another one."""
    year = f" {moment.year}" if now is not None and moment.year != now.year else ""
    return f"{moment.day} {_MONTHS[moment.month - 1]}{year}"


def day_time(moment: datetime) -> str:
    """`12 Apr 18:10`."""
    return f"{day(moment)} {moment:%H:%M}"


def span(first: datetime | date, last: datetime | date) -> str:
    """`12 Apr`, `12 to 14 Apr`, `30 Apr to 2 May`."""
    if (first.year, first.month, first.day) == (last.year, last.month, last.day):
        return day(first)
    if (first.year, first.month) == (last.year, last.month):
        return f"{first.day} to {day(last)}"
    return f"{day(first)} to {day(last)}"


def days_before(day: date, days: int) -> date:
    """The day so many days earlier, as far as the calendar goes back."""
    return date.fromordinal(max(1, day.toordinal() - days))


def days_after(day: date, days: int) -> date:
    """The day so many days later, as far as the calendar goes."""
    return date.fromordinal(max(1, min(day.toordinal() + days, date.max.toordinal())))


def just_before(moment: datetime) -> datetime:
    """The second before a moment, as far as the calendar goes back."""
    try:
        return moment - timedelta(seconds=1)
    except OverflowError:
        # The first day of the calendar, as only a broken clock writes it.
        return moment


def later(moment: datetime, days: int) -> datetime:
    """The moment so many days later, as far as the calendar goes."""
    try:
        return moment + timedelta(days=days)
    except OverflowError:
        return moment


def end_of_day(moment: datetime, days: int) -> datetime:
    """The last second of the day so many days later, as far as the calendar goes."""
    return later(moment.replace(hour=23, minute=59, second=59, microsecond=0), days)
