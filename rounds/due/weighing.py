"""When to weigh: by age, weekly and with feeling for eggs while she may be gravid, after laying, as a vet asks.

Again on the next walk day where readings differ, or a loss is not confirmed yet.
A female who digs or lays is left alone: she is neither weighed nor felt (handle a gravid female little: Exotic
Animal Formulary, 5th ed.).
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from rounds.due.age import age_class
from rounds.due.checks import Rung, rungs
from rounds.due.figures import percent
from rounds.due.line import DueLine
from rounds.due.round import Round, known_at, walk_day
from rounds.logbook.entries import VetSeen
from rounds.standing.animal import Animal
from rounds.standing.female import female
from rounds.standing.trend import trend
from rounds.standing.weighings import last_weighing

#: What the due line of a weighing says where she is to be felt for eggs too.
AND_FEEL = "weigh, and feel for eggs if practised"


def weigh_lines(around: Round, place: str | None, one: Animal) -> Iterator[DueLine]:
    """Its weighing, when it is due. Of a group, the mean of one."""
    weights = one.weights
    last = around.day_of(weights[-1]) if weights else None
    opened = around.day_of(one.arrived) if one.arrived else None
    holding = rungs(around, one)
    ordered = _as_the_vet_asked(around, one, last)
    alone = bool(holding) and _left_alone(around, one, holding)
    if alone and ordered is None:
        return
    age = age_class(one.hatched, around.house, around.day)
    key = "weighing.young_days" if age in ("hatchling", "young") else "weighing.adult_days"
    says = "weigh"
    if one.brumating_since is not None:
        key, says = "weighing.brumation_days", "weigh, brumating"
    due = around.fell_due(key, last, opened)
    since = _weekly_since(around, one, holding)
    if since is not None:
        # Weekly from the day she may be gravid: the days before it make nothing late.
        weekly = around.fell_due("weighing.gravid_days", last, opened)
        due = min((day for day in (due, weekly and max(weekly, since)) if day is not None), default=None)
        key, says = "weighing.gravid_days", AND_FEEL
    house: tuple[str, ...] = (key,)
    for rung in holding:
        if rung.every_days is None and (last is None or last < rung.start):
            due = rung.start if due is None else min(due, rung.start)
            says, house = f"{AND_FEEL}, {rung.why}", rung.house
    again = _again(around, one) if last is not None and last < around.day else ""
    if again and last is not None:
        says = f"{'weigh again' if due is None else says}, {again}"
        tomorrow = around.later(last, 1)
        if due is None or tomorrow < due:
            due, house = tomorrow, ("weights.drop_percent", *(house if due is not None else ()))
    if ordered is not None and (alone or due is None or ordered <= due):
        due, says, house = ordered, "weigh, as the vet asked" + (f", {again}" if again else ""), (key,)
    if due is None or due > around.day:
        return
    yield DueLine(
        care="weigh",
        about=one.subject,
        place=place or "",
        says=says + (", the mean of one" if one.subject.startswith("group/") else ""),
        due=due,
        late_days=around.late(due),
        plain=False,
        house=house,
        left_out=around.left_out("weigh", one.subject, place),
    )


def _again(around: Round, one: Animal) -> str:
    """Why it is weighed again the day after it was; empty when there is no reason."""
    if one.brumating_since is not None:
        return ""
    last = last_weighing(one, around.house.weighing_rule)
    if last is None:
        return ""
    if last.unsure:
        return "readings differ"
    # Healthy weights are passed over quickly: none is this far under another.
    if last.grams > max(entry.grams for entry in one.weights) * (1 - around.house.weight_limits.drop) + 1e-6:
        return ""
    found = trend(one, around.house.weight_limits, around.now)
    return f"{percent(found.unconfirmed)} less" if found.unconfirmed else ""


def _weekly_since(around: Round, one: Animal, holding: tuple[Rung, ...]) -> date | None:
    """From when on she is weighed weekly, some days after a mating or company, or by any sign; None: she is not."""
    starts = [rung.start for rung in holding if rung.gravid]
    if one.subject.startswith("group/") or one.sex == "M":
        return min(starts, default=None)
    her = female(around.standing, one.subject, around.house.breeding_days)
    begins = timedelta(days=around.house.days("eggbinding.check_from_days"))
    for window in her.windows(around.now):
        if window.why == "stored sperm" or window.first + begins > around.day:
            continue
        if starts or around.day <= window.closes:
            known = [walk_day(known_at(entry, around.now), around.house) for entry in window.entries]
            starts.append(max(window.first + begins, min(known, default=window.first)))
    return min(starts, default=None)


def _left_alone(around: Round, one: Animal, holding: tuple[Rung, ...]) -> bool:
    """Whether she digs or lays just now."""
    if any(rung.every_days == 0 for rung in holding):
        return True
    her = female(around.standing, one.subject, around.house.breeding_days)
    return her.digs_now(around.now, around.house.days("eggbinding.left_alone_days"))


def _as_the_vet_asked(around: Round, one: Animal, last: date | None) -> date | None:
    """The day on which a weighing falls due that a vet asked for every so many days; None when none did."""
    asked = [seen for seen in one.own(VetSeen) if seen.weigh_days is not None]
    if not asked:
        return None
    seen = asked[-1]
    assert seen.weigh_days is not None
    if seen.weigh_until is not None and around.day > seen.weigh_until:
        return None
    begins = walk_day(seen.at, around.house)
    since = max(begins, last) if last is not None else begins
    return since + timedelta(days=seen.weigh_days)
