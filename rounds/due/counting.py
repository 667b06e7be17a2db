"""When young counted together are counted again, so that one missing is missed within days."""

from __future__ import annotations

from collections.abc import Iterator

from rounds.due.line import DueLine
from rounds.due.round import Round
from rounds.standing.animal import Animal
from rounds.standing.group import group, last_count

_EVERY = "young.count_days"


def count_lines(around: Round, place: str | None, one: Animal) -> Iterator[DueLine]:
    """The count of a group, some days after the last one, or after it was made. None of one that is alone.

    Before the first count it is due, and never late.
    """
    if not one.subject.startswith("group/") or one.arrived is None:
        return
    young = group(around.standing, one.subject)
    if young.census.known and young.count <= 1:
        return
    counted, made = last_count(young), around.day_of(one.arrived)
    due = around.first_fell_due(_EVERY, around.day_of(counted) if counted else None, made, made)
    if due is None:
        return
    yield DueLine(
        care="count",
        about=one.subject,
        place=place or "",
        says=f"count, {young.count} reckoned" if young.census.known else "count: no one knows how many",
        due=due,
        late_days=around.late(due),
        plain=False,
        house=(_EVERY,),
        left_out=around.left_out("count", one.subject, place),
    )
