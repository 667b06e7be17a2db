"""Care fixed to the calendar: RFC 5545 recurrence rules over whole days.

Only a colony that sets such a rule pays for dateutil, so it is imported where it is used.
"""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from datetime import date, datetime, time, timedelta
from functools import lru_cache
from typing import Final

#: Where a rule without a beginning of its own counts from: a Monday, so that weeks start as they are read.
BEGINS: Final = date(2024, 1, 1)
EARLIEST: Final = date(2000, 1, 1)
LATEST: Final = date(2200, 1, 1)

_PARTS: Final = (
    "FREQ",
    "INTERVAL",
    "BYDAY",
    "BYMONTHDAY",
    "BYYEARDAY",
    "BYWEEKNO",
    "BYMONTH",
    "BYSETPOS",
    "WKST",
)
#: How far the numbers of a part go, RFC 5545 §3.3.10; of one beyond that dateutil looks for a day for seconds.
_MOST: Final = {"BYMONTH": 12, "BYMONTHDAY": 31, "BYWEEKNO": 53}
_LARGEST: Final = 366
_FREQUENCIES: Final = ("DAILY", "WEEKLY", "MONTHLY", "YEARLY")
_DAYS: Final = re.compile(r"[+-]?\d{0,3}(MO|TU|WE|TH|FR|SA|SU)")
_NUMBER: Final = re.compile(r"[+-]?\d{1,3}")


def checked(text: str, begins: date | None = None) -> str:
    """The rule as it is kept: capitals, without `RRULE:`.

    Raises `ValueError` with a plain reason when it is no rule that care can follow: not RFC 5545, by
    hours, with an end, or never coming round.
    """
    rule = text.strip().upper().removeprefix("RRULE:")
    if len(rule) > 200:
        raise ValueError("it is too long to be a recurrence rule")
    parts: dict[str, str] = {}
    for piece in rule.split(";"):
        name, equals, value = piece.partition("=")
        if not equals or not value:
            raise ValueError(f"{piece[:40]!r} is no part of a recurrence rule; write FREQ=WEEKLY;BYDAY=MO,TH")
        if name in ("COUNT", "UNTIL"):
            raise ValueError(f"{name} would let the care end; leave it away")
        if name in ("BYHOUR", "BYMINUTE", "BYSECOND"):
            raise ValueError(f"{name} cannot be used: care falls due by the day")
        if name not in _PARTS:
            raise ValueError(f"{name[:40]!r} is no part of a recurrence rule; there are {', '.join(_PARTS)}")
        if name in parts:
            raise ValueError(f"{name} stands in it twice")
        parts[name] = value
        _check_part(name, value)
    if parts.get("FREQ") not in _FREQUENCIES:
        raise ValueError(f"FREQ must be one of {', '.join(_FREQUENCIES)}")
    start = begins or BEGINS
    if not EARLIEST <= start <= LATEST:
        raise ValueError(f"it begins on {start.isoformat()}; give a day between {EARLIEST} and {LATEST}")
    try:
        comes = bool(between(rule, start, start, start + timedelta(days=5 * 366)))
    except (ValueError, TypeError, IndexError) as error:
        raise ValueError(f"it cannot be read as an RFC 5545 rule ({error})") from error
    if not comes:
        raise ValueError("no day within five years fits it")
    return rule


def _check_part(name: str, value: str) -> None:
    values = value.split(",")
    if name in ("FREQ", "WKST") and (len(values) != 1 or not value.isalpha()):
        raise ValueError(f"{name}={value[:40]} cannot be read")
    if name == "BYDAY" and not all(_DAYS.fullmatch(one) for one in values):
        raise ValueError(f"BYDAY={value[:40]}: days are MO, TU, WE, TH, FR, SA, SU")
    if name in ("FREQ", "WKST", "BYDAY"):
        return
    most = _MOST.get(name, _LARGEST)
    if not all(_NUMBER.fullmatch(one) and 1 <= abs(int(one)) <= most for one in values):
        raise ValueError(f"{name}={value[:40]}: wants numbers between 1 and {most}")
    if name == "INTERVAL" and (len(values) != 1 or int(value) < 1):
        raise ValueError(f"INTERVAL={value[:40]}: wants one number from 1 up")


def between(rule: str, begins: date, first: date, last: date) -> tuple[date, ...]:
    """The days from `first` to `last` (both counted) on which the rule comes round.

    The rule may have any date-based part of RFC 5545 §3.3.10, an end among them.
    """
    days = _days(rule, begins, last)
    return days[bisect_left(days, first) : bisect_right(days, last)]


def first_after(rule: str, begins: date | None, after: date, today: date) -> date | None:
    """The first day later than `after`, and not later than `today`, on which the rule comes round."""
    days = _days(rule, begins or BEGINS, today)
    place = bisect_right(days, after)
    return days[place] if place < len(days) else None


@lru_cache(maxsize=256)
def _days(rule: str, begins: date, last: date) -> tuple[date, ...]:
    # dateutil takes a few ms to import; a colony whose care runs by intervals never needs it.
    from dateutil.rrule import rrule, rrulestr

    found = rrulestr(rule, dtstart=datetime.combine(begins, time()))
    assert isinstance(found, rrule)
    first, until = datetime.combine(begins, time()), datetime.combine(last, time())
    return tuple(moment.date() for moment in found.between(first, until, inc=True))
