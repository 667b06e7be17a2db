"""What stands on no sheet any more, in words: the vet matters and the calls among it, and what was seen."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Final

from rounds.due.matter import Level, Matter
from rounds.logbook.entries import ROOM, Entry, VetCalled, VetSeen
from rounds.paper.plain_text import shown
from rounds.paper.said import said
from rounds.paper.values import Values, entry_values, matter_values
from rounds.paper.words import many, stamp_words
from rounds.rules.house import House
from rounds.standing.clutch import called
from rounds.standing.fold import Standing

#: Names that are said in one line.
_MOST_NAMED: Final = 2


def marked(matters: Iterable[Matter]) -> list[Matter]:
    """The vet matters among these that stand on no sheet, in the order given."""
    return [one for one in matters if one.on_no_sheet]


def calls(standing: Standing, entries: Iterable[Entry]) -> list[Entry]:
    """Calls and visits of a vet among these that do not count now: a vet was told, and no page says so."""
    return [
        entry
        for entry in entries
        if isinstance(entry, VetCalled | VetSeen)
        and all(entry.id != one.id for one in standing.page(entry.about).of(type(entry)))
    ]


def urgent_lines(
    standing: Standing, now: datetime, entries: Sequence[Entry], matters: Sequence[Matter]
) -> list[str]:
    """A line for each vet matter on no sheet, the worst first and with its step, then one for each call."""
    lines = [f"{one.level.word.upper()}: {shown(one.says)} {shown(step_of(one))}" for one in marked(matters)]
    for entry in calls(standing, entries):
        what = "vet phoned" if isinstance(entry, VetCalled) else "seen by a vet"
        name = shown(called(standing, entry.about))
        lines.append(f"{name}: {what} {stamp_words(entry.at, now)} ({shown(entry.by)}). On no sheet.")
    return lines


def step_of(matter: Matter) -> str:
    """The step of a vet matter that comes first where only one is said: the call."""
    return next((step for step in matter.do if step.startswith("Phone")), matter.do[0] if matter.do else "")


def in_short(standing: Standing, entries: Sequence[Entry], matters: Sequence[Matter]) -> str:
    """`1 entry, 1 VET NOW (Wattle)`: how many are missing, and the worst that is said of them."""
    told = [many(len(entries), "entry", "entries") if entries else "some lines of the sheets"]
    for level in (Level.VET_NOW, Level.VET):
        if found := [one for one in marked(matters) if one.level is level]:
            told.append(f"{len(found)} {level.word.upper()} ({_names(standing, (one.about for one in found))})")
    if called := calls(standing, entries):
        told.append(f"{many(len(called), 'vet call')} ({_names(standing, (one.about for one in called))})")
    return ", ".join(told)


def _names(standing: Standing, subjects: Iterable[str]) -> str:
    names = [shown(called(standing, one)) for one in dict.fromkeys(subjects)]
    return ", ".join(names[:_MOST_NAMED]) + (" …" if len(names) > _MOST_NAMED else "")


def entry_line(after: Standing, now: datetime, entry: Entry) -> str:
    """One entry: when, by whom, about whom, what. `after` is the standing that has it."""
    about = "the room" if entry.about == ROOM else after.name(entry.about)
    note = f": {entry.note}" if entry.note else ""
    what = said(after, entry) + note
    return f"{stamp_words(entry.at, now)} {shown(entry.by)}  {shown(about)}  {shown(what)}"


def missing_lines(standing: Standing, now: datetime, entries: Sequence[Entry]) -> list[str]:
    """A line for each entry, by time."""
    after = standing.after_all(entries)
    return [entry_line(after, now, entry) for entry in sorted(entries, key=lambda entry: entry.key)]


def missing_values(standing: Standing, house: House, entries: Sequence[Entry], matters: Sequence[Matter]) -> Values:
    """What is missing as values: the entries, and the vet matters and calls among them."""
    return {
        "entries": [entry_values(entry) for entry in entries],
        "vet_matters": [one.says for one in marked(matters)],
        "matters": [matter_values(standing, house, one) for one in marked(matters)],
        "vet_calls": [entry_values(entry) for entry in calls(standing, entries)],
    }
