"""Temperatures as they are read off: °F in °C, and a figure with a comma or its unit behind it. Pure."""

from __future__ import annotations

import re
from typing import Final

_WRITTEN: Final = re.compile(r"([+-]?\d{1,8}(?:[.,]\d{1,6})?)\s*(?:°\s*)?([cCfF]?)")


def celsius(fahrenheit: float) -> float:
    """So many °F in °C, to the hundredth: 84 °F are 28.89 °C."""
    return round((fahrenheit - 32) * 5 / 9, 2)


def figure_in(text: str, unit: str) -> float | None:
    """The figure in words such as `29,4`, and of temperatures `84F` or `29.4 °C` in °C; None where it is none."""
    found = _WRITTEN.fullmatch(text.strip())
    if found is None or (found[2] and unit != "°C"):
        return None
    figure = float(found[1].replace(",", "."))
    return celsius(figure) if found[2] in ("f", "F") else figure
