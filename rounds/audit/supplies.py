"""Supplies: counts that cannot be, and food whose name is nearly that of a supply."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from difflib import get_close_matches

from rounds.audit.finding import Book, Finding, by_subject, day, plural, when
from rounds.logbook.entries import Entry, Fed, StockCounted, StockIn
from rounds.logbook.plain import folded


def more_counted_than_there_was(book: Book) -> Iterator[Finding]:
    """More was counted than was there before and came in since: something came in that was not written down."""
    for subject, life in by_subject(book.any_of(StockCounted, StockIn)).items():
        before: StockCounted | None = None
        came: list[StockIn] = []
        for entry in life:
            if isinstance(entry, StockIn):
                came.append(entry)
            elif isinstance(entry, StockCounted):
                if before is not None and before.at.date() != entry.at.date():
                    units = {before.unit, entry.unit, *(one.unit for one in came)}
                    there = before.amount + sum(one.amount for one in came)
                    if len({folded(unit) for unit in units}) == 1 and entry.amount > there:
                        yield Finding(
                            "doubt",
                            f"{book.name(subject)}: {entry.amount:,.10g} {entry.unit} counted on {when(entry)}, "
                            f"but at most {there:,.10g} can have been there. Write what came in, or correct a "
                            "count.",
                            (before, *came, entry),
                        )
                before, came = entry, []


def unit_changed(book: Book) -> Iterator[Finding]:
    """A supply was counted in one unit and then in another: nothing can be learned across the two."""
    for subject, life in by_subject(book.any_of(StockCounted, StockIn)).items():
        before: StockCounted | StockIn | None = None
        for entry in life:
            if not isinstance(entry, StockCounted | StockIn):
                continue
            if before is not None and folded(before.unit) != folded(entry.unit):
                yield Finding(
                    "doubt",
                    f"{book.name(subject)}: in {before.unit or 'no unit'} on {when(before)}, in "
                    f"{entry.unit or 'no unit'} on {when(entry)}. Correct the one that is wrong.",
                    (before, entry),
                )
            before = entry


def nearly_a_supply(book: Book) -> Iterator[Finding]:
    """Food was noted by a name that is nearly that of a supply: it does not count for it."""
    names = {folded(book.name(entry.about)): entry.about for entry in book.any_of(StockCounted, StockIn)}
    if not names:
        return
    fed: dict[str, list[Entry]] = defaultdict(list)
    for entry in book.of(Fed):
        if entry.what.strip() and folded(entry.what) not in names:
            fed[folded(entry.what)].append(entry)
    for word, entries in fed.items():
        near = get_close_matches(word[:80], names, n=1, cutoff=0.75)
        if near:
            yield Finding(
                "said",
                f"Fed “{word[:60]}” {plural(len(entries), 'time')}, last on {day(entries[-1].at)}: no supply is "
                f"called so. {book.name(names[near[0]])} ({names[near[0]]}) is counted. One name for both is "
                "reckoned together.",
                (entries[-1],),
            )
