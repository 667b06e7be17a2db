"""Matings that were seen of a female: noted as such, or as copulation, on her page or toward her."""

from __future__ import annotations

from rounds.logbook.entries import BehaviourSeen, Entry, MatingSeen
from rounds.standing.animal import Animal


def matings_of(her: Animal) -> tuple[Entry, ...]:
    """Every mating seen of her, oldest first."""
    found: list[Entry] = [*her.own(MatingSeen)]
    found += [
        entry
        for entry in her.page.of(BehaviourSeen)
        # Noted of him it stands on her page when it says toward whom.
        if entry.behaviour == "copulation" and her.subject in (entry.about, entry.toward)
    ]
    return tuple(sorted(found, key=lambda entry: entry.key))


def mate_of(mating: Entry, her: str) -> str | None:
    """With whom a mating of hers was seen, if that was noted."""
    if isinstance(mating, MatingSeen):
        return mating.sire
    assert isinstance(mating, BehaviourSeen)
    return mating.toward if mating.about == her else mating.about
