"""The egg check: when each female who may be carrying is to be looked over. And treatment as prescribed.

Several rungs may hold for her at once (mated, near her window, digging, laying, just laid); the one that
asks soonest counts. A rung asks from the day it began to hold, or was written down, whichever is later:
what nobody could know yesterday is not late today.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Final, NamedTuple

from rounds.due.line import DueLine
from rounds.due.round import Round, known_at, walk_day
from rounds.logbook.entries import (
    BehaviourSeen,
    ConditionSeen,
    EggCheckDone,
    EggsLaid,
    Entry,
    FeltForEggs,
    MatingSeen,
    TreatmentGiven,
)
from rounds.standing.animal import Animal
from rounds.standing.female import Female, female

#: Without any of these on her page nothing says that she carries.
_EVIDENCE: Final = (EggsLaid, MatingSeen, BehaviourSeen, EggCheckDone, FeltForEggs, ConditionSeen)


class Rung(NamedTuple):
    """One reason for egg checks: from which day, how often, why, by which rules and entries.

    `every_days` 0 stands for a check on each walk; None for a single check on that day or after it.
    """

    start: date
    every_days: int | None
    why: str
    house: tuple[str, ...]
    entries: tuple[Entry, ...]
    carrying: bool = True


class EggCheck(NamedTuple):
    """When a female's egg check falls due, and why. `late_days` 0 when it is due today or later."""

    about: str
    due: date
    is_due: bool
    late_days: int
    rung: Rung
    last: EggCheckDone | None


def rungs(around: Round, one: Animal) -> tuple[Rung, ...]:
    """Every reason that holds today for checking her, most pressing first."""
    strands = one.page.strands
    if one.subject.startswith("group/") or not any(kind in strands for kind in _EVIDENCE):
        return ()
    her = female(around.standing, one.subject)
    if one.sex == "M" and not (one.laid or her.felt):
        return ()
    found = [*_laying(around, her), *_signs(around, her), *_mated(around, her), *_after_laying(around, her)]
    return tuple(rung for rung in found if rung.start <= around.day)


def _laying(around: Round, her: Female) -> Iterator[Rung]:
    if her.laying is not None:
        first = her.laying.laid[0]
        yield Rung(_known(around, first), 0, "laying", ("eggbinding.check_laying_a_day",), her.laying.laid[-1:])


def _signs(around: Round, her: Female) -> Iterator[Rung]:
    house = around.house
    every = house.days("eggbinding.check_near_days")
    digs = her.digging(house.days("breeding.nesting_gap"), around.now, house.number("eggbinding.closing_hours"))
    if digs is not None:
        yield Rung(_known(around, digs.entries[0]), every, "digging", ("eggbinding.check_near_days",), digs.entries)
    if her.felt is not None:
        yield Rung(_known(around, her.felt), every, "eggs felt", ("eggbinding.check_near_days",), (her.felt,))
    if her.heavy is not None and _can_carry(around, her):
        yield Rung(_known(around, her.heavy), every, "felt heavy", ("eggbinding.check_near_days",), (her.heavy,))


def _can_carry(around: Round, her: Female) -> bool:
    carries, stored = around.house.days("breeding.carries_days"), around.house.days("breeding.stored_sperm_days")
    return her.can_carry(around.now, carries, stored) is not None


def _mated(around: Round, her: Female) -> Iterator[Rung]:
    """From the first mating that still counts: the soonest day on which she may lay is reckoned from it."""
    house = around.house
    carries = house.days("breeding.carries_days")
    matings = [entry for entry in her.matings if (around.day - around.day_of(entry)).days <= carries]
    if not matings:
        return
    first = matings[0]
    mated, known = around.day_of(first), _known(around, first)
    start = mated + timedelta(days=house.days("eggbinding.check_from_days"))
    every = house.days("eggbinding.check_days")
    yield Rung(max(start, known), every, "mated", ("eggbinding.check_from_days", "eggbinding.check_days"), (first,))
    near = mated + timedelta(days=house.days("breeding.window_opens") - house.days("eggbinding.near_days"))
    yield Rung(
        max(near, known),
        house.days("eggbinding.check_near_days"),
        "near her window",
        ("breeding.window_opens", "eggbinding.near_days", "eggbinding.check_near_days"),
        (first,),
    )


def _after_laying(around: Round, her: Female) -> Iterator[Rung]:
    last = her.last_complete
    if last is None or last.complete is None or her.laying is not None:
        return
    laid = last.complete
    lapses = around.day_of(laid) + timedelta(days=around.house.days("eggbinding.after_laying_lapses_days"))
    if around.day > lapses:
        return
    for key in ("eggbinding.after_laying_second_hours", "eggbinding.after_laying_first_hours"):
        hours = around.house.number(key)
        day = walk_day(laid.at + timedelta(hours=hours), around.house)
        yield Rung(
            max(day, _known(around, laid)), None, f"{hours:g} h after laying", (key,), (laid,), carrying=False
        )


def _known(around: Round, entry: Entry) -> date:
    """The day on which it was written down: nobody could act on it before."""
    return walk_day(known_at(entry, around.now), around.house)


def next_check(around: Round, one: Animal) -> EggCheck | None:
    """Her next egg check by every rung that holds today; None when none does."""
    checks = one.own(EggCheckDone)
    last = checks[-1] if checks else None
    soonest: EggCheck | None = None
    for rung in rungs(around, one):
        due = _due(around, rung, checks)
        if due is None or (soonest is not None and due >= soonest.due):
            continue
        soonest = EggCheck(one.subject, due, due <= around.day, around.late(due), rung, last)
    return soonest


def _due(around: Round, rung: Rung, checks: tuple[EggCheckDone, ...]) -> date | None:
    last = around.day_of(checks[-1]) if checks else None
    if rung.every_days is None:
        return rung.start if last is None or last < rung.start else None
    if rung.every_days == 0:
        if last is None or last < around.day:
            return max(rung.start, last + timedelta(days=1)) if last else rung.start
        again = around.turn_due(None, "eggbinding.check_laying_a_day", checks, None)
        return again or around.day + timedelta(days=1)
    return rung.start if last is None else max(rung.start, last + timedelta(days=rung.every_days))


def egg_check_lines(around: Round, place: str | None, one: Animal) -> Iterator[DueLine]:
    """Her egg check, when it is due."""
    check = next_check(around, one)
    if check is None or not check.is_due:
        return
    yield DueLine(
        care="egg check",
        about=one.subject,
        place=place or "",
        says=f"egg check: {check.rung.why}",
        due=check.due,
        late_days=check.late_days,
        plain=False,
        house=check.rung.house,
        left_out=around.left_out("egg check", one.subject, place, by_turn=check.rung.every_days == 0),
    )


def treatment_lines(around: Round, place: str | None, one: Animal) -> Iterator[DueLine]:
    """Treatment as the vet prescribed it, while the animal is under treatment."""
    seen = one.under_treatment(around.now)
    if seen is None:
        return
    key = "health.treatment_days"
    given = one.last(TreatmentGiven)
    since = around.day_of(given) if given is not None and given.key > seen.key else None
    due = _known(around, seen) if since is None else around.fell_due(key, since, None)
    if due is None or due > around.day:
        return
    yield DueLine(
        care="treatment",
        about=one.subject,
        place=place or "",
        says="treatment as prescribed" + (f": {seen.treatment}" if seen.treatment else ""),
        due=due,
        late_days=around.late(due),
        plain=False,
        house=(key,),
        left_out=around.left_out("treatment", one.subject, place),
    )
