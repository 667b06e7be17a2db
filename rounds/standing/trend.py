"""Whether a weight rises, holds or falls: the weight rule, its statistics, and the words for it.

The rule (a house rule judged by simulation with assumed 2 % noise, no veterinary threshold) works on
the logarithm of the weight: either two weighings in a row at least 7 % under the median of the earlier
ones, or, over the last six weighings, a Theil–Sen slope that adds up to a loss of at least 5 % while
the exact one-sided Mann–Kendall test finds the fall in less than 3 % of shuffled orders. Slope: Theil
1950, Sen 1968, J Am Stat Assoc 63:1379. Test: Mann 1945, Kendall 1975. All numbers are arguments. Repeats within
a day are one weighing.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from functools import cached_property
from itertools import combinations
from math import exp, log
from statistics import median
from typing import Final, Literal, NamedTuple, Protocol

from rounds.logbook.entries import BrumationBegan, BrumationEnded, VetSeen, Weighed
from rounds.standing.animal import Animal
from rounds.standing.slopes import falling_chance, theil_sen

Restart = Literal["laying", "brumation", "the vet's visit", "coming back"]
#: From 1 g to the heaviest weight that can be written, on log weight.
_MOST_CHANGE: Final = log(5_000)


class Limits(NamedTuple):
    """The numbers of the weight rule; the house rules (`weights.*`) have them with their sources."""

    least: int = 4
    trend_least: int = 5
    trend_over: int = 6
    earlier_over: int = 12
    drop: float = 0.07
    drop_in_a_row: int = 2
    chance: float = 0.03
    fall: float = 0.05
    steady: float = 0.03


class Change(NamedTuple):
    """How far the last weight lies from that of a day which is named: −0.04, 4 % under it."""

    fraction: float
    since: Weighed


class Numbers(Protocol):
    """What is asked of the house rules here: the number that stands under a key."""

    def number(self, key: str) -> float:
        """The value of a rule that is one number."""
        ...


def limits_of(house: Numbers) -> Limits:
    """The weight rule's numbers as the house has them."""
    return Limits(
        least=int(house.number("weights.least_weighings")),
        trend_least=int(house.number("weights.trend_least_weighings")),
        trend_over=int(house.number("weights.trend_weighings")),
        earlier_over=int(house.number("weights.earlier_weighings")),
        drop=house.number("weights.drop_percent") / 100,
        drop_in_a_row=int(house.number("weights.drop_weighings")),
        chance=house.number("weights.trend_p"),
        fall=house.number("weights.trend_loss_percent") / 100,
        steady=house.number("weights.steady_percent") / 100,
    )


class Trend:
    """How a weight goes, over the weighings since the window last began again.

    `weighings` are those of the window, oldest first, one a day: repeats within a day are one weighing, their
    median. `last` is the last reading as it was written. `restart` tells why and when the window began again (at
    laying, the end of brumation, a vet finding her empty, coming back), None when it never did.
    """

    def __init__(
        self,
        weighings: Sequence[Weighed],
        limits: Limits | None = None,
        restart: tuple[Restart, datetime] | None = None,
        brumating: bool = False,
    ) -> None:
        self.limits = limits or Limits()
        readings = _one_a_moment(weighings)
        self.last = readings[-1] if readings else None
        self.weighings = _one_a_day(readings)
        self.restart = restart
        self.brumating = brumating
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
    def lost_since(self) -> Weighed | None:
        """The weighing at which the rule first found the present loss."""
        first: Weighed | None = None
        for many in range(len(self.weighings), 0, -1):
            if not (self._dropped(many) or self._fallen(many)):
                break
            first = self.weighings[many - 1]
        return first if self.lost else None

    @cached_property
    def change(self) -> Change | None:
        """The change to tell: the last weight against that of one earlier day, so that anyone can check it.

        After a loss, against the day that shows the loss best. Else against the first of the last weighings; but
        against the one before where the last has left the line, or turned against it. None with nothing earlier.
        """
        before = self.weighings[:-1]
        if self.last is None or not before:
            return None
        if self.lost:
            shown = [one for entry in before if (one := self._since(entry)).fraction < 0]
            return min(reversed(shown), key=lambda one: abs(one.fraction + self.loss), default=None)
        long, short = self._since(self.weighings[-self.limits.trend_over :][0]), self._since(before[-1])
        turned = long.fraction * short.fraction < 0 and abs(short.fraction) >= self.limits.fall
        left = abs(self.off) >= self.limits.drop and abs(short.fraction) >= self.limits.steady
        return short if turned or left else long

    def _since(self, entry: Weighed) -> Change:
        assert self.last is not None
        return Change(self.last.grams / entry.grams - 1, entry)

    @property
    def behind(self) -> tuple[Weighed, ...]:
        """The weighings the judgement rests on."""
        return self.weighings[-max(self.limits.trend_over, self.limits.drop_in_a_row + 1) :]

    def _earlier(self, many: int) -> float:
        ends = many - self.limits.drop_in_a_row
        return median(self._logs[max(0, ends - self.limits.earlier_over) : ends])

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


def _one_a_moment(weighings: Sequence[Weighed]) -> tuple[Weighed, ...]:
    """Of weighings noted at one and the same moment only the last, which answers the others."""
    last = len(weighings) - 1
    return tuple(
        entry for place, entry in enumerate(weighings) if place == last or weighings[place + 1].at != entry.at
    )


def parts_of(one: Animal, now: datetime) -> tuple[tuple[tuple[Weighed, ...], tuple[Restart, datetime] | None], ...]:
    """All weighings up to now, parted where they began to be judged again, each part with why and when it began."""
    starts = sorted((at, why) for at, why in _restarts(one) if at <= now)
    weighings = [entry for entry in one.weights if entry.at <= now]
    parts: list[tuple[tuple[Weighed, ...], tuple[Restart, datetime] | None]] = []
    edges: list[tuple[datetime | None, Restart | None]] = [(None, None), *starts]
    for place, (since, why) in enumerate(edges):
        until = edges[place + 1][0] if place + 1 < len(edges) else None
        part = tuple(
            entry
            for entry in weighings
            if (since is None or entry.at >= since) and (until is None or entry.at < until)
        )
        if part:
            parts.append((part, (why, since) if why is not None and since is not None else None))
    return tuple(parts)


def _restarts(one: Animal) -> list[tuple[datetime, Restart]]:
    """Every moment at which its weights began to be judged again, in no order."""
    starts: list[tuple[datetime, Restart]] = [(entry.at, "laying") for entry in one.laid]
    for entry in (*one.own(BrumationBegan), *one.own(BrumationEnded)):
        # Written down late it says nothing of weights that had been judged without it.
        judged = any(entry.at <= weighed.at and weighed.known < entry.known for weighed in one.weights)
        starts.append((entry.known if judged else entry.at, "brumation"))
    starts += [(entry.at, "the vet's visit") for entry in one.own(VetSeen) if entry.carrying is False]
    if one.came_back_at is not None:
        starts.append((one.came_back_at, "coming back"))
    return starts


def _one_a_day(weighings: Sequence[Weighed]) -> tuple[Weighed, ...]:
    """Of the readings of one day the one in the middle, by weight; of an even number the later of the two there."""
    days: list[list[Weighed]] = []
    for entry in weighings:
        if days and days[-1][-1].at.date() == entry.at.date():
            days[-1].append(entry)
        else:
            days.append([entry])
    found: list[Weighed] = []
    for day in days:
        by_weight = sorted(day, key=lambda entry: entry.grams)
        half = len(day) // 2
        middle = by_weight[half : half + 1] if len(day) % 2 else by_weight[half - 1 : half + 1]
        found.append(max(middle, key=lambda entry: entry.key))
    return tuple(found)


def restart_of(one: Animal) -> tuple[Restart, datetime] | None:
    """Why and when its weights began to be judged again.

    Eggs laid, brumation (begun or ended), a vet finding her empty, or coming back after having left:
    what the animal weighed before says nothing about a loss after.
    """
    starts = _restarts(one)
    if not starts:
        return None
    at, why = max(starts)
    return why, at


def trend(one: Animal, house: Numbers, now: datetime, limits: Limits | None = None) -> Trend:
    """How the weight of an animal or group goes at `now`, by the numbers of the house (or these `limits` of it)."""
    restart = restart_of(one)
    since = restart[1] if restart is not None else None
    weighings = one.weights
    if weighings and weighings[-1].at > now:
        weighings = tuple(entry for entry in weighings if entry.at <= now)
    if since is not None and weighings and weighings[0].at < since:
        weighings = tuple(entry for entry in weighings if entry.at >= since)
    return Trend(weighings, limits or limits_of(house), restart, one.brumating_since is not None)


def trend_words(one: Animal, house: Numbers, now: datetime) -> str:
    """The trend in a few words for a narrow column: `up 6 % since 12 Mar`, `steady`, `not enough weighings`."""
    return words_of(trend(one, house, now))


def trend_sentence(one: Animal, house: Numbers, now: datetime, *, gravid: bool = False) -> str:
    """The trend with what must be known to read it: since when it is judged, and a gain while gravid."""
    found = trend(one, house, now)
    words = words_of(found)
    if found.restart is not None and not found.brumating:
        words += f", judged again since {found.restart[0]} on {_day(found.restart[1], now)}"
    if gravid and found.enough and words.startswith("up "):
        words += ", expected while gravid"
    return words


def words_of(trend: Trend) -> str:
    """A trend in a few words, which hold against the weights as written: how far, up or down, since which day.

    Too few weighings are said to be so: they are never a good sign.
    """
    if trend.brumating:
        return "brumating"
    change, limits = trend.change, trend.limits
    if not trend.enough or trend.last is None:
        return "not enough weighings"
    if change is None:
        # Readings of one day that are far apart: the last alone does not show the loss.
        return "weigh again"
    size = abs(change.fraction)
    calm = size < limits.fall and abs(trend.fitted) < limits.steady
    if not trend.lost and (size < limits.steady or calm):
        return "steady"
    way = "up" if change.fraction > 0 else "down"
    return f"{way} {size * 100:.0f} % since {_day(change.since.at, trend.last.at)}"


def _day(moment: datetime, seen_from: datetime) -> str:
    return f"{moment.day} {moment:%b}" + (f" {moment.year}" if moment.year != seen_from.year else "")
