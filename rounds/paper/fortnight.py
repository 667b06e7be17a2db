"""The next fourteen days, day by day: what comes, about whom, and why."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime

from rounds.due.coming import Coming
from rounds.due.fortnight import fortnight
from rounds.due.supplies import supplies
from rounds.logbook.entries import ROOM
from rounds.paper.page import Page
from rounds.paper.values import Values, moment
from rounds.paper.words import many
from rounds.rules.settings import Settings
from rounds.standing.clutch import clutch
from rounds.standing.fold import Standing

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def fortnight_list(standing: Standing, settings: Settings, now: datetime) -> Values:
    """The fourteen days as values, ready for JSON."""
    house = settings.house
    days = fortnight(standing, house, now)
    return {
        "colony": settings.name,
        "now": moment(now, house),
        "days": [
            {
                "day": one.day.isoformat(),
                "overdue": [coming_values(standing, settings, now, coming, one.day) for coming in one.overdue],
                "coming": [coming_values(standing, settings, now, coming, one.day) for coming in one.coming],
            }
            for one in days
        ],
    }


def coming_values(standing: Standing, settings: Settings, now: datetime, one: Coming, day: date) -> Values:
    """One thing that comes; `late_days` counts from the day it was for to the day it stands under."""
    place = standing.places.get(one.about)
    return {
        "day": one.day.isoformat(),
        "what": one.what,
        "about": one.about,
        "name": coming_name(standing, settings, now, one.about),
        "place": place,
        "place_name": standing.name(place) if place else None,
        "clock": one.clock or None,
        "why": one.why,
        "late_days": max(0, (day - one.day).days),
        "rules": [settings.house.rule(key).cite() for key in one.house],
    }


def coming_name(standing: Standing, settings: Settings, now: datetime, about: str) -> str:
    """What keepers call whom it is about; a supply may have its name in colony.toml alone."""
    if about == ROOM:
        return "the room"
    if about.startswith("supply/"):
        return supplies(standing, settings.house, now).name(about)
    return clutch(standing, about).called if about.startswith("clutch/") else standing.name(about)


def day_title(day: date, today: date) -> str:
    """`Thu 26 Nov`, with the year when it is another than today's."""
    from rounds.due.dates import day as words

    year = f" {day.year}" if day.year != today.year else ""
    return f"{_DAYS[day.weekday()]} {words(day)}{year}"


def coming_words(one: Values) -> str:
    """`Hibbertia, the vet 10:30`, `Boronia 3 days late`."""
    late = f" ({many(one['late_days'], 'day')} late)" if one["late_days"] else ""
    return f"{one['name']}{late}" + (f": {one['why']}" if one["why"] else "")


def by_what(found: Iterable[Values]) -> dict[str, list[Values]]:
    """What comes on a day, put together by what it is, in the order in which it stands."""
    together: dict[str, list[Values]] = {}
    for one in found:
        together.setdefault(one["what"], []).append(one)
    return together


def fortnight_text(found: Values, now: datetime) -> str:
    """The fourteen days as 80 columns of text; days without anything stand there too."""
    page = Page()
    page.title(f"{found['colony']}   the next fourteen days", f"{now:%a} {now.day} {now:%b %Y %H:%M}")
    today = date.fromisoformat(found["days"][0]["day"])
    for one in found["days"]:
        title = day_title(date.fromisoformat(one["day"]), today)
        lead = f"{title:<12}"
        rows = [("OVERDUE " + what, comings) for what, comings in by_what(one["overdue"]).items()]
        rows += list(by_what(one["coming"]).items())
        for what, comings in rows:
            page.text("; ".join(coming_words(coming) for coming in comings), f"{lead}{what:<15} ", " " * 28)
            lead = " " * 12
        if not rows:
            page.text("-", lead)
    return str(page)
