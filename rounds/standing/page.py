"""A subject's page: the newest entries of each kind that stand on it, corrections taken into account.

The page is all that the fold keeps. What an animal, a female or an enclosure *is* now is worked out
from its page by the views beside this module, so that a new kind of entry needs no new fold.

A page keeps, of each kind, the newest ``keep + RESERVE``; it shows the newest ``keep``. The reserve
covers entries taken back; when it is used up the page says that it is `short`, and whoever holds the
sheets folds that one subject's history again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from operator import attrgetter
from typing import Final, TypeVar

from rounds.logbook.entries import Corrected, Entry

RESERVE: Final = 8
Kind = TypeVar("Kind", bound=Entry)
Key = tuple[datetime, str]
_by_time: Final = attrgetter("at")
_by_id: Final = attrgetter("id")


class Page:
    """What stands on one subject's page. Never changed: `after` gives a new one."""

    __slots__ = ("_latest", "dead", "floors", "strands", "subject")

    def __init__(
        self,
        subject: str,
        strands: Mapping[type[Entry], tuple[Entry, ...]] | None = None,
        floors: Mapping[type[Entry], Key] | None = None,
        dead: frozenset[str] = frozenset(),
    ) -> None:
        self.subject = subject
        #: Entries of each kind, oldest first, at most ``keep + RESERVE``.
        self.strands: Mapping[type[Entry], tuple[Entry, ...]] = strands or {}
        #: Of each kind that was cut: the key of the newest entry that was let go.
        self.floors: Mapping[type[Entry], Key] = floors or {}
        #: Ids of entries that a correction replaces.
        self.dead = dead
        self._latest: datetime | None = None

    @property
    def latest(self) -> datetime | None:
        """The time of its newest entry, corrections not among them; None for an empty page."""
        if self._latest is None:
            newest = [strand[-1].at for kind, strand in self.strands.items() if strand and kind is not Corrected]
            self._latest = max(newest, default=None)
        return self._latest

    def upto(self, moment: datetime) -> Page:
        """The page without entries dated after a moment. What was taken back stays so, whenever that was."""
        if self.latest is None or self.latest <= moment:
            return self
        strands = {
            kind: strand if kind is Corrected else tuple(entry for entry in strand if entry.at <= moment)
            for kind, strand in self.strands.items()
        }
        return Page(self.subject, {kind: strand for kind, strand in strands.items() if strand}, dead=self.dead)

    def of(self, kind: type[Kind]) -> tuple[Kind, ...]:
        """The newest entries of a kind, oldest first, at most ``kind.keep``."""
        return self.strands.get(kind, ())[-kind.keep :]  # type: ignore[return-value]

    def last(self, kind: type[Kind]) -> Kind | None:
        """The newest entry of a kind."""
        strand = self.strands.get(kind)
        return strand[-1] if strand else None  # type: ignore[return-value]

    def first(self, kind: type[Kind]) -> Kind | None:
        """The oldest entry of a kind that the page shows."""
        strand = self.of(kind)
        return strand[0] if strand else None

    def newest(self, many: int) -> list[Entry]:
        """The newest entries of any kind, newest first."""
        entries = [entry for kind, strand in self.strands.items() for entry in strand[-min(many, kind.keep) :]]
        entries.sort(key=lambda entry: entry.key, reverse=True)
        return entries[:many]

    @property
    def short(self) -> bool:
        """Whether so many entries were taken back that older ones, let go, would show again."""
        return any(len(self.strands.get(kind, ())) < kind.keep for kind in self.floors)

    def after(self, entry: Entry) -> Page:
        """The page with one entry more, wherever in time it belongs."""
        kind = type(entry)
        strand = self.strands.get(kind, ())
        floor = self.floors.get(kind)
        if isinstance(entry, Corrected):
            return self._after_correction(entry)
        if entry.id in self.dead or (floor is not None and entry.key <= floor):
            return self
        return self._with(kind, placed(strand, entry))

    def _after_correction(self, entry: Corrected) -> Page:
        strands = dict(self.strands)
        for kind, strand in self.strands.items():
            if kind is not Corrected and any(one.id == entry.replaces for one in strand):
                strands[kind] = tuple(one for one in strand if one.id != entry.replaces)
        page = Page(self.subject, strands, self.floors, self.dead | {entry.replaces})
        floor = self.floors.get(Corrected)
        if floor is not None and entry.key <= floor:
            return page
        return page._with(Corrected, placed(strands.get(Corrected, ()), entry))

    def _with(self, kind: type[Entry], strand: tuple[Entry, ...]) -> Page:
        strands = dict(self.strands)
        floors = self.floors
        most = kind.keep + RESERVE
        if len(strand) > most:
            floors = dict(floors)
            floors[kind] = strand[-most - 1].key
            strand = strand[-most:]
        strands[kind] = strand
        return Page(self.subject, strands, floors, self.dead)

    def shown(self) -> dict[str, tuple[Entry, ...]]:
        """What the page shows, by kind: two pages that show the same are equal."""
        return {kind.__name__: shown for kind in self.strands if (shown := self.of(kind))}

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Page):
            return NotImplemented
        return self.subject == other.subject and self.shown() == other.shown()

    __hash__ = None  # type: ignore[assignment]

    def __repr__(self) -> str:
        return f"Page({self.subject!r}, {sum(map(len, self.strands.values()))} entries)"


def placed(strand: tuple[Entry, ...], entry: Entry) -> tuple[Entry, ...]:
    """The strand with the entry at its place in time; once only, however often it arrives."""
    if not strand or strand[-1].key < entry.key:
        return (*strand, entry)
    place = len(strand)
    while place and strand[place - 1].key > entry.key:
        place -= 1
    if place and strand[place - 1].key == entry.key:
        return strand
    return (*strand[:place], entry, *strand[place:])


def in_order(entries: Iterable[Entry]) -> list[Entry]:
    """Entries by time, then id, each id once."""
    ordered = sorted(entries, key=_by_id)
    ordered.sort(key=_by_time)
    if len(set(map(_by_id, ordered))) == len(ordered):
        return ordered
    return [one for one, before in zip(ordered, [None, *ordered], strict=False) if not same(one, before)]


def same(one: Entry, before: Entry | None) -> bool:
    """Whether two neighbours in order are one entry that arrived twice."""
    return before is not None and one.id == before.id and one.at == before.at
