"""Which clutches are one laying: eggs found later are often written under a clutch of their own."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from rounds.logbook.entries import EggsLaid
from rounds.logbook.times import days_between, hours_between
from rounds.standing.clutch import Clutch


def layings_of(
    clutches: Sequence[Clutch],
    within_days: int,
    enough: int,
    within_hours: float,
    empty: Sequence[datetime] = (),
) -> tuple[tuple[Clutch, ...], ...]:
    """A female's clutches by laying, both oldest first; each clutch is in one.

    One belongs to the laying before it when its first eggs came within so many days of that one's last: far too
    soon for a clutch of its own, unless a vet found her empty between. Once there were eggs enough, a few more do
    not count those days again. Where both are eggs enough for one, they are of one only within so many hours.
    """
    found: list[list[Clutch]] = []
    last: datetime | None = None
    for eggs in sorted((one for one in clutches if one.laid), key=lambda one: one.laid[0].key):
        begun, newest = eggs.laid[0].at, eggs.last_egg or eggs.laid[-1]
        both = bool(found) and min(eggs.most, sum(one.most for one in found[-1])) >= enough
        soon = last is not None and days_between(last, begun) <= within_days
        soon = soon and not any(found[-1][-1].laid[0].at < at <= begun for at in empty)
        if last is not None and soon and not (both and hours_between(last, begun) > within_hours):
            found[-1].append(eggs)
        else:
            found.append([eggs])
        before = sum(one.most for one in found[-1][:-1])
        if last is None or eggs.most >= enough or before < enough:
            last = newest.at if last is None else max(last, newest.at)
    return tuple(map(tuple, found))


def slugs_only(parts: Sequence[Clutch]) -> bool:
    """Whether nothing but slugs came of a laying."""
    return any(one.count for one in parts) and all(one.slugs >= one.count for one in parts)


def said_again(parts: Sequence[Clutch], believed: EggsLaid, within_hours: float) -> EggsLaid | None:
    """The last entry that says that she is done, when laying went on after one that was believed; else None.

    More eggs came, and all was written down within so many hours of the last egg before them: she was said to be
    done too soon.
    """
    counts: dict[str, int] = {}
    before, grew, last = believed, False, None
    for entry in sorted((entry for one in parts for entry in one.laid), key=lambda entry: entry.key):
        more = entry.count > counts.get(entry.clutch, 0)
        counts[entry.clutch] = max(entry.count, counts.get(entry.clutch, 0))
        if entry.key <= believed.key:
            before = entry if more else before
            continue
        if hours_between(before.at, entry.known) >= within_hours:
            break
        grew = grew or more
        if grew and entry.complete:
            last = before = entry
    return last
