"""Pages that are not all in memory: each is fetched when it is looked at."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from typing import Final, NamedTuple, TypeVar

from rounds.logbook.entries import Entry
from rounds.logbook.entries.base import SUBJECT
from rounds.standing.page import Page

Other = TypeVar("Other")
#: How many fetched pages stay at hand: some stops' worth. A page of a tub with its year is some 80 KB.
AT_HAND: Final = 64
#: Up to so many pages all stay at hand, once fetched.
FEW: Final = 512


class _AtHand(NamedTuple):
    """A page that was opened, and what it was made of: it is the page as long as that has not changed."""

    base: Page | None
    later: tuple[Entry, ...]
    page: Page


class StoredPages(Mapping[str, Page]):
    """Pages that lie elsewhere, with what was written since. Never changed: `after` gives new ones.

    What was written since lies beside the pages and is put onto a page when that is looked at, so that
    hearing of a whole day's entries opens none of them.
    """

    __slots__ = ("_at_hand", "_fetch", "_later", "_new", "_refolded", "_stored")

    def __init__(self, stored: Collection[str], fetch: Callable[[str], Page]) -> None:
        """`stored` names the subjects whose pages `fetch` gives, the same at each call."""
        self._stored = stored
        self._fetch = fetch
        #: Pages folded again from the subject's history, which stand in place of the stored ones.
        self._refolded: dict[str, Page] = {}
        #: What was written since the page was stored (or folded again), in the order in which it was heard of.
        self._later: dict[str, tuple[Entry, ...]] = {}
        #: Subjects of which no page was stored.
        self._new: dict[str, None] = {}
        self._at_hand: dict[str, _AtHand] = {}

    def __getitem__(self, subject: str) -> Page:
        later = self._later.get(subject, ())
        base = self._refolded.get(subject)
        known = self._at_hand.get(subject)
        if known is not None and known.base is base and known.later is later:
            return known.page
        if known is None or known.base is not base or known.later != later[: len(known.later)]:
            # It is not at hand, or another standing opened it, in which other entries were written.
            known = _AtHand(base, (), self._stored_page(subject) if base is None else base)
        page = known.page
        for entry in later[len(known.later) :]:
            page = page.after(entry)
        self._at_hand.pop(subject, None)  # the newest stands last
        self._at_hand[subject] = _AtHand(base, later, page)
        if len(self._at_hand) > AT_HAND and len(self._stored) > FEW:
            del self._at_hand[next(iter(self._at_hand))]
        return page

    def _stored_page(self, subject: str) -> Page:
        if subject in self._stored:
            return self._fetch(subject)
        if subject in self._new:
            return Page(subject)
        raise KeyError(subject)

    def get(self, subject: str, otherwise: Page | Other | None = None) -> Page | Other | None:  # type: ignore[override]
        """The subject's page, if there is one."""
        return self[subject] if subject in self else otherwise  # noqa: SIM401 (this is that get)

    def __contains__(self, subject: object) -> bool:
        return subject in self._stored or subject in self._new

    def __iter__(self) -> Iterator[str]:
        yield from self._stored
        yield from self._new

    def __len__(self) -> int:
        return len(self._stored) + len(self._new)

    def comes_from(self, snapshot: object) -> bool:
        """Whether these pages are fetched from this."""
        return getattr(self._fetch, "__self__", None) is snapshot

    @property
    def changed(self) -> frozenset[str]:
        """Subjects whose pages are no longer as they were stored."""
        return frozenset((*self._later, *self._refolded, *self._new))

    def after(self, entries: Iterable[Entry]) -> StoredPages:
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

    def with_page(self, page: Page) -> StoredPages:
        """The pages with one of them replaced."""
        new = self._copy()
        new._refolded[page.subject] = page
        new._later.pop(page.subject, None)
        if page.subject not in self:
            new._new[page.subject] = None
        return new

    def _copy(self) -> StoredPages:
        new = StoredPages(self._stored, self._fetch)
        new._refolded, new._later, new._new = dict(self._refolded), dict(self._later), dict(self._new)
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
