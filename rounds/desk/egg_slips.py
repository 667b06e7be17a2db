"""Slips of the pen about eggs and their boxes: what cannot be is refused, what is hardly so is doubted. Pure."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Final

from rounds.desk.adding_up import without
from rounds.logbook.boxing import read_boxings
from rounds.logbook.entries import (
    Candled,
    EggBoxMadeUp,
    EggBoxShelved,
    EggBoxWeighed,
    EggsBoxed,
    EggsLaid,
    EggsLost,
    EggsSeen,
    Entry,
    Hatched,
)
from rounds.logbook.times import with_year
from rounds.rules.house import House
from rounds.rules.plausible_box import box_of
from rounds.standing.clutch import called, clutch, clutches_in
from rounds.standing.fold import Standing

if TYPE_CHECKING:
    from rounds.standing.egg_box import EggBox  # late: no start has to wait for it

#: A closed box is asked about when it is off what it should weigh by this part, and by so many g at least.
_LEAST_GRAMS: Final = 5.0


def box_that_cannot_be(standing: Standing, house: House, entry: Entry) -> str:
    """A sentence when an entry is about no egg box, or does not say which of several; empty when it can be."""
    name = called(standing, entry.about)
    if isinstance(entry, EggBoxMadeUp | EggBoxShelved):
        if standing.card(entry.about).what == "incubator shelf":
            return f"{name} is a shelf. Set up the egg box with a name of its own, such as K1."
        if entry.shelf == entry.about:
            return f"{name} cannot stand on itself: name the shelf."
    if not isinstance(entry, EggBoxWeighed):
        return ""
    from rounds.standing.egg_boxes import is_egg_box  # late: no start has to wait for it

    if is_egg_box(standing, entry.about):
        return ""
    here = clutches_in(standing, entry.about)
    if not here:
        return f"{name} is no egg box, and no eggs lie there."
    if box_of(standing, house, entry.about, entry.clutch) is None:
        which = ", ".join(one.subject.rpartition("/")[2] for one in here)
        return f"Several boxes without a name stand in {name}. Whose was weighed? Name the clutch: {which}."
    return ""


def too_much_water(house: House, box: EggBox, grams: float, added: float) -> str:
    """A sentence when water in g, added to a box of this weight, makes it far heavier than it should be."""
    if not added or box.target is None:
        return ""
    over = grams + added - box.target
    if over <= max(_LEAST_GRAMS, house.number("eggs.ask_percent") / 100 * box.target):
        return ""
    return f"{box.name}: {added:g} g of water added is {over:.0f} g above its target. Is it not a weight?"


def water_that_is_unlikely(standing: Standing, house: House, entry: EggBoxWeighed) -> str:
    """The same of a weighing that is to be written."""
    box = box_of(standing, house, entry.about, entry.clutch) if entry.added_grams else None
    return too_much_water(house, box, entry.grams, entry.added_grams) if box is not None else ""


def box_that_is_unlikely(standing: Standing, house: House, entry: EggsBoxed) -> Iterator[str]:
    """Eggs that weigh far more or less than eggs do, and a closed box far off what it should weigh, both in g."""
    from rounds.standing.egg_boxes import boxes_at, is_egg_box  # late: no start has to wait for it

    figures, name = house.egg_figures, called(standing, entry.about)
    if entry.eggs_grams is not None and entry.count:
        mean = entry.eggs_grams / entry.count
        if not figures.least_grams <= mean <= figures.most_grams:
            yield f"{name}: {entry.eggs_grams:g} g are {mean:.1f} g an egg. Is that what the scale says?"
            return
    if entry.box_grams is None or entry.place is None or not is_egg_box(standing, entry.place):
        return
    box = boxes_at(standing, entry.place, figures)[0]
    if box.target is None or any(one.entry.id == entry.id for one in box.readings):
        return
    eggs = entry.eggs_grams if entry.eggs_grams is not None else entry.count * figures.egg_grams
    off = entry.box_grams - box.target - eggs
    if abs(off) > max(_LEAST_GRAMS, house.number("eggs.ask_percent") / 100 * (box.target + eggs)):
        more = "more" if off > 0 else "less"
        yield (
            f"{box.name}: {entry.box_grams:g} g is {abs(off):.0f} g {more} than box and eggs should weigh. "
            "Is that what the scale says?"
        )


def eggs_among_animals(standing: Standing, entry: EggsBoxed) -> Iterator[str]:
    """Eggs put where animals live."""
    living = standing.living_in(entry.place) if entry.place is not None else ()
    if entry.place is not None and living:
        who = ", ".join(standing.name(one) for one in living[:2]) + (" and others" if len(living) > 2 else "")
        lives = "lives" if len(living) == 1 else "live"
        yield f"{standing.name(entry.place)} is where {who} {lives}. Are the eggs there?"


def boxed_again(standing: Standing, entry: EggsBoxed, excluding: frozenset[str]) -> Iterator[str]:
    """A boxing that is read as the same eggs boxed again, though its count is not what was left."""
    eggs = clutch(standing, entry.about)
    kinds: tuple[type[EggsBoxed | EggsLost | Hatched], ...] = (EggsBoxed, EggsLost, Hatched)
    events = [one for kind in kinds for one in eggs.page.of(kind) if one.about == entry.about]
    events = [*(one for one in events if one.id not in excluding), entry]
    for box in read_boxings([one for one in eggs.laid if one.id not in excluding], events).times:
        if box.in_doubt and entry in box.boxes:
            held = f"{box.held} were left in boxes and {box.waiting or 'none'} in no box"
            yield f"{called(standing, entry.about)}: {held}. Are the {entry.count} boxed now all that is left?"


def fewer_than_before(standing: Standing, entry: EggsLaid, excluding: frozenset[str]) -> Iterator[str]:
    """A count of eggs laid under the last one: likelier those that came since than all so far."""
    laid = clutch(standing, entry.clutch).laid
    before = [one for one in laid if one.id not in excluding and one.key < entry.key]
    if before and entry.count < before[-1].count:
        name, last = called(standing, entry.about), before[-1]
        eggs = "egg" if entry.count == 1 else "eggs"
        yield f"{name}: {entry.count} {eggs}, but {last.count} on {with_year(last.at)}. Is that all so far?"


def more_than_there_are(
    standing: Standing, entry: Candled | EggsSeen | EggsLost | Hatched, excluding: frozenset[str]
) -> Iterator[str]:
    """More eggs looked at or taken out than lie in the box that is named, or in all boxes of the clutch."""
    if isinstance(entry, Candled | EggsSeen):
        # A look is of the eggs there were then: what was taken out, or hatched, since does not make it doubtful.
        excluding |= {
            one.id
            for kind in (EggsBoxed, EggsLost, Hatched)
            for one in standing.page(entry.about).of(kind)
            if one.key > entry.key
        }
    eggs = clutch(_without_ids(standing, entry.about, excluding), entry.about)
    here = eggs.left_in(entry.place) if entry.place is not None else None
    if here is None and isinstance(entry, EggsLost | Hatched):
        return  # the census says it
    left = eggs.left_to_hatch if here is None else here
    looked_at = entry.eggs_out if isinstance(entry, Hatched) else 0
    if isinstance(entry, Candled):
        looked_at = entry.fertile + entry.unclear + entry.clear
    elif isinstance(entry, EggsSeen | EggsLost):
        looked_at = entry.count or 0
    if eggs.in_boxes.boxes and looked_at > left:
        where = f" in {standing.name(entry.place)}" if here is not None else " in boxes"
        yield f"{called(standing, entry.about)}: {looked_at} eggs, but {left} are{where}. Is that the count?"


def too_many_twins(standing: Standing, entry: Hatched, excluding: frozenset[str]) -> Iterator[str]:
    """More than two young of each egg that any came out of, those before counted too."""
    if entry.eggs is None or entry.eggs >= entry.count:
        return
    young, eggs = entry.count, entry.eggs
    if not eggs:  # the twins of eggs that were written before
        before = [one for one in standing.page(entry.about).of(Hatched) if one.about == entry.about]
        before = [one for one in before if one.id not in excluding and one.key < entry.key]
        young += sum(one.count for one in before)
        eggs = sum(one.eggs_out for one in before)
    if young > 2 * eggs:
        told = f"{young} young of {eggs} egg{'' if eggs == 1 else 's'}"
        yield f"{called(standing, entry.about)}: {told}: more than two of one egg. Is that the count?"


def _without_ids(standing: Standing, subject: str, ids: frozenset[str]) -> Standing:
    """The standing without some entries of a subject's page; itself where none of them is there."""
    found = [one for strand in standing.page(subject).strands.values() for one in strand if one.id in ids]
    return without(standing, found, found[0].at) if found else standing
