"""Who there is, where they live and where keepers stood: kept beside the pages, so that no page need be opened.

A register belongs to one standing and is never changed; `after` gives that of the next, at a cost that
goes with what was written, not with how many animals there are.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date, datetime
from typing import Final, TypeAlias

from rounds.logbook.entries import Corrected, Entry, StopWalked
from rounds.standing.card import ON_CARDS, Card, card_of
from rounds.standing.page import Page

Pages: TypeAlias = Mapping[str, Page]
#: A walk: the room's day and its part, as `stop_walked` entries name it.
WalkKey: TypeAlias = tuple[date, str]
#: Of one walk, the stops at which keepers stood, with the entries, oldest first.
Walked: TypeAlias = Mapping[str, tuple[StopWalked, ...]]
_HOUSED: Final = ("animal/", "group/")
_ENCLOSURE: Final = "enclosure/"


class Register:
    """What lists and the walk need of every subject of a standing."""

    __slots__ = (
        "_base",
        "_cards",
        "_newest",
        "_places",
        "_residents",
        "_sorts",
        "_walked",
        "_walked_since",
        "orders",
        "pages",
    )

    def __init__(self, pages: Pages) -> None:
        self.pages = pages
        self._cards: dict[str, Card] = {}
        #: The time of the newest entry on each page, once that is known of all.
        self._newest: dict[str, datetime] | None = None
        self._places: dict[str, str] | None = None
        self._residents: dict[str, tuple[str, ...]] = {}
        self._sorts: dict[str, list[str]] = {}
        self._walked: dict[WalkKey, Walked] = {}
        #: From this day on every walk that is not among `_walked` is known to have no stop done.
        self._walked_since: date | None = None
        #: The register this one is cut from, and the enclosures whose pages are cut.
        self._base: tuple[Register, frozenset[str]] | None = None
        #: The walking order, by the order the keeper asks for; belongs to `walking_order`.
        self.orders: dict[tuple[str, ...], tuple[str, ...]] = {}

    @classmethod
    def kept(
        cls,
        pages: Pages,
        cards: dict[str, Card],
        newest: dict[str, datetime],
        walked: dict[WalkKey, Walked],
        walked_since: date,
    ) -> Register:
        """A register as it was kept (in a cache) beside its pages; it knows all subjects."""
        register = cls(pages)
        register._cards = cards
        register._newest = newest
        register._walked = walked
        register._walked_since = walked_since
        return register

    def card(self, subject: str) -> Card:
        """What is written on a subject's label."""
        card = self._cards.get(subject)
        if card is None:
            page = self.pages.get(subject)
            card = card_of(page or Page(subject))
            if page is not None:
                self._cards[subject] = card
        return card

    @property
    def places(self) -> Mapping[str, str]:
        """Where each animal and group lives now (those that live anywhere)."""
        if self._places is None:
            housed = (subject for subject in self.pages if subject.startswith(_HOUSED))
            self._places, self._residents = _rehoused({}, {}, housed, self.card)
        return self._places

    def living_in(self, enclosure: str) -> tuple[str, ...]:
        """Who lives in an enclosure now: animals and groups, by id."""
        if self._places is None:
            _ = self.places
        return self._residents.get(enclosure, ())

    def subjects(self, sort: str) -> list[str]:
        """All subjects of a sort that were ever opened, by id."""
        found = self._sorts.get(sort)
        if found is None:
            start = sort + "/"
            found = self._sorts[sort] = sorted(subject for subject in self.pages if subject.startswith(start))
        return found

    @property
    def newest(self) -> Mapping[str, datetime]:
        """The time of the newest entry on each page that has any, corrections not among them."""
        if self._newest is None:
            self._newest = {subject: page.latest for subject, page in self.pages.items() if page.latest is not None}
        return self._newest

    def walked(self, day: date, part: str) -> Walked:
        """Where keepers stood on a walk: the stops, in no order, each with its entries, oldest first."""
        key = (day, part)
        found = self._walked.get(key)
        if found is None:
            if self._base is not None:
                base, late = self._base
                found = _stood_again(base.walked(day, part), self.pages, key, late)
            elif self._walked_since is not None and day >= self._walked_since:
                found = {}
            else:
                found = _stood_again({}, self.pages, key, self.subjects("enclosure"))
            self._walked[key] = found
        return found

    def after(self, pages: Pages, taken: Sequence[Entry]) -> Register:
        """The register of the standing that these entries make of this one."""
        changed: set[str] = set()
        stood: set[str] = set()
        newest = dict(self._newest) if self._newest is not None else None
        for entry in taken:
            subjects = [subject for subject in entry.subjects() if subject in pages]
            if type(entry) in ON_CARDS:
                changed.update(subjects)
            if isinstance(entry, StopWalked | Corrected):
                stood.update(subject for subject in subjects if subject.startswith(_ENCLOSURE))
            if newest is not None and not isinstance(entry, Corrected):
                for subject in subjects:
                    newest[subject] = max(newest.get(subject, entry.at), entry.at)
        new = self._changed(pages, changed, stood)
        new._newest = newest
        return new

    def with_page(self, pages: Pages, page: Page) -> Register:
        """The register when one subject's page is another, for whatever reason."""
        subject = page.subject
        new = self._changed(pages, {subject}, {subject} if subject.startswith(_ENCLOSURE) else set())
        if self._newest is not None and page.latest is not None:
            new._newest = {**self._newest, subject: page.latest}
        return new

    def upto(self, pages: Pages, moment: datetime) -> Register:
        """The register of a standing of which only what is not dated after a moment counts; `pages` are cut so."""
        late = frozenset(subject for subject, newest in self.newest.items() if newest > moment)
        changed = {
            subject for subject in late if (since := self.card(subject).since) is not None and since > moment
        }
        new = self._changed(pages, changed, set())
        new._newest = {subject: min(newest, moment) for subject, newest in self.newest.items()}
        new._walked, new._walked_since = {}, None
        new._base = (self, frozenset(subject for subject in late if subject.startswith(_ENCLOSURE)))
        return new

    def _changed(self, pages: Pages, changed: set[str], stood: set[str]) -> Register:
        new = Register(pages)
        new._cards, new.orders = self._cards, self.orders
        if changed:
            new._cards = {subject: card for subject, card in self._cards.items() if subject not in changed}
            if any(subject.startswith(_ENCLOSURE) for subject in changed):
                new.orders = {}
        if self._places is not None:
            new._places, new._residents = self._places, self._residents
            housed = [subject for subject in changed if subject.startswith(_HOUSED)]
            if housed:
                new._places, new._residents = _rehoused(self._places, self._residents, housed, new.card)
        if len(pages) == len(self.pages):
            new._sorts = self._sorts
        new._walked, new._walked_since, new._base = self._walked, self._walked_since, None
        if self._base is not None:
            new._walked = {}
        elif stood:
            keys = {*self._walked, *(key for stop in stood for key in _walks_on(pages[stop]))}
            new._walked = {
                key: _stood_again(self._walked.get(key, {}), pages, key, stood)
                for key in keys
                if key in self._walked or (self._walked_since is not None and key[0] >= self._walked_since)
            }
        return new


def _walks_on(page: Page) -> set[WalkKey]:
    """The walks of which a page tells."""
    return {(entry.day, entry.walk) for entry in page.of(StopWalked)}


def _stood_again(walked: Walked, pages: Pages, key: WalkKey, stops: Iterable[str]) -> Walked:
    """A walk with these stops looked up anew on their pages."""
    found = dict(walked)
    for stop in stops:
        entries = tuple(
            entry for entry in pages[stop].of(StopWalked) if entry.about == stop and (entry.day, entry.walk) == key
        )
        if entries:
            found[stop] = entries
        else:
            found.pop(stop, None)
    return found


def _rehoused(
    places: Mapping[str, str],
    residents: Mapping[str, tuple[str, ...]],
    moved: Iterable[str],
    card: Callable[[str], Card],
) -> tuple[dict[str, str], dict[str, tuple[str, ...]]]:
    changed: list[tuple[str, str | None, str | None]] = []
    for subject in moved:
        new, old = card(subject).place, places.get(subject)
        if new != old:
            changed.append((subject, old, new))
    if not changed:
        return places, residents  # type: ignore[return-value]
    housed = dict(places)
    living: dict[str, set[str]] = {}
    for subject, old, new in changed:
        if old is not None:
            living.setdefault(old, set(residents.get(old, ()))).discard(subject)
            housed.pop(subject, None)
        if new is not None:
            living.setdefault(new, set(residents.get(new, ()))).add(subject)
            housed[subject] = new
    together = dict(residents)
    for enclosure, who in living.items():
        together[enclosure] = tuple(sorted(who))
    return housed, together
