"""A series of weights as a line of small blocks, and its scale. Plain characters, no colour needed."""

from __future__ import annotations

from collections.abc import Sequence

from rounds.standing.weighing import Weighing

_EIGHTHS = " ▁▂▃▄▅▆▇█"


def weight_line(weights: Sequence[Weighing], width: int, rows: int = 3) -> list[str]:
    """The weights over time in `rows` rows of `width` cells: oldest left, each cell a span of days.

    A span without a weighing stays empty, so that a gap is seen as a gap.
    """
    if len(weights) < 2 or width < 8:
        return []
    first, last = weights[0].at, weights[-1].at
    span = (last - first).total_seconds() or 1.0
    columns = max(2, min(width, 2 * len(weights) + 10, 60))
    cells: list[list[float]] = [[] for _ in range(columns)]
    for one in weights:
        place = int((one.at - first).total_seconds() / span * (columns - 1))
        cells[place].append(one.grams)
    low, high = min(one.grams for one in weights), max(one.grams for one in weights)
    room = (high - low) or 1.0
    levels = [1 + (sum(cell) / len(cell) - low) / room * (rows * 8 - 1) if cell else 0.0 for cell in cells]
    drawn: list[str] = []
    for row in reversed(range(rows)):
        text = "".join(_EIGHTHS[max(0, min(8, round(level - row * 8)))] for level in levels)
        mark = f"{high:5.0f} g " if row == rows - 1 else f"{low:5.0f} g " if row == 0 else " " * 8
        drawn.append(mark + text)
    drawn.append(" " * 8 + f"{first:%d %b}" + " " * max(1, columns - 12) + f"{last:%d %b}")
    return drawn
