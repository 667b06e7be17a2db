"""What is known of every young of a group, or of those of one clutch in it: clutch, dam, sire, day of hatching.

Where young of several clutches share a group no one can tell whose a young is: what they have in common is known of
it, and of males whose it may be each one. An arrival that says who its parents are is believed for good, so nothing
is said there that is a guess.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import NamedTuple, TypeVar

from rounds.logbook.entries import Arrived
from rounds.standing.clutch import clutch
from rounds.standing.clutch_young import came_from, clutches_of_group
from rounds.standing.fold import Standing
from rounds.standing.group import Group

_T = TypeVar("_T")


class Descent(NamedTuple):
    """Of whom young are, as far as it is known of each of them."""

    clutch: str | None = None
    dam: str | None = None
    sire: str | None = None
    possible_sires: tuple[str, ...] = ()
    hatched: date | None = None
    hatched_about: bool = False


def descent_of(standing: Standing, young: Group, eggs: str | None = None) -> Descent:
    """The descent of the young of a group; with `eggs` that of those of one clutch."""
    clutches = clutches_of_group(standing, young)
    own = eggs or (clutches[0] if len(clutches) == 1 else None)
    arrivals = [
        entry
        for who, _ in came_from(standing, young.subject)
        for entry in standing.page(who).of(Arrived)
        # The arrival that opens a group for some of another brings none of its own.
        if entry.about == who and (entry.count != 0 or entry.clutch or entry.dam or entry.sire)
    ]
    mine = [entry for entry in arrivals if eggs is None or entry.clutch == eggs] or arrivals
    sires = [_sires(standing, entry) for entry in mine]
    every = tuple(dict.fromkeys(sire for some in sires for sire in some)) if all(sires) else ()
    days = [entry.hatched for entry in mine if entry.hatched is not None]
    return Descent(
        own,
        _common(entry.dam or (clutch(standing, entry.clutch).dam if entry.clutch else None) for entry in mine),
        every[0] if len(every) == 1 else None,
        every if len(every) > 1 else (),
        max(days, default=young.hatched),
        any(entry.hatched_about for entry in mine),
    )


def _sires(standing: Standing, entry: Arrived) -> tuple[str, ...]:
    """Every male whose the young of an arrival may be, as it was written; none where it was not."""
    if entry.sire is not None:
        return (entry.sire,)
    if entry.possible_sires:
        return entry.possible_sires
    laid = clutch(standing, entry.clutch).sire if entry.clutch else None
    return (laid,) if laid is not None else ()


def _common(values: Iterable[_T | None]) -> _T | None:
    found = set(values)
    return found.pop() if len(found) == 1 else None
