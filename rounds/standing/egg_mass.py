"""What an egg weighs: the mean of its clutch where that was weighed, else that of the species; in g."""

from __future__ import annotations

from datetime import timedelta

import msgspec

from rounds.logbook.entries import EggsBoxed
from rounds.standing.clutch import Clutch


class EggFigures(msgspec.Struct, frozen=True):
    """The house rules that an egg box is reckoned by; `House.egg_figures` gives those of a house.

    The values here are the defaults of rounds/rules/defaults/eggs.toml, where their sources stand.
    """

    #: An egg that was not weighed, in g.
    egg_grams: float = 3.81
    #: An egg's weight is believed between these, in g.
    least_grams: float = 2.0
    most_grams: float = 6.0
    #: A top-up is asked for from so many g, or from so much of the target, whichever is more.
    top_up_grams: float = 2.0
    top_up_part: float = 0.01
    #: A box dries fast from so many times its own habit on; the habit is of so many stretches at least.
    fast_times: float = 2.0
    habit_least: int = 2


def weighed_eggs(eggs: Clutch) -> tuple[float, int]:
    """The mass of those eggs of a clutch that were weighed, in g, and how many: when laid, else when boxed."""
    laid = [entry for entry in eggs.laid if entry.eggs_grams is not None and entry.count > 0]
    if laid:
        return laid[-1].eggs_grams or 0.0, laid[-1].count
    boxed = [entry for entry in eggs.page.of(EggsBoxed) if entry.eggs_grams is not None and entry.count > 0]
    last = [entry for entry in boxed if boxed[-1].at - entry.at <= timedelta(days=1)]
    many = sum(entry.count for entry in last)
    if not last or (eggs.laid and many > eggs.count):
        return 0.0, 0
    return sum(entry.eggs_grams or 0.0 for entry in last), many


def egg_mean(eggs: Clutch, figures: EggFigures) -> tuple[float, bool]:
    """The mean mass of the clutch's eggs in g, and whether they were weighed."""
    grams, many = weighed_eggs(eggs)
    if many and figures.least_grams <= grams / many <= figures.most_grams:
        return grams / many, True
    return figures.egg_grams, False
