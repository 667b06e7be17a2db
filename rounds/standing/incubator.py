"""The temperature of a shelf as one series: read by hand and by a logger, summed once and asked often.

Times are seconds since 1970 (UTC), temperatures °C. Between two readings the temperature goes straight; between
readings further apart than the house's gap the shelf's own mean counts. Pure: nothing here raises for any page.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

import msgspec

from rounds.logbook.entries import ClimateLogged, ClimateRead, Entry
from rounds.standing.degree_days import mean_rate, rate, share_above, sine
from rounds.standing.fold import Standing

HOUR: Final = 3_600.0
DAY: Final = 86_400.0
#: So long before the last reading counts as how the shelf is set now.
_LATELY: Final = 7 * DAY
#: So many series are kept at hand, each with all its sums.
_KEPT: Final = 64


class Limits(msgspec.Struct, frozen=True):
    """What a series is summed by: base and top of development, the band, the alarm, in °C; the gap in hours.

    `usual_c` counts for a shelf of which nothing was read: the middle of the house's band.
    """

    base: float
    top: float
    low: float
    high: float
    alarm: float
    gap_hours: float

    @property
    def usual_c(self) -> float:
        """The middle of the band."""
        return (self.low + self.high) / 2


class Point(msgspec.Struct, frozen=True, gc=False):
    """One reading, and the entry it comes from."""

    at: float
    air_c: float
    humidity: float | None
    entry: Entry


class Spell(msgspec.Struct, frozen=True):
    """A time above a limit: from its first reading to its last, the highest, and the entries by id."""

    begun: float
    ended: float
    peak: float
    entries: dict[str, Entry]


class Sums(msgspec.Struct, frozen=True):
    """What adds up over a time: development in °C days; hours above the alarm, under the band, and bridged."""

    development: float = 0.0
    hot_hours: float = 0.0
    cold_hours: float = 0.0
    bridged_hours: float = 0.0


class Series:
    """The readings of one shelf in order of time, with running sums. Get it with `series`."""

    def __init__(self, points: Sequence[Point], swings: dict[float, tuple[float, float]], limits: Limits) -> None:
        self.points = points
        self.limits = limits
        self.times = [one.at for one in points]
        #: By the time of a reading: lowest and highest of the day before it, where only these are known.
        self._swings = swings
        #: Running sums at each point: development, hours hot, cold, bridged.
        self.development = [0.0]
        self._hot = [0.0]
        self._cold = [0.0]
        self._bridged = [0.0]
        self._sum()

    def _sum(self) -> None:
        limits, points = self.limits, self.points
        base, top, gap = limits.base, limits.top, limits.gap_hours * HOUR
        self.mean_c, mean = self._mean(gap)
        development = hot = cold = bridged = 0.0
        add, add_hot = self.development.append, self._hot.append
        add_cold, add_bridged = self._cold.append, self._bridged.append
        for one, two in pairwise(points):
            span = two.at - one.at
            swing = self._swings.get(two.at)
            if span > gap:
                development += mean * span / DAY
                bridged += span / HOUR
            elif swing is not None:
                development += sine(*swing, base, top) * span / DAY
                hot += share_above(*swing, limits.alarm) * span / HOUR
                cold += (1 - share_above(*swing, limits.low)) * span / HOUR
            else:
                begun, ended = one.air_c, two.air_c
                development += mean_rate(begun, ended, base, top) * span / DAY
                if begun > limits.alarm or ended > limits.alarm:
                    hot += share_above(begun, ended, limits.alarm) * span / HOUR
                if begun < limits.low or ended < limits.low:
                    cold += share_above(-begun, -ended, -limits.low) * span / HOUR
            add(development)
            add_hot(hot)
            add_cold(cold)
            add_bridged(bridged)
        self._rate_between = mean
        self.rate_now = self._lately(gap, mean)

    def _mean(self, gap: float) -> tuple[float, float]:
        """The mean temperature over all times without a gap, and the mean rate of development there."""
        base, top, points = self.limits.base, self.limits.top, self.points
        warmth = speed = time = 0.0
        for one, two in pairwise(points):
            span = two.at - one.at
            if 0 < span <= gap:
                swing = self._swings.get(two.at)
                time += span
                warmth += span * (sum(swing) if swing else one.air_c + two.air_c) / 2
                speed += span * (sine(*swing, base, top) if swing else mean_rate(one.air_c, two.air_c, base, top))
        if time:
            return warmth / time, speed / time
        alone = [one.air_c for one in points] or [self.limits.usual_c]
        return sum(alone) / len(alone), sum(rate(one, base, top) for one in alone) / len(alone)

    def _lately(self, gap: float, mean: float) -> float:
        """The rate of development as the shelf is set now: the mean of its last week of readings, in °C."""
        if not self.points:
            return mean
        end = self.times[-1]
        place = bisect_left(self.times, end - _LATELY)
        spans = [
            (two - one, self.development[place + number + 1] - self.development[place + number])
            for number, (one, two) in enumerate(zip(self.times[place:], self.times[place + 1 :], strict=False))
            if two - one <= gap
        ]
        time = sum(span for span, _ in spans)
        return sum(grown for _, grown in spans) * DAY / time if time else mean

    # Asking it

    def sums(self, begun: float, ended: float) -> Sums:
        """What adds up from one moment to another. Outside the readings the shelf goes on as it was set."""
        if ended <= begun:
            return Sums()
        return Sums(
            development=self.grown(ended) - self.grown(begun),
            hot_hours=self._at(self._hot, ended) - self._at(self._hot, begun),
            cold_hours=self._at(self._cold, ended) - self._at(self._cold, begun),
            bridged_hours=self._at(self._bridged, ended)
            - self._at(self._bridged, begun)
            + (self._outside(begun, ended) / HOUR),
        )

    def grown(self, at: float) -> float:
        """Development at a moment, in °C days, counted from the first reading (less than 0 before it)."""
        times = self.times
        if not times:
            return self.rate_now * at / DAY
        if at <= times[0]:
            return (at - times[0]) * self._rate_between / DAY
        if at >= times[-1]:
            return self.development[-1] + (at - times[-1]) * self.rate_now / DAY
        return self._at(self.development, at)

    def when_grown(self, development: float) -> float | None:
        """The moment at which `grown` reaches this; None where it is too cold for it ever to."""
        sums, times = self.development, self.times
        if not times or development > sums[-1]:
            begun, at = (sums[-1], times[-1]) if times else (0.0, 0.0)
            if self.rate_now <= 0:
                return None
            return at + (development - begun) * DAY / self.rate_now
        if development <= 0:
            speed = self._rate_between
            return times[0] + development * DAY / speed if speed > 0 else times[0]
        place = bisect_left(sums, development)
        grown = sums[place] - sums[place - 1]
        part = (development - sums[place - 1]) / grown if grown > 0 else 1.0
        return times[place - 1] + part * (times[place] - times[place - 1])

    def _at(self, sums: list[float], at: float) -> float:
        times = self.times
        if not times or at <= times[0]:
            return 0.0
        if at >= times[-1]:
            return sums[-1]
        place = bisect_right(times, at)
        span = times[place] - times[place - 1]
        part = (at - times[place - 1]) / span if span else 1.0
        return sums[place - 1] + (sums[place] - sums[place - 1]) * part

    def _outside(self, begun: float, ended: float) -> float:
        """Seconds of this time before the first reading, and after the last by more than the gap."""
        if not self.times:
            return ended - begun
        before = max(0.0, min(ended, self.times[0]) - begun)
        after = max(0.0, ended - max(begun, self.times[-1]))
        return before + (after if after > self.limits.gap_hours * HOUR else 0.0)

    def upto(self, now: float) -> Sequence[Point]:
        """The readings up to a moment, oldest first."""
        place = bisect_right(self.times, now)
        return self.points if place == len(self.points) else self.points[:place]

    def last(self, now: float) -> Point | None:
        """The newest reading up to a moment."""
        place = bisect_right(self.times, now)
        return self.points[place - 1] if place else None

    def air_at(self, at: float) -> float | None:
        """The temperature at a moment; None before the first reading, after the last, and in a gap."""
        times = self.times
        place = bisect_left(times, at)
        if place < len(times) and times[place] == at:
            return self.points[place].air_c
        if not 0 < place < len(times) or times[place] - times[place - 1] > self.limits.gap_hours * HOUR:
            return None
        one, two = self.points[place - 1], self.points[place]
        return one.air_c + (two.air_c - one.air_c) * (at - one.at) / (two.at - one.at)

    def spells(self, begun: float, ended: float, above: float) -> list[Spell]:
        """When it was above a limit, oldest first, each spell with its hottest reading."""
        found: list[Spell] = []
        is_on = False
        for place in range(bisect_left(self.times, begun), bisect_right(self.times, ended)):
            point = self.points[place]
            swing = self._swings.get(point.at)
            peak = point.air_c if swing is None else max(point.air_c, swing[1])
            if peak > above:
                since = self.times[place - 1] if swing is not None and place else point.at
                before = found.pop() if is_on else Spell(max(begun, since), point.at, peak, {})
                before.entries[point.entry.id] = point.entry
                found.append(Spell(before.begun, point.at, max(before.peak, peak), before.entries))
            is_on = peak > above
        return found

    def between(self, begun: float, ended: float) -> Sequence[Point]:
        """The readings of a time, its ends among them."""
        return self.points[bisect_left(self.times, begun) : bisect_right(self.times, ended)]


_Key = tuple[int, int, Limits]
_at_hand: dict[_Key, tuple[Sequence[Entry], Sequence[Entry], Series]] = {}


def series(standing: Standing, shelf: str, limits: Limits) -> Series:
    """The temperature of a shelf, or of an egg box that has readings of its own; summed once for the same readings.

    A reading by hand within a stretch that the logger covers does not count here: two instruments never agree.
    """
    page = standing.page(shelf)
    logged, read = page.strands.get(ClimateLogged, ()), page.strands.get(ClimateRead, ())
    # The same tuples as long as nothing was read since; they are held here, so that none gets another's number.
    key = (id(logged), id(read), limits)
    known = _at_hand.get(key)
    if known is None or known[0] is not logged or known[1] is not read:
        made = _made(
            [one for one in page.of(ClimateLogged) if one.about == shelf],
            [one for one in page.of(ClimateRead) if one.about == shelf],
            limits,
        )
        while len(_at_hand) >= _KEPT:
            del _at_hand[next(iter(_at_hand))]
        known = _at_hand[key] = (logged, read, made)
    return known[2]


def covered(logged: Sequence[ClimateLogged]) -> list[tuple[float, float]]:
    """The times that logged stretches cover, in order, each from its first reading to its last."""
    spans = []
    for entry in logged:
        many = min(len(entry.minutes), len(entry.air_c))
        if many:
            begun = entry.at.timestamp()
            minutes = entry.minutes[:many]
            spans.append((begun + 60.0 * min(minutes), begun + 60.0 * max(minutes)))
    joined: list[tuple[float, float]] = []
    for begun, ended in sorted(spans):
        if joined and begun <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], ended))
        else:
            joined.append((begun, ended))
    return joined


def is_covered(spans: Sequence[tuple[float, float]], at: float) -> bool:
    """Whether a moment lies in one of these times, which are in order."""
    place = bisect_right(spans, (at, float("inf")))
    return place > 0 and spans[place - 1][0] <= at <= spans[place - 1][1]


def _made(logged: Sequence[ClimateLogged], read: Sequence[ClimateRead], limits: Limits) -> Series:
    spans = covered(logged)
    points: list[Point] = []
    swings: dict[float, tuple[float, float]] = {}
    for stretch in logged:
        points += [Point(at, air, damp, stretch) for at, air, damp in stretch.readings()]
    for entry in read:
        at = entry.at.timestamp()
        low, high = entry.air_low_c, entry.air_high_c
        air = entry.air_c
        if low is not None and high is not None:
            low, high = min(low, high), max(low, high)
            air = (low + high) / 2 if air is None else air
        if air is None or is_covered(spans, at):
            continue
        if low is not None and high is not None:
            swings[at] = (low, high)
        points.append(Point(at, air, entry.humidity, entry))
    points.sort(key=lambda one: one.at)
    return Series(points, swings, limits)
