"""A standing as of a moment: what is dated later does not count yet."""

from __future__ import annotations

from datetime import datetime
from typing import Final

from rounds.standing.fold import Standing

#: How many moments of one standing are kept: now, and those at which matters were put off.
_KEPT: Final = 8


def as_of(standing: Standing, now: datetime) -> Standing:
    """The standing without entries dated after `now`; the same one when there are none.

    A page keeps only the newest entries of each kind, so this looks back over days, not over years:
    for an old day fold the entries up to it.
    """
    latest = standing.latest
    if latest is None or latest <= now:
        return standing
    kept: dict[datetime, Standing] = standing.views.setdefault("as of", {})
    cut = kept.get(now)
    if cut is None:
        while len(kept) >= _KEPT:
            del kept[next(iter(kept))]
        cut = kept[now] = standing.upto(now)
    return cut
