"""Who an animal's parents are by the logbook, and who may be its sire where no one wrote it down.

Sire and dam are those of the arrival (the newest that names one); where it names a clutch, those of the clutch.
Where no sire was written down he is reckoned: the males she was seen to mate with or was with in the time before
that clutch, and those whose sperm she may have kept. One of them is taken for the sire; of several any may be.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Literal, NamedTuple, TypeAlias

from rounds.logbook.entries import Arrived, Entry, MatingSeen
from rounds.standing.animal import animal
from rounds.standing.breeding import Days
from rounds.standing.clutch import clutch
from rounds.standing.fold import Standing
from rounds.standing.together import company_of

#: How it is known who the sire is: written down, reckoned from matings and company, or not at all.
Known: TypeAlias = Literal["written", "reckoned", "not known"]


class Parents(NamedTuple):
    """An animal's dam, and whoever may be its sire: none, one, or several. None among them is a male not known."""

    dam: str | None = None
    sires: tuple[str | None, ...] = ()
    known: Known = "not known"
    entries: tuple[Entry, ...] = ()

    @property
    def named(self) -> tuple[str, ...]:
        """Every animal that is or may be a parent."""
        return tuple(dict.fromkeys(one for one in (*self.sires, self.dam) if one is not None))


def parents_of(standing: Standing, who: str, days: Days) -> Parents:
    """An animal's parents, or those of a group counted together, as written down or reckoned."""
    arrivals = [entry for entry in standing.page(who).of(Arrived) if entry.about == who]
    if not arrivals:
        return Parents()
    dam = sire = laid_in = None
    possible: tuple[str, ...] = ()
    told: dict[str, Entry] = {}
    for entry in arrivals:
        for member in (entry.dam, entry.sire, entry.clutch, *entry.possible_sires):
            if member is not None:
                told[entry.id] = entry
        dam, sire = entry.dam or dam, entry.sire or (None if entry.possible_sires else sire)
        possible = entry.possible_sires or (() if entry.sire else possible)
        laid_in = entry.clutch or laid_in
    eggs = clutch(standing, laid_in) if laid_in is not None else None
    if eggs is not None and eggs.laid:
        if dam is None:
            dam = eggs.dam
        if sire is None and not possible and dam == eggs.dam:
            sire = eggs.sire
        told.update({entry.id: entry for entry in eggs.laid[-1:]})
    if sire is not None:
        return Parents(dam, (sire,), "written", tuple(told.values()))
    if possible:
        return Parents(dam, tuple(dict.fromkeys(possible)), "written", tuple(told.values()))
    if eggs is not None and eggs.begun_at is not None and dam is not None and dam == eggs.dam:
        males, behind = possible_sires(standing, dam, eggs.begun_at, days)
        if males:
            return Parents(dam, males, "reckoned", (*told.values(), *behind))
    return Parents(dam, (), "not known", tuple(told.values()))


def possible_sires(
    standing: Standing, dam: str, laid: datetime, days: Days
) -> tuple[tuple[str | None, ...], tuple[Entry, ...]]:
    """Who may be the sire of eggs laid then, the likelier first, and the entries that say so.

    First those she mated with, or was with, in the time before laying that the house's window leaves; then those
    whose sperm she may have kept. A mating with a male that no one named, and no company either, is a male not
    known.
    """
    her = animal(standing, dam)
    opens, closes = _before(laid, days.window_opens), _before(laid, days.window_closes)
    kept = _before(laid, max(days.stored_days, days.window_closes))
    found: dict[str | None, tuple[bool, float]] = {}
    behind: dict[str, Entry] = {}

    def may_be(male: str | None, since: datetime, until: datetime, entry: Entry | None) -> None:
        if since > laid or until < kept or male == dam:
            return
        # 0: in the window. What came later, or long before, stands behind it.
        rank = (not (since <= opens and until >= closes), -min(until, laid).timestamp())
        if male not in found or rank < found[male]:
            found[male] = rank
        if entry is not None:
            behind[entry.id] = entry

    company = company_of(standing, her, days.gravid_from_months)
    for time in company:
        may_be(time.mate, time.since, time.until or laid, time.entry)
    for mating in her.own(MatingSeen):
        if mating.sire is not None:
            may_be(mating.sire, mating.at, mating.at, mating)
        elif not any(time.since <= mating.at <= (time.until or laid) for time in company):
            may_be(None, mating.at, mating.at, mating)
    males = sorted(found, key=lambda male: (*found[male], male or ""))
    if males == [None]:
        return (), tuple(behind.values())
    return tuple(males), tuple(behind.values())


def _before(moment: datetime, days: int) -> datetime:
    """The moment so many days earlier, as far as the calendar goes back."""
    try:
        return moment - timedelta(days=days)
    except OverflowError:
        return moment
