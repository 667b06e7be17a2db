"""The readings on a shelf's page as one series: a logger's stretches and readings by hand, summed once."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from rounds.logbook.entries import ClimateLogged, ClimateRead, Entry
from rounds.standing.fold import Standing
from rounds.standing.incubator import HOUR, Block, Limits, Point, Series, link_between

#: So many series are kept at hand, each with all its sums.
_KEPT: Final = 64


def _block(points: Sequence[Point], limits: Limits) -> Block | None:
    """Readings with their running sums; None where a gap or a step back lies between them."""
    times = [one.at for one in points]
    sums: tuple[list[float], ...] = ([0.0], [0.0], [0.0], [0.0])
    development = hot = cold = warmth = 0.0
    for one, two in pairwise(points):
        link = link_between(one, two, {}, limits)
        if link.is_gap or link.span < 0:
            return None
        development += link.development
        hot += link.hot
        cold += link.cold
        warmth += link.warmth
        for running, value in zip(sums, (development, hot, cold, warmth), strict=True):
            running.append(value)
    return Block(points, times, *sums)


#: Blocks of stretches that were summed before: a save adds one, and the others are as they were.
_blocks: dict[tuple[int, Limits], tuple[ClimateLogged, Block | None]] = {}
_MOST_BLOCKS: Final = 8_192


def _block_of(stretch: ClimateLogged, limits: Limits) -> Block | None:
    key = (id(stretch), limits)
    known = _blocks.get(key)
    if known is None or known[0] is not stretch:
        if len(_blocks) >= _MOST_BLOCKS:
            _blocks.clear()
        points = [Point(at, air, damp, stretch) for at, air, damp in stretch.readings()]
        known = _blocks[key] = (stretch, _block(points, limits) if points else None)
    return known[1]


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


def has_own(standing: Standing, box: str) -> bool:
    """Whether a probe inside this egg box, or anyone's thermometer, was read."""
    strands = standing.page(box).strands
    return ClimateLogged in strands or ClimateRead in strands


def in_the_box(own: Series, shelf: Series) -> list[tuple[float, float]]:
    """The times that readings inside an egg box speak for, in order; between them its shelf's count.

    They are those between two readings no further apart than the gap. The last goes on for as long as the shelf was
    not read without the box by more than the gap: so the probe counts for the days to come. Of a shelf of which
    nothing was read the box speaks for all its time.
    """
    if not own.points:
        return []
    if not shelf.points:
        return [(float("-inf"), float("inf"))]
    gap = own.limits.gap_hours * HOUR
    found: list[tuple[float, float]] = []
    for one, two in pairwise(own.times):
        if two - one > gap or two <= one:
            continue
        if found and found[-1][1] == one:
            found[-1] = (found[-1][0], two)
        else:
            found.append((one, two))
    if found and found[-1][1] == own.times[-1] and shelf.times[-1] - own.times[-1] <= gap:
        found[-1] = (found[-1][0], float("inf"))
    return found


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
    swings: dict[float, tuple[float, float]] = {}
    alone: list[Point] = []
    for entry in read:
        at = entry.at.timestamp()
        low, high = entry.air_low_c, entry.air_high_c
        air = entry.air_c
        if air is not None and (low is None) != (high is None):
            # Of the day only its highest or its lowest was read: the other is the reading itself.
            low, high = (air if low is None else low), (air if high is None else high)
        if low is not None and high is not None:
            low, high = min(low, high), max(low, high)
            air = (low + high) / 2 if air is None else air
        if air is None or is_covered(spans, at):
            continue
        if low is not None and high is not None:
            swings[at] = (low, high)
        alone.append(Point(at, air, entry.humidity, entry))
    blocks = [block for stretch in logged if (block := _block_of(stretch, limits)) is not None]
    for stretch in logged:
        if stretch.air_c and _block_of(stretch, limits) is None:  # a gap in it, or a step back
            blocks += _runs([Point(at, air, damp, stretch) for at, air, damp in stretch.readings()], limits)
    return Series(
        _parted(sorted([*blocks, *map(_single, alone)], key=lambda one: one.times[0]), limits), swings, limits
    )


def _parted(every: Sequence[Block], limits: Limits) -> list[Block]:
    """The same readings, those of stretches that lie within each other put in order."""
    found: list[Block] = []
    together: list[Block] = []
    ended = float("-inf")
    for one in [*every, None]:
        if one is None or one.times[0] >= ended:
            many = len(together) > 1
            found += _runs([point for block in together for point in block.points], limits) if many else together
            together = []
        if one is not None:
            together.append(one)
            ended = max(ended, one.times[-1])
    return found


def _runs(points: list[Point], limits: Limits) -> list[Block]:
    """Readings in any order as blocks, a new one after each gap."""
    points.sort(key=lambda one: one.at)
    runs: list[list[Point]] = []
    for one in points:
        if runs and one.at - runs[-1][-1].at <= limits.gap_hours * HOUR:
            runs[-1].append(one)
        else:
            runs.append([one])
    return [block for run in runs if (block := _block(run, limits)) is not None]


def _single(one: Point) -> Block:
    return Block([one], [one.at], [0.0], [0.0], [0.0], [0.0])
