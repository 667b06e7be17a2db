"""Which weighings the weight rule judges together: those of one window, one a day.

A window begins again when eggs are laid, brumation begins or ends, a vet finds her empty, or the animal comes back
after it had left: what it weighed before tells nothing of a loss after.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Literal, NamedTuple

import msgspec

from rounds.logbook.entries import BrumationBegan, BrumationEnded, VetSeen, Weighed
from rounds.standing.animal import Animal


class Restart(NamedTuple):
    """Why and when a window began again."""

    at: datetime
    why: Literal["laying", "brumation", "the vet's visit", "coming back"]


class Window(msgspec.Struct, frozen=True):
    """Weighings that are judged together, oldest first, and what they began with (None: with the first ever)."""

    weighings: tuple[Weighed, ...]
    restart: Restart | None


def windows_upto(one: Animal, now: datetime) -> tuple[Window, ...]:
    """Every window up to now in which it was weighed, oldest first."""
    weighings = [entry for entry in one.weights if entry.at <= now]
    begins = [None, *(restart for restart in restarts(one) if restart.at <= now)]
    found: list[Window] = []
    for begin, end in zip(begins, [*begins[1:], None], strict=True):
        part = tuple(
            entry
            for entry in weighings
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


def readings_of(weighings: Sequence[Weighed]) -> tuple[Weighed, ...]:
    """The weighings without those that another one of the same moment answers: the last of them counts."""
    last = {entry.at: entry for entry in weighings}
    return tuple(last.values())


def one_a_day(readings: Sequence[Weighed]) -> tuple[Weighed, ...]:
    """Of each day's readings the one in the middle by weight; of an even number the later of the two there."""
    days: list[list[Weighed]] = []
    for entry in readings:
        if days and days[-1][-1].at.date() == entry.at.date():
            days[-1].append(entry)
        else:
            days.append([entry])
    return tuple(_middle(day) for day in days)


def _middle(day: list[Weighed]) -> Weighed:
    if len(day) == 1:
        return day[0]
    by_weight = sorted(day, key=lambda entry: entry.grams)
    half = len(day) // 2
    middle = by_weight[half : half + 1] if len(day) % 2 else by_weight[half - 1 : half + 1]
    return max(middle, key=lambda entry: entry.key)
