"""What the audit finds: values that point at the entries behind them, and the words for them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from heapq import merge
from typing import Final, Literal, NamedTuple, TypeVar

from rounds.logbook.entries import (
    Arrived,
    Corrected,
    CountSettled,
    Died,
    EnclosureSetUp,
    EnclosureTakenDown,
    Entry,
    Left,
    Merged,
    PedigreeNoted,
    SexSettled,
    SingledOut,
    SplitOff,
    StockCounted,
    StockIn,
)
from rounds.logbook.words import Sex

#: ``wrong``: the entries cannot all be true. ``doubt``: they can, but a slip is likelier.
#: ``said``: worth knowing, no mistake.
FindingLevel = Literal["wrong", "doubt", "said"]
LEVELS: Final[tuple[FindingLevel, ...]] = ("wrong", "doubt", "said")
Kind = TypeVar("Kind", bound=Entry)


class Finding(NamedTuple):
    """One thing that does not hold together: how sure, in a keeper's words, and from which entries."""

    level: FindingLevel
    sentence: str
    entries: tuple[Entry, ...]


class Book:
    """All entries in order, each id once, with the corrections applied: what the rules look at."""

    def __init__(self, written: Sequence[Entry]) -> None:
        #: Every entry, corrections and what they replace among them.
        self.written = written
        dead = {entry.replaces for entry in written if isinstance(entry, Corrected)}
        #: The entries that count: no corrections, nothing that was replaced.
        self.counting = [entry for entry in written if entry.id not in dead and not isinstance(entry, Corrected)]
        self._by_kind: dict[type[Entry], list[Entry]] = defaultdict(list)
        for entry in self.counting:
            self._by_kind[type(entry)].append(entry)
        self.names: Mapping[str, str] = {
            **{entry.about: entry.name for entry in self.of(PedigreeNoted) if entry.name.strip()},
            **{entry.about: entry.name for entry in self.of(Arrived)},
            **{entry.about: entry.name for entry in self.of(EnclosureSetUp)},
            **{entry.about: entry.name for entry in self.of(StockCounted) if entry.name.strip()},
            **{entry.about: entry.name for entry in self.of(StockIn) if entry.name.strip()},
        }
        self.sexes: Mapping[str, Sex] = {
            entry.about: entry.sex
            for entry in (*self.of(PedigreeNoted), *self.any_of(Arrived, SexSettled))
            if isinstance(entry, Arrived | SexSettled | PedigreeNoted) and entry.sex != "?"
        }

    def of(self, kind: type[Kind]) -> list[Kind]:
        """The counting entries of one kind, oldest first."""
        return self._by_kind.get(kind, [])  # type: ignore[return-value]

    def any_of(self, *kinds: type[Entry]) -> Iterator[Entry]:
        """The counting entries of several kinds, oldest first."""
        return merge(*(self._by_kind.get(kind, ()) for kind in kinds), key=lambda entry: entry.key)

    def name(self, subject: str) -> str:
        """What keepers call the subject, as last written."""
        return self.names.get(subject) or subject.rpartition("/")[2] or subject

    def sex(self, subject: str | None) -> Sex:
        """Its sex as it is believed now."""
        return self.sexes.get(subject, "?") if subject else "?"


def by_subject(entries: Iterable[Kind]) -> dict[str, list[Kind]]:
    """Entries by what they are about, each list in the order in which they came."""
    found: dict[str, list[Kind]] = defaultdict(list)
    for entry in entries:
        found[entry.about].append(entry)
    return found


def day(moment: date) -> str:
    """A day as it is written in a sentence."""
    return f"{moment.day} {moment:%b %Y}"


def when(entry: Entry) -> str:
    """The day, keeper and id by which a keeper finds an entry again."""
    return f"{day(entry.at)} ({entry.by}, entry {entry.id})"


def told(entries: Sequence[Entry], most: int = 3) -> str:
    """The first few entries by what they say and where they stand, and how many more there are."""
    listed = "; ".join(f"{entry.phrase()[:60]}, {when(entry)}" for entry in entries[:most])
    return listed + (f"; and {len(entries) - most} more" if len(entries) > most else "")


def from_before(entries: Sequence[Entry], opening: Entry) -> bool:
    """Whether entries older than what opens their subject are known from before, and no slip.

    So they are when they were written late, or when the opening itself was: somebody who starts a logbook in
    November writes last season into it too.
    """
    return opening.written is not None or all(entry.written is not None for entry in entries)


def plural(count: int, word: str) -> str:
    """`1 egg`, `2 eggs`."""
    return f"{count} {word}{'s' * (count != 1)}"


def is_the_end(entry: Entry, left_of: dict[str, int | None]) -> bool:
    """Whether nobody (nothing) of the subject is here any more after this entry."""
    if isinstance(entry, EnclosureTakenDown):
        return True
    if isinstance(entry, SplitOff | Merged):
        there = left_of.get(entry.into)
        left_of[entry.into] = None if there is None else there + (entry.count or 0)
    held = left_of.get(entry.about)
    if isinstance(entry, SplitOff | SingledOut):
        if held is None:
            return False
        left_of[entry.about] = held - (entry.count if isinstance(entry, SplitOff) else 1)
        return (left_of[entry.about] or 0) <= 0
    if isinstance(entry, CountSettled):
        left_of[entry.about] = entry.count
        return entry.count == 0
    if not isinstance(entry, Left | Died | Merged):
        return False
    if held is None or entry.count is None:
        return True
    left_of[entry.about] = held - entry.count
    return held - entry.count <= 0
