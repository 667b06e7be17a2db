"""What stands on no sheet any more, in words: what was seen, and which vet matters came down with it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from rounds.due import reckon
from rounds.due.matter import Level, Matter
from rounds.logbook.entries import Entry
from rounds.paper.plain_text import shown
from rounds.paper.said import said
from rounds.paper.words import stamp_words
from rounds.rules.house import House
from rounds.standing.fold import Standing


def came_down(standing: Standing, house: House, now: datetime, entries: Sequence[Entry]) -> list[Matter]:
    """The vet matters that these entries would raise, or raise higher, and that do not stand without them."""
    subjects = tuple(dict.fromkeys(subject for entry in entries for subject in entry.subjects()))
    here = {matter.key: matter.level for matter in reckon.matters_about(standing, house, now, subjects)}
    found = reckon.matters_about(standing.after_all(entries), house, now, subjects)
    return [one for one in found if one.level >= Level.VET and here.get(one.key, Level.WATCH) < one.level]


def missing_lines(standing: Standing, house: House, now: datetime, entries: Sequence[Entry]) -> list[str]:
    """A line for each vet matter that came down, the worst first, then one for each entry, by time."""
    matters = [f"{one.level.word}: {one.says}" for one in came_down(standing, house, now, entries)]
    after = standing.after_all(entries)
    lines = [f"NOT SHOWN WITHOUT THEM: {one}" for one in matters]
    for entry in sorted(entries, key=lambda entry: entry.key):
        about = "the room" if entry.about == "room" else after.name(entry.about)
        note = f": {entry.note}" if entry.note else ""
        lines.append(
            f"{stamp_words(entry.at, now)} {shown(entry.by)}  {shown(about)}  {shown(said(after, entry) + note)}"
        )
    return lines
