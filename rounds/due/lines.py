"""What is due at a stop: the due lines of an enclosure and of those who live in it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from rounds.due.checks import egg_check_lines, treatment_lines
from rounds.due.cleaning import clean_lines, water_lines
from rounds.due.climate import climate_lines, lamp_lines
from rounds.due.counting import count_lines
from rounds.due.feeding import feed_lines, mist_lines
from rounds.due.line import DueLine
from rounds.due.round import Round
from rounds.due.weighing import weigh_lines
from rounds.logbook.entries import PutTogether
from rounds.logbook.words import WalkPart
from rounds.rules.house import House
from rounds.standing.clutch import clutches_in
from rounds.standing.enclosure import enclosure
from rounds.standing.fold import Standing


def lines_at(
    standing: Standing, house: House, now: datetime, stop: str | None, part: WalkPart = "morning"
) -> tuple[DueLine, ...]:
    """What is due today at an enclosure, in the order in which it is done there.

    Without an enclosure: what is due to those who are in the colony and live in none that stands. Care
    done today is not shown, nor care that is due tomorrow; care left out today is, with the reason.
    """
    return tuple(_lines(Round(standing, house, now, part), stop))


def without_place(standing: Standing) -> tuple[str, ...]:
    """Animals and groups that are in the colony, but in no enclosure that stands; nobody would walk past them."""
    known = standing.views.get("without place")
    if known is None:
        known = standing.views["without place"] = tuple(_without_place(standing))
    assert isinstance(known, tuple)
    return known


def _without_place(standing: Standing) -> Iterator[str]:
    for sort in ("animal", "group"):
        for subject in standing.subjects(sort):
            if standing.card(subject).here:
                place = standing.places.get(subject)
                if place is None or not standing.card(place).here:
                    yield subject


def _lines(around: Round, stop: str | None) -> Iterator[DueLine]:
    tub = enclosure(around.standing, stop) if stop is not None else None
    subjects = tub.living if tub is not None else without_place(around.standing)
    living = [one for subject in subjects if (one := around.who(subject)).here]
    if living:
        yield from feed_lines(around, stop, living)
        yield from mist_lines(around, stop, living)
        yield from water_lines(around, tub, living)
        if tub is not None:
            yield from clean_lines(around, tub)
    for one in living:
        yield from treatment_lines(around, stop, one)
        yield from egg_check_lines(around, stop, one)
        yield from weigh_lines(around, stop, one)
        yield from count_lines(around, stop, one)
        if PutTogether in one.page.strands:
            from rounds.due.pairing import part_lines  # late: no start has to wait for it

            yield from part_lines(around, stop, one)
    if tub is not None:
        eggs = clutches_in(around.standing, tub.subject)
        if eggs:
            from rounds.due.egg_boxes import egg_box_lines  # late: no start has to wait for it

            yield from egg_box_lines(around, tub.subject)
        yield from climate_lines(around, tub, living)
        yield from lamp_lines(around, tub, living)
        if eggs:
            from rounds.due.hatch_watch import hatch_lines  # late: no start has to wait for it

            yield from hatch_lines(around, tub)
