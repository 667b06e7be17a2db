"""Who an animal's parents are by the logbook, and who may be its sire or its dam where no one wrote it down.

Sire and dam are those of the arrival, or of papers (the newest that names one), else those of the clutch it names.
Where no sire was written down he is reckoned: the males she was seen to mate with or was with in the time before
that clutch, and those whose sperm she may have kept. One of them is taken for the sire; of several any may be.

One out of a group in which young of several clutches were put together may be of each of them.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Literal, NamedTuple, TypeAlias

from rounds.logbook.descent import Descent, written_parents
from rounds.logbook.entries import Arrived, Entry, PedigreeNoted, SingledOut
from rounds.standing.animal import animal
from rounds.standing.breeding import Days
from rounds.standing.clutch import clutch
from rounds.standing.clutch_young import clutches_of_group
from rounds.standing.fold import Standing
from rounds.standing.group import group
from rounds.standing.matings import mate_of, matings_of
from rounds.standing.together import company_of

#: How it is known who the sire is: written down, reckoned from matings and company, or not at all.
Known: TypeAlias = Literal["written", "reckoned", "not known"]
#: A sire and a dam; None where not known.
Couple: TypeAlias = "tuple[str | None, str | None]"


class Parents(NamedTuple):
    """An animal's dam, and whoever may be its sire: none, one, or several. None among them is a male not known.

    Of one that may be of several females `dam` is None, and `couples` has each sire and dam whose young it may be.
    """

    dam: str | None = None
    sires: tuple[str | None, ...] = ()
    known: Known = "not known"
    entries: tuple[Entry, ...] = ()
    couples: tuple[Couple, ...] = ()

    @property
    def ways(self) -> tuple[Couple, ...]:
        """Each sire and dam whose young it may be, one at the least."""
        return self.couples or tuple((sire, self.dam) for sire in self.sires or (None,))

    @property
    def dams(self) -> tuple[str, ...]:
        """Every female that is or may be its dam."""
        return tuple(dict.fromkeys(dam for _, dam in self.ways if dam is not None))

    @property
    def named(self) -> tuple[str, ...]:
        """Every animal that is or may be a parent."""
        return tuple(dict.fromkeys(one for one in (*self.sires, *self.dams) if one is not None))


def parents_of(standing: Standing, who: str, days: Days) -> Parents:
    """An animal's parents, or those of a group counted together, as written down or reckoned."""
    page = standing.page(who)
    noted: list[Descent] = [entry for entry in page.of(Arrived) if entry.about == who]
    written = written_parents([*noted, *page.of(PedigreeNoted)])
    dam, sire, possible, laid_in, behind = written
    told: dict[str, Entry] = {entry.id: entry for entry in behind}
    if dam is None or who.startswith("group/"):
        mixed = _of_several_clutches(standing, who, written.sires, days)
        if mixed is not None:
            told.update({entry.id: entry for entry in mixed.entries})
            return mixed._replace(entries=tuple(told.values()))
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
        return Parents(dam, written.sires, "written", tuple(told.values()))
    if eggs is not None and eggs.begun_at is not None and dam is not None and dam == eggs.dam:
        males, seen = possible_sires(standing, dam, eggs.begun_at, days)
        if males:
            return Parents(dam, males, "reckoned", (*told.values(), *seen))
    return Parents(dam, (), "not known", tuple(told.values()))


def _of_several_clutches(standing: Standing, who: str, written: tuple[str, ...], days: Days) -> Parents | None:
    """The parents of one, or of a group, that may be of several females; None where that is not so.

    Males that were written down for it count, whatever is noted of the clutches.
    """
    if who.startswith("group/"):
        groups = [who]
    else:
        groups = [entry.about for entry in standing.page(who).of(SingledOut) if entry.animal == who]
    clutches = [one for where in groups for one in clutches_of_group(standing, group(standing, where))]
    couples: dict[Couple, None] = {}
    behind: list[Entry] = []
    for eggs in (clutch(standing, one) for one in dict.fromkeys(clutches)):
        sires: tuple[str | None, ...] = written or ((eggs.sire,) if eggs.sire is not None else ())
        if not sires and eggs.dam is not None and eggs.begun_at is not None:
            sires, found = possible_sires(standing, eggs.dam, eggs.begun_at, days)
            behind += found
        couples.update(dict.fromkeys((sire, eggs.dam) for sire in sires or (None,)))
        behind += eggs.laid[-1:]
    if len({dam for _, dam in couples}) < 2:
        return None
    every = tuple(dict.fromkeys(sire for sire, _ in couples if sire is not None))
    return Parents(None, every, "reckoned", tuple(behind), tuple(couples))


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
        if male is not None and animal(standing, male).sex == "F":
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
    for mating in matings_of(her):
        mate = mate_of(mating, dam)
        if mate is not None:
            may_be(mate, mating.at, mating.at, mating)
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
