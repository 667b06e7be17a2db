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

from rounds.logbook.entries import Entry
from rounds.standing.degree_days import mean_rate, rate, share_above, sine

HOUR: Final = 3_600.0
DAY: Final = 86_400.0
#: So long before the last reading counts as how the shelf is set now.
_LATELY: Final = 7 * DAY


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
    """A time past a limit: from its first reading to its last, the furthest out, and the entries by id."""

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


class Link(msgspec.Struct, frozen=True, gc=False):
    """From one reading to the next: seconds, and what adds up; nothing over a gap."""

    span: float
    is_gap: bool
    development: float = 0.0
    hot: float = 0.0
    cold: float = 0.0
    warmth: float = 0.0


class Block(msgspec.Struct, frozen=True, gc=False):
    """Readings that follow each other without a gap, with running sums from the first of them (0 there).

    `development` is in °C days, `hot` and `cold` in hours, `warmth` in °C times seconds.
    """

    points: Sequence[Point]
    times: list[float]
    development: list[float]
    hot: list[float]
    cold: list[float]
    warmth: list[float]


class Series:
    """The readings of one shelf in order of time, with running sums. Get it with `series`."""

    def __init__(self, blocks: Sequence[Block], swings: dict[float, tuple[float, float]], limits: Limits) -> None:
        self.limits = limits
        #: By the time of a reading: lowest and highest of the day before it, where only these are known.
        self._swings = swings
        self.points: list[Point] = []
        self.times: list[float] = []
        #: Running sums at each point: development, hours hot, cold and bridged, °C times seconds, seconds read.
        self.development: list[float] = []
        self._hot: list[float] = []
        self._cold: list[float] = []
        self._bridged: list[float] = []
        self._warmth: list[float] = []
        self._read: list[float] = []
        links = [link_between(one.points[-1], two.points[0], swings, limits) for one, two in pairwise(blocks)]
        self.mean_c, self._rate_between = self._means(blocks, links)
        self._sum(blocks, links)
        self.rate_now = self._lately(limits.gap_hours * HOUR, self._rate_between)

    def _means(self, blocks: Sequence[Block], links: Sequence[Link]) -> tuple[float, float]:
        """Mean temperature and mean rate of development over all times without a gap."""
        time = sum(one.times[-1] - one.times[0] for one in blocks)
        warmth = sum(one.warmth[-1] for one in blocks)
        grown = sum(one.development[-1] for one in blocks)
        for link in links:
            if not link.is_gap:
                time += link.span
                warmth += link.warmth
                grown += link.development
        if time:
            return warmth / time, grown * DAY / time
        alone = [point.air_c for one in blocks for point in one.points] or [self.limits.usual_c]
        speeds = [rate(one, self.limits.base, self.limits.top) for one in alone]
        return sum(alone) / len(alone), sum(speeds) / len(speeds)

    def _sum(self, blocks: Sequence[Block], links: Sequence[Link]) -> None:
        """Put the blocks behind one another."""
        development = hot = cold = bridged = warmth = read = 0.0
        for place, one in enumerate(blocks):
            if place:
                link = links[place - 1]
                if link.is_gap:
                    development += self._rate_between * link.span / DAY
                    bridged += link.span / HOUR
                else:
                    development += link.development
                    hot += link.hot
                    cold += link.cold
                    warmth += link.warmth
                    read += link.span
            begun = one.times[0]
            self.points += one.points
            self.times += one.times
            self.development += [development + more for more in one.development]
            self._hot += [hot + more for more in one.hot]
            self._cold += [cold + more for more in one.cold]
            self._warmth += [warmth + more for more in one.warmth]
            self._read += [read + at - begun for at in one.times]
            self._bridged += [bridged] * len(one.times)
            development, hot, cold = self.development[-1], self._hot[-1], self._cold[-1]
            warmth, read = self._warmth[-1], self._read[-1]

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

    def read_over(self, begun: float, ended: float) -> tuple[float, float]:
        """°C times seconds, and the seconds, of a time as far as it was read without a gap."""
        warmth = self._at(self._warmth, ended) - self._at(self._warmth, begun)
        return warmth, self._at(self._read, ended) - self._at(self._read, begun)

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
        """Seconds of this time before the first reading, and after a last one that lies back more than the gap."""
        if not self.times:
            return ended - begun
        before = max(0.0, min(ended, self.times[0]) - begun)
        after = max(0.0, ended - max(begun, self.times[-1]))
        return before + (after if ended - self.times[-1] > self.limits.gap_hours * HOUR else 0.0)

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
        return self._spells(begun, ended, above, 1)

    def cold_spells(self, begun: float, ended: float, below: float) -> list[Spell]:
        """When it was below a limit, oldest first, each spell with its coldest reading."""
        return self._spells(begun, ended, below, -1)

    def _spells(self, begun: float, ended: float, limit: float, sign: int) -> list[Spell]:
        """When it was past a limit, above it (`sign` 1) or below (-1)."""
        found: list[Spell] = []
        is_on = False
        for place in range(bisect_left(self.times, begun), bisect_right(self.times, ended)):
            point = self.points[place]
            swing = self._swings.get(point.at)
            peak = point.air_c if swing is None else sign * max(sign * one for one in (point.air_c, *swing))
            if sign * peak > sign * limit:
                since = self.times[place - 1] if swing is not None and place else point.at
                before = found.pop() if is_on else Spell(max(begun, since), point.at, peak, {})
                before.entries[point.entry.id] = point.entry
                most = sign * max(sign * before.peak, sign * peak)
                found.append(Spell(before.begun, point.at, most, before.entries))
            is_on = sign * peak > sign * limit
        return found

    def between(self, begun: float, ended: float) -> Sequence[Point]:
        """The readings of a time, its ends among them."""
        return self.points[bisect_left(self.times, begun) : bisect_right(self.times, ended)]


def link_between(one: Point, two: Point, swings: dict[float, tuple[float, float]], limits: Limits) -> Link:
    span = two.at - one.at
    if span > limits.gap_hours * HOUR:
        return Link(span, True)
    swing = swings.get(two.at)
    begun, ended = swing or (one.air_c, two.air_c)
    speed = (sine if swing else mean_rate)(begun, ended, limits.base, limits.top)
    hot = share_above(begun, ended, limits.alarm) if begun > limits.alarm or ended > limits.alarm else 0.0
    cold = share_above(-begun, -ended, -limits.low) if begun < limits.low or ended < limits.low else 0.0
    hours = span / HOUR
    return Link(span, False, speed * span / DAY, hot * hours, cold * hours, (begun + ended) / 2 * span)
