"""Figures in which a comma may be the decimal point, or part thousands. Pure."""

from __future__ import annotations

import re
from typing import Final

#: Of a comma before three digits no one can say what it is; of `0,125` anyone can.
_EITHER: Final = re.compile(r"\s*[+-]?[1-9]\d{0,2}(?:,\d{3})+\s*")


def thousands_or_decimals(text: str) -> str:
    """What is said of `1,250`; empty where a figure can be read in one way only."""
    if not _EITHER.fullmatch(text):
        return ""
    text = text.strip()
    whole = text.replace(",", "")
    if text.count(",") > 1:
        return f"{text} is written without its commas: {whole}."
    return f"{text} may be {whole} or {text.replace(',', '.')}: write one of the two."
