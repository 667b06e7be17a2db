"""When a pair is to be parted: from the second day, before the matter says so.

Once a matter says that they should be apart, no line says it again: one cause is said once.
"""

from __future__ import annotations

from collections.abc import Iterator

from rounds.due.line import DueLine
from rounds.due.matters.company import pair_together_long, should_not_be_together, young_would_suffer
from rounds.due.matters.look import Look
from rounds.due.round import Round, known_at, walk_day
from rounds.logbook.entries import PutTogether
from rounds.logbook.times import days_between
from rounds.standing.animal import Animal
from rounds.standing.pairings import pairings_of

_RULES = (should_not_be_together, young_would_suffer, pair_together_long)


def part_lines(around: Round, place: str | None, one: Animal) -> Iterator[DueLine]:
    """The parting of a pair, on her line, from the day of the house to the last one it may stay together."""
    if PutTogether not in one.page.strands or one.subject.startswith("group/"):
        return
    key, last = "pairing.part_from_days", "pairing.together_days"
    begins, ends = around.house.days(key), around.house.days(last)
    pairs = [
        pair
        for pair in pairings_of(around.standing, one.subject)
        if pair.her == one.subject and pair.until is None and around.who(pair.him).here
    ]
    days = [days_between(pair.since, around.now) for pair in pairs]
    if not pairs or not begins <= max(days) <= ends:
        return
    look = Look(around.standing, around.house, around.now, one.subject)
    if one.sex == "F" and any(True for rule in _RULES for _ in rule(look)):
        return
    pair = pairs[days.index(max(days))]
    known = walk_day(known_at(pair.put, around.now), around.house)
    due = max(around.later(walk_day(pair.since, around.house), begins), known)
    due = min(due, around.day)
    his, apart = around.standing.name(pair.him), around.house.days("pairing.apart_days")
    yield DueLine(
        care="part",
        about=one.subject,
        place=place or "",
        says=f"part from {his}, together {max(days)} days; then {apart} days apart",
        due=due,
        late_days=around.late(due),
        plain=False,
        house=(key, last, "pairing.apart_days"),
        left_out=around.left_out("part", one.subject, place),
    )
