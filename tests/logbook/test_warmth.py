"""Temperatures in °F, and figures with a comma."""

from __future__ import annotations

import pytest

from rounds.logbook.warmth import celsius, figure_in


def test_84_fahrenheit_are_28_89_celsius() -> None:
    assert celsius(84) == pytest.approx(260 / 9, abs=0.005)
    assert celsius(93) - celsius(84) == pytest.approx(5, abs=0.01)


@pytest.mark.parametrize(
    ("text", "unit", "figure"),
    [
        ("84F", "°C", 28.89),
        ("84.2 °f", "°C", 29.0),
        ("29,4", "°C", 29.4),
        ("29.4 C", "°C", 29.4),
        ("452,5", "g", 452.5),
        ("84F", "g", None),
        ("1,234,567", "g", None),
        ("warm", "°C", None),
    ],
)
def test_a_figure_is_read_as_keepers_write_it(text: str, unit: str, figure: float | None) -> None:
    assert figure_in(text, unit) == figure
