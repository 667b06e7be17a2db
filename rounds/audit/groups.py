"""Groups of young and their clutches: sums that do not hold."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator

from rounds.audit.finding import Book, Finding, plural, when
from rounds.logbook.entries import Arrived, Entry, Hatched, Merged, SingledOut, SplitOff
from rounds.logbook.group_census import COUNTING, read_census


def more_gone_than_came(book: Book) -> Iterator[Finding]:
    """More of a group went than ever came into it: two desks wrote of the same young, or a count is wrong."""
    pages: dict[str, list[Entry]] = defaultdict(list)
    for entry in book.any_of(*COUNTING):
        pages[entry.about].append(entry)
        if isinstance(entry, SplitOff | Merged) and entry.into != entry.about:
            pages[entry.into].append(entry)
    for subject, entries in pages.items():
        if not subject.startswith("group/"):
            continue
        census = read_census(subject, entries)
        if census.over:
            last = entries[-1]
            yield Finding(
                "wrong",
                f"{book.name(subject)}: {plural(census.over, 'animal')} more went than came, up to {when(last)}: "
                f"{census.says}. Correct a count, or write the others' arrival.",
                tuple(entries),
            )


def merged_without_a_number(book: Book) -> Iterator[Finding]:
    """A group was merged into another, and it is not said how many that were."""
    for entry in book.of(Merged):
        if entry.count is None:
            yield Finding(
                "wrong",
                f"{book.name(entry.about)} merged into {book.name(entry.into)} on {when(entry)} without a number: "
                "none of them are counted there. Correct it, with the count.",
                (entry,),
            )


def more_registered_than_hatched(book: Book) -> Iterator[Finding]:
    """More young of a clutch were registered than were written as hatched."""
    hatched: Counter[str] = Counter()
    for entry in book.of(Hatched):
        hatched[entry.about] += entry.count
    singled = {entry.animal for entry in book.of(SingledOut)}
    registered: dict[str, list[Arrived]] = defaultdict(list)
    many: Counter[str] = Counter()
    alone: set[str] = set()
    for came in book.of(Arrived):
        if came.clutch is None or (came.about in singled or came.about in alone):
            continue
        if came.about.startswith("animal/"):
            alone.add(came.about)
        many[came.clutch] += (came.count or 0) if came.about.startswith("group/") else 1
        registered[came.clutch].append(came)
    for clutch, entries in registered.items():
        if hatched[clutch] and many[clutch] > hatched[clutch]:
            yield Finding(
                "wrong",
                f"{book.name(clutch)}: {many[clutch]} young registered, but {hatched[clutch]} hatched. Correct a "
                "count, or write those that hatched.",
                tuple(entries),
            )


def singled_out_and_unknown(book: Book) -> Iterator[Finding]:
    """One singled out of a group that never arrived, or twice."""
    arrived = {entry.about for entry in book.of(Arrived)}
    seen: dict[str, SingledOut] = {}
    for entry in book.of(SingledOut):
        if entry.animal not in arrived:
            yield Finding(
                "doubt",
                f"{book.name(entry.about)}: {entry.phrase()} on {when(entry)}, but {entry.animal} never arrived. "
                "Write its arrival, or correct the name.",
                (entry,),
            )
        before = seen.setdefault(entry.animal, entry)
        if before is not entry:
            yield Finding(
                "wrong",
                f"{book.name(entry.animal)} was singled out on {when(before)} and again on {when(entry)}. "
                "Take one of the two back.",
                (before, entry),
            )
