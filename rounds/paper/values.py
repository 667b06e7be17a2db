"""What paper and --json share: entries, matters, due lines and residents as plain values, ready for JSON.

Names and notes stand in these values as they were written; they are made safe where they are put into text.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

import msgspec

from rounds.due.forecast import LayForecast, forecast_of
from rounds.due.line import DueLine
from rounds.due.matter import Level, Matter
from rounds.due.reckon import explained
from rounds.logbook.entries import Entry
from rounds.logbook.times import days_between, fixed
from rounds.paper.said import said
from rounds.paper.words import resident, stamp_words, time_words
from rounds.rules.house import House
from rounds.standing.animal import animal
from rounds.standing.clutch import called
from rounds.standing.female import female
from rounds.standing.fold import Standing
from rounds.standing.group import group
from rounds.standing.weighings import last_weighing

Values = dict[str, Any]


def entry_values(entry: Entry) -> Values:
    """An entry as its sheet has it, and as `rounds log -` takes it."""
    found: Values = msgspec.to_builtins(entry)
    return found


def moment(at: datetime | None, house: House) -> str | None:
    """A moment by the room's clock, with its offset."""
    return fixed(at, house.zone).isoformat() if at is not None else None


def when(at: str, now: datetime) -> str:
    """A moment among the values in words: `07:15`, `yesterday 18:10`, `12 Mar 18:10`."""
    return time_words(datetime.fromisoformat(at), now)


def printed(at: str, now: datetime) -> str:
    """The same on paper, which is read on another day: `07:15` on the day of the sheet, else `24 Nov 18:10`."""
    then = datetime.fromisoformat(at)
    return f"{then:%H:%M}" if days_between(then, now) == 0 else stamp_words(then, now)


def matter_values(standing: Standing, house: House, matter: Matter) -> Values:
    """A matter with all that explains it."""
    return {
        "key": matter.key,
        "level": matter.level.word,
        "rule": matter.rule,
        "about": matter.about,
        "name": called(standing, matter.about),
        "place": matter.place,
        "place_name": standing.name(matter.place) if matter.place else None,
        "says": matter.says,
        "since": moment(matter.since, house),
        "deadline": moment(matter.deadline, house),
        "danger": matter.danger,
        "phone": house.vet or None if matter.level >= Level.VET else None,
        "do": list(matter.do),
        "worsens": matter.worsens,
        "adds": list(matter.adds),
        "rules": list(explained(matter, house)),
        "entries": [{**entry_values(entry), "says": said(standing, entry)} for entry in matter.entries],
        "acknowledged": entry_values(matter.acknowledged) if matter.acknowledged else None,
        "put_off": entry_values(matter.put_off) if matter.put_off else None,
        "on_no_sheet": matter.on_no_sheet,
    }


def due_values(standing: Standing, line: DueLine) -> Values:
    """A due line; `left_out` is the reason, when it was left out."""
    return {
        "care": line.care,
        "about": line.about,
        "name": called(standing, line.about),
        "says": line.says,
        "due": line.due.isoformat(),
        "late_days": line.late_days,
        "plain": line.plain,
        "left_out": line.left_out.reason if line.left_out else None,
    }


def resident_values(
    standing: Standing, house: House, subject: str, now: datetime, *, forecast: bool = True
) -> Values:
    """Who lives at a stop: figures for machines, and the words that screens and paper show."""
    row = resident(standing, house, subject, now)
    young = subject.startswith("group/")
    one = group(standing, subject) if young else animal(standing, subject)
    last = last_weighing(one, house.weighing_rule)
    values: Values = {
        "subject": subject,
        "name": row.name,
        "sex": one.sex,
        "age_days": one.age_days(now),
        "age": row.age,
        "grams": last.readings[-1].grams if last else None,
        "weighed_at": moment(last.ended, house) if last else None,
        "weight": row.weight,
        "trend": row.trend,
        "state": row.state,
    }
    if young:
        values["count"] = group(standing, subject).count
    elif one.sex == "F":
        her = female(standing, subject, house.breeding_days)
        values["phase"] = her.phase(now)
        if forecast:
            values["forecast"] = forecast_values(forecast_of(her, now)) if one.here else None
    return values


def forecast_values(forecast: LayForecast | None) -> Values | None:
    """When a female may lay: the three dates, the house's window around them, and what it is learned from."""
    if forecast is None:
        return None
    return {
        "says": forecast.says,
        "state": forecast.state,
        "early": forecast.early.isoformat(),
        "likely": forecast.likely.isoformat(),
        "late": forecast.late.isoformat(),
        "left": [one.isoformat() for one in forecast.left] if forecast.left else None,
        "window": [forecast.opens.isoformat(), forecast.closes.isoformat()],
        "from": [forecast.first.isoformat(), forecast.last.isoformat()],
        "why": forecast.why,
        "after_slugs": forecast.after_slugs,
        "waited_days": forecast.waited_days,
        "own_intervals": forecast.own,
        "colony_intervals": forecast.others,
        "outside_window": forecast.outside,
        "learned": forecast.from_what,
    }


def counts(matters: Sequence[Matter]) -> dict[str, int]:
    """How many matters there are of each level, the worst first."""
    words = ("vet now", "vet", "today", "watch")
    return {word: sum(one.level.word == word for one in matters) for word in words}
