"""What would break the census of a clutch is refused before it is written, with the sum in words. Pure.

Every door asks here: screens and `rounds log` (`rounds.desk.validation`), corrections, taking back. A clutch that
two desks have broken already is not locked: what makes it no worse is taken.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Final

from rounds.logbook.boxing import Boxings, eggs_gone, read_boxings
from rounds.logbook.census import census_of
from rounds.logbook.entries import Corrected, EggsBoxed, EggsLaid, EggsLost, Entry, Hatched
from rounds.standing.clutch import called, clutch
from rounds.standing.fold import Standing

_COUNTED: Final = (EggsLaid, EggsBoxed, EggsLost, Hatched)


def cannot_add_up(standing: Standing, entry: Entry, excluding: frozenset[str]) -> str:
    """A sentence with the sum when an entry would break the census of its clutch; empty when it adds up.

    `excluding` are ids of entries that do not count: the entry itself, and those that it replaces.
    """
    if not isinstance(entry, _COUNTED):
        return ""
    subject = entry.clutch if isinstance(entry, EggsLaid) else entry.about
    without = _boxings(standing, subject, excluding)
    after = _boxings(standing, subject, excluding, entry)
    replaced = _boxings(standing, subject, frozenset({entry.id}))
    if after.over <= max(without.over, replaced.over):
        return ""
    before = census_of(without if without.counted else replaced)
    if isinstance(entry, EggsLaid):
        gone = census_of(_boxings(standing, subject, frozenset({entry.id})))
        return f"{called(standing, subject)}: {gone.words}: {entry.count} laid cannot be."
    what = "be boxed" if isinstance(entry, EggsBoxed) else "be lost" if isinstance(entry, EggsLost) else "hatch"
    refused = f"{called(standing, subject)}: {before.words}: {eggs_of(entry)} cannot {what}."
    if not isinstance(entry, Hatched):
        return refused
    out = " One that was taken out hatched? Correct that loss." if before.removed or before.failed else ""
    return f"{refused} Twins? Say of how many eggs.{out}"


def eggs_of(entry: EggsBoxed | EggsLost | Hatched) -> int:
    """The eggs an entry is of."""
    return entry.count if isinstance(entry, EggsBoxed) else eggs_gone(entry)


def cannot_be_taken_back(before: Standing, after: Standing, wrong: Iterable[Entry]) -> str:
    """A sentence with the sum when taking these entries back would break the census of a clutch."""
    subjects = [
        entry.clutch if isinstance(entry, EggsLaid) else entry.about
        for entry in wrong
        if isinstance(entry, _COUNTED)
    ]
    for subject in dict.fromkeys(subjects):
        if clutch(after, subject).boxings.over > clutch(before, subject).boxings.over:
            words = census_of(clutch(before, subject).boxings).words
            return f"{called(before, subject)}: {words}. Without this entry it does not add up: correct its count."
    return ""


def without(standing: Standing, wrong: Iterable[Entry], at: datetime) -> Standing:
    """The standing as it will be once these entries are taken back."""
    return standing.after_all(
        Corrected(
            id=f"taken-back-{number}",
            at=at,
            by=entry.by,
            about=entry.about,
            replaces=entry.id,
            also=entry.subjects()[1:],
        )
        for number, entry in enumerate(wrong)
    )


def _boxings(standing: Standing, subject: str, excluding: frozenset[str], more: Entry | None = None) -> Boxings:
    """The boxings of a clutch without some entries, and with one more."""
    page = standing.page(subject)
    laid = [one for one in page.of(EggsLaid) if one.clutch == subject and one.id not in excluding]
    events: list[EggsBoxed | EggsLost | Hatched] = []
    kinds: tuple[type[EggsBoxed | EggsLost | Hatched], ...] = (EggsBoxed, EggsLost, Hatched)
    for kind in kinds:
        events += [one for one in page.of(kind) if one.about == subject and one.id not in excluding]
    if isinstance(more, EggsLaid):
        laid = sorted([*laid, more], key=lambda one: one.key)
    elif isinstance(more, EggsBoxed | EggsLost | Hatched):
        events.append(more)
    return read_boxings(laid, events)
