"""Whether this machine's clock fits the sheets, in a sentence that says what to do."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Final

from rounds.logbook.entries import Entry
from rounds.paper.plain_text import shown

#: A machine whose clock is this far behind the newest entry, or this far past it, is asked about.
CLOCK_BEHIND: Final = timedelta(minutes=10)
CLOCK_PAST: Final = timedelta(days=120)


def clock_doubt(now: datetime, newest: Entry | None, ahead: Sequence[Entry]) -> str:
    """A sentence when a clock that says `now` does not fit the sheets; empty when it does.

    `newest` is the newest entry that counts, `ahead` are those dated so much later that they do not.
    Which of two machines is wrong cannot be known from here, so both are named.
    """
    clock = f"This machine's clock says {_day_and_time(now)}"
    if ahead:
        last, count = max(ahead, key=lambda entry: entry.key), len(ahead)
        dated = f"{count} entries are dated later, the last" if count > 1 else "an entry is dated later:"
        return (
            f"{clock}, but {dated} {_who_and_when(last)} (entry {shown(last.id)}). "
            f"{'They do' if count > 1 else 'It does'} not count now. If this clock is wrong, set it before you "
            "write; if it is right, another machine's is ahead: set that one, and correct what it wrote."
        )
    if newest is not None and newest.at - now > CLOCK_BEHIND:
        return (
            f"{clock}, but the newest entry is of {_who_and_when(newest)}. "
            "Set the clock before you write: entries would get a wrong time."
        )
    if newest is not None and now - newest.at > CLOCK_PAST:
        return (
            f"{clock}; the last entry is of {_who_and_when(newest)}. "
            "If that is right, go on; if not, set the clock before you write."
        )
    return ""


def _day_and_time(moment: datetime) -> str:
    return f"{moment.day} {moment:%b} {moment.year} {moment:%H:%M}"


def _who_and_when(entry: Entry) -> str:
    return f"{_day_and_time(entry.at)} by {shown(entry.by)}"
