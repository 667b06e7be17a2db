"""Slips of the pen about egg boxes: what cannot be is refused, what is hardly so is doubted. Pure."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rounds.logbook.entries import EggBoxMadeUp, EggBoxShelved, EggBoxWeighed, EggsBoxed, Entry
from rounds.rules.house import House
from rounds.rules.plausible_box import box_of
from rounds.standing.clutch import clutches_in
from rounds.standing.egg_box import boxes_at, is_egg_box
from rounds.standing.fold import Standing

#: A closed box is asked about when it is off what it should weigh by this part, and by so many g at least.
_LEAST_GRAMS: Final = 5.0


def box_that_cannot_be(standing: Standing, house: House, entry: Entry) -> str:
    """A sentence when an entry is about no egg box, or does not say which of several; empty when it can be."""
    name = standing.name(entry.about)
    if isinstance(entry, EggBoxMadeUp | EggBoxShelved):
        if standing.card(entry.about).what == "incubator shelf":
            return f"{name} is a shelf. Set up the egg box with a name of its own, such as K1."
        if entry.shelf == entry.about:
            return f"{name} cannot stand on itself: name the shelf."
    if not isinstance(entry, EggBoxWeighed) or is_egg_box(standing, entry.about):
        return ""
    here = clutches_in(standing, entry.about)
    if not here:
        return f"{name} is no egg box, and no eggs lie there."
    if box_of(standing, house, entry.about, entry.clutch) is None:
        which = ", ".join(one.subject.rpartition("/")[2] for one in here)
        return f"Several boxes without a name stand in {name}. Whose was weighed? Name the clutch: {which}."
    return ""


def box_that_is_unlikely(standing: Standing, house: House, entry: EggsBoxed) -> Iterator[str]:
    """Eggs that weigh far more or less than eggs do, and a closed box far off what it should weigh, both in g."""
    figures, name = house.egg_figures, standing.name(entry.about)
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
