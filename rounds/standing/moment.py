"""A standing as of a moment: what is dated later does not count yet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Final

from rounds.logbook.entries import Arrived, Died, Left, Moved
from rounds.standing.fold import Standing
from rounds.standing.page import Page

_PLACING: Final = (Arrived, Moved, Left, Died)
#: How many moments of one standing are kept: now, and those at which matters were put off.
_KEPT: Final = 8


class PagesUpto(Mapping[str, Page]):
    """The pages of a standing without what is dated after a moment, each cut when it is first opened."""

    def __init__(self, pages: Mapping[str, Page], moment: datetime) -> None:
        self._pages = pages
        self._moment = moment
        self._cut: dict[str, Page] = {}

    def __getitem__(self, subject: str) -> Page:
        page = self._cut.get(subject)
        if page is None:
            page = self._cut[subject] = self._pages[subject].upto(self._moment)
        return page

    def __iter__(self) -> Iterator[str]:
        return iter(self._pages)

    def __len__(self) -> int:
        return len(self._pages)


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
    kept: dict[datetime, Standing] = standing.views.setdefault("as of", {})
    cut = kept.get(now)
    if cut is None:
        moved = [subject for subject, page in standing.pages.items() if _moved_after(page, now)]
        cut = standing.with_pages(PagesUpto(standing.pages, now), moved)
        while len(kept) >= _KEPT:
            del kept[next(iter(kept))]
        kept[now] = cut
    return cut


def _moved_after(page: Page, moment: datetime) -> bool:
    return any((strand := page.strands.get(kind)) and strand[-1].at > moment for kind in _PLACING)
