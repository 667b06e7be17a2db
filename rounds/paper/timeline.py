"""The timeline of a subject: of every entry on its page, those that mark its life, its breeding and its health."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final

from rounds.logbook.entries import BehaviourSeen, Corrected, Entry
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


def season(history: Iterable[Entry], most: int) -> list[Entry]:
    """The newest milestones for a short line, oldest first; of digging that goes on, the day it was first seen.

    `history` is oldest first.
    """
    found: list[Entry] = []
    for entry in timeline(history):
        if not (found and _is_digging(entry) and _is_digging(found[-1])):
            found.append(entry)
    return found[-most:]


def _is_digging(entry: Entry) -> bool:
    return isinstance(entry, BehaviourSeen) and entry.behaviour in NESTING_BEHAVIOURS


def _is_milestone(entry: Entry) -> bool:
    return entry.milestone or (isinstance(entry, BehaviourSeen) and entry.behaviour in _OF_BREEDING)
