"""Months after a day, also at the ends of months and in the years of centuries."""

from __future__ import annotations

import calendar
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rounds.logbook.times import months_after, months_between


@pytest.mark.parametrize(
    ("day", "months", "after"),
    [
        ("2026-01-30", 1, "2026-02-28"),
        ("2028-01-30", 1, "2028-02-29"),
        ("1999-12-31", 2, "2000-02-29"),
        ("2099-12-31", 2, "2100-02-28"),
        ("2026-12-31", 1, "2027-01-31"),
        ("2026-08-31", 1, "2026-09-30"),
        ("2026-03-31", 0, "2026-03-31"),
        ("2026-11-15", 24, "2028-11-15"),
    ],
)
def test_so_many_months_later_it_is_that_day_or_the_last_of_the_month(day: str, months: int, after: str) -> None:
    assert months_after(date.fromisoformat(day), months) == date.fromisoformat(after)


@given(st.dates(date(1990, 1, 1), date(2110, 12, 31)), st.integers(0, 600))
def test_it_is_the_same_by_the_calendar(day: date, months: int) -> None:
    found = months_after(day, months)
    assert (found.year * 12 + found.month) - (day.year * 12 + day.month) == months
    assert found.day == min(day.day, calendar.monthrange(found.year, found.month)[1])
    assert months_between(day, found) == months
