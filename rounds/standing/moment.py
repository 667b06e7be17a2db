"""A standing as of a moment: what is dated later does not count yet."""

from __future__ import annotations

from datetime import datetime

from rounds.standing.fold import Standing


def as_of(standing: Standing, now: datetime) -> Standing:
    """The standing without entries dated after `now`; the same one when there are none.

    A page keeps only the newest entries of each kind, so this looks back over days, not over years:
    for an old day fold the entries up to it.
    """
    if "latest" not in standing.views:
        days = [page.latest for page in standing.pages.values() if page.latest is not None]
        standing.views["latest"] = max(days, default=None)
    latest = standing.views["latest"]
    if latest is None or latest <= now:
        return standing
    moment, cut = standing.views.get("as of", (None, None))
    if moment != now:
        cut = Standing({subject: page.upto(now) for subject, page in standing.pages.items()})
        standing.views["as of"] = (now, cut)
    assert isinstance(cut, Standing)
    return cut
