"""A subject's page: the newest entries of each kind that stand on it, corrections taken into account.

The page is all that the fold keeps. What an animal, a female or an enclosure *is* now is worked out
from its page by the views beside this module, so that a new kind of entry needs no new fold.

A page keeps, of each kind, the newest ``keep + RESERVE``; it shows the newest ``keep``. The reserve
covers entries taken back; when it is used up the page says that it is `short`, and whoever holds the
sheets folds that one subject's history again. Of a kind with ``a_day`` these are days that have entries
(UTC's, so that days are in order wherever an entry was written), each with its newest ``a_day``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from operator import attrgetter
from typing import Final, TypeVar

from rounds.logbook.entries import Corrected, Entry

RESERVE: Final = 8
Kind = TypeVar("Kind", bound=Entry)
Key = tuple[datetime, str]
#: A kind, and a day (`day_of`).
Crowded = tuple[type[Entry], int]
_by_time: Final = attrgetter("at")
_by_id: Final = attrgetter("id")


class Page:
    """What stands on one subject's page. Never changed: `after` gives a new one."""

    __slots__ = ("_latest", "crowded", "dead", "floors", "strands", "subject")

    def __init__(
        self,
        subject: str,
        strands: Mapping[type[Entry], tuple[Entry, ...]] | None = None,
        floors: Mapping[type[Entry], Key] | None = None,
        dead: frozenset[str] = frozenset(),
        crowded: Mapping[Crowded, Key] | None = None,
    ) -> None:
        self.subject = subject
        #: Entries of each kind, oldest first, as many as `kept` keeps.
        self.strands: Mapping[type[Entry], tuple[Entry, ...]] = strands or {}
        #: Of each kind that was cut: the key of the newest entry that was let go.
        self.floors: Mapping[type[Entry], Key] = floors or {}
        #: Ids of entries that a correction replaces.
        self.dead = dead
        #: Days with too many of a kind: the key of the newest entry that was let go of each.
        self.crowded: Mapping[Crowded, Key] = crowded or {}
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
        """The newest entries of a kind, oldest first, at most ``kind.keep``, or those of so many days."""
        strand = self.strands.get(kind, ())
        if kind.a_day and len(strand) > min(kind.keep, kind.a_day):
            return tuple(newest_days(strand, kind.keep, kind.a_day))  # type: ignore[arg-type]
        return strand[-kind.keep :]  # type: ignore[return-value]

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
        entries = [
            entry
            for kind, strand in self.strands.items()
            for entry in (self.of(kind)[-many:] if kind.a_day else strand[-min(many, kind.keep) :])
        ]
        entries.sort(key=lambda entry: entry.key, reverse=True)
        return entries[:many]

    @property
    def short(self) -> bool:
        """Whether so many entries were taken back that older ones, let go, would show again."""
        return any(self._fill(kind) < kind.keep for kind in self.floors) or any(
            sum(day_of(entry) == day for entry in self.strands.get(kind, ())) < kind.a_day
            for kind, day in self.crowded
        )

    def _fill(self, kind: type[Entry]) -> int:
        """How much of what it keeps of a kind it has: entries, or days."""
        strand = self.strands.get(kind, ())
        return len(set(map(day_of, strand))) if kind.a_day else len(strand)

    def after(self, entry: Entry) -> Page:
        """The page with one entry more, wherever in time it belongs."""
        kind = type(entry)
        strand = self.strands.get(kind, ())
        floor = self.floors.get(kind)
        if isinstance(entry, Corrected):
            return self._after_correction(entry)
        if entry.id in self.dead or is_let_go(entry, floor, self.crowded):
            return self
        return self._with(kind, placed(strand, entry))

    def _after_correction(self, entry: Corrected) -> Page:
        strands = dict(self.strands)
        for kind, strand in self.strands.items():
            if kind is not Corrected and any(one.id == entry.replaces for one in strand):
                strands[kind] = tuple(one for one in strand if one.id != entry.replaces)
        page = Page(self.subject, strands, self.floors, self.dead | {entry.replaces}, self.crowded)
        floor = self.floors.get(Corrected)
        if floor is not None and entry.key <= floor:
            return page
        return page._with(Corrected, placed(strands.get(Corrected, ()), entry))

    def _with(self, kind: type[Entry], strand: tuple[Entry, ...]) -> Page:
        strands = dict(self.strands)
        floors, crowded = self.floors, self.crowded
        if len(strand) > least_over(kind):
            left, floor, days = kept(kind, strand)
            strand = tuple(left)
            floors = floors if floor is None else {**floors, kind: floor}
            crowded = {**crowded, **days} if days else crowded
        strands[kind] = strand
        return Page(self.subject, strands, floors, self.dead, crowded)

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


def day_of(entry: Entry) -> int:
    """The day of UTC on which an entry lies, as a number."""
    return int(entry.at.timestamp()) // 86_400


def is_let_go(entry: Entry, floor: Key | None, crowded: Mapping[Crowded, Key]) -> bool:
    """Whether a page that let go of entries up to a key, and of some on crowded days, lets go of this one too."""
    kind = type(entry)
    if not kind.a_day:
        return floor is not None and entry.key <= floor
    if floor is None and not crowded:
        return False
    day = day_of(entry)
    if floor is not None and day <= int(floor[0].timestamp()) // 86_400:
        return True
    over = crowded.get((kind, day))
    return over is not None and entry.key <= over


def least_over(kind: type[Entry]) -> int:
    """With no more entries of a kind than this none is let go."""
    return (min(kind.keep, kind.a_day) if kind.a_day else kind.keep) + RESERVE


def newest_days(strand: Sequence[Entry], keep: int, a_day: int) -> list[Entry]:
    """Of entries in order those of the newest `keep` days, of each the newest `a_day`."""
    found: list[Entry] = []
    day, days, many = None, 0, 0
    for entry in reversed(strand):
        if (its := day_of(entry)) != day:
            day, days, many = its, days + 1, 0
            if days > keep:
                break
        many += 1
        if many <= a_day:
            found.append(entry)
    found.reverse()
    return found


def kept(kind: type[Entry], strand: Sequence[Entry]) -> tuple[Sequence[Entry], Key | None, dict[Crowded, Key]]:
    """Of entries in order those that a page keeps; the newest that is too old; the newest let go of crowded days.

    In whatever order entries arrive it comes to the same: what is let go would be let go with more of them too.
    """
    most = kind.keep + RESERVE
    if not kind.a_day:
        return strand[-most:], (strand[-most - 1].key if len(strand) > most else None), {}
    left = newest_days(strand, most, kind.a_day + RESERVE)
    oldest, stay = day_of(left[0]), {entry.key for entry in left}
    floor: Key | None = None
    crowded: dict[Crowded, Key] = {}
    for entry in strand:
        if entry.key in stay:
            continue
        if (day := day_of(entry)) < oldest:
            floor = entry.key
        else:
            crowded[kind, day] = entry.key
    return left, floor, crowded


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
