"""Making up an egg box: how much water its medium takes, and what is still to be added. All in g."""

from __future__ import annotations

from typing import Final

from rounds.paper.page import Page
from rounds.paper.values import Values
from rounds.rules.house import House
from rounds.standing.water import dry_for, potential, still_to_add, water_needed

#: What differs by less than a scale tells, in g.
EVEN: Final = 0.05


def making_up(house: House, dry: float, ratio: float | None, tare: float, reading: float | None) -> Values:
    """The water for so much dry vermiculite, as values ready for JSON; `reading` is the scale's, box included."""
    rule = house.rule("eggs.ratio").cite() if ratio is None else None
    ratio = house.number("eggs.ratio") if ratio is None else ratio
    water = round(water_needed(dry, ratio), 2)
    found = potential("vermiculite", ratio)
    # Less than the box and its dry medium weigh: not all of it is on the scale, or the tare is another's.
    short = reading is not None and reading < tare + dry - EVEN
    more = None if reading is None or short else round(still_to_add(dry + water, reading, tare), 2)
    return {
        "medium": "vermiculite",
        "dry_grams": dry,
        "ratio": ratio,
        "water_grams": water,
        "tare_grams": tare,
        "target_grams": round(dry + water + tare, 2),
        "reading_grams": reading,
        "add_grams": more,
        "water_potential_kpa": round(found.kpa, 1) if found else None,
        "water_potential_between_kpa": [round(found.drier, 1), round(found.wetter, 1)] if found else None,
        "says": _too_light(reading, dry, tare) if short else running_words(dry + water, reading, tare, ratio),
        "rule": rule,
    }


def _too_light(reading: float | None, dry: float, tare: float) -> str:
    box = "box and dry medium weigh" if tare else "the dry medium weighs"
    return f"{plain_grams(reading or 0)} g is less than {box}, {plain_grams(tare + dry)} g. Look at scale and tare."


def making_up_text(found: Values) -> str:
    """The same as text: the verdict first."""
    page = Page()
    page.text(found["says"])
    head = f"vermiculite {plain_grams(found['dry_grams'])} g dry, water {found['ratio']:g} : 1 by weight"
    page.text(f"{head}: {plain_grams(found['water_grams'])} g{potential_words('vermiculite', found['ratio'])}")
    if found["rule"]:
        page.text(found["rule"], "rule   ")
    return str(page)


def running_words(target: float, reading: float | None, tare: float, ratio: float | None) -> str:
    """`add 56.6 g more`, `3.2 g too much: add 3.2 g dry, or pour off`, or that it is right. In g."""
    if reading is None:
        wanted = target + tare
        return f"Add water until the scale reads {plain_grams(wanted)} g."
    more = still_to_add(target, reading, tare)
    if more > EVEN:
        return f"{plain_grams(reading)} g: add {plain_grams(more)} g more."
    if more >= -EVEN:
        return f"{plain_grams(reading)} g: right."
    dry = f"add {plain_grams(dry_for(-more, ratio))} g dry, or pour off" if ratio else "pour off"
    return f"{plain_grams(-more)} g too much: {dry}."


def potential_words(medium: str, ratio: float | None) -> str:
    """`, -135 kPa ± 30 %`; empty where none was published."""
    found = potential(medium, ratio)
    return f", {found.kpa:.0f} kPa ± 30 %" if found is not None else ""


def plain_grams(value: float) -> str:
    """A mass in g with the decimals it has: `56.6`, `7`."""
    return f"{value:.2f}".rstrip("0").rstrip(".")
