"""Pairings: when a male and a female were together on purpose, and what was seen between them."""

from __future__ import annotations

from datetime import datetime

import msgspec

from rounds.logbook.entries import BehaviourSeen, Entry, MatingSeen, PutTogether
from rounds.logbook.words import COURTSHIP
from rounds.standing.animal import Animal, animal
from rounds.standing.fold import Standing
from rounds.standing.together import put_together


class Pairing(msgspec.Struct, frozen=True):
    """One pairing: put together, what was seen until they were parted, and the matings among it."""

    put: PutTogether
    her: str
    him: str
    since: datetime
    #: None while they are together.
    until: datetime | None
    #: Courtship seen of either, oldest first, copulation not among it.
    seen: tuple[BehaviourSeen, ...]
    matings: tuple[Entry, ...]

    def other(self, subject: str) -> str:
        """The one of the two that is not this one."""
        return self.him if subject == self.her else self.her

    @property
    def words(self) -> tuple[str, ...]:
        """What was seen, each once, in the order in which it is told."""
        found = {entry.behaviour for entry in self.seen}
        return tuple(word for behaviour, word in COURTSHIP.items() if behaviour in found)


def pairings_of(standing: Standing, subject: str) -> tuple[Pairing, ...]:
    """The pairings of an animal, oldest first: of a male those on the pages of the females too."""
    key = ("pairings", subject)
    found: tuple[Pairing, ...] | None = standing.views.get(key)
    if found is None:
        found = standing.views[key] = _pairings(standing, subject)
    return found


def last_pairing(standing: Standing, subject: str) -> Pairing | None:
    """The last pairing of an animal that began: one that goes on before one that is over."""
    every = pairings_of(standing, subject)
    return max(every, key=lambda one: (one.until is None, one.until or one.since, one.put.key), default=None)


def _pairings(standing: Standing, subject: str) -> tuple[Pairing, ...]:
    hers = [entry.about for entry in standing.page(subject).of(PutTogether)]
    found: list[Pairing] = []
    for who in dict.fromkeys(hers):
        her = animal(standing, who)
        for company in put_together(standing, her):
            if company.mate is None or company.entry is None or subject not in (who, company.mate):
                continue
            assert isinstance(company.entry, PutTogether)
            found.append(_pairing(standing, her, company.entry, company.until))
    return tuple(sorted(found, key=lambda one: one.put.key))


def _pairing(standing: Standing, her: Animal, put: PutTogether, until: datetime | None) -> Pairing:
    pair = (put.about, put.mate)
    his = animal(standing, put.mate)
    seen = [
        entry
        for one in (her, his)
        for entry in one.own(BehaviourSeen)
        if entry.behaviour in COURTSHIP
        and put.at <= entry.at
        and (until is None or entry.at <= until)
        and entry.toward in (None, *pair)
    ]
    seen.sort(key=lambda entry: entry.key)
    matings: list[Entry] = [
        entry
        for entry in her.own(MatingSeen)
        if entry.sire in (None, put.mate) and put.at <= entry.at and (until is None or entry.at <= until)
    ]
    matings += [entry for entry in seen if entry.behaviour == "copulation"]
    matings.sort(key=lambda entry: entry.key)
    courtship = tuple(entry for entry in seen if entry.behaviour != "copulation")
    return Pairing(put, put.about, put.mate, put.at, until, courtship, tuple(matings))
