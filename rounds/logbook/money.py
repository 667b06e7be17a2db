"""Sums of money in words, with as many decimals as the currency has (ISO 4217, minor units, 2024)."""

from __future__ import annotations

from typing import Final

_NONE: Final = frozenset("BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF".split())  # noqa: SIM905
_THREE: Final = frozenset("BHD IQD JOD KWD LYD OMR TND".split())  # noqa: SIM905


def decimals(currency: str) -> int:
    """How many decimals a sum in this currency has; 2 where none is known."""
    return 0 if currency in _NONE else 3 if currency in _THREE else 2


def money(amount: float, currency: str) -> str:
    """`480 AUD`, `85.50 EUR`, `1250000 JPY`, `85.125 KWD`; more decimals than the currency has stand as written."""
    if amount == round(amount):
        return f"{amount:.0f} {currency}".rstrip()
    digits = decimals(currency)
    told = f"{amount:.{digits}f}" if round(amount, digits) == amount else f"{amount:.10g}"
    return f"{told} {currency}".rstrip()
