"""Care fixed to the calendar. Outside check: examples of RFC 5545 (Desruisseaux 2009), section 3.8.5.3."""

from __future__ import annotations

import subprocess
import sys
from datetime import date

import pytest

from rounds.rules.recurrence import between, checked, first_after


def days(text: str) -> list[date]:
    """`1997-09-02 30` → 2 and 30 September; a new month starts with its year and month."""
    found: list[date] = []
    month = ""
    for word in text.split():
        if "-" in word:
            month, _, word = word.rpartition("-")
        found.append(date.fromisoformat(f"{month}-{int(word):02d}"))
    return found


RFC_5545 = [
    ("daily for 10 occurrences", "FREQ=DAILY;COUNT=10", "1997-09-02", "1997-09-02 3 4 5 6 7 8 9 10 11"),
    (
        "every other day, forever",
        "FREQ=DAILY;INTERVAL=2",
        "1997-09-02",
        "1997-09-02 4 6 8 10 12 14 16 18 20 22 24 26 28 30 1997-10-02 4 6 8 10",
    ),
    (
        "every 10 days, 5 occurrences",
        "FREQ=DAILY;INTERVAL=10;COUNT=5",
        "1997-09-02",
        "1997-09-02 12 22 1997-10-02 12",
    ),
    (
        "weekly for 10 occurrences",
        "FREQ=WEEKLY;COUNT=10",
        "1997-09-02",
        "1997-09-02 9 16 23 30 1997-10-07 14 21 28 1997-11-04",
    ),
    (
        "every other week, forever",
        "FREQ=WEEKLY;INTERVAL=2;WKST=SU",
        "1997-09-02",
        "1997-09-02 16 30 1997-10-14 28 1997-11-11 25 1997-12-09 23",
    ),
    (
        "weekly on Tuesday and Thursday for 5 weeks",
        "FREQ=WEEKLY;COUNT=10;WKST=SU;BYDAY=TU,TH",
        "1997-09-02",
        "1997-09-02 4 9 11 16 18 23 25 30 1997-10-02",
    ),
    (
        "every other week on Tuesday and Thursday, for 8 occurrences",
        "FREQ=WEEKLY;INTERVAL=2;COUNT=8;WKST=SU;BYDAY=TU,TH",
        "1997-09-02",
        "1997-09-02 4 16 18 30 1997-10-02 14 16",
    ),
    (
        "monthly on the first Friday for 10 occurrences",
        "FREQ=MONTHLY;COUNT=10;BYDAY=1FR",
        "1997-09-05",
        "1997-09-05 1997-10-03 1997-11-07 1997-12-05 1998-01-02 1998-02-06 1998-03-06 1998-04-03 1998-05-01"
        " 1998-06-05",
    ),
    (
        "every other month on the first and last Sunday for 10 occurrences",
        "FREQ=MONTHLY;INTERVAL=2;COUNT=10;BYDAY=1SU,-1SU",
        "1997-09-07",
        "1997-09-07 28 1997-11-02 30 1998-01-04 25 1998-03-01 29 1998-05-03 31",
    ),
    (
        "monthly on the second-to-last Monday for 6 months",
        "FREQ=MONTHLY;COUNT=6;BYDAY=-2MO",
        "1997-09-22",
        "1997-09-22 1997-10-20 1997-11-17 1997-12-22 1998-01-19 1998-02-16",
    ),
    (
        "monthly on the third-to-the-last day of the month, forever",
        "FREQ=MONTHLY;BYMONTHDAY=-3",
        "1997-09-28",
        "1997-09-28 1997-10-29 1997-11-28 1997-12-29 1998-01-29 1998-02-26",
    ),
    (
        "monthly on the first and last day of the month for 10 occurrences",
        "FREQ=MONTHLY;COUNT=10;BYMONTHDAY=1,-1",
        "1997-09-30",
        "1997-09-30 1997-10-01 31 1997-11-01 30 1997-12-01 31 1998-01-01 31 1998-02-01",
    ),
    (
        "every Friday the 13th, forever (its start not counted)",
        "FREQ=MONTHLY;BYDAY=FR;BYMONTHDAY=13",
        "1997-09-02",
        "1998-02-13 1998-03-13 1998-11-13 1999-08-13 2000-10-13",
    ),
    (
        "the second-to-last weekday of the month",
        "FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-2",
        "1997-09-29",
        "1997-09-29 1997-10-30 1997-11-27 1997-12-30 1998-01-29 1998-02-26 1998-03-30",
    ),
    (
        "the week start makes a difference: Monday",
        "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=MO",
        "1997-08-05",
        "1997-08-05 10 19 24",
    ),
    (
        "the week start makes a difference: Sunday",
        "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=SU",
        "1997-08-05",
        "1997-08-05 17 19 31",
    ),
    (
        "an invalid date is ignored",
        "FREQ=MONTHLY;BYMONTHDAY=15,30;COUNT=5",
        "2007-01-15",
        "2007-01-15 30 2007-02-15 2007-03-15 30",
    ),
]


@pytest.mark.parametrize(
    ("rule", "start", "expected"), [one[1:] for one in RFC_5545], ids=[one[0] for one in RFC_5545]
)
def test_examples_of_rfc_5545_section_3_8_5_3(rule: str, start: str, expected: str) -> None:
    begins, wanted = date.fromisoformat(start), days(expected)
    assert list(between(rule, begins, begins, wanted[-1])) == wanted


def test_the_first_day_after_the_last_time_counts_and_none_after_today() -> None:
    monday_thursday = "FREQ=WEEKLY;BYDAY=MO,TH"
    assert first_after(monday_thursday, None, date(2026, 4, 6), date(2026, 4, 12)) == date(2026, 4, 9)
    assert first_after(monday_thursday, None, date(2026, 4, 9), date(2026, 4, 12)) is None


@pytest.mark.parametrize(
    ("rule", "reason"),
    [
        ("weekly", "no part of a recurrence rule"),
        ("FREQ=WEEKLY;COUNT=3", "would let the care end"),
        ("FREQ=WEEKLY;UNTIL=20270101", "would let the care end"),
        ("FREQ=HOURLY", "FREQ must be one of"),
        ("FREQ=DAILY;BYHOUR=8", "by the day"),
        ("FREQ=WEEKLY;BYDAY=MO,FUN", "days are MO"),
        ("FREQ=WEEKLY;FREQ=DAILY", "twice"),
        ("FREQ=DAILY;INTERVAL=0", "wants numbers"),
        ("FREQ=DAILY;INTERVAL=-1", "wants one number"),
        ("FREQ=DAILY;INTERVAL=99999999999999", "wants numbers"),
        ("FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30", "no day within five years"),
        ("FREQ=MONTHLY;BYMONTH=13", "between 1 and 12"),
        ("BYDAY=MO", "FREQ must be one of"),
        ("FREQ=", "no part"),
        ("FREQ=WEEKLY;COLOUR=RED", "no part of a recurrence rule"),
        ("FREQ=WEEKLY;" + "BYDAY=MO," * 100, "too long"),
    ],
)
def test_a_rule_that_care_cannot_follow_is_refused_with_the_reason(rule: str, reason: str) -> None:
    with pytest.raises(ValueError, match=reason):
        checked(rule)


def test_a_rule_is_kept_in_capitals_without_its_prefix() -> None:
    assert checked("rrule:freq=weekly;byday=mo") == "FREQ=WEEKLY;BYDAY=MO"


def test_a_house_without_recurrence_rules_never_loads_dateutil() -> None:
    program = (
        "import sys; from zoneinfo import ZoneInfo; from datetime import datetime, UTC; "
        "from rounds.rules.default import default_house; from rounds.due.lines import lines_at; "
        "from rounds.standing.fold import Standing; "
        "lines_at(Standing(), default_house(ZoneInfo('UTC')), datetime(2026, 4, 12, tzinfo=UTC), None); "
        "print('dateutil' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"


@pytest.mark.parametrize(
    ("part", "most", "freq"),
    [
        ("BYMONTH", 12, "YEARLY"),
        ("BYMONTHDAY", 31, "MONTHLY"),
        ("BYWEEKNO", 53, "YEARLY"),
        ("BYYEARDAY", 366, "YEARLY"),
    ],
)
def test_a_number_that_no_calendar_has_is_refused_at_once_and_the_largest_is_taken(
    part: str, most: int, freq: str
) -> None:
    assert checked(f"FREQ={freq};{part}=-{most}" if part != "BYMONTH" else f"FREQ={freq};{part}={most}")
    with pytest.raises(ValueError, match=f"wants numbers between 1 and {most}"):
        checked(f"FREQ={freq};{part}={most + 1}")
