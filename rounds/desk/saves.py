"""A keeper's own saves among the recent entries: the last one, and the last run of stops, to be taken back."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from typing import Final

from rounds.logbook import rows
from rounds.logbook.entries import Cleaned, Corrected, Entry, Fed, Misted, StopWalked, Watered

#: What Enter writes at a stop before anything is looked at.
PLAIN: Final = (Fed, Watered, Misted, Cleaned)


def of(keeper: str, recent: Iterable[Entry], besides: Collection[str] = ()) -> Iterator[tuple[Entry, ...]]:
    """A keeper's saves that were not taken back, newest first; `besides` are ids that belong to none of them."""
    entries = list(recent)
    dead = {entry.replaces for entry in entries if isinstance(entry, Corrected)}.union(besides)
    mine = [
        entry
        for entry in entries
        if entry.by == keeper and not isinstance(entry, Corrected) and entry.id not in dead
    ]
    mine.sort(key=lambda entry: entry.id)
    while mine:
        save = [mine.pop()]
        # The ids of one save follow each other ms by ms; between two saves there is a gap.
        while mine and (ms := rows.ms_of(save[-1].id)) is not None and rows.ms_of(mine[-1].id) == ms - 1:
            save.append(mine.pop())
        yield tuple(reversed(save))


def last_run(
    saves: Iterable[tuple[Entry, ...]], places: Mapping[str, str], within: float
) -> tuple[tuple[Entry, ...], ...]:
    """The stops done one right after the other, oldest first; () when the newest of these saves is no stop.

    Each save is no more than `within` s after the one before. The plain lines that were written at a stop before it
    was gone on from belong to it. `places` says in which enclosure each animal is.
    """
    run: list[tuple[Entry, ...]] = []
    for save in saves:
        walked = next((one.about for one in save if isinstance(one, StopWalked)), "")
        of_next = bool(run) and all(isinstance(one, PLAIN) for one in save)
        if not walked and not (of_next and _stops_of(save, places) & _stops_of(run[-1], places)):
            break
        if run and not _within(save[-1], run[-1][0], within):
            break
        run.append(save)
    return tuple(reversed(run))


def _stops_of(save: Sequence[Entry], places: Mapping[str, str]) -> set[str | None]:
    """The enclosures that a save is about, or whose animals."""
    return {one.about if one.about.startswith("enclosure/") else places.get(one.about) for one in save}


def _within(first: Entry, second: Entry, seconds: float) -> bool:
    """Whether the second was written no later than so many seconds after the first."""
    one, other = rows.ms_of(first.id), rows.ms_of(second.id)
    return one is not None and other is not None and other - one <= seconds * 1000
