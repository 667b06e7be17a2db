"""Warmth above a base, summed: straight between two readings, and over a day of which only low and high are known.

Degree days: Zalom et al. 1983, Degree-Days: The Calculation and Use of Heat Units in Pest Management, UC leaflet
21373. Units: °C and days, or °F and days; base and top in the unit of the temperatures. Pure.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TypeAlias

#: A figure of a day worked out from its low, its high and a limit.
_Part: TypeAlias = Callable[[float, float, float], float]


def rate(celsius: float, base: float, top: float) -> float:
    """How fast eggs develop at one temperature, in °C above the base: 0 below the base, no more above the top."""
    return min(max(celsius, base), top) - base


def mean_rate(begun: float, ended: float, base: float, top: float) -> float:
    """The mean of `rate` while the temperature goes straight from one reading to the next. Exact."""
    if begun == ended:
        return rate(begun, base, top)
    low, high = (begun, ended) if begun < ended else (ended, begun)
    if low >= base and high <= top:
        return (low + high) / 2 - base
    # Of each value on the way as long as of any other: the mean over [low, high] of min(max(x, base), top) − base.
    width = high - low
    rising = max(0.0, min(high, top) - max(low, base))
    mid = (min(max(low, base), top) + min(max(high, base), top)) / 2 - base
    level = max(0.0, high - max(low, top)) * (top - base)
    return (rising * mid + level) / width


def share_above(begun: float, ended: float, limit: float) -> float:
    """The part of the time from one reading to the next in which it is above a limit, going straight."""
    if begun == ended:
        return 1.0 if begun > limit else 0.0
    low, high = (begun, ended) if begun < ended else (ended, begun)
    return min(1.0, max(0.0, (high - limit) / (high - low)))


def sine(low: float, high: float, base: float, top: float, *, vertical: bool = False) -> float:
    """Degree days of a day by the single sine; above the top the top counts, or with `vertical` nothing."""
    return _cut(_sine_over, _sine_share, low, high, base, top, vertical)


def triangle(low: float, high: float, base: float, top: float, *, vertical: bool = False) -> float:
    """Degree days of a day by the single triangle; the cutoffs as for `sine`."""
    return _cut(_triangle_over, _triangle_share, low, high, base, top, vertical)


def _cut(over: _Part, share: _Part, low: float, high: float, base: float, top: float, vertical: bool) -> float:
    low, high = min(low, high), max(low, high)
    found = over(low, high, base) - over(low, high, top)
    if vertical:
        found -= (top - base) * share(low, high, top)
    return max(0.0, found)


def _sine_over(low: float, high: float, limit: float) -> float:
    """The mean of what a sine from low to high has above a limit."""
    middle, swing = (low + high) / 2, (high - low) / 2
    if low >= limit:
        return middle - limit
    if high <= limit:
        return 0.0
    angle = math.asin(max(-1.0, min(1.0, (limit - middle) / swing)))
    return ((middle - limit) * (math.pi / 2 - angle) + swing * math.cos(angle)) / math.pi


def _sine_share(low: float, high: float, limit: float) -> float:
    if low >= limit or high <= limit:
        return 1.0 if low >= limit else 0.0
    angle = math.asin(max(-1.0, min(1.0, (limit - (low + high) / 2) / ((high - low) / 2))))
    return (math.pi / 2 - angle) / math.pi


def _triangle_over(low: float, high: float, limit: float) -> float:
    """The mean of what a triangle from low to high and back has above a limit."""
    if low >= limit:
        return (low + high) / 2 - limit
    if high <= limit:
        return 0.0
    return (high - limit) ** 2 / (2 * (high - low))


def _triangle_share(low: float, high: float, limit: float) -> float:
    if low >= limit or high <= limit:
        return 1.0 if low >= limit else 0.0
    return (high - limit) / (high - low)


def dew_point(celsius: float, humidity: float) -> float | None:
    """The temperature in °C at which this air sheds water, by Magnus (17.62, 243.12 °C); None for dry air (0 %)."""
    if not 0 < humidity <= 100 or celsius <= -243.12:
        return None
    pressed = math.log(humidity / 100) + 17.62 * celsius / (243.12 + celsius)
    return 243.12 * pressed / (17.62 - pressed)
