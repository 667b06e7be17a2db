"""Pages that are not all in memory: each is fetched when it is looked at."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from typing import Final, TypeVar

from rounds.logbook.entries import Entry
from rounds.logbook.entries.base import SUBJECT
from rounds.standing.page import Page

Other = TypeVar("Other")
#: How many fetched pages stay at hand: some stops' worth. A page of a tub with its year is some 80 KB.
AT_HAND: Final = 64
#: Up to so many pages all stay at hand, once fetched.
FEW: Final = 512
#: A page at hand: its mended base, if it has one, what was put onto it, and the page itself.
_AtHand = tuple[Page | None, tuple[Entry, ...], Page]


class KeptPages(Mapping[str, Page]):
    """Pages that lie elsewhere, with what was written since. Never changed: `after` gives new ones.

    What was written since lies beside the pages and is put onto a page when that is looked at, so that
    hearing of a whole day's entries opens none of them.
    """

    __slots__ = ("_at_hand", "_fetch", "_kept", "_later", "_mended", "_new")

    def __init__(self, kept: Collection[str], fetch: Callable[[str], Page]) -> None:
        """`kept` names the subjects whose pages `fetch` gives, the same at each call."""
        self._kept = kept
        self._fetch = fetch
        #: Pages found afresh from the subject's history, which stand in place of the kept ones.
        self._mended: dict[str, Page] = {}
        #: What was written since the page was kept (or mended), in the order in which it was heard of.
        self._later: dict[str, tuple[Entry, ...]] = {}
        #: Subjects that no page was kept of.
        self._new: dict[str, None] = {}
        self._at_hand: dict[str, _AtHand] = {}

    def __getitem__(self, subject: str) -> Page:
        later = self._later.get(subject, ())
        mended = self._mended.get(subject)
        known = self._at_hand.get(subject)
        if known is not None and known[0] is mended and known[1] is later:
            return known[2]
        self._at_hand.pop(subject, None)
        if known is not None and known[0] is mended and known[1] == later[: len(known[1])]:
            page = known[2]
            later_still = later[len(known[1]) :]
        else:
            page, later_still = self._base(subject, mended), later
        for entry in later_still:
            page = page.after(entry)
        self._at_hand[subject] = (mended, later, page)
        if len(self._at_hand) > AT_HAND and len(self._kept) > FEW:
            del self._at_hand[next(iter(self._at_hand))]
        return page

    def _base(self, subject: str, mended: Page | None) -> Page:
        if mended is not None:
            return mended
        if subject in self._kept:
            return self._fetch(subject)
        if subject in self._new:
            return Page(subject)
        raise KeyError(subject)

    def get(self, subject: str, otherwise: Page | Other | None = None) -> Page | Other | None:  # type: ignore[override]
        """The subject's page, if there is one."""
        return self[subject] if subject in self else otherwise  # noqa: SIM401 (this is that get)

    def __contains__(self, subject: object) -> bool:
        return subject in self._kept or subject in self._new

    def __iter__(self) -> Iterator[str]:
        yield from self._kept
        yield from self._new

    def __len__(self) -> int:
        return len(self._kept) + len(self._new)

    def comes_from(self, kept: object) -> bool:
        """Whether these pages are fetched from this."""
        return getattr(self._fetch, "__self__", None) is kept

    @property
    def changed(self) -> frozenset[str]:
        """Subjects whose pages are no longer as they were kept."""
        return frozenset((*self._later, *self._mended, *self._new))

    def after(self, entries: Iterable[Entry]) -> KeptPages:
        """The pages with these entries more."""
        new = self._copy()
        for entry in entries:
            for subject in entry.subjects():
                if subject not in new:
                    if SUBJECT.fullmatch(subject) is None:
                        continue
                    new._new[subject] = None
                new._later[subject] = (*new._later.get(subject, ()), entry)
        return new

    def with_page(self, page: Page) -> KeptPages:
        """The pages with one of them replaced."""
        new = self._copy()
        new._mended[page.subject] = page
        new._later.pop(page.subject, None)
        if page.subject not in self:
            new._new[page.subject] = None
        return new

    def _copy(self) -> KeptPages:
        new = KeptPages(self._kept, self._fetch)
        new._mended, new._later, new._new = dict(self._mended), dict(self._later), dict(self._new)
        # What is at hand says what it was made of, so that all standings can share it.
        new._at_hand = self._at_hand
        return new


class PagesUpto(Mapping[str, Page]):
    """The pages of a standing without what is dated after a moment, each cut when it is first opened."""

    def __init__(self, pages: Mapping[str, Page], cut: Callable[[Page], Page]) -> None:
        self._pages = pages
        self._cut = cut
        self._found: dict[str, Page] = {}

    def __getitem__(self, subject: str) -> Page:
        page = self._found.get(subject)
        if page is None:
            whole = self._pages[subject]
            page = self._cut(whole)
            if page is not whole:
                self._found[subject] = page
        return page

    def __contains__(self, subject: object) -> bool:
        return subject in self._pages

    def __iter__(self) -> Iterator[str]:
        return iter(self._pages)

    def __len__(self) -> int:
        return len(self._pages)


class Views(dict[object, object]):
    """What the views have worked out, at most so much of it: each holds on to a page."""

    def __init__(self, most: int) -> None:
        super().__init__()
        self._most = most

    def __setitem__(self, key: object, view: object) -> None:
        if len(self) >= self._most and key not in self:
            del self[next(iter(self))]
        super().__setitem__(key, view)
