"""Water and medium of an egg box: how much water, what the scale should say, and the water potential.

All in g, and in g of water to 1 g of dry medium, the dry basis of soil science: ω = water ÷ dry (ASTM D2216,
Standard Test Methods for Laboratory Determination of Water (Moisture) Content of Soil and Rock by Mass).
"""

from __future__ import annotations

from math import exp, log
from typing import Final, NamedTuple

#: Water to dry vermiculite by mass, and the water potential in kPa: Verdú-Ricoy 2014; Brown & Shine; Wei 2021. The
#: grade of vermiculite differs: ± 30 %. For perlite and sphagnum none was found.
POTENTIALS: Final = (
    (0.1, -1500.0),
    (0.25, -920.0),
    (0.5, -300.0),
    (0.8, -150.0),
    (1.0, -135.0),
    (1.2, -85.0),
    (3.0, -2.0),
)
SPREAD: Final = 0.30


class Potential(NamedTuple):
    """A water potential in kPa, with its ± 30 %: the drier and the wetter end."""

    kpa: float
    drier: float
    wetter: float


def potential(medium: str, ratio: float | None) -> Potential | None:
    """The water potential of a medium at so much water to 1 of dry, by mass.

    Straight between the published rows, both on a logarithmic scale. None beyond the first and the last row, and
    for any medium but vermiculite: none was published.
    """
    if medium != "vermiculite" or ratio is None or not POTENTIALS[0][0] <= ratio <= POTENTIALS[-1][0]:
        return None
    below = max(row for row in POTENTIALS if row[0] <= ratio)
    above = min(row for row in POTENTIALS if row[0] >= ratio)
    kpa = below[1]
    if above[0] > below[0]:
        part = log(ratio / below[0]) / log(above[0] / below[0])
        kpa = -exp(log(-below[1]) + part * log(above[1] / below[1]))
    return Potential(kpa, kpa * (1 + SPREAD), kpa * (1 - SPREAD))


def water_needed(dry: float, ratio: float) -> float:
    """The water that so much dry medium takes, in g: dry × ratio."""
    return dry * ratio


def still_to_add(target: float, reading: float, tare: float = 0.0) -> float:
    """What is still to be added in g while the scale reads so much, box included; below 0 when it is too much."""
    return target - (reading - tare)


def dry_for(too_much: float, ratio: float) -> float:
    """The dry medium that takes up so much water too much, in g."""
    return too_much / ratio
