"""How it was written: ids, corrections, the times of writing, and stops walked twice."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from typing import Final

from rounds.audit.finding import Book, Finding, day, plural, when
from rounds.logbook.entries import Corrected, Entry, Noted, StopWalked

#: An entry written this long after it was seen is from memory. South Australia asks for entries within 48 h,
#: Queensland within 72 h (reg. 16 of 2019 and the code there; other places differ and come first).
LATE: Final = timedelta(hours=48)
#: How a note begins about entries that a desk wrote again, on the sheet of the day on which it did.
_WRITTEN_AGAIN: Final = re.compile(r"\d+ (saved )?(entry is|entries are) written again by desk ")
#: Two clocks are never quite alike.
CLOCKS_DIFFER: Final = timedelta(minutes=5)


def each_once(entries: Iterable[Entry]) -> tuple[list[Entry], list[Finding]]:
    """All entries in order, each once, and the ids under which two different things stand.

    An entry that arrived twice, byte for byte (a copy that a sync program made), counts once and is no mistake.
    """
    first: dict[str, Entry] = {}
    whole: list[Entry] = []
    findings: list[Finding] = []
    for entry in entries:
        other = first.get(entry.id)
        if other is None:
            first[entry.id] = entry
            whole.append(entry)
        elif other != entry:
            whole.append(entry)
            findings.append(
                Finding(
                    "wrong",
                    f"One id, two entries: {entry.id} is “{other.phrase()}” of {other.about} on {when(other)} and "
                    f"“{entry.phrase()}” of {entry.about} on {when(entry)}. One of the sheets was changed or "
                    "copied; "
                    "write the one that is missing again.",
                    (other, entry),
                )
            )
    whole.sort(key=lambda entry: entry.key)
    return whole, findings


def corrections(book: Book) -> Iterator[Finding]:
    """Corrections that name nothing, one another, or an entry already corrected."""
    wanted = {entry.replaces for entry in book.written if isinstance(entry, Corrected)}
    wanted |= {entry.instead for entry in book.written if isinstance(entry, Corrected) and entry.instead}
    known = {entry.id: entry for entry in book.written if entry.id in wanted}
    answered: dict[str, Corrected] = {}
    for entry in book.written:
        if not isinstance(entry, Corrected):
            continue
        wrong = known.get(entry.replaces)
        if wrong is None:
            yield _correction(
                book, entry, f"replaces entry {entry.replaces}, which stands on no sheet. Is a sheet missing?"
            )
            continue
        if isinstance(wrong, Corrected):
            yield _correction(
                book,
                entry,
                f"replaces the correction of {when(wrong)}. A correction is not corrected: write the entry again.",
                wrong,
            )
            continue
        if not set(wrong.subjects()) <= set(entry.subjects()):
            yield _correction(
                book,
                entry,
                f"does not name everyone “{wrong.phrase()}” of {when(wrong)} is about, so that it counts on with "
                f"some of them. Write the correction again, about {wrong.about}.",
                wrong,
            )
        if entry.instead and entry.instead not in known:
            yield _correction(
                book,
                entry,
                f"puts entry {entry.instead} in its place, which stands on no sheet. Write it again.",
                wrong,
            )
        earlier = answered.setdefault(entry.replaces, entry)
        if earlier is not entry:
            both = bool(earlier.instead and entry.instead and earlier.instead != entry.instead)
            # One keeper took it back, another put something in its place: only one of them can be right.
            one = earlier.by != entry.by and bool(earlier.instead) != bool(entry.instead)
            yield Finding(
                "wrong" if both else "doubt" if one else "said",
                f"“{wrong.phrase()}” of {book.name(wrong.about)} on {when(wrong)} was corrected twice, on "
                f"{when(earlier)} and on {when(entry)}"
                + (
                    ". Both entries put in its place count: take one of them back."
                    if both
                    else ": once taken back, once with another in its place, which counts. Is that right?"
                    if one
                    else "."
                ),
                (wrong, earlier, entry),
            )


def _correction(book: Book, entry: Corrected, why: str, *others: Entry) -> Finding:
    return Finding("wrong", f"The correction for {book.name(entry.about)} on {when(entry)} {why}", (entry, *others))


def ahead_of_its_writing(book: Book) -> Iterator[Finding]:
    """An entry says it was seen later than it was written."""
    for entry in book.counting:
        if entry.written is not None and entry.at - entry.written > CLOCKS_DIFFER:
            yield Finding(
                "wrong",
                f"{book.name(entry.about)}: {entry.phrase()} is dated {entry.at:%H:%M} on {when(entry)}, but "
                "was written "
                f"on {day(entry.written)} at {entry.written:%H:%M}, before that. Correct the time.",
                (entry,),
            )


def written_late(book: Book) -> Iterator[Finding]:
    """What was written long after it was seen, gathered by keeper and day of writing."""
    late: dict[tuple[str, date], list[Entry]] = defaultdict(list)
    for entry in book.counting:
        if entry.written is not None and entry.written - entry.at > LATE:
            late[entry.by, entry.written.date()].append(entry)
    for (by, on), entries in late.items():
        plain = "entry" if len(entries) == 1 else "entries"
        yield Finding(
            "said",
            f"{by} wrote {len(entries)} {plain} on {day(on)} for what was seen more than 48 hours before, the "
            "oldest of "
            f"{when(entries[0])}.",
            tuple(entries),
        )


def walked_twice(book: Book) -> Iterator[Finding]:
    """The same stop was walked twice on one walk, as two desks may do."""
    walked: dict[tuple[date, str, str], list[StopWalked]] = defaultdict(list)
    for entry in book.of(StopWalked):
        walked[entry.day, entry.walk, entry.about].append(entry)
    twice: dict[tuple[date, str], list[StopWalked]] = defaultdict(list)
    for (on, walk, _), stops in walked.items():
        if len(stops) > 1:
            twice[on, walk].extend(stops)
    for (on, walk), stops in twice.items():
        names = sorted({book.name(stop.about) for stop in stops})
        keepers = Counter(stop.by for stop in stops)
        listed = ", ".join(names[:6]) + (f" and {len(names) - 6} more" if len(names) > 6 else "")
        yield Finding(
            "said",
            f"The {walk} walk of {day(on)}: {plural(len(names), 'stop')} walked more than once ({listed}) by "
            f"{' and '.join(sorted(keepers))}. Both count.",
            tuple(stops),
        )


def on_other_days_sheets(sheets: Iterable[tuple[str, date, Sequence[Entry]]]) -> Iterator[Finding]:
    """Sheets (path, day in the name, entries) with entries that say they were written on another day.

    A day's difference is left alone: it may be the walk past midnight, or a keeper come from another zone.
    """
    for path, on, entries in sheets:
        others = [entry for entry in entries if abs((entry.written or entry.at).date() - on) > timedelta(days=1)]
        if others:
            oldest = min(others, key=lambda entry: entry.written or entry.at)
            again = any(isinstance(one, Noted) and _WRITTEN_AGAIN.match(one.note) for one in entries)
            why = (
                "They were written again: a note there says why."
                if again
                else "They were brought from elsewhere, or the clock of that desk was wrong."
            )
            yield Finding(
                "said",
                f"The sheet {path} holds {plural(len(others), 'line')} written on other days, the oldest on "
                f"{day(oldest.written or oldest.at)} ({oldest.by}, entry {oldest.id}). {why}",
                tuple(others),
            )
