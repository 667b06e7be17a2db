"""Young counted together: how many there are, where, and how old."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from functools import cached_property

from rounds.logbook.entries import Arrived, Died, Left
from rounds.standing.animal import Animal
from rounds.standing.fold import Standing


class Group(Animal):
    """A group as it stands. It has a page, stays, weights and food like an animal, and a count."""

    @cached_property
    def started(self) -> int:
        """How many there were in all, later joiners too."""
        return sum(entry.count or 0 for entry in self.own(Arrived))

    @cached_property
    def died(self) -> int:
        """How many of it died since it was registered."""
        return sum(self._many(entry) for entry in self._since_registered(self.own(Died)))

    @cached_property
    def left(self) -> int:
        """How many of it left since it was registered."""
        return sum(self._many(entry) for entry in self._since_registered(self.own(Left)))

    @property
    def count(self) -> int:
        """How many there are now."""
        return max(0, self.started - self.died - self.left)

    @cached_property
    def gone(self) -> Left | Died | None:
        """The last entry by which the group came to nothing."""
        ends: list[Left | Died] = [*self.own(Left), *self.own(Died)]
        whole = [entry for entry in ends if entry.count is None]
        if whole or (ends and self.count == 0):
            end = max(whole or ends, key=lambda entry: entry.key)
            return None if self.arrived and self.arrived.key > end.key else end
        return None

    def _departures(self) -> list[Left | Died]:
        # Some of it dying or being sold does not move the others out of their tub.
        return [self.gone] if self.gone is not None else []

    def deaths_since(self, moment: datetime) -> tuple[Died, ...]:
        """Entries of deaths after a moment, oldest first."""
        return tuple(entry for entry in self.own(Died) if entry.at > moment)

    def _since_registered(self, entries: Iterable[Died | Left]) -> list[Died | Left]:
        """Those of the group as it was registered: who died or left before is not counted in it."""
        first = self.own(Arrived)[:1]
        return [entry for entry in entries if not first or entry.key > first[0].key]

    def _many(self, entry: Left | Died) -> int:
        return self.started if entry.count is None else entry.count


def group(standing: Standing, subject: str) -> Group:
    """The group as it stands; worked out once for a standing."""
    found = standing.views.get(("group", subject))
    if found is None:
        found = standing.views[("group", subject)] = Group(standing, subject)
    assert isinstance(found, Group)
    return found


def groups_here(standing: Standing) -> list[Group]:
    """All groups that are in the colony now, by id."""
    return [one for subject in standing.subjects("group") if (one := group(standing, subject)).here]
