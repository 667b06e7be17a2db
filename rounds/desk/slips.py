"""Slips that one look at a subject's page shows: what cannot be is refused, what is hardly so is doubted.

Part of the one validation that every door shares (`rounds.desk.validation`). Pure.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from rounds.desk.adding_up import cannot_add_up, cannot_be_taken_back, without
from rounds.desk.descent_slips import (
    never_here,
    own_ancestor,
    papers_against_its_sex,
    parents_of_the_wrong_sex,
    unknown_traits,
    unlikely_descent,
)
from rounds.desk.egg_slips import (
    box_that_cannot_be,
    box_that_is_unlikely,
    boxed_again,
    eggs_among_animals,
    fewer_than_before,
    more_than_there_are,
    too_many_twins,
)
from rounds.logbook.descent import OF_DESCENT, Descent
from rounds.logbook.entries import (
    Arrived,
    BehaviourSeen,
    BrumationBegan,
    Candled,
    ConditionSeen,
    Corrected,
    Died,
    EggCheckDone,
    EggsBoxed,
    EggsLaid,
    EggsLost,
    EggsSeen,
    EnclosureSetUp,
    EnclosureTakenDown,
    Entry,
    FeltForEggs,
    Hatched,
    LayBoxIn,
    Left,
    MatingSeen,
    Moved,
    PedigreeNoted,
    PutTogether,
    SexSettled,
    StockCounted,
    StockIn,
    TraitsSettled,
    VetCalled,
    VetSeen,
)
from rounds.logbook.plain import folded
from rounds.logbook.times import fixed, with_year
from rounds.logbook.words import NESTING_BEHAVIOURS
from rounds.rules.house import House
from rounds.standing.animal import Animal, animal
from rounds.standing.clutch import called, clutch
from rounds.standing.fold import Standing
from rounds.standing.group import group

#: Entries that open a subject, and what to do instead of taking one back.
_OPENED_BY: Final[dict[type[Entry], str]] = {
    Arrived: "correct the arrival instead, or write that {it} left",
    PedigreeNoted: "correct its pedigree instead",
    EnclosureSetUp: "correct the set-up instead, or write that it was taken down",
}
_PRONOUN: Final = {"F": "she", "M": "he"}
_MOST_TOLD: Final = 4
#: A count of more than so many times what can be there is doubted; less is a matter of counting.
_MORE_THAN_THERE: Final = 1.5


def day_of(entry: Entry) -> str:
    """The day of an entry in words, with its year."""
    return with_year(entry.at)


# Taking back


def vanishing(after: Standing, wrong: Iterable[Entry], before: Standing | None = None) -> str:
    """A sentence when taking back `wrong` leaves a subject with entries and nothing that opens it.

    `after` is the standing without what is taken back, with what was put in its place. With the standing `before`,
    also when eggs would not add up any more.
    """
    wrong = tuple(wrong)
    if before is not None and (sentence := cannot_be_taken_back(before, after, wrong)):
        return sentence
    for entry in wrong:
        instead = _OPENED_BY.get(type(entry))
        if instead is None:
            continue
        page = after.page(entry.about)
        opening = OF_DESCENT if isinstance(entry, PedigreeNoted) else (type(entry),)
        opened = any(one.about == entry.about for kind in opening for one in page.of(kind))
        others = any(strand for kind, strand in page.strands.items() if kind is not Corrected)
        if not opened and others:
            it = _PRONOUN.get(entry.sex, "it") if isinstance(entry, Descent) else "it"
            name = entry.name if isinstance(entry, Arrived | EnclosureSetUp) else after.name(entry.about)
            return f"{name} has other entries: {instead.format(it=it)}."
    return ""


# What cannot be


def impossible(standing: Standing, house: House, entry: Entry, excluding: frozenset[str]) -> str:
    """A sentence when an entry cannot be as it was written; empty when it can."""
    name = called(standing, entry.about)
    if isinstance(entry, EggsLaid) and (refused := _eggs_that_cannot_be(standing, entry, excluding)):
        return refused
    if refused := cannot_add_up(standing, entry, excluding) or box_that_cannot_be(standing, house, entry):
        return refused
    if isinstance(entry, VetCalled | VetSeen) and entry.again is not None and entry.again <= entry.at.date():
        return f"{name}: the vet's next day has to be after {day_of(entry)}, the day of this entry."
    if isinstance(entry, Hatched) and entry.eggs is not None and entry.eggs > entry.count:
        return (
            f"{name}: {entry.count} young cannot come out of {entry.eggs} eggs. What failed is written as failed."
        )
    if refused := never_here(standing, entry, excluding):
        return refused
    if isinstance(entry, Descent | EggsLaid) and (refused := own_ancestor(standing, house, entry, excluding)):
        return refused
    if isinstance(entry, Descent) and (
        refused := parents_of_the_wrong_sex(standing, entry) or papers_against_its_sex(standing, entry)
    ):
        return refused
    if isinstance(entry, TraitsSettled):
        return unknown_traits(house, entry, name)
    today = fixed(entry.known, house.zone).date()
    if isinstance(entry, Descent) and entry.hatched is not None and entry.hatched > today:
        return f"{entry.name or name}: hatched {with_year(entry.hatched)}: that has not come yet."
    return ""


def _eggs_that_cannot_be(standing: Standing, entry: EggsLaid, excluding: frozenset[str]) -> str:
    name = called(standing, entry.about)
    eggs = [one for one in clutch(standing, entry.clutch).laid if one.id not in excluding]
    hers = next((one.about for one in eggs if one.about != entry.about), None)
    if hers is not None:
        return (
            f"{standing.name(entry.clutch)} is a clutch of {standing.name(hers)}: "
            f"for {name} leave the clutch out, or give another id."
        )
    if entry.slugs > entry.count:
        return f"{name}: {entry.slugs} slugs among {entry.count} eggs. The count is of all eggs, slugs among them."
    before = [one for one in eggs if one.key < entry.key]
    if entry.count == 0 and before and before[-1].count:
        last = before[-1]
        return f"{name}: no eggs, but {last.count} were counted on {day_of(last)}. The count is of all so far."
    if entry.sire == entry.about:
        return f"{name} cannot be the sire of her own eggs."
    if entry.sire is not None and animal(standing, entry.sire).sex == "F":
        sire = standing.name(entry.sire)
        return f"{sire} is a female: a sire is a male. If {sire} is none, settle the sex first."
    return ""


# What is hardly so


def unlikely(standing: Standing, house: House, entry: Entry, excluding: frozenset[str]) -> Iterator[str]:
    """A sentence for each thing about an entry that is likelier a slip than so."""
    name = called(standing, entry.about)
    if isinstance(entry, EggsLaid):
        yield from fewer_than_before(standing, entry, excluding)
        most = house.days("plausible.clutch_eggs")
        if entry.count > most:
            yield f"{name}: {entry.count} eggs; a clutch seldom has more than {most}. Were there so many?"
        low, high = house.band("plausible.egg_g")
        if entry.eggs_grams is not None and entry.count and not low <= entry.eggs_grams / entry.count <= high:
            each = entry.eggs_grams / entry.count
            yield f"{name}: {entry.count} eggs of {entry.eggs_grams:g} g: {each:.1f} g each. Is that all of them?"
    if isinstance(entry, VetCalled | VetSeen) and entry.again is not None:
        days = (entry.again - entry.at.date()).days
        if days > house.days("plausible.vet_again_days"):
            yield f"{name}: the vet's next day is {days} days away, {with_year(entry.again)}. Is that the day?"
    if isinstance(entry, Descent):
        yield from unlikely_descent(standing, entry, excluding)
    if isinstance(entry, Arrived | EnclosureSetUp) or (isinstance(entry, PedigreeNoted) and entry.name):
        yield from _twice(standing, entry, excluding)
    if isinstance(entry, Hatched):
        yield from too_many_twins(standing, entry, excluding)
    if isinstance(entry, Candled | EggsSeen | EggsLost | Hatched):
        yield from more_than_there_are(standing, entry, excluding)
    if isinstance(entry, EggsBoxed):
        yield from boxed_again(standing, entry, excluding)
        yield from box_that_is_unlikely(standing, house, entry)
        yield from eggs_among_animals(standing, entry)
    if isinstance(entry, PutTogether | BrumationBegan):
        yield from _not_fit(standing, house, entry, excluding)
    if isinstance(entry, Arrived | Moved):
        yield from _into_quarantine(standing, entry)
    if isinstance(entry, Died | Left):
        one = group(standing, entry.about) if entry.about.startswith("group/") else animal(standing, entry.about)
        came = [arrival for arrival in one.own(Arrived) if arrival.id not in excluding]
        if came and all(arrival.at > entry.at for arrival in came):
            yield f"{name}: arrived on {day_of(came[0])}. This would be before that."
    if isinstance(entry, StockCounted | StockIn):
        yield from _stock_doubt(standing, entry, excluding)
    if isinstance(entry, SexSettled | Descent) and entry.sex == "M":
        found = _as_a_female(animal(standing, entry.about), excluding)
        if found:
            more = f" and {len(found) - _MOST_TOLD} more" if len(found) > _MOST_TOLD else ""
            yield f"{name}: noted as of a female: {', '.join(found[:_MOST_TOLD])}{more}. Is it a male?"


def _stock_doubt(standing: Standing, entry: StockCounted | StockIn, excluding: frozenset[str]) -> Iterator[str]:
    """A supply in another unit than before, or much more counted than can be there."""
    page = standing.page(entry.about)
    written: list[StockCounted | StockIn] = [*page.of(StockCounted), *page.of(StockIn)]
    before = sorted(
        (one for one in written if one.id not in excluding and one.key < entry.key), key=lambda one: one.key
    )
    if not before:
        return
    name, last = called(standing, entry.about), before[-1]
    if folded(last.unit) != folded(entry.unit):
        yield f"{name}: in {last.unit or 'no unit'} up to now, this is in {entry.unit or 'no unit'}. Is it?"
        return
    counted = [one for one in before if isinstance(one, StockCounted)]
    if not isinstance(entry, StockCounted) or not counted:
        return
    came = [one for one in before if isinstance(one, StockIn) and one.key > counted[-1].key]
    there = counted[-1].amount + sum(one.amount for one in came)
    if entry.amount > _MORE_THAN_THERE * there and entry.at.date() != counted[-1].at.date() and there:
        yield f"{name}: {entry.amount:,.10g} counted, but only {there:,.10g} can be there. Did more come in?"


def _not_fit(
    standing: Standing, house: House, entry: PutTogether | BrumationBegan, excluding: frozenset[str]
) -> Iterator[str]:
    """What speaks against a pairing, or a brumation, at its time: asked about once, with the rule.

    One that is corrected was asked about when it was written, unless another animal is meant now.
    """
    before = [
        one for one in standing.page(entry.about).of(type(entry)) if one.id in excluding and one.id != entry.id
    ]
    if any(one.about == entry.about and getattr(one, "mate", "") == getattr(entry, "mate", "") for one in before):
        return
    known = [one for one in standing.page(entry.about).of(type(entry)) if one.id in excluding]
    then = without(standing, known, entry.at) if known else standing
    from rounds.due.before_pairing import before_brumation, cautions_before  # late: no start has to wait for it

    if isinstance(entry, PutTogether):
        found = cautions_before(then, house, entry.at, entry.about, entry.mate)
    else:
        found = before_brumation(then, house, entry.at, entry.about)
    yield from (caution.says for caution in found)


def _twice(
    standing: Standing, entry: Arrived | PedigreeNoted | EnclosureSetUp, excluding: frozenset[str]
) -> Iterator[str]:
    """Another one of that name is here, or the same enclosure stands already."""
    wanted = folded(entry.name)
    for subject in _by_name(standing, entry.about.partition("/")[0] == "enclosure").get(wanted, ()):
        if subject != entry.about:
            where = f", in {standing.name(place)}" if (place := standing.places.get(subject)) else ""
            yield f"There is a {standing.name(subject)} already{where}. Another one?"
            return
    if isinstance(entry, EnclosureSetUp):
        page = standing.page(entry.about)
        before = [one for one in page.of(EnclosureSetUp) if one.id not in excluding and one.key < entry.key]
        down = any(before[-1].key < one.key < entry.key for one in page.of(EnclosureTakenDown)) if before else True
        if not down:
            yield (
                f"{entry.name} is set up already, since {day_of(before[-1])}. Set it up again? "
                f"Another one has an id of its own, such as {entry.about}-2."
            )


def _by_name(standing: Standing, enclosures: bool) -> Mapping[str, list[str]]:
    """Those who are here, by their name as it is compared; worked out once for a standing."""
    found: dict[str, list[str]] | None = standing.views.get(("by name", enclosures))
    if found is None:
        found = standing.views[("by name", enclosures)] = {}
        for sort in ("enclosure",) if enclosures else ("animal", "group"):
            for subject in standing.subjects(sort):
                card = standing.card(subject)
                if card.opened and card.here:
                    found.setdefault(folded(card.name), []).append(subject)
    return found


def _into_quarantine(standing: Standing, entry: Arrived | Moved) -> Iterator[str]:
    """An animal in quarantine comes together with one that is not, whichever of the two is moved."""
    if entry.about.startswith("group/") or entry.written is not None:
        return
    place = entry.to if isinstance(entry, Moved) else entry.place
    others = standing.living_in(place) if place else ()
    own = (
        entry.quarantine
        if isinstance(entry, Arrived)
        else animal(standing, entry.about).quarantine_since is not None
    )
    name = entry.name if isinstance(entry, Arrived) else called(standing, entry.about)
    for other in others:
        if other == entry.about or not other.startswith("animal/"):
            continue
        theirs = animal(standing, other).quarantine_since is not None
        if own != theirs:
            shut = name if own else standing.name(other)
            with_whom = standing.name(other) if own else name
            yield f"{shut} is in quarantine. Together with {with_whom} all the same?"
            return


def _as_a_female(one: Animal, excluding: frozenset[str]) -> list[str]:
    """What was noted of it that is said of females, in words, the newest of each first."""
    told: list[tuple[Entry, str]] = []
    told += [(entry, "eggs laid") for entry in one.own(EggsLaid)]
    told += [(entry, "eggs felt") for entry in one.own(FeltForEggs) if entry.found == "eggs"]
    told += [(entry, "eggs felt") for entry in one.own(ConditionSeen) if "eggs felt" in entry.signs]
    told += [(entry, "eggs felt") for entry in one.own(EggCheckDone) if "eggs felt" in entry.present]
    told += [(entry, "a mating") for entry in one.own(MatingSeen)]
    told += [
        (entry, "digging at a nest") for entry in one.own(BehaviourSeen) if entry.behaviour in NESTING_BEHAVIOURS
    ]
    told += [(entry, "digging") for entry in one.own(EggCheckDone) if "digging" in entry.present]
    told += [(entry, "a lay box") for entry in one.own(LayBoxIn)]
    told = [(entry, words) for entry, words in told if entry.id not in excluding]
    told.sort(key=lambda found: found[0].key, reverse=True)
    newest: dict[str, str] = {}
    for entry, words in told:
        newest.setdefault(words, f"{words} on {day_of(entry)}")
    return list(newest.values())
