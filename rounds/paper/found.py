"""What was found among the entries: as values for machines, and as lines of plain text, newest first."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from functools import partial

from rounds.logbook.conditions import Conditions, in_words
from rounds.logbook.entries import Corrected, Entry
from rounds.logbook.times import with_year
from rounds.paper.page import Page
from rounds.paper.subject import called, listed_row, listed_values
from rounds.paper.values import Values, moment
from rounds.paper.words import many
from rounds.rules.settings import Settings
from rounds.standing.fold import Standing


def found_list(
    standing: Standing,
    settings: Settings,
    now: datetime,
    wanted: Conditions,
    found: Sequence[tuple[Entry, Corrected | None]],
    *,
    more: bool,
) -> Values:
    """What was found, newest first. `more` says that there is more of it, further back."""
    return {
        "colony": settings.name,
        "now": moment(now, settings.house),
        "asked": in_words(wanted, partial(called, standing)),
        "conditions": {
            "kinds": list(wanted.kinds),
            "subjects": list(wanted.subjects),
            "by": wanted.by,
            "since": _day(wanted.first),
            "until": _day(wanted.last),
            "words": list(wanted.words),
            "figures": [{"name": one.name, "sign": one.sign, "value": one.value} for one in wanted.figures],
        },
        "more": more,
        "entries": [listed_values(standing, entry, corrected) for entry, corrected in found],
    }


def _day(day: date | None) -> str | None:
    return day.isoformat() if day is not None else None


def found_text(found: Values, now: datetime) -> str:
    """The same on 80 columns."""
    page, entries = Page(), found["entries"]
    page.title("Found", f"{now:%a} {now.day} {now:%b %Y %H:%M}")
    page.text(found["asked"])
    if not entries:
        page.text("Nothing on the sheets fulfils all of it.")
        return str(page)
    count = many(len(entries), "entry", "entries")
    page.heading(f"The newest {count}; there are more" if found["more"] else f"{count}, newest first")
    page.table([listed_row(one, now) for one in entries], (18, 6), lead="  ")
    if found["more"]:
        last = datetime.fromisoformat(entries[-1]["at"])
        page.text(f"--all shows every one; “until {with_year(last)}” goes on from the oldest of these.")
    return str(page)
