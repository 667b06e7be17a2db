"""When to weigh: by age, more often while she carries, before she lays, and after."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from rounds.due.age import age_class
from rounds.due.checks import Rung, rungs
from rounds.due.line import DueLine
from rounds.due.round import Round
from rounds.standing.animal import Animal


def weigh_lines(around: Round, place: str | None, one: Animal) -> Iterator[DueLine]:
    """Its weighing, when it is due. Of a group, the mean of one."""
    weights = one.weights
    last = around.day_of(weights[-1]) if weights else None
    opened = around.day_of(one.arrived) if one.arrived else None
    holding = rungs(around, one)
    age = age_class(one.hatched, around.house, around.day)
    key = "weighing.young_days" if age in ("hatchling", "young") else "weighing.adult_days"
    says = "weigh"
    if any(rung.carrying for rung in holding):
        key, says = "weighing.gravid_days", "weigh: she may be carrying"
    due = around.fell_due(key, last, opened)
    house: tuple[str, ...] = (key,)
    for rung in holding:
        found = _for_laying(around, rung, last)
        if found is not None and (due is None or found[0] < due):
            due, says, house = found
    if due is None:
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


def _for_laying(around: Round, rung: Rung, last: date | None) -> tuple[date, str, tuple[str, ...]] | None:
    """The weighing that belongs to a check after laying, or to digging before it."""
    if rung.every_days is None:
        return (rung.start, f"weigh {rung.why}", rung.house) if last is None or last < rung.start else None
    if rung.why != "digging":
        return None
    key = "weighing.before_laying_days"
    due = rung.start if last is None else max(rung.start, last + timedelta(days=around.house.days(key)))
    return (due, "weigh before she lays", (key,)) if due <= around.day else None
