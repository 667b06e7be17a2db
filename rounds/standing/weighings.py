"""Weighings, each the readings of one shift, and which of them are judged together: those of one window.

A window begins again when eggs are laid, brumation begins or ends, a vet finds her empty, or the animal comes back
after it had left: what it weighed before tells nothing of a loss after.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Literal, NamedTuple

import msgspec

from rounds.logbook.entries import Arrived, BrumationBegan, BrumationEnded, Died, Left, VetSeen, Weighed
from rounds.logbook.turns import turns
from rounds.standing.animal import Animal


class Weighing(msgspec.Struct, frozen=True):
    """The readings of one shift, oldest first, and the one of them that counts: their median.

    Of an even number it is the later of the two in the middle: who weighs again answers what they doubted, and a
    mean of the two is a weight that no scale has shown.
    """

    reading: Weighed
    readings: tuple[Weighed, ...]

    @property
    def at(self) -> datetime:
        """When it began. There it stands in time, so that within a window no two lie nearer than a shift."""
        return self.readings[0].at

    @property
    def ended(self) -> datetime:
        """When its last reading was taken."""
        return self.readings[-1].at

    @property
    def grams(self) -> float:
        """The weight that counts, in g."""
        return self.reading.grams

    @property
    def times(self) -> int:
        """How many readings it has."""
        return len(self.readings)

    def unsure(self, share: float) -> bool:
        """Whether nothing says which of two readings in the middle holds: they lie apart by so much, or more."""
        if len(self.readings) % 2:
            return False
        low, high = _middle(self.readings)
        return low.grams <= high.grams * (1 - share)


def weighings_of(
    readings: Iterable[Weighed], hours: float, splits: Iterable[datetime] = ()
) -> tuple[Weighing, ...]:
    """Readings (oldest first) as weighings, a shift being so many hours from the first reading of it on.

    `splits` are moments at which the weight itself changed, eggs laid among them: what was read before and what was
    read after are two weighings, however near. Of readings at one and the same moment the last answers the others.
    """
    by_moment = {entry.at: entry for entry in readings}
    ends = sorted(splits)
    found: list[Weighing] = []
    part: list[Weighed] = []
    place = 0
    for entry in by_moment.values():
        split = False
        while place < len(ends) and ends[place] <= entry.at:
            place, split = place + 1, True
        if split:
            found += _grouped(part, hours)
            part = []
        part.append(entry)
    return (*found, *_grouped(part, hours))


def _grouped(readings: Sequence[Weighed], hours: float) -> list[Weighing]:
    return [
        Weighing(max(_middle(shift), key=lambda entry: entry.key), tuple(shift)) for shift in turns(readings, hours)
    ]


def _middle(readings: Sequence[Weighed]) -> Sequence[Weighed]:
    """The reading in the middle by weight, or the two that are."""
    if len(readings) == 1:
        return readings
    by_weight = sorted(readings, key=lambda entry: entry.grams)
    half = len(by_weight) // 2
    return by_weight[half : half + 1] if len(by_weight) % 2 else by_weight[half - 1 : half + 1]


def weighings(one: Animal, hours: float) -> tuple[Weighing, ...]:
    """All weighings of an animal or group, oldest first; worked out once for a standing."""
    key = ("weighings", one.subject, hours)
    found: tuple[Weighing, ...] | None = one.standing.views.get(key)
    if found is None:
        found = one.standing.views[key] = weighings_of(one.weights, hours, splits(one))
    return found


def last_weighing(one: Animal, hours: float) -> Weighing | None:
    """The last weighing of an animal or group."""
    every = weighings(one, hours)
    return every[-1] if every else None


def weighings_known(one: Animal, hours: float, moment: datetime) -> tuple[Weighing, ...]:
    """Its weighings by what had been written down at a moment."""
    every = weighings(one, hours)
    if all(entry.known <= moment for weighing in every for entry in weighing.readings):
        return every
    return weighings_of((entry for entry in one.weights if entry.known <= moment), hours, splits(one))


def changed_by(one: Animal, hours: float) -> tuple[Weighed, ...]:
    """Readings that can change what stood before they were written: again in a shift, or noted late."""
    firsts = {weighing.at for weighing in weighings(one, hours)}
    found: list[Weighed] = []
    for entry in one.weights:
        if entry.at not in firsts:
            found.append(entry)
        firsts.discard(entry.at)
    known: datetime | None = None
    for entry in reversed(one.weights):
        if known is not None and entry.known > known:
            found.append(entry)
        known = entry.known if known is None else min(known, entry.known)
    return tuple(found)


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
            every |= {entry.at for kind in (Arrived, Died, Left) for entry in one.own(kind)}
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
