"""Who is held back or reserved, and for whom: of an animal, or of so many of a group."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

import msgspec
from msgspec.structs import replace

from rounds.logbook.entries import Entry, HeldBack, Left, Released, Reserved
from rounds.logbook.plain import folded
from rounds.standing.animal import Animal


class Hold(msgspec.Struct, frozen=True):
    """Held back (`whom` empty) or reserved for somebody; `count` None means all of them."""

    entry: HeldBack | Reserved
    whom: str
    count: int | None

    @property
    def says(self) -> str:
        """`2 reserved for Ann Lee`, `held back`."""
        many = f"{self.count} " if self.count is not None else ""
        return many + (f"reserved for {self.whom}" if self.whom else "held back")


class Holds(msgspec.Struct, frozen=True):
    """All that is held back or reserved of one animal or group now, oldest first."""

    every: tuple[Hold, ...] = ()

    @property
    def says(self) -> str:
        """All in words; empty when it is free."""
        return ", ".join(hold.says for hold in self.every)

    @property
    def held(self) -> tuple[Hold, ...]:
        """What is held back."""
        return tuple(hold for hold in self.every if not hold.whom)

    @property
    def reserved(self) -> tuple[Hold, ...]:
        """What is reserved."""
        return tuple(hold for hold in self.every if hold.whom)

    def against(self, whom: str) -> tuple[Hold, ...]:
        """What stands against its going to this person."""
        return tuple(hold for hold in self.every if not hold.whom or folded(hold.whom) != folded(whom))

    def counted(self, alive: int, holds: Sequence[Hold]) -> int:
        """How many of a group these holds take."""
        return min(alive, sum(alive if hold.count is None else hold.count for hold in holds))


def holds(one: Animal, excluding: frozenset[str] = frozenset()) -> Holds:
    """What is held back or reserved of it now, without the entries that do not count.

    A reservation ends when it is released, and by so many as left to whom it was reserved for.
    """
    kinds: tuple[type[Entry], ...] = (HeldBack, Reserved, Released, Left)
    events: list[Entry] = [entry for kind in kinds for entry in one.own(kind) if entry.id not in excluding]
    found: list[Hold] = []
    for entry in sorted(events, key=lambda event: event.key):
        if isinstance(entry, HeldBack):
            found.append(Hold(entry, "", entry.count))
        elif isinstance(entry, Reserved):
            found.append(Hold(entry, " ".join(entry.whom.split()), entry.count))
        elif isinstance(entry, Released):
            found = [*released(Holds(tuple(found)), entry).every]
        elif isinstance(entry, Left) and (entry.count is None or not one.subject.startswith("group/")):
            found = []
        elif isinstance(entry, Left) and entry.to:
            found = _less(found, partial(_is_for, folded(entry.to), False), entry.count)
    return Holds(tuple(found))


def released(every: Holds, entry: Released) -> Holds:
    """What is still held back or reserved after a release."""
    ends = _is_held if entry.only_held else partial(_is_for, folded(entry.whom), True)
    return Holds(tuple(_less(every.every, ends, entry.count)))


def _is_held(hold: Hold) -> bool:
    return not hold.whom


def _is_for(whom: str, everyone: bool, hold: Hold) -> bool:
    """Whether a hold is for this person; with no name for everyone, where that is meant."""
    return everyone if not whom else bool(hold.whom) and folded(hold.whom) == whom


def _less(found: Sequence[Hold], ends: Callable[[Hold], bool], count: int | None) -> list[Hold]:
    """The holds without so many of those that end, the oldest first; without all of them where none is said."""
    kept: list[Hold] = []
    for hold in found:
        if not ends(hold) or count == 0:
            kept.append(hold)
        elif count is not None:
            if hold.count is None:
                kept.append(hold)  # all of them: some that went leave the rest reserved
                continue
            rest = hold.count - count
            count = max(0, -rest)
            if rest > 0:
                kept.append(replace(hold, count=rest))
    return kept
