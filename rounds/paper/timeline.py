"""The timeline of a subject: of every entry on its page, those that mark its life, its breeding and its health."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final, NamedTuple

from rounds.logbook.entries import BehaviourSeen, Corrected, Entry
from rounds.logbook.times import days_between
from rounds.logbook.words import NESTING_BEHAVIOURS

_OF_BREEDING: Final = frozenset({*NESTING_BEHAVIOURS, "copulation"})


def corrected_by(history: Iterable[Entry]) -> Mapping[str, Corrected]:
    """The correction of each entry that was corrected, by the wrong entry's id."""
    return {entry.replaces: entry for entry in history if isinstance(entry, Corrected)}


def counting(history: Iterable[Entry]) -> list[Entry]:
    """The entries that count, in the order given: no corrections, and none that was corrected."""
    entries = list(history)
    dead = corrected_by(entries)
    return [entry for entry in entries if entry.id not in dead and not isinstance(entry, Corrected)]


def timeline(history: Iterable[Entry]) -> list[Entry]:
    """The entries that make the timeline, in the order given; of behaviour only what tells of breeding."""
    return [entry for entry in counting(history) if _is_milestone(entry)]


class Milestone(NamedTuple):
    """One part of a season's line; of digging that went on, the first and the last time it was seen."""

    first: Entry
    last: Entry


def season(history: Iterable[Entry], most: int, gap_days: int) -> list[Milestone]:
    """The newest milestones for a short line, oldest first; `history` is oldest first too.

    Digging that goes on is one milestone, as long as no pause in it is longer than `gap_days`.
    """
    found: list[Milestone] = []
    for entry in timeline(history):
        before = found[-1] if found else None
        if before and _is_digging(entry) and _goes_on(before.last, entry, gap_days):
            found[-1] = before._replace(last=entry)
        else:
            found.append(Milestone(entry, entry))
    return found[-most:]


def _goes_on(before: Entry, entry: Entry, gap_days: int) -> bool:
    same = _is_digging(before) and before.about == entry.about
    return same and days_between(before.at, entry.at) <= gap_days


def _is_digging(entry: Entry) -> bool:
    return isinstance(entry, BehaviourSeen) and entry.behaviour in NESTING_BEHAVIOURS


def _is_milestone(entry: Entry) -> bool:
    return entry.milestone or (isinstance(entry, BehaviourSeen) and entry.behaviour in _OF_BREEDING)
