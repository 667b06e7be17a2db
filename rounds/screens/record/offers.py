"""Who and what is offered first: who is there, and where she came from."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Final

from rounds.due.fitness import Fitness, fit_to_pair
from rounds.logbook.entries import MatingSeen, PutTogether
from rounds.paper.words import day_words
from rounds.rules.house import House
from rounds.screens.prompts.asks import Found
from rounds.screens.prompts.finding import find
from rounds.standing.animal import Animal, animal
from rounds.standing.clutch import called, clutches_in, clutches_of
from rounds.standing.enclosure import enclosure
from rounds.standing.female import female
from rounds.standing.fold import Standing
from rounds.standing.group import group
from rounds.standing.pairings import pairings_of
from rounds.standing.sires import likely_sires

#: What finds subjects by the letters typed so far.
Finder = Callable[[str], Sequence[Found]]
#: Of so many the checks before pairing are said beside the name: what nobody reads is not reckoned.
_MOST_CHECKED: Final = 60


def mates_of(standing: Standing, subject: str) -> tuple[str, ...]:
    """Those of the other sex who are with it: put together and not parted, then those who live with it, by id."""
    if not subject.startswith("animal/"):
        return ()
    one = animal(standing, subject)
    other = {"F": "M", "M": "F"}.get(one.sex, "M")
    paired = [pair.other(subject) for pair in pairings_of(standing, subject) if pair.until is None]
    with_it = [who for who in one.companions() if who.startswith("animal/") and animal(standing, who).sex == other]
    return tuple(dict.fromkeys((*paired, *with_it)))


def place_before(standing: Standing, subject: str) -> str | None:
    """The enclosure it lived in before the one it lives in now, if that still stands."""
    one: Animal = group(standing, subject) if subject.startswith("group/") else animal(standing, subject)
    for stay in reversed(one.stays):
        if stay.enclosure != one.place and enclosure(standing, stay.enclosure).stands:
            return stay.enclosure
    return None


def mate_before(standing: Standing, subject: str) -> str | None:
    """With whom it was paired last, or seen mating, if that one is here."""
    if not subject.startswith("animal/"):
        return None
    one = animal(standing, subject)
    pairs: list[tuple[datetime, str]] = [(entry.at, entry.mate) for entry in one.own(PutTogether)]
    pairs += [(entry.at, entry.sire) for entry in one.own(MatingSeen) if entry.sire]
    pairs += [(entry.at, entry.about) for entry in one.page.of(PutTogether) if entry.mate == subject]
    last = max(pairs, default=None)
    return last[1] if last is not None and animal(standing, last[1]).here else None


def places_for(standing: Standing, subject: str, place: str | None = None) -> Finder:
    """Where it may move to: back where it was, then every enclosure for animals but the one it is in."""
    back = place_before(standing, subject)
    here = standing.places.get(subject)
    first = [Found(f"{standing.name(back)}  back to where it was", back)] if back is not None else []

    def found(typed: str) -> Sequence[Found]:
        every = [
            one
            for one in find(standing, typed, "enclosure", most=200)
            if one.value not in (here, place) and enclosure(standing, one.value).stands
        ]
        # Who knows where it goes types it; what holds eggs comes last.
        every.sort(key=lambda one: not enclosure(standing, one.value).holds_animals)
        if typed.strip():
            return every
        return [*first, *(one for one in every if one.value != back)]

    return found


def mates_for(standing: Standing, subject: str) -> Finder:
    """Whom it may be paired with: who is with it, then those of the other sex who are here."""
    sex = animal(standing, subject).sex if subject.startswith("animal/") else "F"
    wanted = "animal:F" if sex == "M" else "animal:M"
    with_it = mates_of(standing, subject)
    first = [Found(f"{standing.name(who)}  lives with it", who) for who in with_it]

    def found(typed: str) -> Sequence[Found]:
        every = [one for one in find(standing, typed, wanted, most=200) if one.value != subject]
        if typed.strip():
            return every
        return [*first, *(one for one in every if one.value not in with_it)]

    return found


def mates_to_pair(standing: Standing, house: House, now: datetime, subject: str) -> Finder:
    """The same, with what speaks for and against each: those fit by all checks first, those who are not last.

    Who is with it, and with whom it was paired last, stand before all others. Nobody is left out.
    """
    every = mates_for(standing, subject)
    order = {"yes": 0, "not known": 1, "no": 2}
    before = mate_before(standing, subject)
    checked: dict[str, Fitness] = {}

    def fit_of(who: str) -> Fitness:
        if who not in checked:
            checked[who] = fit_to_pair(standing, house, now, who)
        return checked[who]

    def found(typed: str) -> Sequence[Found]:
        # Whom it was paired with last is not put first while anything speaks against it, such as the week apart.
        again = before is not None and fit_of(before).answer != "no"
        first = [*mates_of(standing, subject), *((before,) if before is not None and again else ())]
        here = [one for one in every(typed) if animal(standing, one.value).here]
        told = [
            Found(f"{standing.name(one.value)}  {fit_of(one.value).says}", one.value)
            for one in here[:_MOST_CHECKED]
        ]
        if not typed.strip():
            told.sort(key=lambda one: (one.value not in first, order[fit_of(one.value).answer]))
        return [*told, *here[_MOST_CHECKED:]]

    return found


def sires_for(standing: Standing, house: House, now: datetime, subject: str) -> Finder:
    """Who may be the sire, the likeliest first with what says so, then every other male."""
    every = mates_for(standing, subject)
    likely = [
        Found(f"{called(standing, one.subject)}  {one.why} {day_words(one.last, now)}", one.subject)
        for one in likely_sires(female(standing, subject, house.breeding_days), now)
    ]
    known = {one.value for one in likely}

    def found(typed: str) -> Sequence[Found]:
        others = every(typed)
        if typed.strip():
            return others
        return [*likely, *(one for one in others if one.value not in known)]

    return found


def clutches_for(standing: Standing, subject: str) -> tuple[str, ...]:
    """Clutches that an entry from this page is likeliest about, the likeliest first."""
    if subject.startswith("animal/"):
        return tuple(one.subject for one in reversed(clutches_of(standing, animal(standing, subject))))
    if subject.startswith("enclosure/"):
        eggs = [one.subject for one in clutches_in(standing, subject)]
        hers = [
            one.subject
            for who in standing.living_in(subject)
            if who.startswith("animal/")
            for one in reversed(clutches_of(standing, animal(standing, who)))
        ]
        return (*eggs, *(one for one in hers if one not in eggs))
    return (subject,) if subject.startswith("clutch/") else ()
