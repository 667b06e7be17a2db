"""Whether a keeper rests an animal: not paired this season, or not any more."""

from __future__ import annotations

from datetime import datetime

from rounds.logbook.entries import BrumationBegan, PutTogether, Rested
from rounds.standing.animal import Animal


def rested(one: Animal, now: datetime) -> Rested | None:
    """What the keeper noted of its rest, if that holds at `now`; None when it may be paired as any other.

    Put together with another since, it rests no more. That of a season ends with the next brumation: one noted
    while the animal brumates is of the season to come.
    """
    noted = [entry for entry in one.own(Rested) if entry.at <= now]
    if not noted:
        return None
    last = noted[-1]
    ends = [entry for entry in one.page.of(PutTogether) if one.subject in (entry.about, entry.mate)]
    if any(last.key < entry.key and entry.at <= now for entry in ends):
        return None
    if not last.for_good and any(last.at < entry.at <= now for entry in one.own(BrumationBegan)):
        return None
    return last


def rest_words(found: Rested | None) -> str:
    """`retired`, `rests this season`; empty for one that does not rest."""
    return "" if found is None else "retired" if found.for_good else "rests this season"
