"""Figures in which a comma, or in a sum of money a point, may be the decimal point or part thousands. Pure."""

from __future__ import annotations

import re
from typing import Final

from rounds.logbook.money import decimals

#: Of a comma before three digits no one can say what it is; of `0,125` anyone can.
_EITHER: Final = re.compile(r"\s*[+-]?[1-9]\d{0,2}(?:,\d{3})+\s*")
#: Of a point before three digits no one can say what it is in a currency that has no three decimals.
_POINT: Final = re.compile(r"\s*[1-9]\d{0,2}\.\d{3}\s*")
_CURRENCY: Final = re.compile(r"[A-Z]{3}")
#: The members of entries that are sums of money.
SUMS: Final = frozenset({"price", "deposit"})


def of_money(text: str, currency: str) -> str:
    """What is said of `1,250`, and of `1.250 EUR`; empty where a sum can be read in one way only."""
    if currency and decimals(currency) != 3 and _POINT.fullmatch(text):
        text = text.strip()
        return f"{text} may be {text.replace('.', '')} or {float(text):g}: write one of the two."
    return thousands_or_decimals(text)


def of_unit(text: str, unit: str) -> str:
    """What is said of a figure in this unit, which may be a currency; empty where it can be read one way."""
    return of_money(text, unit if _CURRENCY.fullmatch(unit) else "")


def thousands_or_decimals(text: str) -> str:
    """What is said of `1,250`; empty where a figure can be read in one way only."""
    if not _EITHER.fullmatch(text):
        return ""
    text = text.strip()
    whole = text.replace(",", "")
    if text.count(",") > 1:
        return f"{text} is written without its commas: {whole}."
    return f"{text} may be {whole} or {text.replace(',', '.')}: write one of the two."
