"""Whether an entry would make an animal its own ancestor: asked before it is written."""

from __future__ import annotations

from rounds.logbook.descent import Descent
from rounds.logbook.entries import Arrived, EggsLaid
from rounds.standing.breeding import Days
from rounds.standing.clutch import clutch
from rounds.standing.fold import Standing
from rounds.standing.pedigree import Pedigree


def loop_closed_by(
    standing: Standing, days: Days, entry: Descent | EggsLaid, excluding: frozenset[str] = frozenset()
) -> tuple[str, ...]:
    """The loop that an entry would close, each a young of the next; empty when it closes none.

    Every parent that it names counts, possible sires too. Of a clutch whose sire or dam it names, each young that
    has no other of its own is looked at. `excluding` are ids of entries that do not count: those it replaces.
    """
    known = Pedigree(standing, days)
    if isinstance(entry, Descent):
        if not entry.about.startswith("animal/"):
            return ()
        named = (entry.sire, entry.dam, *entry.possible_sires)
        parents = [one for one in named if one is not None]
        if isinstance(entry, Arrived) and entry.clutch is not None:
            eggs = clutch(standing, entry.clutch)
            parents += [one for one in (entry.dam or eggs.dam, entry.sire or eggs.sire) if one is not None]
        return _up_to(known, entry.about, parents)
    if entry.sire is None and clutch(standing, entry.clutch).laid:
        return ()
    parents = [one for one in (entry.about, entry.sire) if one is not None]
    for young in standing.page(entry.clutch).of(Arrived):
        if young.clutch == entry.clutch and young.about.startswith("animal/") and young.id not in excluding:
            own = [] if young.sire is not None and young.dam is not None else parents
            loop = _up_to(known, young.about, own)
            if loop:
                return loop
    return ()


def _up_to(known: Pedigree, young: str, parents: list[str]) -> tuple[str, ...]:
    """The line from these parents up to an animal itself, that animal first."""
    came_from: dict[str, str] = {}
    ahead = []
    for one in parents:
        if one not in came_from:
            came_from[one] = young
            ahead.append(one)
    for one in ahead:
        if one == young:
            line = [one]
            while (below := came_from[line[-1]]) != young:
                line.append(below)
            return (young, *reversed(line[1:]))
        for parent in known.parents(one).named:
            if parent not in came_from:
                came_from[parent] = one
                ahead.append(parent)
    return ()
