"""The fold: entries in, standing out. The order in which sheets arrive makes no difference."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Final

import msgspec

from rounds.logbook.entries import KINDS, Arrived, Corrected, Died, EnclosureSetUp, Entry, Left, Moved
from rounds.logbook.entries.base import SUBJECT
from rounds.standing.page import RESERVE, Key, Page, in_order

#: Kinds on which where an animal lives depends.
_PLACING: Final = (Arrived, Left, Died, Moved, Corrected)


class Standing:
    """What is known of every subject now: a page for each. Never changed: `after` gives a new one."""

    __slots__ = ("_places", "_residents", "pages", "views")

    def __init__(self, pages: Mapping[str, Page] | None = None) -> None:
        self.pages: Mapping[str, Page] = pages or {}
        #: What the views have worked out from these pages so far; belongs to the view modules.
        self.views: dict[Any, Any] = {}
        self._places: dict[str, str] | None = None
        self._residents: dict[str, tuple[str, ...]] | None = None

    def page(self, subject: str) -> Page:
        """The subject's page; an empty one when nothing was ever written about it."""
        return self.pages.get(subject) or Page(subject)

    def after(self, entry: Entry) -> Standing:
        """The standing with one entry more."""
        return self.after_all((entry,))

    def after_all(self, entries: Iterable[Entry]) -> Standing:
        """The standing with these entries more, in any order."""
        pages = dict(self.pages)
        moved: set[str] = set()
        taken = tuple(entries)
        for entry in taken:
            for subject in entry.subjects():
                page = pages.get(subject)
                if page is None:
                    if SUBJECT.fullmatch(subject) is None:
                        continue
                    page = Page(subject)
                pages[subject] = page.after(entry)
                if isinstance(entry, _PLACING):
                    moved.add(subject)
        new = Standing(pages)
        latest = self.views.get("latest")
        if latest is not None:
            # Where the newest entry stands in time is asked at every reckoning; it need not be sought anew.
            new.views["latest"] = max(latest, max((entry.at for entry in taken), default=latest))
        if self._places is not None and self._residents is not None:
            new._places, new._residents = _rehoused(self._places, self._residents, pages, moved)
        return new

    def with_page(self, page: Page) -> Standing:
        """The standing with one page folded anew (after it was found `short`)."""
        return Standing({**self.pages, page.subject: page})

    def with_pages(self, pages: Mapping[str, Page], moved: Iterable[str]) -> Standing:
        """The standing with other pages for the same subjects; `moved` are those whose place may differ."""
        _ = self.places
        assert self._places is not None
        assert self._residents is not None
        new = Standing(pages)
        new._places, new._residents = _rehoused(self._places, self._residents, pages, moved)
        return new

    @property
    def short(self) -> frozenset[str]:
        """Subjects whose history has to be read again for their page to be whole."""
        return frozenset(subject for subject, page in self.pages.items() if page.short)

    def subjects(self, sort: str) -> list[str]:
        """All subjects of a sort (`animal`, `group`, `enclosure`, `clutch`) that were ever opened, by id."""
        start = sort + "/"
        return sorted(subject for subject in self.pages if subject.startswith(start))

    @property
    def places(self) -> Mapping[str, str]:
        """Where each animal and group lives now (those that live anywhere)."""
        if self._places is None:
            self._places, self._residents = _rehoused({}, {}, self.pages, self.pages)
        return self._places

    def living_in(self, enclosure: str) -> tuple[str, ...]:
        """Who lives in an enclosure now: animals and groups, by id."""
        if self._residents is None:
            _ = self.places
        assert self._residents is not None
        return self._residents.get(enclosure, ())

    def name(self, subject: str | None) -> str:
        """What keepers call the subject."""
        if subject is None:
            return "?"
        page = self.pages.get(subject)
        if page is not None:
            opened = page.last(EnclosureSetUp) if subject.startswith("enclosure/") else page.last(Arrived)
            if opened is not None and opened.about == subject:
                return opened.name
        return subject.rpartition("/")[2] or subject

    def digest(self) -> str:
        """Short digest of all that the pages show: equal standings have equal digests."""
        running = hashlib.sha256()
        for subject in sorted(self.pages):
            for kind, entries in sorted(self.pages[subject].shown().items()):
                running.update(f"{subject}\0{kind}\0".encode())
                running.update(msgspec.json.encode(entries))
        return running.hexdigest()[:16]

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Standing):
            return NotImplemented
        mine = {subject: page for subject, page in self.pages.items() if page.shown()}
        return mine == {subject: page for subject, page in other.pages.items() if page.shown()}

    __hash__ = None  # type: ignore[assignment]


class Gathering:
    """A fold under way over many entries, as they come off the sheets. `standing()` ends it."""

    def __init__(self) -> None:
        self._strands: dict[str, dict[type[Entry], list[Entry]]] = {}
        self._floors: dict[str, dict[type[Entry], Key]] = {}
        self._dead: dict[str, set[str]] = {}
        self._most = {kind: 4 * (kind.keep + RESERVE) for kind in KINDS.values()}
        self._mentioning = frozenset(kind for kind in KINDS.values() if kind.mentions)

    def add(self, entries: Iterable[Entry]) -> None:
        """Fold these entries in; they may come in any order."""
        strands = self._strands
        mentioning = self._mentioning
        most = self._most
        for entry in entries:
            kind = type(entry)
            if kind in mentioning:
                self._spread(entry, kind)
                continue
            try:
                strand = strands[entry.about][kind]
            except KeyError:
                strand = self._opened(entry.about, kind)
            strand.append(entry)
            if len(strand) > most[kind]:
                self._cut(entry.about, kind)

    def _spread(self, entry: Entry, kind: type[Entry]) -> None:
        for subject in entry.subjects():
            if isinstance(entry, Corrected):
                self._dead.setdefault(subject, set()).add(entry.replaces)
            strand = self._opened(subject, kind)
            strand.append(entry)
            if len(strand) > self._most[kind]:
                self._cut(subject, kind)

    def _opened(self, subject: str, kind: type[Entry]) -> list[Entry]:
        page = self._strands.get(subject)
        if page is None:
            page = {}
            # A sheet from elsewhere may name anything: what is no subject of ours opens no page.
            if SUBJECT.fullmatch(subject) is not None:
                self._strands[subject] = page
        return page.setdefault(kind, [])

    def _cut(self, subject: str, kind: type[Entry]) -> None:
        """Let the oldest of a strand go, keeping what a page keeps."""
        strand = self._strands.get(subject, {}).get(kind)
        if strand is None:
            return
        live = self._live(subject, kind, strand)
        most = kind.keep + RESERVE
        if len(live) > most:
            self._floors.setdefault(subject, {})[kind] = live[-most - 1].key
            del live[:-most]
        strand[:] = live

    def _live(self, subject: str, kind: type[Entry], strand: list[Entry]) -> list[Entry]:
        live = in_order(strand)
        dead = self._dead.get(subject)
        if dead and kind is not Corrected:
            live = [entry for entry in live if entry.id not in dead]
        floor = self._floors.get(subject, {}).get(kind)
        if floor is not None:
            live = [entry for entry in live if entry.key > floor]
        return live

    def standing(self) -> Standing:
        """All that was folded in, as pages."""
        return Standing({page.subject: page for page in self._pages()})

    def _pages(self) -> Iterator[Page]:
        for subject, kinds in self._strands.items():
            for kind in kinds:
                self._cut(subject, kind)
            strands = {kind: tuple(strand) for kind, strand in kinds.items() if strand}
            yield Page(subject, strands, self._floors.get(subject), frozenset(self._dead.get(subject, frozenset())))


def fold(entries: Iterable[Entry]) -> Standing:
    """The standing after all these entries, in whatever order they come."""
    gathering = Gathering()
    gathering.add(entries)
    return gathering.standing()


def place_on(page: Page) -> str | None:
    """Where the animal or group of this page lives now; None when it is not (or no longer) here."""
    placing: list[Entry] = [
        entry
        for kind in (Arrived, Moved, Died, Left)
        for entry in page.strands.get(kind, ())[-kind.keep :]
        if entry.about == page.subject
    ]
    place: str | None = None
    gone = False
    count: int | None = None
    placing.sort(key=lambda entry: entry.key)
    for entry in placing:
        if isinstance(entry, Arrived):
            place, gone = entry.place or place, False
            count = entry.count if count is None or entry.count is None else count + entry.count
        elif isinstance(entry, Moved):
            place = entry.to
        elif isinstance(entry, Left | Died):
            if entry.count is None or count is None:
                gone = True
            else:
                count -= entry.count
                gone = count <= 0
    return None if gone else place


def _rehoused(
    places: Mapping[str, str],
    residents: Mapping[str, tuple[str, ...]],
    pages: Mapping[str, Page],
    moved: Iterable[str],
) -> tuple[dict[str, str], dict[str, tuple[str, ...]]]:
    changed: list[tuple[str, str | None, str | None]] = []
    for subject in moved:
        if subject.startswith(("animal/", "group/")):
            new, old = place_on(pages[subject]), places.get(subject)
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
