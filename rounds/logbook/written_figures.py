"""Figures as people write them: with a decimal point or a comma."""

from __future__ import annotations

import re
from typing import Final

_COMMA: Final = re.compile(r"\s*[+-]?\d+,\d+\s*")
#: Of a comma before three digits no one can say what it is.
_EITHER: Final = re.compile(r"\s*[+-]?[1-9]\d{0,2}(?:,\d{3})+\s*")


def with_point(text: str) -> str:
    """`85,50` as `85.50`; every other text as it is. Raises `ValueError` with a sentence for `1,250`."""
    if _EITHER.fullmatch(text):
        raise ValueError(thousands_or_decimals(text.strip()))
    return text.replace(",", ".") if _COMMA.fullmatch(text) else text


def thousands_or_decimals(text: str) -> str:
    """What is said of `1,250`."""
    whole = text.replace(",", "")
    point = text.replace(",", ".") if text.count(",") == 1 else ""
    if not point:
        return f"{text} is written without its commas: {whole}."
    return f"{text} may be {whole} or {point}: write one of the two."
