"""Who may be the sire of eggs laid at a moment, the likeliest first, and what says so: for the form of laying.

What a pedigree reckons by is `rounds.standing.parents.possible_sires`; every male it names is among these.
"""

from __future__ import annotations

from datetime import datetime
from typing import Final, Literal

import msgspec

from rounds.logbook.times import days_between
from rounds.standing.animal import animal
from rounds.standing.cycle import Cycle
from rounds.standing.matings import mate_of

Why = Literal["mating seen", "with her", "stored sperm"]
_ORDER: Final[tuple[Why, ...]] = ("mating seen", "with her", "stored sperm")


class LikelySire(msgspec.Struct, frozen=True):
    """One who may be the sire: what speaks for him, the last day of it, and whether the eggs lie in its window."""

    subject: str
    why: Why
    last: datetime
    in_window: bool


def likely_sires(her: Cycle, at: datetime) -> tuple[LikelySire, ...]:
    """Males who may be the sire of eggs laid at a moment, the likeliest first.

    First a mating seen, then company, each in the window of the house before those outside it, the later before the
    earlier; last whom sperm may be stored from: the sire of the clutch before, and earlier matings.
    """
    days, start = her.days, her.chance_start
    found: list[LikelySire] = []
    for mating in her.matings:
        mate = mate_of(mating, her.subject)
        if mate is not None and mating.at <= at:
            fits = days.window_opens <= days_between(mating.at, at) <= days.window_closes
            found.append(LikelySire(mate, "mating seen", mating.at, fits))
    for company in her.company:
        until = min(company.until or at, at)
        if company.mate is None or company.since > at:
            continue
        if start is not None and until <= start:
            found.append(LikelySire(company.mate, "stored sperm", until, False))
            continue
        first, last = days_between(until, at), days_between(company.since, at)
        fits = first <= days.window_closes and last >= days.window_opens
        found.append(LikelySire(company.mate, "with her", until, fits))
    if her.last_complete is not None and her.last_complete.sire is not None and her.laid_at is not None:
        found.append(LikelySire(her.last_complete.sire, "stored sperm", her.laid_at, False))
    if start is not None:
        for mating in her.matings_before(min(start, at)):
            mate = mate_of(mating, her.subject)
            if mate is not None:
                found.append(LikelySire(mate, "stored sperm", mating.at, False))
    found.sort(key=lambda one: one.last, reverse=True)
    found.sort(key=lambda one: (not one.in_window, _ORDER.index(one.why)))
    best: dict[str, LikelySire] = {}
    for one in found:
        if one.subject != her.subject and animal(her.standing, one.subject).sex != "F":
            best.setdefault(one.subject, one)
    return tuple(best.values())
