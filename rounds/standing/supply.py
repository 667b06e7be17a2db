"""A supply as it stands: its last count, what came in since, and how much was used between counts."""

from __future__ import annotations

from datetime import datetime
from functools import cached_property

import msgspec

from rounds.logbook.entries import StockCounted, StockIn
from rounds.logbook.plain import folded
from rounds.standing.fold import Standing
from rounds.standing.identity import SupplyIdentity


class Used(msgspec.Struct, frozen=True):
    """What was really used between two counts, in the unit of the supply: before + came in − counted now.

    Under 0 when more was counted than can have been there.
    """

    since: datetime
    until: datetime
    amount: float
    #: The count that ends it.
    counted: StockCounted


class Supply(SupplyIdentity):
    """One supply: feeder insects, greens, dust, medium, or anything else that is counted."""

    @cached_property
    def counts(self) -> tuple[StockCounted, ...]:
        """Its counts, oldest first; of those on one day the last, which puts the others right."""
        return tuple({entry.at.date(): entry for entry in self.own(StockCounted)}.values())

    @cached_property
    def came_in(self) -> tuple[StockIn, ...]:
        """What came in, oldest first."""
        return self.own(StockIn)

    @property
    def counted(self) -> StockCounted | None:
        """The last count; None when it was never counted."""
        return self.counts[-1] if self.counts else None

    @property
    def begins(self) -> StockCounted | StockIn | None:
        """From where it is reckoned: the last count; never counted, from what first came in."""
        return self.counted or (self.came_in[0] if self.came_in else None)

    @cached_property
    def in_since(self) -> tuple[StockIn, ...]:
        """What came in since the last count, in its unit."""
        last = self.counted
        return tuple(entry for entry in self.came_in if (last is None or entry.key > last.key) and self.fits(entry))

    @cached_property
    def unit(self) -> str:
        """What it is counted in, as last written."""
        written: list[StockCounted | StockIn] = [*self.counts, *self.came_in]
        last = self.counted or max(written, key=lambda entry: entry.key, default=None)
        return last.unit if last is not None else ""

    def fits(self, entry: StockCounted | StockIn) -> bool:
        """Whether an entry is in the unit of the last count."""
        return folded(entry.unit) == folded(self.unit)

    @cached_property
    def used(self) -> tuple[Used, ...]:
        """What was used between each two counts, oldest first; not where the unit changed in between."""
        found: list[Used] = []
        for before, after in zip(self.counts, self.counts[1:], strict=False):
            came = [entry for entry in self.came_in if before.key < entry.key < after.key]
            behind: tuple[StockCounted | StockIn, ...] = (before, after, *came)
            if all(self.fits(entry) for entry in behind):
                amount = before.amount + sum(entry.amount for entry in came) - after.amount
                found.append(Used(before.at, after.at, amount, after))
        return tuple(found)


def supply(standing: Standing, subject: str) -> Supply:
    """The view of a supply; worked out once for a standing."""
    found = standing.views.get(("supply", subject))
    if found is None:
        found = standing.views[("supply", subject)] = Supply(standing.page(subject))
    assert isinstance(found, Supply)
    return found
