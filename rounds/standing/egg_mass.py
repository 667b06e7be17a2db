"""What an egg weighs: its own weight, else the mean of its clutch, else that of the species; in g."""

from __future__ import annotations

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


def egg_mean(eggs: Clutch, figures: EggFigures) -> tuple[float, bool]:
    """The mean mass of the clutch's eggs in g, and whether they were weighed."""
    for laid in reversed(eggs.laid):
        if laid.eggs_grams is not None and laid.count:
            mean = laid.eggs_grams / laid.count
            if figures.least_grams <= mean <= figures.most_grams:
                return mean, True
    for box in reversed(eggs.page.of(EggsBoxed)):
        if box.eggs_grams is not None and box.count:
            mean = box.eggs_grams / box.count
            if figures.least_grams <= mean <= figures.most_grams:
                return mean, True
    return figures.egg_grams, False
