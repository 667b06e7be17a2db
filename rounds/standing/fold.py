"""The fold: entries in, standing out. The order in which sheets arrive makes no difference."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import UTC, datetime
from typing import Any, Final

import msgspec

from rounds.logbook.entries import KINDS, Corrected, Entry
from rounds.logbook.entries.base import SUBJECT
from rounds.standing.card import Card
from rounds.standing.page import RESERVE, Crowded, Key, Page, in_order, is_let_go, kept, least_over
from rounds.standing.pages import AT_HAND, FEW, PagesUpto, StoredPages, Views
from rounds.standing.register import Register

#: Kinds that name more subjects than the one they are about.
_NAMING: Final = frozenset(kind for kind in KINDS.values() if kind.mentions)


class Standing:
    """What is known of every subject now: a page for each. Never changed: `after` gives a new one."""

    __slots__ = ("_latest", "pages", "register", "views")

    def __init__(
        self,
        pages: Mapping[str, Page] | None = None,
        register: Register | None = None,
        *,
        latest: datetime | bool | None = False,
    ) -> None:
        self.pages: Mapping[str, Page] = {} if pages is None else pages
        #: Labels, places and walks, kept beside the pages.
        self.register = Register(self.pages) if register is None else register
        #: What the views have worked out from these pages so far; belongs to the view modules. Where the
        #: pages are not all in memory, what was worked out from them is not held on to either.
        self.views: dict[Any, Any] = (
            {} if isinstance(self.pages, dict) or len(self.pages) <= FEW else Views(2 * AT_HAND)
        )
        #: False while it has not been asked for.
        self._latest = latest

    def page(self, subject: str) -> Page:
        """The subject's page; an empty one when nothing was ever written about it."""
        return self.pages.get(subject) or Page(subject)

    def after(self, entry: Entry) -> Standing:
        """The standing with one entry more."""
        return self.after_all((entry,))

    def after_all(self, entries: Iterable[Entry]) -> Standing:
        """The standing with these entries more, in any order."""
        taken = tuple(entries)
        pages = self.pages.after(taken) if isinstance(self.pages, StoredPages) else _after(self.pages, taken)
        latest = self._latest
        if not isinstance(latest, bool):
            # Where the newest entry stands in time is asked at every reckoning; it need not be sought again.
            times = [entry.at for entry in taken if not isinstance(entry, Corrected)]
            latest = max((*times, *([] if latest is None else [latest])), default=None)
        return Standing(pages, self.register.after(pages, taken), latest=latest)

    def with_page(self, page: Page) -> Standing:
        """The standing with one page folded again (after it was found `short`)."""
        kept = self.pages
        pages = kept.with_page(page) if isinstance(kept, StoredPages) else {**kept, page.subject: page}
        return Standing(pages, self.register.with_page(pages, page))

    def upto(self, moment: datetime) -> Standing:
        """The standing without what is dated after a moment. What was taken back stays so, whenever that was."""
        pages = PagesUpto(self.pages, lambda page: page.upto(moment))
        return Standing(pages, self.register.upto(pages, moment))

    @property
    def latest(self) -> datetime | None:
        """The time of the newest entry, corrections not among them; None without any."""
        if isinstance(self._latest, bool):
            self._latest = max(self.register.newest.values(), default=None)
        return self._latest

    @property
    def short(self) -> frozenset[str]:
        """Subjects whose history has to be read again for their page to be whole."""
        return frozenset(subject for subject, page in self.pages.items() if page.short)

    def subjects(self, sort: str) -> Sequence[str]:
        """All subjects of a sort (`animal`, `group`, `enclosure`, `clutch`) that were ever opened, by id."""
        return self.register.subjects(sort)

    @property
    def places(self) -> Mapping[str, str]:
        """Where each animal and group lives now (those that live anywhere)."""
        return self.register.places

    def living_in(self, enclosure: str) -> tuple[str, ...]:
        """Who lives in an enclosure now: animals and groups, by id."""
        return self.register.living_in(enclosure)

    def card(self, subject: str) -> Card:
        """What is written on a subject's label; its page need not be opened for it."""
        return self.register.card(subject)

    def name(self, subject: str | None) -> str:
        """What keepers call the subject."""
        return "?" if subject is None else self.card(subject).name

    def digest(self) -> str:
        """Short digest of all that the pages show: equal standings have equal digests."""
        # Late: it costs a command 2 ms that no answer needs.
        import hashlib

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


def _after(before: Mapping[str, Page], taken: Iterable[Entry]) -> dict[str, Page]:
    pages = dict(before)
    for entry in taken:
        for subject in entry.subjects():
            page = pages.get(subject)
            if page is None:
                if SUBJECT.fullmatch(subject) is None:
                    continue
                page = Page(subject)
            pages[subject] = page.after(entry)
    return pages


class _Strand(list[Entry]):
    """Entries of one kind on one page, in any order, with at most some more than the page keeps."""

    __slots__ = ("crowded", "floor", "most")

    def __init__(self, most: int) -> None:
        super().__init__()
        #: With more than this it is trimmed.
        self.most = most
        #: The key of the newest entry that was let go: what is older is not kept either.
        self.floor: Key | None = None
        #: Days with too many: the key of the newest entry that was let go of each.
        self.crowded: dict[Crowded, Key] = {}


class Gathering:
    """A fold under way over many entries, as they come off the sheets. `standing()` ends it.

    They may come in any order; newest first is quickest, since the older ones then find their page full.
    """

    def __init__(self) -> None:
        self._strands: dict[type[Entry], dict[str, _Strand]] = {kind: {} for kind in KINDS.values()}
        self._dead: dict[str, set[str]] = {}
        self._texts: dict[str, str] = {}
        #: Subjects whose page has its fill of a kind with entries at or after `_full_since`.
        self._full: dict[type[Entry], set[str]] = {kind: set() for kind in KINDS.values()}
        self._full_since = datetime.max.replace(tzinfo=UTC)
        #: Those that have their fill with older entries: since when, the kind and the subject.
        self._full_later: list[tuple[datetime, type[Entry], str]] = []

    def sift(self, entries: list[Entry], newest: datetime) -> list[Entry]:
        """Those that may change a page; `newest` is the latest of their times.

        Passed over is what is older than all that its page keeps of its kind, if it stands on no other page.
        """
        if self._full_later:
            later = self._full_later
            self._full_later = [one for one in later if one[0] <= newest]
            for since, kind, subject in later:
                if since > newest:
                    self._full[kind].add(subject)
                    self._full_since = min(self._full_since, since)
        if newest >= self._full_since:
            return entries
        full = self._full
        return [entry for entry in entries if entry.about not in full[type(entry)]]

    def add(self, entries: Iterable[Entry]) -> None:
        """Fold these entries in; they may come in any order."""
        strands = self._strands
        for entry in entries:
            kind = type(entry)
            try:
                strand = strands[kind][entry.about]
            except KeyError:
                strand = self._open(entry.about, kind)
            strand.append(entry)
            if len(strand) > strand.most:
                self._trim(entry.about, kind, strand)
            if kind in _NAMING:
                self._mention(entry, kind)

    def _mention(self, entry: Entry, kind: type[Entry]) -> None:
        """Put an entry on the pages of the other subjects that it names."""
        subjects = entry.subjects()
        if isinstance(entry, Corrected):
            for subject in subjects:
                self._dead.setdefault(subject, set()).add(entry.replaces)
        for subject in subjects[1:]:
            strand = self._strands[kind].get(subject)
            if strand is None:
                strand = self._open(subject, kind)
            strand.append(entry)
            if len(strand) > strand.most:
                self._trim(subject, kind, strand)

    def _open(self, subject: str, kind: type[Entry]) -> _Strand:
        strand = _Strand(kind.keep + RESERVE)
        # A sheet from elsewhere may name anything: what is no subject of ours opens no page.
        if SUBJECT.fullmatch(subject) is not None:
            self._strands[kind][self._one_text(subject)] = strand
        return strand

    def _one_text(self, subject: str) -> str:
        """One text for all kinds: it is looked up for each line of ten years, and lies in the processor's cache."""
        return self._texts.setdefault(subject, subject)

    def _trim(self, subject: str, kind: type[Entry], strand: _Strand) -> None:
        """Put a strand in order, without what was taken back, and let go what a page does not keep."""
        live = in_order(strand)
        dead = self._dead.get(subject)
        if dead and kind is not Corrected:
            live = [entry for entry in live if entry.id not in dead]
        if strand.floor is not None or strand.crowded:
            live = [entry for entry in live if not is_let_go(entry, strand.floor, strand.crowded)]
        if len(live) > least_over(kind):
            left, over, crowded = kept(kind, live)
            # Where entries come oldest first the strand fills again and again: not to be sorted at each entry.
            strand.most = 3 * max(len(left), kind.keep + RESERVE)
            strand.crowded.update(crowded)
            if over is not None:
                strand.floor = over
                if not kind.mentions:
                    self._full_later.append((over[0], kind, self._one_text(subject)))
            live = list(left)
        strand[:] = live

    def standing(self) -> Standing:
        """All that was folded in, as pages."""
        strands: dict[str, dict[type[Entry], tuple[Entry, ...]]] = {}
        floors: dict[str, dict[type[Entry], Key]] = {}
        crowded: dict[str, dict[Crowded, Key]] = {}
        for kind, by_subject in self._strands.items():
            for subject, strand in by_subject.items():
                self._trim(subject, kind, strand)
                kinds = strands.setdefault(subject, {})
                if strand:
                    kinds[kind] = tuple(strand)
                if strand.floor is not None:
                    floors.setdefault(subject, {})[kind] = strand.floor
                if strand.crowded:
                    crowded.setdefault(subject, {}).update(strand.crowded)
        return Standing(
            {
                subject: Page(
                    subject,
                    kinds,
                    floors.get(subject),
                    frozenset(self._dead.get(subject, ())),
                    crowded.get(subject),
                )
                for subject, kinds in strands.items()
            }
        )


def fold(entries: Iterable[Entry]) -> Standing:
    """The standing after all these entries, in whatever order they come."""
    gathering = Gathering()
    gathering.add(entries)
    return gathering.standing()
