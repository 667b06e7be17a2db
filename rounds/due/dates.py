"""How days and moments are said in matters and lines: `12 Apr`, `12 Apr 18:10`, `12 to 14 Apr`."""

from __future__ import annotations

from datetime import date, datetime
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
