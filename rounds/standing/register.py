"""Who there is, where they live and where keepers stood: kept beside the pages, so that no page need be opened.

A register belongs to one standing and is never changed; `after` gives that of the next, at a cost that
goes with what was written, not with how many animals there are.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from datetime import date, datetime
from typing import Any, Final, NamedTuple, Protocol, TypeAlias

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
_CLUTCH: Final = "clutch/"


class StoredRegister(Protocol):
    """What a register was, stored beside its pages (in a cache)."""

    @property
    def since(self) -> date:
        """From this day on `walks` has every walk on which a stop was done."""

    @property
    def walks(self) -> Collection[WalkKey]:
        """The walks that are stored."""

    def walk(self, key: WalkKey) -> Walked:
        """One of them."""

    def card(self, subject: str) -> Card:
        """The card of a subject that has a page."""

    def places(self) -> dict[str, str]:
        """Where each animal and group lived."""

    def newest(self) -> dict[str, datetime]:
        """The time of the newest entry on each page that has any, corrections not among them."""

    def orders(self) -> dict[tuple[str, ...], tuple[str, ...]]:
        """Walking orders that were worked out."""


class _Earlier(NamedTuple):
    """What the register of an earlier moment goes by: that of now, the moment, and the stops whose pages differ."""

    now: Register
    moment: datetime
    stops: frozenset[str]


class Register:
    """What lists and the walk need of every subject of a standing."""

    __slots__ = (
        "_cards",
        "_clutches",
        "_earlier",
        "_newest",
        "_orders",
        "_places",
        "_residents",
        "_sorts",
        "_stale",
        "_stored",
        "_times",
        "_walked",
        "kept",
        "pages",
    )

    def __init__(self, pages: Pages, stored: StoredRegister | None = None) -> None:
        self.pages = pages
        self._stored = stored
        #: Subjects whose stored card no longer says how they stand.
        self._stale: frozenset[str] = frozenset()
        self._cards: dict[str, Card] = {}
        self._places: dict[str, str] | None = None
        self._residents: dict[str, tuple[str, ...]] = {}
        self._sorts: dict[str, list[str]] = {}
        self._walked: dict[WalkKey, Walked] = {}
        self._orders: dict[tuple[str, ...], tuple[str, ...]] | None = None
        self._newest: dict[str, datetime] | None = None
        #: Times of entries that came after `_stored` was, by subject.
        self._times: dict[str, datetime] = {}
        #: Set when this is the register of an earlier moment (`upto`).
        self._earlier: _Earlier | None = None
        self._clutches: list[str] | None = None
        #: What a view has worked out from one page alone, by subject: it goes along to the next standing until an
        #: entry stands on that page.
        self.kept: dict[str, dict[Any, Any]] = {}

    def card(self, subject: str) -> Card:
        """What is written on a subject's label."""
        card = self._cards.get(subject)
        if card is None:
            if subject not in self.pages:
                return card_of(Page(subject))
            fresh = self._stored is None or subject in self._stale
            card = self._cards[subject] = card_of(self.pages[subject]) if fresh else self._stored_card(subject)
        return card

    def _stored_card(self, subject: str) -> Card:
        assert self._stored is not None
        return self._stored.card(subject)

    @property
    def places(self) -> Mapping[str, str]:
        """Where each animal and group lives now (those that live anywhere)."""
        if self._places is None:
            if self._stored is None:
                housed = [subject for subject in self.pages if subject.startswith(_HOUSED)]
                found = ((subject, self.card(subject).place) for subject in housed)
                self._places = {subject: place for subject, place in found if place is not None}
            else:
                self._places = self._stored.places()
                stale = [subject for subject in self._stale if subject.startswith(_HOUSED)]
                self._places, _ = _rehoused(self._places, {}, stale, self.card)
            self._residents = _residents_of(self._places)
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
    def orders(self) -> dict[tuple[str, ...], tuple[str, ...]]:
        """The walking order, by the order the keeper asks for; `walking_order` fills it."""
        if self._orders is None:
            self._orders = self._stored.orders() if self._stored is not None else {}
        return self._orders

    @property
    def newest(self) -> Mapping[str, datetime]:
        """The time of the newest entry on each page that has any, corrections not among them."""
        if self._newest is None:
            if self._stored is not None:
                self._newest = self._stored.newest()
                for subject, at in self._times.items():
                    self._newest[subject] = max(at, self._newest.get(subject, at))
                if self._earlier is not None:
                    moment = self._earlier.moment
                    self._newest = {subject: min(at, moment) for subject, at in self._newest.items()}
            else:
                found = ((subject, page.latest) for subject, page in self.pages.items())
                self._newest = {subject: at for subject, at in found if at is not None}
        return self._newest

    @property
    def clutches(self) -> Sequence[str]:
        """All clutches, by the time of the newest entry on their pages, oldest first."""
        if self._clutches is None:
            times = [(at.timestamp(), one) for one in self.subjects("clutch") if (at := self.newest.get(one))]
            self._clutches = [one for _, one in sorted(times)]
        return self._clutches

    def walked(self, day: date, part: str) -> Walked:
        """Where keepers stood on a walk: the stops, in no order, each with its entries, oldest first."""
        key = (day, part)
        found = self._walked.get(key)
        if found is None:
            if self._earlier is not None:
                now = self._earlier.now.walked(day, part)
                found = _stood_again(now, self.pages, key, self._earlier.stops)
            elif self._stored is None or day < self._stored.since:
                found = _stood_again({}, self.pages, key, self.subjects("enclosure"))
            else:
                found = self._stored.walk(key) if key in self._stored.walks else {}
            self._walked[key] = found
        return found

    def walks_since(self, day: date) -> dict[WalkKey, Walked]:
        """Every walk from a day on (or from that on, from which they are stored) on which a stop was done."""
        if self._stored is not None and self._earlier is None:
            keys = {*self._walked, *self._stored.walks}
            day = max(day, self._stored.since)
        else:
            keys = {key for stop in self.subjects("enclosure") for key in _walks_on(self.pages[stop])}
        walks = {key: self.walked(*key) for key in sorted(keys) if key[0] >= day}
        return {key: walked for key, walked in walks.items() if walked}

    def is_as_stored(self, subject: str) -> bool:
        """Whether the subject's stored card still says how it stands."""
        return self._stored is not None and subject not in self._stale

    def after(self, pages: Pages, taken: Sequence[Entry]) -> Register:
        """The register of the standing that these entries make of this one."""
        changed: set[str] = set()
        stood: set[str] = set()
        times = dict(self._times)
        for entry in taken:
            subjects = [subject for subject in entry.subjects() if subject in pages]
            if type(entry) in ON_CARDS:
                changed.update(subjects)
            else:
                changed.update(subject for subject in subjects if subject not in self.pages)
            if isinstance(entry, StopWalked | Corrected):
                stood.update(subject for subject in subjects if subject.startswith(_ENCLOSURE))
            if self._stored is not None and not isinstance(entry, Corrected):
                for subject in subjects:
                    times[subject] = max(times.get(subject, entry.at), entry.at)
        new = self._changed(pages, changed, stood)
        new._times = times
        touched = {subject for entry in taken for subject in entry.subjects()}
        new.kept = {subject: known for subject, known in self.kept.items() if subject not in touched}
        if not any(subject.startswith(_CLUTCH) for subject in touched):
            new._clutches = self._clutches
        return new

    def with_page(self, pages: Pages, page: Page) -> Register:
        """The register when one subject's page is another, for whatever reason."""
        subject = page.subject
        new = self._changed(pages, {subject}, {subject} if subject.startswith(_ENCLOSURE) else set())
        new._times = self._times
        if self._stored is not None and page.latest is not None:
            new._times = {**self._times, subject: page.latest}
        return new

    def upto(self, pages: Pages, moment: datetime) -> Register:
        """The register of a standing of which only what is not dated after a moment counts; `pages` are cut so."""
        late = {subject for subject, newest in self.newest.items() if newest > moment}
        changed = {
            subject for subject in late if (since := self.card(subject).since) is not None and since > moment
        }
        new = self._changed(pages, changed, set())
        new._times = self._times
        new._walked = {}
        stops = frozenset(subject for subject in late if subject.startswith(_ENCLOSURE))
        new._earlier = _Earlier(self, moment, stops)
        return new

    def _changed(self, pages: Pages, changed: set[str], stood: set[str]) -> Register:
        new = Register(pages, self._stored)
        new._cards, new._stale, new._orders = self._cards, self._stale, self._orders
        if changed:
            new._cards = {subject: card for subject, card in self._cards.items() if subject not in changed}
            new._stale = self._stale | changed
            if any(subject.startswith(_ENCLOSURE) for subject in changed):
                new._orders = {}
        if self._places is not None:
            new._places, new._residents = self._places, self._residents
            housed = [subject for subject in changed if subject.startswith(_HOUSED)]
            if housed:
                new._places, new._residents = _rehoused(self._places, self._residents, housed, new.card)
        if len(pages) == len(self.pages):
            new._sorts = self._sorts
        if self._earlier is not None:
            return new
        new._walked = self._walked
        if stood:
            keys = set(self._walked)
            if self._stored is not None:
                since = self._stored.since
                keys.update(self._stored.walks)
                keys.update(key for stop in stood for key in _walks_on(pages[stop]) if key[0] >= since)
            new._walked = {key: _stood_again(self.walked(*key), pages, key, stood) for key in keys}
        return new


def _walks_on(page: Page) -> set[WalkKey]:
    """The walks of which a page tells."""
    return {(entry.day, entry.walk) for entry in page.of(StopWalked)}


def _stood_again(walked: Walked, pages: Pages, key: WalkKey, stops: Iterable[str]) -> Walked:
    """A walk with these stops looked up again on their pages."""
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


def _residents_of(places: Mapping[str, str]) -> dict[str, tuple[str, ...]]:
    living: dict[str, list[str]] = {}
    for subject in sorted(places):
        living.setdefault(places[subject], []).append(subject)
    return {enclosure: tuple(who) for enclosure, who in living.items()}


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
