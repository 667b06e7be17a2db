"""The weighings of an animal, and which of them are judged together: those of one window.

A window begins again when eggs are laid, brumation begins or ends, a vet finds her empty, or the animal comes back
after it had left: what it weighed before tells nothing of a loss after.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from datetime import datetime
from typing import Literal, NamedTuple

import msgspec

from rounds.logbook.entries import (
    Arrived,
    BrumationBegan,
    BrumationEnded,
    CountSettled,
    Died,
    Left,
    Merged,
    SingledOut,
    SplitOff,
    VetSeen,
    Weighed,
)
from rounds.standing.animal import Animal
from rounds.standing.weighing import AsKnown, Weighing, WeighingRule, as_known, weighings_of


def weighings(one: Animal, rule: WeighingRule) -> tuple[Weighing, ...]:
    """All weighings of an animal or group, oldest first; worked out once for a standing."""
    key = ("weighings", one.subject, rule)
    found: tuple[Weighing, ...] | None = one.standing.views.get(key)
    if found is None:
        found = one.standing.views[key] = weighings_of(one.weights, rule, splits(one))
    return found


def last_weighing(one: Animal, rule: WeighingRule) -> Weighing | None:
    """The last weighing of an animal or group."""
    every = weighings(one, rule)
    return every[-1] if every else None


def weighings_known(one: Animal, rule: WeighingRule, moment: datetime) -> tuple[Weighing, ...]:
    """Its weighings by what had been written down at a moment."""
    if not changed_by(one, rule):
        every = weighings(one, rule)
        return every[: bisect_right(every, moment, key=lambda weighing: weighing.known)]
    stood = _as_known(one, rule)
    place = bisect_right(stood, moment, key=lambda then: then.moment)
    return stood[place - 1].weighings if place else ()


def weighings_ever(one: Animal, rule: WeighingRule) -> tuple[Weighing, ...]:
    """Its weighings, each as it stood at any moment, in no order."""
    if not changed_by(one, rule):
        return weighings(one, rule)
    key = ("weighings ever", one.subject, rule)
    found: tuple[Weighing, ...] | None = one.standing.views.get(key)
    if found is None:
        ever = {id(weighing): weighing for then in _as_known(one, rule) for weighing in then.weighings}
        found = one.standing.views[key] = tuple(ever.values())
    return found


def _as_known(one: Animal, rule: WeighingRule) -> tuple[AsKnown, ...]:
    key = ("weighings known", one.subject, rule)
    stood: tuple[AsKnown, ...] | None = one.standing.views.get(key)
    if stood is None:
        stood = one.standing.views[key] = tuple(as_known(one.weights, rule, splits(one)))
    return stood


def changed_by(one: Animal, rule: WeighingRule) -> tuple[Weighed, ...]:
    """Readings that can change what stood before they were written: again in a weighing, or noted late."""
    key = ("changed by", one.subject, rule)
    known: tuple[Weighed, ...] | None = one.standing.views.get(key)
    if known is None:
        known = one.standing.views[key] = tuple(_changing(one, rule))
    return known


def _changing(one: Animal, rule: WeighingRule) -> Iterator[Weighed]:
    for weighing in weighings(one, rule):
        yield from weighing.readings[1:]
    soonest: datetime | None = None
    for entry in reversed(one.weights):
        if soonest is not None and entry.known > soonest:
            yield entry
        soonest = entry.known if soonest is None else min(soonest, entry.known)


def splits(one: Animal) -> list[datetime]:
    """Moments at which the weight itself changed, and those at which a window began again; worked out once.

    Of a group these are also the moments at which some of it died, left or came: another mean of one.
    """
    key = ("splits", one.subject)
    found: list[datetime] | None = one.standing.views.get(key)
    if found is None:
        every = {restart.at for restart in restarts(one)}
        every |= {entry.at for kind in (BrumationBegan, BrumationEnded) for entry in one.own(kind)}
        if one.subject.startswith("group/"):
            every |= {
                entry.at for kind in (Arrived, CountSettled, Died, Left, SingledOut) for entry in one.own(kind)
            }
            every |= {entry.at for entry in (*one.page.of(SplitOff), *one.page.of(Merged))}
        found = one.standing.views[key] = sorted(every)
    return found


class Restart(NamedTuple):
    """Why and when a window began again."""

    at: datetime
    why: Literal["laying", "brumation", "the vet's visit", "coming back"]


class Window(msgspec.Struct, frozen=True):
    """Readings that are judged together, oldest first, and what they began with (None: with the first ever)."""

    readings: tuple[Weighed, ...]
    restart: Restart | None


def windows_upto(one: Animal, now: datetime) -> tuple[Window, ...]:
    """Every window up to now in which it was weighed, oldest first."""
    readings = [entry for entry in one.weights if entry.at <= now]
    begins = [None, *(restart for restart in restarts(one) if restart.at <= now)]
    found: list[Window] = []
    for begin, end in zip(begins, [*begins[1:], None], strict=True):
        part = tuple(
            entry
            for entry in readings
            if (begin is None or entry.at >= begin.at) and (end is None or entry.at < end.at)
        )
        if part:
            found.append(Window(part, begin))
    return tuple(found)


def restarts(one: Animal) -> list[Restart]:
    """Every time a window began again, oldest first; worked out once for a standing."""
    key = ("restarts", one.subject)
    found: list[Restart] | None = one.standing.views.get(key)
    if found is None:
        found = one.standing.views[key] = _restarts(one)
    return found


def _restarts(one: Animal) -> list[Restart]:
    found = [Restart(entry.at, "laying") for entry in one.laid]
    for entry in (*one.own(BrumationBegan), *one.own(BrumationEnded)):
        # Written down late it says nothing of weights that had been judged without it.
        judged = any(entry.at <= weighed.at and weighed.known < entry.known for weighed in one.weights)
        found.append(Restart(entry.known if judged else entry.at, "brumation"))
    found += [Restart(entry.at, "the vet's visit") for entry in one.own(VetSeen) if entry.found_empty]
    if one.came_back_at is not None:
        found.append(Restart(one.came_back_at, "coming back"))
    return sorted(found)
