"""Sums of money and figures as people write them."""

from __future__ import annotations

import pytest

from rounds.logbook.money import money
from rounds.logbook.written_figures import of_money, thousands_or_decimals


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
    ("text", "told"),
    [
        ("1,250", "1,250 may be 1250 or 1.250: write one of the two."),
        ("1,250,000", "1,250,000 is written without its commas: 1250000."),
        ("85,50", ""),
        ("0,125", ""),
        ("452", ""),
    ],
)
def test_a_comma_that_may_part_thousands_is_told(text: str, told: str) -> None:
    assert thousands_or_decimals(text) == told


@pytest.mark.parametrize(
    ("text", "currency", "told"),
    [
        ("1.250", "EUR", "1.250 may be 1250 or 1.25: write one of the two."),
        ("1.250", "JPY", "1.250 may be 1250 or 1.25: write one of the two."),
        ("1,250", "KWD", "1,250 may be 1250 or 1.250: write one of the two."),
        ("1.250", "KWD", ""),
        ("1.250", "", ""),
        ("0.125", "EUR", ""),
        ("85.50", "EUR", ""),
        ("1250.000", "EUR", ""),
    ],
)
def test_a_point_that_may_part_thousands_of_a_sum_is_told(text: str, currency: str, told: str) -> None:
    assert of_money(text, currency) == told
