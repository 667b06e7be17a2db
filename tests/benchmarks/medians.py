"""Several measures taken in turn."""

from __future__ import annotations

import statistics
from collections.abc import Callable


def medians(repeats: int, *measures: Callable[[], float]) -> list[float]:
    """The medians of several measures taken in turn, so that a slow moment of the machine meets all of them."""
    taken: list[list[float]] = [[] for _ in measures]
    for measure in measures:
        measure()  # the first of each warms file caches and compiled modules
    for _ in range(repeats):
        for found, measure in zip(taken, measures, strict=True):
            found.append(measure())
    return [statistics.median(found) for found in taken]
