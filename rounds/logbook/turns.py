"""Entries noted over and over within one turn: they say one thing, and count once wherever entries are counted."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta
from typing import TypeVar

from rounds.logbook.entries.base import Entry

Kind = TypeVar("Kind", bound=Entry)


def turns(entries: Iterable[Kind], hours: float) -> list[list[Kind]]:
    """Entries (oldest first) in turns: those less than so many hours after the first of a turn belong to it.

    It is the first that is measured from, not the one before: what is noted every few hours around the clock does
    not melt into one turn without end.
    """
    found: list[list[Kind]] = []
    within = timedelta(hours=hours)
    for entry in entries:
        if found and entry.at - found[-1][0].at < within:
            found[-1].append(entry)
        else:
            found.append([entry])
    return found


def said_once(entries: Iterable[Kind], hours: float) -> list[Kind]:
    """Entries (oldest first) without those that say again, word for word, what another of their turn said."""
    found: list[Kind] = []
    for turn in turns(entries, hours):
        first = {one.phrase(): one.id for one in reversed(turn)}
        found += [entry for entry in turn if first[entry.phrase()] == entry.id]
    return found
