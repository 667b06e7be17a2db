"""How far a female has regained her own weight since her last clutch."""

from __future__ import annotations

from datetime import datetime

import msgspec

from rounds.standing.clutch import Clutch
from rounds.standing.own_weight import OwnWeight
from rounds.standing.weighing import Weighing


class Recovery(msgspec.Struct, frozen=True):
    """Her last clutch, her own weight in g before it, and the last weighing since; None where none was noted."""

    eggs: Clutch
    laid: datetime
    before: float | None
    last: Weighing | None

    @property
    def part(self) -> float | None:
        """Her weight as a part of her own before that clutch (0.96: 96 %); None when not known.

        Where readings of the last weighing differ, the lower counts: it is no all-clear.
        """
        return None if self.before is None or self.last is None else self.last.grams / self.before


def recovery(her: OwnWeight, now: datetime) -> Recovery | None:
    """How she recovers from her last complete clutch; None when she never completed one here.

    Her own weight is that before the mating, or the company, that led to that clutch.
    """
    eggs = her.last_complete
    if eggs is None or eggs.complete is None:
        return None
    laid = eggs.complete.at
    since = [one for one in her.weighings() if one.at > laid and one.at <= now]
    return Recovery(eggs, laid, her.weight_before_last_clutch(), since[-1] if since else None)
