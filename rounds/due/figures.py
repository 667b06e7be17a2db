"""Figures as sentences say them."""

from __future__ import annotations


def percent(fraction: float) -> str:
    """0.149 → `14 %`: cut down, so that no sentence says that a limit is reached while it is not."""
    return f"{int(fraction * 100 + 1e-9)} %"


def tenths(percents: float) -> str:
    """5.96 → `5.9`, cut down too."""
    return f"{int(percents * 10 + 1e-9) / 10:.1f}"
