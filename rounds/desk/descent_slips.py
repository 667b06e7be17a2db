"""Slips about who somebody is: descent, sex of its parents, traits, and what was never here. Pure."""

from __future__ import annotations

from collections.abc import Iterator

from rounds.logbook.descent import OF_DESCENT, Descent
from rounds.logbook.entries import Arrived, EggsLaid, Entry, Noted, PedigreeNoted, SexSettled, TraitsSettled
from rounds.logbook.times import with_year
from rounds.rules.house import House
from rounds.standing.animal import animal
from rounds.standing.fold import Standing
from rounds.standing.traits import is_listed


def never_here(standing: Standing, entry: Entry, excluding: frozenset[str]) -> str:
    """A sentence when an entry says of an ancestor that never lived here what only one who did can have."""
    if not entry.about.startswith("animal/") or isinstance(entry, (*OF_DESCENT, SexSettled, TraitsSettled, Noted)):
        return ""
    one = animal(standing, entry.about)
    if one.elsewhere is None or any(arrived.id not in excluding for arrived in one.own(Arrived)):
        return ""
    return f"{one.name} never lived here, only its descent is noted. If it does now, write “arrived” first."


def own_ancestor(standing: Standing, house: House, entry: Descent | EggsLaid, excluding: frozenset[str]) -> str:
    """A sentence when an animal would be among its own ancestors."""
    # Late: pedigrees are not needed to start.
    from rounds.standing.loops import loop_closed_by
    from rounds.standing.pedigree import loop_words

    loop = loop_closed_by(standing, house.breeding_days, entry, excluding)
    if not loop:
        return ""
    young = entry.name if isinstance(entry, Arrived) and loop[0] == entry.about else standing.name(loop[0])
    return (
        f"{young} would be its own ancestor: {loop_words(loop, standing.name)}. "
        "Correct the sire or the dam that is wrong."
    )


def parents_of_the_wrong_sex(standing: Standing, entry: Descent) -> str:
    """A sentence when a dam is a male, or a sire a female."""
    sires = (entry.sire, *entry.possible_sires)
    for parent, word, wrong in (*((one, "sire", "F") for one in sires), (entry.dam, "dam", "M")):
        if parent is not None and animal(standing, parent).sex == wrong:
            name, sexes = standing.name(parent), ("female", "male") if wrong == "F" else ("male", "female")
            return f"{name} is a {sexes[0]}: a {word} is a {sexes[1]}. If {name} is none, settle the sex first."
    return ""


def papers_against_its_sex(standing: Standing, entry: Descent) -> str:
    """A sentence when papers give one that lives here the other sex: they do not settle it."""
    if not isinstance(entry, PedigreeNoted) or entry.sex == "?":
        return ""
    one = animal(standing, entry.about)
    if one.elsewhere is not None or {one.sex, entry.sex} != {"F", "M"}:
        return ""
    word = "female" if one.sex == "F" else "male"
    return f"{one.name} is a {word} here. If not, settle the sex; else leave the sex out."


def unlikely_descent(standing: Standing, entry: Descent, excluding: frozenset[str]) -> Iterator[str]:
    """One that arrives with another sex than its papers gave it; a parent no older than its young."""
    name = entry.name or standing.name(entry.about)
    papers = [one.sex for one in standing.page(entry.about).of(PedigreeNoted) if one.id not in excluding]
    if isinstance(entry, Arrived) and {entry.sex, *papers[-1:]} == {"F", "M"}:
        noted, now = ("male", "female") if entry.sex == "F" else ("female", "male")
        yield f"{name} was noted as a {noted}, by its papers. Is it a {now}?"
    hatched = entry.hatched or animal(standing, entry.about).hatched
    parents = ((entry.dam, "dam"), *((one, "sire") for one in (entry.sire, *entry.possible_sires)))
    for parent, word in parents if hatched is not None else ():
        older = animal(standing, parent).hatched if parent is not None else None
        if parent is not None and older is not None and hatched is not None and older >= hatched:
            yield (
                f"{standing.name(parent)}, {word} of {name}, hatched {with_year(older)}, "
                f"{name} {with_year(hatched)}. Is that right?"
            )


def unknown_traits(house: House, entry: TraitsSettled, name: str) -> str:
    """A sentence when a trait is none of the colony's, or none is named."""
    named = (*entry.shows, *entry.carries, *entry.possible, *entry.normal, *entry.without)
    unknown = [one for one in named if not is_listed(one, house.traits)]
    if unknown:
        known = ", ".join(trait.name for trait in house.traits)
        return (
            f"{name}: {unknown[0][:40]!r} is not on the colony's list of traits ({known}). "
            "Add it to colony.toml, [traits]."
        )
    if entry.about.startswith("group/") and not entry.count:
        return f"{name}: say in how many of the young it was seen."
    return "" if named else f"{name}: no trait is named."
