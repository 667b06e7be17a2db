"""Weighings, each the readings of one shift, and which of them are judged together: those of one window.

A window begins again when eggs are laid, brumation begins or ends, a vet finds her empty, or the animal comes back
after it had left: what it weighed before tells nothing of a loss after.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime, timedelta
from itertools import groupby
from typing import Final, Literal, NamedTuple

import msgspec

from rounds.logbook.entries import Arrived, BrumationBegan, BrumationEnded, Died, Left, VetSeen, Weighed
from rounds.standing.animal import Animal

#: After this part of a shift without a reading the next one is not read again, once the shift is over (no source).
_PAUSE: Final = 0.25


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

    @property
    def words(self) -> str:
        """Which of several readings counts: `median of 3 readings`."""
        return "the later of 2 readings" if self.times == 2 else f"median of {self.times} readings"

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
    read after are two weighings, however near.
    """
    ends = sorted(splits)
    found: list[Weighing] = []
    part: list[Weighed] = []
    place = 0
    for entry in readings:
        split = False
        while place < len(ends) and ends[place] <= entry.at:
            place, split = place + 1, True
        if split:
            found += _grouped(part, hours)
            part = []
        part.append(entry)
    return (*found, *_grouped(part, hours))


def _grouped(readings: Sequence[Weighed], hours: float) -> list[Weighing]:
    found: list[Weighing] = []
    for shift in _shifts(readings, hours):
        reading = shift[0]
        if len(shift) > 1:
            # Read over and over it is the first of these: what was seen then, and known then.
            counts = max(_middle(shift), key=lambda entry: entry.key).grams
            reading = next(entry for entry in shift if entry.grams == counts)
        found.append(Weighing(reading, tuple(shift)))
    return found


def _shifts(readings: Iterable[Weighed], hours: float) -> list[list[Weighed]]:
    found: list[list[Weighed]] = []
    within = timedelta(hours=hours)
    for entry in readings:
        if found and not _is_another_shift(found[-1], entry, within):
            found[-1].append(entry)
        else:
            found.append([entry])
    return found


def _is_another_shift(shift: Sequence[Weighed], entry: Weighed, within: timedelta) -> bool:
    """Whether a reading is no longer of a shift: so long after its first reading, and not just after its last.

    A scale read twice as the shift ends is read in it; what is read on and on around the clock ends after two.
    """
    since = entry.at - shift[0].at
    return since >= within and (entry.at - shift[-1].at >= within * _PAUSE or since >= 2 * within)


def _parted(splits: Sequence[datetime], first: Weighed, then: Weighed) -> bool:
    return bisect_right(splits, first.at) != bisect_right(splits, then.at)


def _middle(readings: Sequence[Weighed]) -> Sequence[Weighed]:
    """The reading in the middle by weight, or the two that are."""
    if len(readings) == 1:
        return readings
    by_weight = sorted(readings, key=lambda entry: entry.grams)
    half = len(by_weight) // 2
    return by_weight[half : half + 1] if len(by_weight) % 2 else by_weight[half - 1 : half + 1]


class AsKnown(NamedTuple):
    """The weighings of a window as they stood from one moment on, and the newest reading among them."""

    moment: datetime
    last: Weighed
    weighings: tuple[Weighing, ...]


def as_known(readings: Sequence[Weighed], hours: float, splits: Sequence[datetime] = ()) -> Iterator[AsKnown]:
    """The weighings after each moment at which readings of them were written down, oldest first.

    `splits`, in order, as in `weighings_of`.
    """
    known: list[Weighed] = []
    closed: tuple[Weighing, ...] = ()
    shift: list[Weighed] = []
    within = timedelta(hours=hours)
    by_moment = groupby(sorted(readings, key=lambda entry: (entry.known, entry.key)), key=lambda entry: entry.known)
    for moment, group in by_moment:
        written = list(group)
        if known and written[0].key < known[-1].key:
            # Noted late: what stood before is grouped again.
            known = sorted([*known, *written], key=lambda entry: entry.key)
            *before, last = weighings_of(known, hours, splits)
            closed, shift, written = tuple(before), list(last.readings), []
        for entry in written:
            known.append(entry)
            if shift and (_is_another_shift(shift, entry, within) or _parted(splits, shift[0], entry)):
                closed, shift = (*closed, *_grouped(shift, hours)), []
            shift.append(entry)
        yield AsKnown(moment, known[-1], (*closed, *_grouped(shift, hours)))


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
    if not changed_by(one, hours):
        every = weighings(one, hours)
        return every[: bisect_right(every, moment, key=lambda weighing: weighing.reading.known)]
    key = ("weighings known", one.subject, hours)
    stood: tuple[AsKnown, ...] | None = one.standing.views.get(key)
    if stood is None:
        stood = one.standing.views[key] = tuple(as_known(one.weights, hours, splits(one)))
    place = bisect_right(stood, moment, key=lambda then: then.moment)
    return stood[place - 1].weighings if place else ()


def changed_by(one: Animal, hours: float) -> tuple[Weighed, ...]:
    """Readings that can change what stood before they were written: again in a shift, or noted late."""
    key = ("changed by", one.subject, hours)
    known: tuple[Weighed, ...] | None = one.standing.views.get(key)
    if known is None:
        known = one.standing.views[key] = tuple(_changing(one, hours))
    return known


def _changing(one: Animal, hours: float) -> Iterator[Weighed]:
    for weighing in weighings(one, hours):
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
