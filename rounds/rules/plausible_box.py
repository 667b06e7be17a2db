"""Whether the weight of an egg box can be believed: held against its last one, or what it should weigh."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Final

from rounds.logbook.entries import Corrected, EggBoxWeighed
from rounds.rules.house import House
from rounds.standing.fold import Standing

if TYPE_CHECKING:
    from rounds.standing.egg_box import EggBox  # late: no start has to wait for it

#: Below this a share says nothing: a small box differs by a drop, in g.
_LEAST_GRAMS: Final = 5.0


def box_of(standing: Standing, house: House, place: str, of_clutch: str | None) -> EggBox | None:
    """The egg box that a weighing about a place means; None where it could be several, or none."""
    from rounds.standing.egg_boxes import boxes_at  # late: no start has to wait for it

    boxes = boxes_at(standing, place, house.egg_figures)
    if of_clutch is not None and (own := [one for one in boxes if one.of_clutch in (None, of_clutch)]):
        return own[0]
    return boxes[0] if len(boxes) == 1 else None


def box_doubt(
    standing: Standing,
    house: House,
    place: str,
    of_clutch: str | None,
    grams: float,
    at: datetime,
    excluding: frozenset[str] = frozenset(),
) -> str:
    """A sentence when the weight of an egg box in g, seen at `at`, is far from what it can be; empty when near.

    `excluding` are ids of entries that do not count: the weighing itself, or one that it replaces.
    """
    before = _without(standing, place, excluding) if excluding else standing
    box = box_of(before, house, place, of_clutch)
    if box is None:
        return ""
    earlier = [one for one in box.readings if one.at <= at]
    last = earlier[-1] if earlier else None
    expected = last.grams + last.added + box.moved_since(last) if last is not None else box.target
    if expected is None or expected <= 0:
        return ""
    off = grams - expected
    if abs(off) <= max(_LEAST_GRAMS, house.number("eggs.ask_percent") / 100 * expected):
        return ""
    more = "more" if off > 0 else "less"
    than = f"than {expected:.0f} g on {last.at.day} {last.at:%b}" if last is not None else "than it was made up for"
    return f"{box.name}: {grams:g} g is {abs(off):.0f} g {more} {than}. Is that what the scale says?"


def _without(standing: Standing, place: str, excluding: frozenset[str]) -> Standing:
    wrong = [one for one in standing.page(place).of(EggBoxWeighed) if one.id in excluding and one.about == place]
    return standing.after_all(
        Corrected(id=f"left-aside-{one.id}"[:40], at=one.at, by=one.by, about=place, replaces=one.id)
        for one in wrong
    )
