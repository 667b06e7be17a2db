"""Groups of young and their clutches: sums that do not hold."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from typing import Final

from rounds.audit.finding import Book, Finding, plural, when
from rounds.logbook.entries import Arrived, Entry, Hatched, Left, Merged, SingledOut, SplitOff
from rounds.logbook.group_census import COUNTING, read_census
from rounds.logbook.plain import folded
from rounds.logbook.times import hours_between

#: Two entries no further apart may be of one walk.
_ONE_WALK_HOURS: Final = 12
#: How many entries behind one are held against it.
_NEAR: Final = 16


def more_gone_than_came(book: Book) -> Iterator[Finding]:
    """More of a group went than ever came into it: two desks wrote of the same young, or a count is wrong."""
    for subject, entries in _pages(book).items():
        census = read_census(subject, entries)
        if census.over:
            last = entries[-1]
            yield Finding(
                "wrong",
                f"{book.name(subject)}: {plural(census.over, 'animal')} more went than came, up to {when(last)}: "
                f"{census.says}. Correct a count, or write the others' arrival.",
                tuple(entries),
            )


def same_young_by_two_keepers(book: Book) -> Iterator[Finding]:
    """The same young dead, gone or not found by two keepers within some hours; groups merged into one another.

    One alike is no sign of that: two keepers may each find one dead. One not found by the one and dead by the other
    is. What makes a sum wrong is told as such.
    """
    for subject, entries in _pages(book).items():
        census = read_census(subject, entries)
        if census.over:
            continue
        gone = [(one.entry, one.count) for one in census.gone]
        for number, (before, count) in enumerate(gone):
            for entry, many in gone[number + 1 : number + 1 + _NEAR]:
                if hours_between(before.at, entry.at) > _ONE_WALK_HOURS:
                    break
                if many == count and before.by != entry.by and _may_be_the_same(before, entry, count):
                    which = str(count) if count > 1 else "one"
                    yield Finding(
                        "doubt",
                        f"{book.name(subject)}: {before.phrase()} on {when(before)} and {entry.phrase()} on "
                        f"{when(entry)}. The same {which}, at two desks? Then take one back.",
                        (before, entry),
                    )
                    break
    merged = book.of(Merged)
    for number, one in enumerate(merged):
        for other in merged[number + 1 : number + 1 + _NEAR]:
            if hours_between(one.at, other.at) > _ONE_WALK_HOURS:
                break
            if one.by != other.by and (one.about, one.into) == (other.into, other.about):
                yield Finding(
                    "doubt",
                    f"{book.name(one.about)} merged into {book.name(one.into)} on {when(one)}, and "
                    f"{book.name(other.about)} into {book.name(other.into)} on {when(other)}. Which of the two was "
                    "it? Take the other back.",
                    (one, other),
                )


def _may_be_the_same(one: Entry, other: Entry, count: int) -> bool:
    if isinstance(one, Left) and isinstance(other, Left):
        same_buyer = not one.to.strip() or not other.to.strip() or folded(one.to) == folded(other.to)
        return count > 1 and same_buyer
    if isinstance(one, Left) or isinstance(other, Left):
        return False
    return count > 1 if type(one) is type(other) else count > 0


def _pages(book: Book) -> dict[str, list[Entry]]:
    """The counting entries of each group, of those that came into it by another's too."""
    pages: dict[str, list[Entry]] = defaultdict(list)
    for entry in book.any_of(*COUNTING):
        pages[entry.about].append(entry)
        if isinstance(entry, SplitOff | Merged) and entry.into != entry.about:
            pages[entry.into].append(entry)
    return {subject: entries for subject, entries in pages.items() if subject.startswith("group/")}


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
