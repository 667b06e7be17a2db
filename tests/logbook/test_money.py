"""Sums of money and figures as people write them."""

from __future__ import annotations

import pytest

from rounds.logbook.money import money
from rounds.logbook.written_figures import with_point


# Decimals of each currency: ISO 4217, minor units.
@pytest.mark.parametrize(
    ("amount", "currency", "told"),
    [
        (480, "AUD", "480 AUD"),
        (85.5, "EUR", "85.50 EUR"),
        (1_250_000, "JPY", "1250000 JPY"),
        (9_999_999, "IDR", "9999999 IDR"),
        (85.125, "KWD", "85.125 KWD"),
        (85.5, "KWD", "85.500 KWD"),
        # More than the currency has: as it was written.
        (85.127, "EUR", "85.127 EUR"),
        (12.5, "JPY", "12.5 JPY"),
        (12.5, "", "12.50"),
    ],
)
def test_a_sum_has_as_many_decimals_as_its_currency(amount: float, currency: str, told: str) -> None:
    assert money(amount, currency) == told


@pytest.mark.parametrize(
    ("text", "read"), [("85,50", "85.50"), ("0,125", "0.125"), ("452", "452"), ("soon", "soon")]
)
def test_a_comma_is_read_as_a_point(text: str, read: str) -> None:
    assert with_point(text) == read


@pytest.mark.parametrize(
    ("text", "told"), [("1,250", "1,250 may be 1250 or 1.250"), ("1,250,000", "without its commas: 1250000")]
)
def test_a_comma_that_may_part_thousands_is_refused(text: str, told: str) -> None:
    with pytest.raises(ValueError, match=told):
        with_point(text)
