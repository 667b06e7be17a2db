"""A shelf's temperatures as rows of small blocks with figures beside them. Legible without colour; pure."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

_EIGHTHS: Final = " ▁▂▃▄▅▆▇█"
#: For a terminal that has no blocks: empty, low, half and full in a cell.
_PLAIN: Final = " .:|"
#: The least that the rows span, in °C: the flicker of a thermostat is no mountain.
_LEAST_SPAN: Final = 3.0


def drawn(
    values: Sequence[float | None], low: float, high: float, *, rows: int = 3, plain: bool = False
) -> list[str]:
    """The temperatures, oldest left, in `rows` rows under each other; a cell without a reading stays empty.

    `low` and `high` are the band, which the rows always span. Left of each row stands the temperature at its
    middle, in °C; `plain` draws with letters any terminal has. Empty without any value.
    """
    known = [value for value in values if value is not None]
    if not known or rows < 1:
        return []
    bottom, top = min(low, *known), max(high, *known)
    middle, span = (bottom + top) / 2, max(_LEAST_SPAN, top - bottom) * 1.04
    bottom = middle - span / 2
    signs = _PLAIN if plain else _EIGHTHS
    fine = len(signs) - 1
    levels = [None if value is None else max(1, round((value - bottom) / span * rows * fine)) for value in values]
    lines = []
    for row in reversed(range(rows)):
        cells = [" " if level is None else signs[max(0, min(fine, level - row * fine))] for level in levels]
        lines.append(f"{bottom + span * (row + 0.5) / rows:5.1f} {'|' if plain else '│'}{''.join(cells)}")
    return lines


def thinned_to(values: Sequence[float | None], columns: int, middle: float) -> list[float | None]:
    """The values in so many columns: of those that share one, the furthest from the middle of the band."""
    many = len(values)
    if columns < 1 or many <= columns:
        return list(values)
    found: list[float | None] = []
    for column in range(columns):
        part = [one for one in values[column * many // columns : (column + 1) * many // columns] if one is not None]
        found.append(max(part, key=lambda one: abs(one - middle)) if part else None)
    return found
