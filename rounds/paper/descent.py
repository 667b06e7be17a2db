"""Where an animal comes from, for its page: its parents as the pedigree has them, and its traits as settled."""

from __future__ import annotations

from typing import Final

from rounds.logbook.entries import TraitsSettled
from rounds.paper.values import Values
from rounds.rules.house import House
from rounds.standing.animal import Animal
from rounds.standing.clutch import Clutch
from rounds.standing.clutch_young import came_from
from rounds.standing.fold import Standing
from rounds.standing.traits import Status, is_told_of, may_show, notes

_SAYS: Final[dict[Status, str]] = {
    "shows": "{}",
    "two copies": "{two}",
    "may show": "may show {}",
    "carries": "carries {}",
    "possible": "may carry {}",
    "normal": "normal for {}",
    "without": "without {}",
}
#: What may be said of one of a group of which only some were noted.
_MAY_BE: Final = ("may show", "possible")


def descent_values(standing: Standing, house: House, one: Animal) -> Values:
    """Dam and sire, those of its clutch where the arrival names none; every male who may be the sire."""
    from rounds.standing.pedigree import pedigree  # late: no start has to wait for it

    parents = pedigree(standing, house.breeding_days).parents(one.subject)
    names = [standing.name(sire) if sire is not None else "a male not known" for sire in parents.sires]
    sire = parents.sires[0] if len(parents.sires) == 1 else None
    reckoned = parents.known == "reckoned" and not parents.couples
    return {
        "dam": parents.dam,
        "dam_name": " or ".join(map(standing.name, parents.dams)),
        "sire": sire,
        "sire_name": names[0] if sire is not None else "",
        "possible_sires": names if len(names) > 1 or reckoned else [],
        "traits": trait_words(standing, house, one),
    }


def trait_words(standing: Standing, house: House, one: Animal) -> list[str]:
    """Its traits: the words of its arrival, and what was settled since in their place.

    Of one that came out of a group also what was noted of some of that group: it may be one of those.
    """
    every = notes(standing, one.subject, house.traits)
    found = {name: note for name, note in every.items() if note.entry.about == one.subject}
    settled = {trait: found[trait.name] for trait in house.traits if trait.name in found}
    settled = {trait: note for trait, note in settled.items() if isinstance(note.entry, TraitsSettled)}
    words = [word for word in one.traits if not any(is_told_of(trait, word) for trait in settled)]
    words += [_SAYS[note.status].format(trait.name, two=trait.two) for trait, note in settled.items()]
    if one.subject.startswith("animal/"):
        others = {trait: every.get(trait.name) for trait in house.traits if trait.name not in found}
        all_of_them = {trait: note for trait, note in others.items() if note and note.status not in _MAY_BE}
        words += [_SAYS[note.status].format(trait.name, two=trait.two) for trait, note in all_of_them.items()]
        groups = [who for who, came in came_from(standing, one.subject) if came is not None]
        may = may_show(standing, groups, [trait for trait in others if trait not in all_of_them])
        words += [may] if may else []
    return words


def sire_words(found: Values) -> str:
    """Who may be the sire, if no one wrote it: `sire Karri or Jarrah`, `sire Karri, by who was with her`."""
    possible = found["possible_sires"]
    if len(possible) == 1:
        return f"sire {possible[0]}, by who was with her"
    return f"sire {' or '.join(possible)}" if possible else ""


def clutch_sire(standing: Standing, house: House, eggs: Clutch) -> str:
    """The sire of a clutch, as written or whoever may be: `Karri or Jarrah`, `Karri, by who was with her`."""
    if eggs.sire is not None:
        return standing.name(eggs.sire)
    if eggs.dam is None or eggs.begun_at is None:
        return ""
    from rounds.standing.parents import possible_sires  # late: no start has to wait for it

    males, _ = possible_sires(standing, eggs.dam, eggs.begun_at, house.breeding_days)
    names = [standing.name(one) if one is not None else "a male not known" for one in males]
    return f"{names[0]}, by who was with her" if len(names) == 1 else " or ".join(names)
