"""What is said before a pair is put together, or an animal is brumated: each caution is one sentence.

Nothing is forbidden here: a keeper says y to a caution, or leaves it. Every door that writes shows the same ones
(`rounds.desk.slips`). Who adds a caution about a pair puts a function into `CAUTIONS`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime
from typing import Final, TypeAlias

import msgspec

from rounds.due import reckon
from rounds.due.checks_before import HEALTH
from rounds.due.checks_before_hers import not_gravid
from rounds.due.dates import day
from rounds.due.fitness import APART_CHECK, VET_CHECK, fitness
from rounds.due.matter import Level
from rounds.due.matters.burdens import reasons_of_young
from rounds.due.matters.look import Look
from rounds.due.matters.wording import many
from rounds.logbook.entries import Entry
from rounds.rules.house import House
from rounds.standing.as_of import as_of
from rounds.standing.fold import Standing
from rounds.standing.pairings import last_pairing
from rounds.standing.year import last_faecal_test

#: Stands behind a caution about treatment (husbandry: an animal under treatment is not paired, sold or brumated).
NOT_PAIRED: Final = "An animal under treatment is not paired."
NOT_BRUMATED: Final = "An animal under treatment is not brumated."
#: What else is said before brumation, at whatever level. Food refused is not: many stop eating before it.
_BEFORE_BRUMATION: Final = HEALTH - {"stuck shed"} | {"weight loss", "looks thin"}


class Caution(msgspec.Struct, frozen=True):
    """One sentence said before something is written, its house rules, and the entries behind it."""

    says: str
    house: tuple[str, ...] = ()
    entries: tuple[Entry, ...] = ()


#: What finds cautions about a pair: a look at her, and one at him.
PairCautions: TypeAlias = Callable[[Look, Look], Iterator[Caution]]


def _fit(look: Look, his: Look) -> Iterator[Caution]:
    """What speaks against pairing either of them now."""
    together = last_pairing(look.standing, look.subject)
    already = together is not None and together.until is None and together.him == his.subject
    if already and together is not None:
        since = day(together.since, look.now)
        yield Caution(f"{look.name} and {his.name} are together already, since {since}.", (), (together.put,))
    for one in (look, his):
        for check in fitness(one).of("no"):
            if check.name == APART_CHECK and already:
                continue
            rule = f" {NOT_PAIRED}" if check.name == "not under treatment" else ""
            says = f"{one.name}: {check.short or check.says}.{rule}"
            # A matter for the vet is said in its own words.
            if check.name == VET_CHECK and check.says.startswith(one.name):
                says = check.says
            yield Caution(says, check.house, check.entries)


def _young(look: Look, his: Look) -> Iterator[Caution]:
    """What their young would suffer from."""
    for reason in reasons_of_young(look, his):
        behind = tuple(entry for entry in reason.entries if entry is not None)
        yield Caution(f"{look.name} and {his.name}: {reason.says}.", reason.house, behind)


#: Welfare of the young stands in front of the fitness of the two.
CAUTIONS: Final[tuple[PairCautions, ...]] = (_young, _fit)


def cautions_before(standing: Standing, house: House, now: datetime, her: str, him: str) -> tuple[Caution, ...]:
    """Everything that speaks against putting a pair together at `now`; empty when nothing noted does.

    What is not known is no caution: `rounds.due.fitness` tells it.
    """
    standing = as_of(standing, now)
    look = Look(standing, house, now, her)
    his = look.at(him)
    return tuple(caution for find in CAUTIONS for caution in find(look, his))


def before_brumation(standing: Standing, house: House, now: datetime, subject: str) -> tuple[Caution, ...]:
    """Everything that speaks against brumating an animal at `now`: treatment, its age, no clear faecal test lately.

    Before those stand signs and matters for the vet, other matters of its health, and that she may be gravid.
    """
    look = Look(as_of(standing, now), house, now, subject)
    return tuple(_of_brumation(look))


def _of_brumation(look: Look) -> Iterator[Caution]:
    one, house, now, name = look.animal, look.house, look.now, look.name
    treated = one.under_the_vet(now, house.days("health.treatment_lasts_days"))
    if treated is not None:
        until = getattr(treated, "under_treatment_until", None)
        to = f" to {day(until, now)}" if until is not None else ""
        yield Caution(f"{name}: under treatment{to}. {NOT_BRUMATED}", ("health.treatment_lasts_days",), (treated,))
    if one.danger:
        yield Caution(f"{name}: {one.danger[0].sign} seen, no vet heard of it.", (), (one.danger[0].entry,))
    if one.with_the_vet is not None:
        referred = day(one.with_the_vet.at, now)
        yield Caution(f"{name}: referred to a vet {referred}, none has seen it.", (), (one.with_the_vet,))
    for found in reckon.found_by(look):
        if found.rule != "danger sign" and (found.level >= Level.VET or found.rule in _BEFORE_BRUMATION):
            yield Caution(found.says, found.house, found.entries)
    gravid = not_gravid(look) if one.sex == "F" else None
    if gravid is not None and gravid.answer != "yes":
        yield Caution(f"{name}: {gravid.short} ({gravid.says}).", gravid.house, gravid.entries)
    least = house.days("brumation.least_months")
    if look.younger_than(least):
        yield Caution(
            f"{name}: {many(look.age_months or 0, 'month')} old, brumated from {least}.",
            ("brumation.least_months",),
        )
    key, test = "brumation.faecal_test_days", last_faecal_test(one)
    within = house.days(key)
    if test is None:
        told = "no faecal test is noted"
    elif look.days_since(test.at) > within:
        told = f"the last faecal test was {day(test.at, now)}, it counts for {many(within, 'day')}"
    elif test.clear is None:
        told = f"the faecal test of {day(test.at, now)} has no result yet"
    elif not test.clear:
        told = f"the faecal test of {day(test.at, now)} was not clear"
    else:
        return
    yield Caution(f"{name}: {told}. Test before brumation.", (key,), (test,) if test is not None else ())


__all__ = ["CAUTIONS", "Caution", "PairCautions", "before_brumation", "cautions_before"]
