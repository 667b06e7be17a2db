"""A subject's page: how it stands, its weights, the season's timeline, and every entry, newest first."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import datetime
from typing import Final

from rounds.due.matter import Matter
from rounds.logbook.entries import Corrected, Entry, Weighed
from rounds.logbook.entries.base import grams
from rounds.paper.page import Page
from rounds.paper.said import said
from rounds.paper.subject_head import head_text, head_values
from rounds.paper.timeline import corrected_by, counting, timeline
from rounds.paper.values import Values, entry_values, matter_values, moment, when
from rounds.paper.words import many
from rounds.paper.year import year_values
from rounds.rules.house import House
from rounds.rules.settings import Settings
from rounds.standing.animal import animal
from rounds.standing.clutch import called as clutch_called
from rounds.standing.fold import Standing
from rounds.standing.group import group
from rounds.standing.weighing import weighings_of
from rounds.standing.weighings import splits

#: Of one weighing so many readings are printed, the newest.
_MOST_READINGS: Final = 4
#: Levels that stand above all else on the page.
_GRAVE: Final = ("vet", "vet now")


def subject_page(
    standing: Standing,
    settings: Settings,
    now: datetime,
    subject: str,
    history: Sequence[Entry],
    matters: Sequence[Matter],
) -> Values:
    """The page as values, ready for JSON. `history` is every entry on it, oldest first, corrected ones too."""
    house = settings.house
    dead = corrected_by(history)
    return {
        "colony": settings.name,
        "now": moment(now, house),
        "subject": subject,
        "sort": subject.partition("/")[0],
        "name": called(standing, subject),
        **head_values(standing, house, now, subject),
        **year_values(standing, house, now, subject),
        "weights": [
            {"at": entry.at.isoformat(), "grams": entry.grams, "by": entry.by, "id": entry.id}
            for entry in counting(history)
            if isinstance(entry, Weighed) and entry.about == subject
        ],
        "weighings": weighing_values(standing, house, subject, counting(history)),
        "matters": [matter_values(standing, house, matter) for matter in matters],
        "timeline": [_in_words(standing, subject, entry) for entry in timeline(history)],
        "entries": [listed_values(standing, entry, dead.get(entry.id), subject) for entry in reversed(history)],
    }


def weighing_values(standing: Standing, house: House, subject: str, entries: Iterable[Entry]) -> list[Values]:
    """Weights as they count, oldest first: what was read on one day is one weighing."""
    if not subject.startswith(("animal/", "group/")):
        return []
    one = group(standing, subject) if subject.startswith("group/") else animal(standing, subject)
    readings = [entry for entry in entries if isinstance(entry, Weighed) and entry.about == subject]
    return [
        {
            "at": weighing.reading.at.isoformat(),
            "grams": weighing.grams,
            "by": weighing.reading.by,
            "id": weighing.reading.id,
            "readings": [entry.grams for entry in weighing.readings],
            "unsure": weighing.unsure,
        }
        for weighing in weighings_of(readings, house.weighing_rule, splits(one))
    ]


def listed_values(standing: Standing, entry: Entry, corrected: Corrected | None, subject: str = "") -> Values:
    """An entry in words and whole, with the correction that answers it; on the page of `subject`, if it is one."""
    return {
        **_in_words(standing, subject, entry),
        "corrected_by": corrected.id if corrected is not None else None,
        "entry": entry_values(entry),
    }


def _in_words(standing: Standing, subject: str, entry: Entry) -> Values:
    """An entry in words; about another, it is named."""
    return {
        "at": entry.at.isoformat(),
        "by": entry.by,
        "about": entry.about,
        "name": "" if entry.about == subject else called(standing, entry.about),
        "says": said(standing, entry),
        "note": entry.note,
    }


def called(standing: Standing, subject: str) -> str:
    """What a sentence calls the subject."""
    return "the room" if subject == "room" else clutch_called(standing, subject)


# The text


def subject_text(found: Values, now: datetime, most: int = 40) -> str:
    """The page as 80 columns of text, with the newest `most` entries."""
    page = Page()
    page.title(
        f"{found['name']}   {found['sort'] if found['sort'] != 'room' else found['colony']}",
        f"{now:%a} {now.day} {now:%b %Y %H:%M}",
    )
    grave = [matter for matter in found["matters"] if matter["level"] in _GRAVE]
    for matter in grave:  # no forecast is read before what is for the vet
        page.text(matter["says"], f"{matter['level'].upper()}  ")
    for paragraph in head_text(found, now):
        page.text(paragraph)
    others = [matter for matter in found["matters"] if matter not in grave]
    if others:
        page.heading("What needs attention")
        for matter in others:
            page.text(matter["says"], f"  {matter['level'].upper():<8}")
    weights = found["weighings"]
    if weights:
        page.heading(f"Weights: {len(weights)}")
        page.table(weight_rows(weights[-12:], now), (16, 9, 8), lead="  ")
    if found["timeline"]:
        page.heading("Timeline")
        page.table([_row(one, now) for one in found["timeline"][-30:]], (18, 6), lead="  ")
    entries = found["entries"]
    page.heading(f"{many(len(entries), 'entry', 'entries')}, newest first")
    page.table([listed_row(one, now) for one in entries[:most]], (18, 6), lead="  ")
    if len(entries) > most:
        page.text(f"and {len(entries) - most} older ones: --json or --lines gives them all", "  ")
    return str(page)


def weight_rows(
    weights: Sequence[Values], now: datetime, in_words: Callable[[str, datetime], str] = when
) -> list[list[str]]:
    """Weighings with the change since the one before, in %; `in_words` puts a moment into words."""
    rows: list[list[str]] = []
    before: float | None = None
    for one in weights:
        change = f"{100 * (one['grams'] / before - 1):+.1f} %" if before else ""
        by = one["by"] + _read_again(one["readings"], one["unsure"])
        rows.append([in_words(one["at"], now), f"{grams(one['grams']):>9}", f"{change:>8}", by])
        before = one["grams"]
    return rows


def _read_again(readings: Sequence[float], unsure: bool) -> str:
    if len(readings) < 2:
        return ""
    shown = ", ".join(grams(one).removesuffix(" g") for one in readings[-_MOST_READINGS:])
    older = "… " if len(readings) > _MOST_READINGS else ""
    counts = "lower" if unsure else "mean" if len(readings) == 2 else "median"
    return f"  {counts} of {len(readings)}: {older}{shown} g"


def _row(one: Values, now: datetime) -> list[str]:
    note = f": {one['note']}" if one["note"] else ""
    return [when(one["at"], now), one["by"], f"{one['name']}{': ' if one['name'] else ''}{one['says']}{note}"]


def listed_row(one: Values, now: datetime) -> list[str]:
    """An entry in a table: when, by whom, what; a corrected one is marked."""
    row = _row(one, now)
    mark = f"[corrected, does not count: {one['corrected_by']}] " if one["corrected_by"] else ""
    late = f" [written {when(one['entry']['written'], now)}]" if "written" in one["entry"] else ""
    return [*row[:2], f"{mark}{row[2]}{late}  ({one['entry']['id']})"]
