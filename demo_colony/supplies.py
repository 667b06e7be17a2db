"""Feeders and supplies: counted once a week, used as they were fed, bought when they run low."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import Final, NamedTuple

from demo_colony.animals import OPENED
from demo_colony.book import Line
from demo_colony.room import Homes
from rounds.logbook.entries import Fed, StockCounted, StockIn


class Supply(NamedTuple):
    """What is kept: its unit, what one head takes at a feeding, what is bought at once and at which price."""

    name: str
    unit: str
    head: float
    bought: float
    price: float
    #: Since this day none came in any more.
    none_since: int = 0

    @property
    def subject(self) -> str:
        """Its id in the logbook."""
        return "supply/" + self.name.replace(" ", "-")


SUPPLIES: Final = (
    Supply("roaches", "pieces", 9, 1500, 120),
    Supply("crickets", "pieces", 11, 2500, 110),
    Supply("small crickets", "pieces", 40, 12000, 160),
    Supply("locusts", "pieces", 8, 1075, 120, none_since=-14),
    Supply("calcium", "g", 0.4, 500, 18),
)
#: Used once a week at most, for egg boxes: counted with the rest.
VERMICULITE: Final = Supply("vermiculite", "g", 0, 10000, 35)
COUNTED_AT: Final = 14 * 60


def stock(daily: Iterable[Line], homes: Homes) -> Iterator[Line]:
    """The counts of each week, and what came in between."""
    used: dict[tuple[str, int], float] = defaultdict(float)
    living = {day: homes.residents(day, 7 * 60) for day in range(OPENED + 1, 0)}
    for line in daily:
        if line.kind is Fed and line.about in living.get(line.day, {}):
            heads = len(living[line.day][line.about])
            used[line.fields["what"], line.day] += heads
            if line.fields.get("dusted"):
                used["calcium", line.day] += heads
    for supply in (*SUPPLIES, VERMICULITE):
        left = supply.bought
        for week in range(OPENED + 7, 0, 7):
            went = sum(used[supply.name, day] for day in range(week - 7, week)) * supply.head
            went = went or (240.0 if supply is VERMICULITE else 0.0)
            if left - went < 2 * went and (not supply.none_since or week < supply.none_since):
                fields = {"amount": supply.bought, "unit": supply.unit, "name": supply.name.capitalize()}
                bought = {**fields, "price": supply.price, "currency": "AUD", "origin": "the feeder round"}
                yield Line(week - 3, COUNTED_AT * 60 - 1800, StockIn, supply.subject, bought)
                left += supply.bought
            left = max(0.0, left - went)
            counted = {"amount": round(left), "unit": supply.unit, "name": supply.name.capitalize()}
            yield Line(week, COUNTED_AT * 60, StockCounted, supply.subject, counted)
