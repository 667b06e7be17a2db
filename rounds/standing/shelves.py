"""Which shelf an egg box stands on, which clutches lie on a shelf, and where a clutch has lain."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import NamedTuple

from rounds.logbook.entries import EggBoxMadeUp, EggBoxShelved, EggsBoxed
from rounds.standing.clutch import Clutch, clutches_in
from rounds.standing.fold import Standing


def _shelvings(standing: Standing, box: str) -> list[EggBoxMadeUp | EggBoxShelved]:
    """Each time this box was set onto a shelf, oldest first."""
    page = standing.page(box)
    found: list[EggBoxMadeUp | EggBoxShelved] = [
        *(one for one in page.of(EggBoxMadeUp) if one.about == box and one.shelf),
        *(one for one in page.of(EggBoxShelved) if one.about == box),
    ]
    return sorted(found, key=lambda one: one.key)


def shelf_of(standing: Standing, place: str) -> str:
    """The shelf that an egg box stands on now; the place itself where it stands on none, or is no egg box."""
    moves = _shelvings(standing, place)
    shelf = moves[-1].shelf if moves else None
    return shelf if shelf and shelf != place else place


def standing_on(standing: Standing, shelf: str) -> list[str]:
    """Egg boxes with a name that stand on a shelf now, by id."""
    page = standing.page(shelf)
    named: set[str] = {one.about for one in page.of(EggBoxShelved)} | {one.about for one in page.of(EggBoxMadeUp)}
    named.discard(shelf)
    return sorted(box for box in named if shelf_of(standing, box) == shelf and standing.card(box).here)


class Lying(NamedTuple):
    """Eggs of a clutch on a shelf: the clutch, and the place they were put in, the shelf or a box on it."""

    clutch: Clutch
    place: str


def eggs_on(standing: Standing, shelf: str) -> list[Lying]:
    """The clutches whose eggs incubate on a shelf now, in a box on it or without one; or in this egg box."""
    known = standing.views.get(("eggs on", shelf))
    if known is None:
        places = [shelf, *standing_on(standing, shelf)]
        known = [Lying(one, place) for place in places for one in clutches_in(standing, place)]
        standing.views[("eggs on", shelf)] = known
    assert isinstance(known, list)
    return known


def told_by_eggs(standing: Standing, subjects: Iterable[str]) -> set[str]:
    """These subjects, and what an entry about eggs, a box or a shelf among them may change.

    Of a clutch: the boxes that its eggs lie in or lay in. Of a box: the shelf that it stands on, and those that it
    left. Of a shelf or a box: all that lies in it.
    """
    changed = set(subjects)
    for subject in [one for one in changed if one.startswith("clutch/")]:
        changed.update(one.place for one in standing.page(subject).of(EggsBoxed) if one.place)
    places = [subject for subject in changed if subject.startswith("enclosure/")]
    for place in places:
        changed.update(move.shelf for move in _shelvings(standing, place) if move.shelf)
        for one in eggs_on(standing, place):
            changed |= {one.place, one.clutch.subject}
    return changed


class Stay(NamedTuple):
    """From when on eggs lay on a shelf, and in which place on it: an egg box, or the shelf itself."""

    since: datetime
    shelf: str
    box: str = ""


def _way(eggs: Clutch, box: EggsBoxed) -> list[EggsBoxed]:
    """The boxings that brought eggs into this box, one out of the other, oldest first."""
    way = [box]
    while way[0].out_of is not None:
        before = [one for one in eggs.in_boxes.boxes if one.place == way[0].out_of and one.key < way[0].key]
        if not before:
            break
        way.insert(0, before[-1])
    return way


def stays(standing: Standing, eggs: Clutch, box: EggsBoxed | None) -> list[Stay]:
    """Where the eggs of one box of a clutch have lain, oldest first; empty where no place was noted.

    Before they were put into this box they lay in the box they came out of, else where the clutch had been boxed
    before. Hours between laying and boxing count at the first place.
    """
    begun = eggs.begun_at
    boxings: list[EggsBoxed] = [times.boxes[0] for times in eggs.boxings.times[:-1] if times.boxes]
    if box is not None:
        way = _way(eggs, box)
        boxings = [*(one for one in boxings if one.key < way[0].key), *way]
    placed = [one for one in boxings if one.place]
    found: list[Stay] = []
    for place, one in enumerate(placed):
        assert one.place is not None
        since = one.at if found or begun is None else min(begun, one.at)
        until = placed[place + 1].at if place + 1 < len(placed) else None
        moves = _shelvings(standing, one.place)
        before = [move for move in moves if move.at <= one.at]
        here = before[-1].shelf if before else None
        if here is None and moves and not before:
            here = moves[0].shelf
        found.append(Stay(since, here or one.place, one.place))
        found += [
            Stay(move.at, move.shelf, one.place)
            for move in moves
            if move.at > one.at and (until is None or move.at < until) and move.shelf
        ]
    return found
