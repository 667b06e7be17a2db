"""How far a female has regained her own weight since her last clutch."""

from __future__ import annotations

from datetime import datetime

import msgspec

from rounds.logbook.times import days_between
from rounds.standing.clutch import Clutch
from rounds.standing.own_weight import OwnWeight
from rounds.standing.weighing import Weighing
from rounds.standing.year import YearDays, brumations


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


def recovery(her: OwnWeight, now: datetime, days: YearDays) -> Recovery | None:
    """How she recovers from her last complete clutch; None when she never completed one here.

    None too once that is over: she brumated since, or laid none for so long that a new season began. Her own weight
    is that of the last weighings before it in which no clutch was in her.
    """
    eggs = her.last_complete
    if eggs is None or eggs.complete is None:
        return None
    laid = eggs.complete.at
    winters = [one.parts_seasons_at for one in brumations(her.animal, days)]
    if days_between(laid, now) > days.season_gap or any(laid < at <= now for at in winters):
        return None
    since = [one for one in her.weighings() if one.at > laid and one.at <= now]
    return Recovery(eggs, laid, her.weight_without_eggs(eggs), since[-1] if since else None)
