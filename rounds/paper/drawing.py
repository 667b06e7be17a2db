"""A series of weights as a line of small blocks, and its scale. Plain characters, no colour needed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from rounds.due.dates import day
from rounds.standing.weighing import Weighing

_EIGHTHS = " ▁▂▃▄▅▆▇█"


def weight_line(weights: Sequence[Weighing], width: int, rows: int = 3) -> list[str]:
    """The weights over time in `rows` rows of `width` cells: oldest left, each cell a span of days."""
    return blocks([(one.at, one.grams) for one in weights], width, rows)


def blocks(points: Sequence[tuple[datetime, float]], width: int, rows: int = 3) -> list[str]:
    """Figures over time, oldest first, in blocks, and below them their first and last day; none of fewer than two.

    A span without a figure stays empty, so that a gap is seen as a gap.
    """
    if len(points) < 2 or width < 8:
        return []
    first, last = points[0][0], points[-1][0]
    span = (last - first).total_seconds() or 1.0
    columns = max(2, min(width, 2 * len(points) + 10, 60))
    cells: list[list[float]] = [[] for _ in range(columns)]
    for at, grams in points:
        place = int((at - first).total_seconds() / span * (columns - 1))
        cells[place].append(grams)
    low, high = min(grams for _, grams in points), max(grams for _, grams in points)
    room = (high - low) or 1.0
    levels = [1 + (sum(cell) / len(cell) - low) / room * (rows * 8 - 1) if cell else 0.0 for cell in cells]
    drawn: list[str] = []
    for row in reversed(range(rows)):
        text = "".join(_EIGHTHS[max(0, min(8, round(level - row * 8)))] for level in levels)
        mark = f"{high:5.0f} g " if row == rows - 1 else f"{low:5.0f} g " if row == 0 else " " * 8
        drawn.append(mark + text)
    begins, ends = day(first, last), day(last)
    begins = begins if len(begins) + 1 + len(ends) <= columns else day(first)
    drawn.append(" " * 8 + begins + " " * max(1, columns - len(begins) - len(ends)) + ends)
    return drawn
