"""Figures as sentences say them."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fractions import Fraction  # no start has to wait for it


def percent(fraction: float) -> str:
    """0.149 → `14 %`: cut down, so that no sentence says that a limit is reached while it is not."""
    return f"{int(fraction * 100 + 1e-9)} %"


def tenths(percents: float) -> str:
    """5.96 → `5.9`, cut down too."""
    return f"{int(percents * 10 + 1e-9) / 10:.1f}"


def percent_of(share: Fraction) -> str:
    """1/8 → `12.5 %`, cut down after two decimals."""
    cut = int(share * 10_000)
    if not cut:
        return "under 0.01 %" if share else "0 %"
    return f"{cut / 100:g} %"


def fraction_of(share: Fraction, most: int = 12) -> str:
    """1/8 → `1/8`; one of more letters as a percentage."""
    if share.denominator.bit_length() > 3 * most:
        return percent_of(share)
    told = str(share)
    return told if len(told) <= most else percent_of(share)
