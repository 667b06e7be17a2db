"""Whether a weight rises, holds or falls: the weight rule, its statistics, and the words for it.

The rule (a house rule judged by simulation with assumed 2 % noise, no veterinary threshold) works on
the logarithm of the weight: either two weighings in a row at least 7 % under the median of the earlier
ones, or, over the last six weighings, a Theil–Sen slope that adds up to a loss of at least 5 % while
the exact one-sided Mann–Kendall test finds the fall in less than 3 % of shuffled orders. Slope: Theil
1950, Sen 1968, J Am Stat Assoc 63:1379. Test: Mann 1945, Kendall 1975. All numbers are arguments. Readings of
one day are one weighing (`rounds.standing.weighing`).
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from itertools import combinations
from math import exp, log
from typing import Final

import msgspec

from rounds.logbook.entries import Weighed
from rounds.standing.animal import Animal
from rounds.standing.kept import cached_property
from rounds.standing.slopes import falling_chance, median, theil_sen
from rounds.standing.weighing import Weighing, WeighingRule, weighings_of
from rounds.standing.weighings import Restart, restarts

#: From 1 g to the heaviest weight that can be written, on log weight.
_MOST_CHANGE: Final = log(5_000)


class Limits(msgspec.Struct, frozen=True):
    """The numbers of the weight rule. `House.weight_limits` gives a house's; the values here are the defaults'."""

    least: int = 4
    trend_least: int = 5
    trend_over: int = 6
    earlier_over: int = 12
    drop: float = 0.07
    drop_in_a_row: int = 2
    chance: float = 0.03
    fall: float = 0.05
    steady: float = 0.03
    weighing: WeighingRule = WeighingRule()

    @property
    def judged(self) -> int:
        """Of how many weighings at the most the rule takes heed when it looks for a loss at the last of them."""
        by_drop = max(1, self.earlier_over) + self.drop_in_a_row
        return max(self.least, self.trend_least, self.trend_over, by_drop)


class Change(msgspec.Struct, frozen=True):
    """How far the last weighing lies from an earlier one: −0.04 is 4 % under it."""

    fraction: float
    since: Weighing


class Trend:
    """How a weight goes over the weighings of one window."""

    def __init__(
        self,
        weighings: Sequence[Weighing],
        limits: Limits | None = None,
        restart: Restart | None = None,
        brumating: bool = False,
    ) -> None:
        """`weighings`: those of a window, oldest first; `restart`: what it began with, if it ever began again."""
        self.limits = limits or Limits()
        self.restart = restart
        self.brumating = brumating
        #: Oldest first: what the rule judges.
        self.weighings = tuple(weighings)
        self._logs = [log(entry.grams) for entry in self.weighings]

    @property
    def enough(self) -> bool:
        """Whether there are weighings enough to say anything."""
        return len(self.weighings) >= self.limits.least

    @cached_property
    def fitted(self) -> float:
        """The fitted change over the last weighings, as a fraction of the weight (−0.08: 8 % down)."""
        over = self.weighings[-self.limits.trend_over :]
        if len(over) < 2:
            return 0.0
        days = [(entry.at - over[0].at) / timedelta(days=1) for entry in over]
        # Slips of the scale within minutes give slopes a day that no number holds.
        change = theil_sen(days, self._logs[-len(over) :]) * days[-1]
        return exp(max(-_MOST_CHANGE, min(_MOST_CHANGE, change))) - 1

    @cached_property
    def fitted_days(self) -> int:
        """Over how many days that is."""
        over = self.weighings[-self.limits.trend_over :]
        return round((over[-1].at - over[0].at) / timedelta(days=1)) if over else 0

    @cached_property
    def off(self) -> float:
        """How far the last weighing lies off what the fit leads to, as a fraction (0.1: 10 % above it)."""
        over = self.weighings[-self.limits.trend_over :]
        if len(over) < 3:
            return 0.0
        days = [(entry.at - over[0].at) / timedelta(days=1) for entry in over]
        logs = self._logs[-len(over) :]
        slope = theil_sen(days, logs)
        begins = median(value - slope * day for day, value in zip(days, logs, strict=True))
        change = logs[-1] - begins - slope * days[-1]
        return exp(max(-_MOST_CHANGE, min(_MOST_CHANGE, change))) - 1

    @cached_property
    def dropped(self) -> bool:
        """Whether the last weighings in a row are all well under the median of the earlier ones."""
        return self._dropped(len(self.weighings))

    @cached_property
    def fallen(self) -> bool:
        """Whether the last weighings fall more than chance would have it, and far enough."""
        return self._fallen(len(self.weighings))

    @property
    def lost(self) -> bool:
        """Whether the weight rule finds a loss."""
        return not self.brumating and (self.dropped or self.fallen)

    @cached_property
    def unconfirmed(self) -> float:
        """A loss that the last weighing shows and no other confirms yet, as a fraction; 0 when there is none.

        As far under the earlier median as the rule asks of several in a row; two weighings are enough to say so.
        """
        if self.brumating or self.lost or len(self.weighings) < 2:
            return 0.0
        earlier = self._median(len(self.weighings) - 1)
        low = self._logs[-1] <= earlier + log(1 - self.limits.drop) + 1e-9
        return 1 - exp(self._logs[-1] - earlier) if low else 0.0

    @cached_property
    def loss(self) -> float:
        """The loss as a fraction: under the earlier median after a drop, else as fitted. 0 without one."""
        if self.brumating:
            return 0.0
        if self.dropped:
            return max(0.0, 1 - exp(self._logs[-1] - self._earlier(len(self.weighings))))
        return max(0.0, -self.fitted) if self.fallen else 0.0

    @cached_property
    def loss_days(self) -> int:
        """Over how many days: from the last weighing before the drop, or the span of the fit."""
        if not self.dropped:
            return self.fitted_days
        before = self.weighings[-self.limits.drop_in_a_row - 1]
        return max(1, round((self.weighings[-1].at - before.at) / timedelta(days=1)))

    @cached_property
    def lost_since(self) -> Weighing | None:
        """The weighing at which the rule first found the present loss."""
        first: Weighing | None = None
        for many in range(len(self.weighings), 0, -1):
            if not (self._dropped(many) or self._fallen(many)):
                break
            first = self.weighings[many - 1]
        return first if self.lost else None

    @cached_property
    def change(self) -> Change | None:
        """The change to tell: the last weighing against an earlier one, so that anyone can check it by the weights.

        After a loss: against the one that shows it best. Else against the first of the last weighings; but against
        the one before when the last one turned the other way, or lies far off the line of the others. None with no
        earlier one.
        """
        earlier = self.weighings[:-1]
        if not earlier:
            return None
        if self.lost:
            losses = [one for entry in earlier if (one := self._change_since(entry)).fraction < 0]
            if losses:
                return min(reversed(losses), key=lambda one: abs(one.fraction + self.loss))
        over_all = self._change_since(self.weighings[-self.limits.trend_over :][0])
        over_one = self._change_since(earlier[-1])
        turned = over_all.fraction * over_one.fraction < 0 and abs(over_one.fraction) >= self.limits.fall
        far_off = abs(self.off) >= self.limits.drop and abs(over_one.fraction) >= self.limits.steady
        return over_one if turned or far_off else over_all

    def _change_since(self, entry: Weighing) -> Change:
        return Change(self.weighings[-1].grams / entry.grams - 1, entry)

    @property
    def words(self) -> str:
        """The trend for a narrow column: `up 6 % since 12 Mar`, `steady`, `not enough weighings`.

        The words hold against the weights that count. Too few weighings are said to be so: they are no good sign.
        `weigh again`: the readings of the last weighing do not agree.
        """
        if self.brumating:
            return "brumating"
        change, limits = self.change, self.limits
        if self.weighings and self.weighings[-1].unsure:
            return "weigh again"
        if not self.enough or change is None:
            return "not enough weighings"
        size = abs(change.fraction)
        calm = size < limits.fall and abs(self.fitted) < limits.steady
        if not self.lost and (size < limits.steady or calm):
            return "steady"
        day, year = change.since.at, self.weighings[-1].at.year
        since = f"{day.day} {day:%b}" + (f" {day.year}" if day.year != year else "")
        return f"{'up' if change.fraction > 0 else 'down'} {size * 100:.0f} % since {since}"

    @property
    def behind(self) -> tuple[Weighed, ...]:
        """The readings the judgement rests on, those in the middle of each weighing."""
        last = self.weighings[-max(self.limits.trend_over, self.limits.drop_in_a_row + 1) :]
        return tuple(entry for one in last for entry in one.middle)

    def _earlier(self, many: int) -> float:
        return self._median(many - self.limits.drop_in_a_row)

    def _median(self, ends: int) -> float:
        """The median of the last weighings before `ends`, on log weight.

        A low slip among unsure ones must hide no loss: they count only where there are no others.
        """
        over = range(max(0, ends - self.limits.earlier_over), ends)
        sure = [self._logs[place] for place in over if not self.weighings[place].unsure]
        return median(sure or [self._logs[place] for place in over])

    def _dropped(self, many: int) -> bool:
        if many < max(self.limits.least, self.limits.drop_in_a_row + 1):
            return False
        low = self._earlier(many) + log(1 - self.limits.drop)
        # A weight that is 7 % lower to the gram counts, whatever the last digit of a logarithm says.
        return all(value <= low + 1e-9 for value in self._logs[many - self.limits.drop_in_a_row : many])

    def _fallen(self, many: int) -> bool:
        if many < max(self.limits.least, self.limits.trend_least):
            return False
        over = slice(max(0, many - self.limits.trend_over), many)
        logs, entries = self._logs[over], self.weighings[over]
        falls = sum(later < earlier for earlier, later in combinations(logs, 2))
        rises = sum(later > earlier for earlier, later in combinations(logs, 2))
        # Where no more pairs fall than rise, half of all orders or more fall as much: nothing to count out.
        if falls <= rises or falling_chance(logs) >= self.limits.chance:
            return False
        days = [(entry.at - entries[0].at) / timedelta(days=1) for entry in entries]
        return theil_sen(days, logs) * days[-1] <= log(1 - self.limits.fall) + 1e-9


def trend_of(
    readings: Sequence[Weighed],
    limits: Limits | None = None,
    restart: Restart | None = None,
    brumating: bool = False,
) -> Trend:
    """How the weight goes over the readings of one window, oldest first."""
    limits = limits or Limits()
    return Trend(weighings_of(readings, limits.weighing), limits, restart, brumating)


def trend(one: Animal, limits: Limits, now: datetime) -> Trend:
    """How the weight of an animal or group goes at `now`, by the weight limits of the house."""
    restart = max(restarts(one), default=None)
    readings = tuple(
        entry for entry in one.weights if entry.at <= now and (restart is None or entry.at >= restart.at)
    )
    return trend_of(readings, limits, restart, brumating=one.brumating_since is not None)
