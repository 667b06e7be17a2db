"""The statistics of the weight rule: a slope that outliers do not move, and the chance of a fall by chance alone.

Slope: Theil 1950, Sen 1968, J Am Stat Assoc 63:1379. Test: Mann 1945, Kendall 1975.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import combinations


def median(values: Iterable[float]) -> float:
    """The middle of the values, or midway between the two in the middle. Raises `ValueError` without any.

    Python's own brings fractions and decimals with it: 5 ms at each start.
    """
    ordered = sorted(values)
    if not ordered:
        raise ValueError("no median of nothing")
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2


def theil_sen(times: Sequence[float], values: Sequence[float]) -> float:
    """The median of the slopes between all pairs of points, in units of value a unit of time.

    Pairs at one and the same time have no slope and are left out. Raises `ValueError` when none is left.
    """
    slopes = [
        (values[later] - values[earlier]) / (times[later] - times[earlier])
        for earlier, later in combinations(range(len(times)), 2)
        if times[later] != times[earlier]
    ]
    if not slopes:
        raise ValueError("no two points at different times")
    return median(slopes)


def falling_chance(values: Sequence[float]) -> float:
    """The exact one-sided Mann–Kendall p: how often a shuffled order of these values falls at least so much.

    Equal values stay equal: the p is that of shuffling exactly these values, ties among them, so
    that ties make a fall no surer than it is. All falling gives 1/n!.
    """
    falls = sum(later < earlier for earlier, later in combinations(values, 2))
    ties = tuple(sorted(values.count(value) for value in set(values)))
    counts = orders_by_falls(ties)
    return sum(counts[falls:]) / sum(counts)


@lru_cache(maxsize=512)
def orders_by_falls(ties: tuple[int, ...]) -> tuple[int, ...]:
    """How many orders of values have 0, 1, 2 … falling pairs; `ties` says how often each value occurs.

    Values are put in one after the other, the smallest first: `size` equal ones among `placed` smaller
    ones make a falling pair with every smaller one behind them, which is a partition of the number of
    pairs into at most `size` parts of at most `placed`.
    """
    counts: tuple[int, ...] = (1,)
    placed = 0
    for size in ties:
        counts = _product(counts, _partitions(size, placed))
        placed += size
    return counts


def _partitions(parts: int, largest: int) -> tuple[int, ...]:
    """How many partitions of 0, 1, 2 … have at most `parts` parts, none above `largest`."""
    table: list[tuple[int, ...]] = [(1,)] * (largest + 1)
    for part in range(1, parts + 1):
        for size in range(1, largest + 1):
            # Either no part is as large as `size`, or one such part is taken off.
            fewer, smaller = (0,) * size + table[size], table[size - 1]
            width = part * size + 1
            table[size] = tuple(
                (fewer[number] if number < len(fewer) else 0) + (smaller[number] if number < len(smaller) else 0)
                for number in range(width)
            )
    return table[largest]


def _product(one: tuple[int, ...], other: tuple[int, ...]) -> tuple[int, ...]:
    found = [0] * (len(one) + len(other) - 1)
    for place, many in enumerate(one):
        for shift, times in enumerate(other):
            found[place + shift] += many * times
    return tuple(found)
