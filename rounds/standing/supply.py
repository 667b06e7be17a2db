"""A supply as it stands: its last count, what came in since, and how it was used between counts."""

from __future__ import annotations

from functools import cached_property

from rounds.logbook.entries import StockCounted, StockIn
from rounds.standing.fold import Standing
from rounds.standing.identity import SupplyIdentity


class Supply(SupplyIdentity):
    """One supply: feeder insects, greens, dust, medium, or anything else that is counted."""

    @cached_property
    def counts(self) -> tuple[StockCounted, ...]:
        """Its counts, oldest first."""
        return self.own(StockCounted)

    @cached_property
    def came_in(self) -> tuple[StockIn, ...]:
        """What came in, oldest first."""
        return self.own(StockIn)

    @property
    def counted(self) -> StockCounted | None:
        """The last count; None when it was never counted."""
        return self.counts[-1] if self.counts else None

    @cached_property
    def in_since(self) -> float:
        """How much came in since the last count, in its unit."""
        last = self.counted
        return sum(entry.amount for entry in self.came_in if last is None or entry.key > last.key)

    @property
    def unit(self) -> str:
        """What it is counted in, as last written."""
        written: list[StockCounted | StockIn] = [*self.counts, *self.came_in]
        return max(written, key=lambda entry: entry.key).unit if written else ""


def supply(standing: Standing, subject: str) -> Supply:
    """The view of a supply; worked out once for a standing."""
    found = standing.views.get(("supply", subject))
    if found is None:
        found = standing.views[("supply", subject)] = Supply(standing.page(subject))
    assert isinstance(found, Supply)
    return found
