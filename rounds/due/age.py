"""Age classes by the calendar, and months counted as a calendar counts them."""

from __future__ import annotations

from datetime import date
from typing import Literal

from rounds.rules.house import House

AgeClass = Literal["hatchling", "young", "adult", "older"]


def months_between(earlier: date, later: date) -> int:
    """Whole months from one day to another; from the 31st, a month is over on the last day of a short month."""
    months = (later.year - earlier.year) * 12 + later.month - earlier.month
    return months - (later.day < min(earlier.day, _days_in(later.year, later.month)))


def months_after(day: date, months: int) -> date:
    """The day so many months later: 31 January and a month is the last of February."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, _days_in(year, month + 1)))


def _days_in(year: int, month: int) -> int:
    # The calendar module brings the names of months in every language with it, 1 ms at each start.
    if month == 2:
        return 29 if year % 4 == 0 and (year % 100 != 0 or year % 400 == 0) else 28
    return 30 if month in (4, 6, 9, 11) else 31


def age_class(hatched: date | None, house: House, day: date) -> AgeClass:
    """How it is fed and weighed at its age. An age not known counts as an adult's."""
    if hatched is None:
        return "adult"
    months = months_between(hatched, day)
    if months < house.number("feeding.hatchling_until_months"):
        return "hatchling"
    if months < house.number("feeding.young_until_months"):
        return "young"
    return "adult" if months < house.number("feeding.adult_until_months") else "older"
