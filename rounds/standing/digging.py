"""Nest digging: whose it was, also when it was written of a tub and not of an animal."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

import msgspec

from rounds.logbook.descent import Descent
from rounds.logbook.entries import (
    Arrived,
    BehaviourSeen,
    ConditionSeen,
    EggCheckDone,
    EggsLaid,
    Entry,
    FeltForEggs,
    Moved,
    PedigreeNoted,
    SexSettled,
)
from rounds.logbook.words import NESTING_BEHAVIOURS
from rounds.standing.animal import Animal, animal
from rounds.standing.breeding import Days
from rounds.standing.enclosure import enclosure
from rounds.standing.fold import Standing


class TubDigging(msgspec.Struct, frozen=True):
    """Digging seen in a tub, of an animal not known then: who may have dug, and whose it turned out to be."""

    entry: BehaviourSeen
    may_have: tuple[str, ...]
    whose: str | None


def noted_of(one: Animal) -> Iterator[Entry]:
    """Digging noted of the animal itself: as behaviour, at an egg check, or among the signs of a look."""
    for seen in one.own(BehaviourSeen):
        if seen.behaviour in NESTING_BEHAVIOURS:
            yield seen
    for check in one.own(EggCheckDone):
        if "digging" in check.present:
            yield check
    for look in one.own(ConditionSeen):
        if "digging" in look.signs:
            yield look


def may_be_gravid(one: Animal, at: datetime, days: Days) -> bool:
    """Whether it might hold eggs at that time, decided on the safe side.

    Any female, mated or not, and any animal of unknown sex, unless it is known to be younger than the house rule
    says (unmated females can lay infertile eggs: common practice, no source). A male, only if eggs were seen of it.
    What was seen of it before it was said to be a male, or so young, counts until a vet has heard of it.
    """
    if one.own(EggsLaid):
        return True
    if one.sex == "M":
        return _was_taken_for_female(one)
    months = one.age_months(at)
    return months is None or months >= days.gravid_from_months or _was_taken_for_grown(one)


def _was_taken_for_female(one: Animal) -> bool:
    """Whether it was said to be a male, settled or by papers, after what was seen of it as of a female."""
    words = sorted((*_told_of(one), *one.own(SexSettled)), key=lambda entry: entry.key)
    male: Entry | None = None
    for word in words:
        if word.sex == "M":
            male = male or word
        elif word.sex == "F" or isinstance(word, SexSettled):
            male = None
    if male is not None and male is not words[0] and _seen_before(one, male):
        return True
    settled = one.last(SexSettled)
    return settled is not None and _seen_before(one, settled)


def _was_taken_for_grown(one: Animal) -> bool:
    """Whether its day of hatching was given after what was seen of it as of a grown female."""
    words = _told_of(one)
    dated = min((word for word in words if word.hatched), key=lambda word: word.key, default=None)
    return dated is not None and dated is not words[0] and _seen_before(one, dated)


def _told_of(one: Animal) -> list[Descent]:
    """What opened it, and what was said of who it is since, oldest first."""
    found: list[Descent] = [*one.own(Arrived), *one.own(PedigreeNoted)]
    return sorted(found, key=lambda entry: entry.key)


def _seen_before(one: Animal, word: Entry) -> bool:
    """Whether signs of eggs, or a danger sign, of which no vet has heard were written before this.

    The word of a keeper, or of papers, does not answer those: a vet does.
    """
    seen: list[Entry] = [*noted_of(one), *(sign.entry for sign in one.danger)]
    seen += [entry for entry in one.own(FeltForEggs) if entry.found == "eggs"]
    return any(entry.known < word.known and one.after_contact(entry) for entry in seen)


def _eggs_that_came(one: Animal) -> list[EggsLaid]:
    """What was noted of her laying, where the count had grown: the same again, or a smaller one, is no egg."""
    most: dict[str, int] = {}
    found: list[EggsLaid] = []
    for entry in one.own(EggsLaid):
        if entry.count > most.get(entry.clutch, 0):
            most[entry.clutch] = entry.count
            found.append(entry)
    return found


def lived_at(standing: Standing, place: str, moment: datetime) -> list[str]:
    """Animals that lived in an enclosure at a moment, by id."""
    page = standing.page(place)
    named = {entry.about for entry in (*page.of(Arrived), *page.of(Moved))} | set(standing.living_in(place))
    return sorted(
        who
        for who in named
        if who.startswith("animal/")
        and any(stay.enclosure == place and stay.covers(moment) for stay in animal(standing, who).stays)
    )


def dug_in(standing: Standing, place: str, days: Days) -> tuple[TubDigging, ...]:
    """Digging seen in a tub, oldest first, each with whose it was.

    It was hers who alone can have dug; else hers of whom digging was noted on that day or later, or who has laid
    since; else it is not known.
    """
    key = ("dug in", place, days)
    known = standing.views.get(key)
    if known is None:
        seen = [
            entry
            for entry in enclosure(standing, place).behaviour_of_unknown
            if entry.behaviour in NESTING_BEHAVIOURS
        ]
        known = standing.views[key] = tuple(_whose(standing, place, entry, days) for entry in seen)
    assert isinstance(known, tuple)
    return known


def _whose(standing: Standing, place: str, seen: BehaviourSeen, days: Days) -> TubDigging:
    here = lived_at(standing, place, seen.at)
    may_have = tuple(who for who in here if may_be_gravid(animal(standing, who), seen.at, days))
    named: list[tuple[tuple[datetime, str], str]] = []
    for who in may_have:
        one = animal(standing, who)
        signs = [entry for entry in noted_of(one) if entry.at.date() >= seen.at.date()]
        signs += [entry for entry in _eggs_that_came(one) if entry.at >= seen.at]
        if len(may_have) > 1 and not one.after_contact(seen):
            # A vet was asked about her between: what she does since says nothing of the digging before.
            signs = [entry for entry in signs if not one.after_contact(entry)]
        if signs:
            named.append((min(entry.key for entry in signs), who))
    if named:
        return TubDigging(seen, may_have, min(named)[1])
    return TubDigging(seen, may_have, may_have[0] if len(may_have) == 1 else None)
