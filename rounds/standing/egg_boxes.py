"""Which egg boxes there are: at a place, on a shelf, of a clutch, in the colony.

Each is worked out once for a standing (`rounds.standing.egg_box`).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rounds.logbook.entries import EggBoxMadeUp
from rounds.standing.clutch import Clutch, clutches_in
from rounds.standing.egg_box import EggBox
from rounds.standing.egg_mass import EggFigures
from rounds.standing.enclosure import enclosure, natural
from rounds.standing.fold import Standing
from rounds.standing.shelves import standing_on

#: Enclosures that may hold eggs; of the others no page is opened.
_FOR_EGGS: Final = frozenset({"egg box", "incubator shelf", "other", ""})


def is_egg_box(standing: Standing, place: str) -> bool:
    """Whether an enclosure is an egg box with a name of its own."""
    if standing.card(place).what == "egg box":
        return True
    return any(entry.about == place for entry in standing.page(place).of(EggBoxMadeUp))


def egg_box(standing: Standing, place: str, figures: EggFigures, of_clutch: str | None = None) -> EggBox:
    """The egg box as it stands; worked out once for a standing."""
    asked = ("egg box", place, of_clutch, figures)
    found = standing.views.get(asked)
    if found is None:
        found = standing.views[asked] = EggBox(standing, place, figures, of_clutch)
    assert isinstance(found, EggBox)
    return found


def boxes_at(standing: Standing, place: str, figures: EggFigures) -> tuple[EggBox, ...]:
    """The egg box that an enclosure is; else the boxes without a name that stand in it, by clutch."""
    if is_egg_box(standing, place):
        return (egg_box(standing, place, figures),)
    return tuple(egg_box(standing, place, figures, one.subject) for one in clutches_in(standing, place))


def boxes_on(standing: Standing, shelf: str, figures: EggFigures) -> tuple[EggBox, ...]:
    """Every egg box that stands on a shelf, with a name and without, by name (K2 before K10)."""
    named = [egg_box(standing, one, figures) for one in standing_on(standing, shelf)]
    on_it = [*named, *boxes_at(standing, shelf, figures)]
    return tuple(sorted(on_it, key=lambda one: (natural(one.name), one.key)))


def egg_boxes(standing: Standing, figures: EggFigures) -> tuple[EggBox, ...]:
    """Every egg box of the colony that stands: those with a name, and those without that hold eggs."""
    return tuple(_every(standing, figures))


def _every(standing: Standing, figures: EggFigures) -> Iterator[EggBox]:
    for place in standing.subjects("enclosure"):
        card = standing.card(place)
        if card.here and card.what in _FOR_EGGS:
            yield from boxes_at(standing, place, figures)


def boxes_of(standing: Standing, eggs: Clutch, figures: EggFigures) -> tuple[EggBox, ...]:
    """The boxes that a clutch lies in now."""
    places = dict.fromkeys(box.place for box in eggs.in_boxes.boxes if box.place)
    return tuple(
        box
        for place in places
        for box in boxes_at(standing, place, figures)
        if any(one.subject == eggs.subject for one in box.clutches)
    )


def holds_eggs(standing: Standing, place: str) -> bool:
    """Whether an enclosure is for eggs: a shelf, an egg box, or whatever eggs were put into."""
    return not enclosure(standing, place).holds_animals or bool(clutches_in(standing, place))
