"""Whether an animal, or some of a group, may be sold or given away: what stands against it, what is asked first.

Sold and given are judged. Returned goes back to whom it came from, lent comes back, dead is dead: none is a sale.
Local codes come first; they may ask for more.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime, timedelta
from typing import Final

from rounds.due.checks_before import HEALTH
from rounds.due.checks_before_hers import not_gravid
from rounds.due.dates import day
from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look
from rounds.due.matters.wording import many
from rounds.due.reckon import matters_about
from rounds.logbook.entries import Arrived, Left, QuarantineEnded, VetSeen
from rounds.logbook.entries.base import grams
from rounds.logbook.group_census import COUNTING, read_census
from rounds.logbook.plain import folded
from rounds.logbook.times import days_between
from rounds.rules.house import House
from rounds.standing.animal import Animal, animal
from rounds.standing.as_of import as_of
from rounds.standing.clutch_young import came_from
from rounds.standing.fold import Standing
from rounds.standing.group import group
from rounds.standing.holding import Hold, holds

#: Matters of its health that are asked about before a sale, from today on.
_HEALTH: Final = HEALTH | {"refused food", "weight loss", "looks thin", "not growing", "deaths in group"}
#: The leavings that are judged.
SALES: Final = frozenset({"sold", "given"})
_CODES: Final = "Local codes may ask for more."


def against_sale(
    standing: Standing, house: House, subject: str, at: datetime, *, late: bool = False
) -> Iterator[str]:
    """Each thing that stands against selling or giving it away at a moment, in words, with its rule.

    Of a sale written `late`, that of last season say, no weight may be known: that alone does not stand against it.
    """
    standing = as_of(standing, at)
    one = _one(standing, subject)
    if one.danger:
        signs = ", ".join(f"{sign.sign} {day(sign.last.at)}" for sign in one.danger)
        yield f"{signs}, no vet has seen it or was phoned"
    yield from _under_the_vet(standing, house, subject, at)
    yield from _in_quarantine(standing, subject)
    yield from _too_young(house, one, at)
    yield from _too_light(house, one, at, late=late)


def age_not_known(standing: Standing, house: House, subject: str, at: datetime) -> str:
    """What is asked of one that may be too young to be sold, for no one knows its age; empty where it is known."""
    one, least = _one(as_of(standing, at), subject), house.days("sale.least_age_days")
    if _hatched_by(one) is not None or _least_age(one, at) >= least:
        return ""
    if (_weight(one, at) or 0) >= house.number("breeding.grown_grams"):
        return ""
    return f"age is not known; it is sold from {many(least, 'day')} on"


def sale_refused(standing: Standing, house: House, entry: Left, excluding: frozenset[str]) -> str:
    """A sentence when this sale or gift may not be; empty when it may, or was on an earlier day."""
    if entry.how not in SALES or _is_late(entry):
        return ""
    reasons = _broken(standing, house, entry, excluding)
    return f"{standing.name(entry.about)} is not {entry.how}: {reasons}" if reasons else ""


def _broken(standing: Standing, house: House, entry: Left, excluding: frozenset[str]) -> str:
    """What stands against a sale or a gift, each with its rule; empty when nothing does."""
    reasons = list(against_sale(standing, house, entry.about, entry.at, late=_is_late(entry)))
    codes = f" {_CODES}" if any("house rule" in reason for reason in reasons) else ""
    reasons += _kept_for_another(as_of(standing, entry.at), entry, excluding)
    return f"{'; '.join(reasons)}.{codes}" if reasons else ""


def sale_doubts(standing: Standing, house: House, entry: Left, excluding: frozenset[str]) -> Iterator[str]:
    """What is asked before a sale or a gift: an open vet matter, else other matters of its health, that it brumates
    or may be gravid; an age not known; a reservation and no name. Of one written on a later day also what would
    refuse it now: it happened, and is to be told as it was.
    """
    if entry.how not in SALES:
        return
    name = standing.name(entry.about)
    if _is_late(entry) and (broken := _broken(standing, house, entry, excluding)):
        yield f"{name}: {broken} Was it {entry.how} all the same?"
    before = as_of(standing, entry.at)
    one = _one(before, entry.about)
    if one.with_the_vet is not None:
        referred = day(one.with_the_vet.at)
        yield f"{name}: referred to a vet on {referred}, no vet has seen it. Let it go all the same?"
    stood = _without_end(standing, entry)
    found = matters_about(stood, house, entry.at, [entry.about])
    open_ones = [matter for matter in found if matter.level >= Level.VET]
    if open_ones:
        yield f"For the {open_ones[0].level.word}: {open_ones[0].says} Let it go all the same?"
    else:
        yield from _not_well(Look(stood, house, entry.at, entry.about), found)
    if not _is_late(entry) and (unknown := age_not_known(before, house, entry.about, entry.at)):
        yield f"{name}: its {unknown}. Is it that old?"
    if not entry.to and any(hold.whom for hold in holds(one, excluding).every):
        yield f"{name} is {holds(one, excluding).says}. To whom does it go? Fill in “to” (to=…)."


def open_before_sale(standing: Standing, house: House, subject: str, at: datetime) -> tuple[str, ...]:
    """What is open of its health, worst first, that the sale's door asks about: `TODAY: Hatch: 2 young died …`."""
    try:
        found = matters_about(standing, house, at, [subject])
    except OverflowError:
        return ()  # an end of the calendar itself: no matter can be reckoned there
    return tuple(
        f"{matter.level.word.upper()}: {matter.says}"
        for matter in found
        if matter.level >= Level.VET or (matter.level >= Level.TODAY and matter.rule in _HEALTH)
    )


def _not_well(look: Look, found: Iterable[Matter]) -> Iterator[str]:
    """What is open of its health though it is no vet's yet; that it brumates; that she may be gravid."""
    for matter in found:
        if matter.level >= Level.TODAY and matter.rule in _HEALTH:
            yield f"{matter.says} Let it go all the same?"
            break
    if look.subject.startswith("group/"):
        return
    if look.animal.brumating_since is not None:
        yield f"{look.name} brumates. Let it go all the same?"
    gravid = not_gravid(look) if look.animal.sex == "F" else None
    if gravid is not None and gravid.answer != "yes":
        yield f"{look.name}: {gravid.short} ({gravid.says}). Let her go all the same?"


def _without_end(standing: Standing, entry: Left) -> Standing:
    """The standing just before the leaving, so that what is open about it is still looked at."""
    try:
        return as_of(standing, entry.at - timedelta(microseconds=1))
    except OverflowError:
        return standing


def _one(standing: Standing, subject: str) -> Animal:
    return group(standing, subject) if subject.startswith("group/") else animal(standing, subject)


def _under_the_vet(standing: Standing, house: House, subject: str, at: datetime) -> Iterator[str]:
    lasts = house.days("health.treatment_lasts_days")
    for who, came in came_from(standing, subject):
        treated = _one(standing, who).under_the_vet(at, lasts)
        if treated is not None and (came is None or treated.key < came.key):
            of = "" if came is None else f" in {standing.name(who)}, where it came from"
            until = treated.under_treatment_until if isinstance(treated, VetSeen) else None
            to = f" until {day(until)}" if until is not None else ""
            yield f"under treatment{to}{of} ({treated.phrase()}, {day(treated.at)})"
            return


def _in_quarantine(standing: Standing, subject: str) -> Iterator[str]:
    ended = [entry.key for entry in _one(standing, subject).own(QuarantineEnded)]
    for who, came in came_from(standing, subject):
        since = _one(standing, who).quarantine_since
        if since is None or (came is not None and (since > came.at or any(key > came.key for key in ended))):
            continue
        of = "" if came is None else f" in {standing.name(who)}, where it came from,"
        yield f"in quarantine{of} since {day(since)}"
        return


def _hatched_by(one: Animal) -> date | None:
    """The last day on which it can have hatched, that of a month or a year known; None when nothing is known."""
    hatched, arrived = one.hatched, one.arrived
    if hatched is None or arrived is None or not any(came.hatched_about for came in one.own(Arrived)):
        return hatched
    if hatched.month == 1 and hatched.day == 1:
        return date(hatched.year, 12, 31)
    following = (
        date(hatched.year + hatched.month // 12, hatched.month % 12 + 1, 1)
        if hatched < date(9999, 12, 1)
        else date.max
    )
    return following - timedelta(days=1)


def _least_age(one: Animal, at: datetime) -> int:
    """The least age it can have, in days: it has hatched before it was here."""
    came = one.own(Arrived)
    here = days_between(came[0].at, at) if came else 0
    by = _hatched_by(one)
    return max(here, days_between(by, at) if by is not None else 0)


def _too_young(house: House, one: Animal, at: datetime) -> Iterator[str]:
    least = house.days("sale.least_age_days")
    if one.hatched is not None and _least_age(one, at) < least:
        old = many(max(0, _least_age(one, at)), "day")
        yield f"{old} old, {many(least, 'day')} at least (house rule sale.least_age_days)"


def _weight(one: Animal, at: datetime) -> float | None:
    weights = [entry for entry in one.weights if entry.at <= at]
    return weights[-1].grams if weights else None


def _is_late(entry: Left) -> bool:
    """Whether it was written down on a later day than it was."""
    return days_between(entry.at, entry.known) >= 1


def _too_light(house: House, one: Animal, at: datetime, *, late: bool) -> Iterator[str]:
    least, weight = house.number("sale.least_grams"), _weight(one, at)
    if least <= 0:
        return
    if weight is None and not late and _least_age(one, at) < house.number("plausible.adult_days"):
        yield f"not weighed yet, {least:g} g at least (house rule sale.least_grams)"
    elif weight is not None and weight < least:
        each = "the mean is " if one.subject.startswith("group/") else ""
        yield f"{each}{grams(weight)}, {least:g} g at least (house rule sale.least_grams)"


def _kept_for_another(standing: Standing, entry: Left, excluding: frozenset[str]) -> list[str]:
    """What is held back, or reserved for somebody else."""
    one = _one(standing, entry.about)
    every = holds(one, excluding | {entry.id})
    stands: tuple[Hold, ...] = every.against(entry.to) if entry.to else every.held
    if not stands:
        return []
    if entry.about.startswith("group/"):
        there = _there(standing, entry, excluding)
        wanted = there if entry.count is None else entry.count
        kept = every.counted(there, stands)
        if wanted <= there - kept:
            return []
        words = ", ".join(hold.says for hold in stands)
        return [f"{words}, {max(0, there - kept)} of {there} are free. {_free_first(entry)}"]
    why = stands[-1].entry
    since = f" since {day(why.at)}"
    also = f" ({why.note})" if why.note else ""
    mine = [hold for hold in every.reserved if entry.to and folded(hold.whom) == folded(entry.to)]
    if mine and not any(not hold.whom for hold in stands):
        return []
    return [f"{stands[-1].says}{since}{also}. {_free_first(entry)}"]


def _free_first(entry: Left) -> str:
    """What to do first at either door: the keys, and the command."""
    return f"Set free first: i, y, f (rounds log released {entry.about})"


def _there(standing: Standing, entry: Left, excluding: frozenset[str]) -> int:
    page, left_aside = standing.page(entry.about), excluding | {entry.id}
    entries = [one for kind in COUNTING for one in page.of(kind) if one.id not in left_aside]
    return read_census(entry.about, entries).alive
