"""Recurrence rules: days in order, in their bounds and the same each time, or a plain reason."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path
from typing import Final

from rounds.rules.recurrence import BEGINS, between, checked, first_after
from tests.fuzzing.feed import Feed
from tests.fuzzing.targets import Taker

_NAMES: Final = ("FREQ", "INTERVAL", "BYDAY", "BYMONTHDAY", "BYYEARDAY", "BYWEEKNO", "BYMONTH", "BYSETPOS", "WKST")
_VALUES: Final = (
    *("DAILY", "WEEKLY", "MONTHLY", "YEARLY", "HOURLY", "MO", "TU,TH", "1SA", "-1SU", "53MO", "+2WE", "0FR"),
    *("1", "2", "-1", "31", "366", "-366", "53", "13", "0", "99", "1,2,3", "29", "2", "", "x"),
)
_TODAY: Final = date(2026, 4, 12)


def prepared(_folder: Path) -> Taker:
    """Takes a rule."""
    return take


def take(content: bytes) -> None:
    """One rule."""
    feed = Feed(content)
    begins = feed.pick((None, BEGINS, date(2024, 2, 29), date(1999, 1, 1), date(2199, 12, 31)))
    text = feed.text(120) if feed.is_one_in(4) else _rule(feed)
    try:
        rule = checked(text, begins)
    except ValueError as error:
        told = str(error).strip()
        assert told
        return
    start = begins or BEGINS
    assert checked(rule, begins) == rule
    last = min(start + timedelta(days=900), date(2200, 1, 1))
    days = between(rule, start, start, last)
    assert list(days) == sorted(set(days))
    assert all(start <= day <= last for day in days)
    later = first_after(rule, begins, start, max(start, _TODAY))
    assert later is None or start < later <= max(start, _TODAY)


def _rule(feed: Feed) -> str:
    parts: list[str] = ["FREQ=" + feed.pick(_VALUES[:5])] if not feed.is_one_in(8) else []
    while not feed.is_used_up and len(parts) < 6:
        name = feed.text(12) if feed.is_one_in(16) else feed.pick(_NAMES)
        parts.append(f"{name}={feed.text(12) if feed.is_one_in(8) else feed.pick(_VALUES)}")
    return ";".join(parts)
