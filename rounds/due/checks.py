"""Looks: when each female who may be gravid is to be looked at. And treatment as prescribed.

An egg check is a look, without touching her. Several rungs may hold for her at once (in her window, digging,
laying, just laid); the one that asks soonest counts, and of several that ask on one day the strictest. A rung asks
from the day it began to hold, or was written down, whichever is later: what nobody could know yesterday is not
late today. Weighing and feeling have days of their own (`rounds.due.weighing`).
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Final

import msgspec

from rounds.due.dates import days_before
from rounds.due.figures import percent
from rounds.due.forecast import forecast_of
from rounds.due.line import DueLine
from rounds.due.round import Round, known_at, walk_day
from rounds.logbook.entries import (
    Arrived,
    BehaviourSeen,
    ConditionSeen,
    EggCheckDone,
    EggsLaid,
    Entry,
    FeltForEggs,
    MatingSeen,
    Moved,
    PutTogether,
    TreatmentGiven,
)
from rounds.standing.animal import Animal
from rounds.standing.breeding import Window
from rounds.standing.digging import may_be_gravid
from rounds.standing.female import Female, female
from rounds.standing.weighing import last_word
from rounds.standing.weighings import weighings

#: Without any of these on her page only a tub she lived in can say that she is gravid.
_EVIDENCE: Final = (
    EggsLaid,
    MatingSeen,
    BehaviourSeen,
    EggCheckDone,
    FeltForEggs,
    ConditionSeen,
    PutTogether,
    Moved,
)
_NEAR: Final = "eggbinding.check_near_days"
_GAIN: Final = "eggbinding.gain_percent"


class Rung(msgspec.Struct, frozen=True):
    """One reason for looking at her: from which day, how often, why, by which rules and entries.

    `every_days` 0 stands for a look on each walk; None for a single one on that day or after it. `gravid`:
    she is weighed as one who is.
    """

    start: date
    every_days: int | None
    why: str
    house: tuple[str, ...]
    entries: tuple[Entry, ...]
    gravid: bool = True


class EggCheck(msgspec.Struct, frozen=True):
    """When a look at a female falls due, and why. `late_days` 0 when it is due today or later."""

    about: str
    due: date
    is_due: bool
    late_days: int
    rung: Rung
    last: EggCheckDone | None


def rungs(around: Round, one: Animal) -> tuple[Rung, ...]:
    """Every reason that holds today for looking at her, most pressing first."""
    found: tuple[Rung, ...] | None = around.views.get(("rungs", one.subject))
    if found is None:
        found = around.views["rungs", one.subject] = _rungs(around, one)
    return found


def _rungs(around: Round, one: Animal) -> tuple[Rung, ...]:
    if one.subject.startswith("group/") or not (_worth_asking(one) or _has_gained(around, one)):
        return ()
    days = around.house.breeding_days
    her = female(around.standing, one.subject, days)
    if not may_be_gravid(one, around.now, days) and not her.felt and (one.sex == "M" or not her.matings):
        return ()
    found = [*_laying(around, her), *_signs(around, her), *_in_window(around, her), *_after_laying(around, her)]
    return tuple(rung for rung in found if rung.start <= around.day)


def _worth_asking(one: Animal) -> bool:
    """Whether anything on its page, or on that of a tub it lived in, can say that she is gravid: quickly told."""
    strands = one.page.strands
    if any(kind in strands for kind in _EVIDENCE) or one.companions():
        return True
    tubs = [one.standing.page(place) for place in {stay.enclosure for stay in one.stays}]
    return any(tub.of(BehaviourSeen) for tub in tubs) or any(
        came.about != one.subject for tub in tubs for came in (*tub.of(Arrived), *tub.of(Moved))
    )


def _laying(around: Round, her: Female) -> Iterator[Rung]:
    if her.laying is not None:
        first = her.laying.laid[0]
        yield Rung(_known(around, first), 0, "laying", ("eggbinding.check_laying_a_day",), her.laying.laid[-1:])


def _signs(around: Round, her: Female) -> Iterator[Rung]:
    every = around.house.days(_NEAR)
    digs = her.digging(around.now)
    if digs is not None:
        yield Rung(_known(around, digs.entries[0]), every, "digging", (_NEAR,), digs.entries)
    felt = her.felt_ever
    if felt:
        yield Rung(_known(around, felt[0]), every, "eggs felt", (_NEAR,), felt[-1:])
    if her.heavy is not None and her.gravid_because(around.now) is not None:
        yield Rung(_known(around, her.heavy), every, "heavy", (_NEAR,), (her.heavy,))
    if felt or not _has_gained(around, her.animal):
        return
    for weighed in last_word(her.weighings()):
        gain = her.gain(weighed)
        if gain is not None and gain >= around.house.number(_GAIN) / 100 - 1e-6:
            why = f"{percent(gain)} above her own weight"
            yield Rung(_known(around, weighed.reading), every, why, (_GAIN, _NEAR), weighed.middle)
            return


def _has_gained(around: Round, one: Animal) -> bool:
    """Whether the last weighing lies so far above the lightest figure that a gain is worth asking about."""
    last = last_word(weighings(one, around.house.weighing_rule))
    over = 1 + around.house.number(_GAIN) / 100 - 1e-6
    lightest = min((entry.grams for entry in one.weights), default=0.0)
    return any(weighing.grams >= over * lightest for weighing in last)


def _in_window(around: Round, her: Female) -> Iterator[Rung]:
    """From the day a window opens to its end daily, then weekly, until eggs come or the months are over."""
    if her.laying is not None:
        return
    house, days = around.house, around.house.breeding_days
    windows = her.windows(around.now)
    last = windows[-1] if windows else None
    forecast = forecast_of(her, around.now) if last is not None and last.why == "mated" else None
    for window in windows:
        if (around.day - window.last).days > days.gravid_days:
            continue
        known = max((_known(around, entry) for entry in window.entries), default=window.first)
        known = max(known, window.first) if window.why != "with a male" else window.first
        words = _why(window)
        if window is last and forecast is not None and forecast.state in ("due", "overdue"):
            words = {"due": "due to lay", "overdue": "overdue"}[forecast.state]
        near = days_before(window.opens, house.days("eggbinding.near_days"))
        if around.day <= window.closes:
            keys: tuple[str, ...] = (_window_key(window), "eggbinding.near_days", _NEAR)
            yield Rung(max(near, known), house.days(_NEAR), words, keys, window.entries)
        elif window.why != "stored sperm":
            after = window.closes + timedelta(days=1)
            keys = (_window_key(window), "eggbinding.check_days")
            yield Rung(max(after, known), house.days("eggbinding.check_days"), "window over", keys, window.entries)


def _why(window: Window) -> str:
    return {"mated": "in her window", "with a male": "was with a male", "stored sperm": "next clutch"}[window.why]


def _window_key(window: Window) -> str:
    return "breeding.next_clutch_days" if window.why == "stored sperm" else "breeding.window_opens"


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
        yield Rung(max(day, _known(around, laid)), None, f"{hours:g} h after laying", (key,), (laid,), gravid=False)


def _known(around: Round, entry: Entry) -> date:
    """The day on which it was written down: nobody could act on it before."""
    return walk_day(known_at(entry, around.now), around.house)


def next_check(around: Round, one: Animal) -> EggCheck | None:
    """The next look at her by every rung that holds today; None when none does."""
    checks = one.own(EggCheckDone)
    last = checks[-1] if checks else None
    soonest: EggCheck | None = None
    for rung in rungs(around, one):
        due = _due(around, rung, checks)
        if due is None:
            continue
        if soonest is not None and (due, _strictness(rung)) >= (soonest.due, _strictness(soonest.rung)):
            continue
        soonest = EggCheck(one.subject, due, due <= around.day, around.late(due), rung, last)
    return soonest


def _strictness(rung: Rung) -> int:
    """Of rungs that ask on one day the one that asks most often comes first; a single look asks each day."""
    return 1 if rung.every_days is None else rung.every_days


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
    """The look at her, when it is due."""
    check = next_check(around, one)
    if check is None or not check.is_due:
        return
    yield DueLine(
        care="egg check",
        about=one.subject,
        place=place or "",
        says=f"egg check: look, {check.rung.why}",
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
