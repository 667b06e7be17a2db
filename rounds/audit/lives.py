"""Who exists and where: what cannot be true of arrivals, departures, deaths and moves."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import Final

from rounds.audit.finding import Book, Finding, by_subject, day, from_before, is_the_end, told, when
from rounds.logbook.entries import (
    Arrived,
    CountSettled,
    Died,
    EggsLaid,
    EnclosureSetUp,
    EnclosureTakenDown,
    Entry,
    Hatched,
    Left,
    MatingSeen,
    Merged,
    Parted,
    PedigreeNoted,
    PutTogether,
    QuarantineEnded,
    Referred,
    SplitOff,
    StockCounted,
    StockIn,
    Tested,
    VetCalled,
)
from rounds.logbook.entries.base import SUBJECT
from rounds.logbook.plain import folded

#: May be written of one that died or left (a sample, a word with the vet), and are likelier meant for another.
_ASKED_ABOUT: Final = (Referred, Tested, VetCalled)


def arrived_twice(book: Book) -> Iterator[Finding]:
    """An animal arrived while it was here already, so that it would be in two places."""
    for subject, life in by_subject(book.any_of(Arrived, Left, Died)).items():
        here: Arrived | None = None
        if not subject.startswith("animal/"):
            continue
        for entry in life:
            if not isinstance(entry, Arrived):
                here = None
                continue
            if here is not None:
                places = [book.name(one.place) for one in (here, entry) if one.place]
                both = f", so that it would be in {places[0]} and in {places[1]}" if len(set(places)) == 2 else ""
                yield Finding(
                    "wrong",
                    f"{book.name(subject)} arrived on {when(here)} and again on {when(entry)} without having "
                    f"left in between{both}. If it is one animal, correct one of the two (a change of tub is "
                    "“moved”); if they are two, give each an id of its own.",
                    (here, entry),
                )
            here = entry


def two_of_one_name(book: Book) -> Iterator[Finding]:
    """Two enclosures that stand, or two animals or groups that are here, by one name: what is written of one may be
    meant for the other."""
    ended = {entry.about for entry in book.any_of(Died, Left, EnclosureTakenDown) if not _one_of_many(entry)}
    named: dict[tuple[bool, str], dict[str, Entry]] = defaultdict(dict)
    for entry in book.any_of(Arrived, EnclosureSetUp):
        assert isinstance(entry, Arrived | EnclosureSetUp)
        if entry.about not in ended and book.name(entry.about) == entry.name:
            named[entry.about.startswith("enclosure/"), folded(entry.name)][entry.about] = entry
    for several in named.values():
        if len(several) > 1:
            entries = tuple(several.values())
            listed = ", ".join(f"{book.name(one.about)} ({one.about}) since {when(one)}" for one in entries)
            yield Finding(
                "doubt",
                f"One name for {len(entries)}: {listed}. If they are one, take the wrong one back; if they are "
                "two, correct one name.",
                entries,
            )


def _one_of_many(entry: Entry) -> bool:
    """Whether only some of a group died or left."""
    return isinstance(entry, Died | Left) and entry.about.startswith("group/") and entry.count is not None


def died_and_came_back(book: Book) -> Iterator[Finding]:
    """An animal died twice, or arrived or left after its death."""
    for subject, life in by_subject(book.any_of(Arrived, Left, Died)).items():
        dead: Died | None = None
        came = False
        if not subject.startswith("animal/"):
            continue
        for entry in life:
            came = came or isinstance(entry, Arrived)
            if dead is not None:
                yield Finding(
                    "wrong",
                    f"{book.name(subject)} died on {when(dead)} and {entry.phrase()} on {when(entry)}. "
                    "Correct the one that is wrong.",
                    (dead, entry),
                )
            if isinstance(entry, Died) and came:
                dead = entry


def outside_its_life(book: Book) -> Iterator[Finding]:
    """Entries about what never arrived or was never set up, before it was, or after it was gone."""
    opened: dict[str, Entry] = {}
    for entry in book.any_of(Arrived, PedigreeNoted, EnclosureSetUp, EggsLaid, StockCounted, StockIn):
        opened.setdefault(entry.clutch if isinstance(entry, EggsLaid) else entry.about, entry)
    never: dict[str, list[Entry]] = defaultdict(list)
    before: dict[str, list[Entry]] = defaultdict(list)
    after: dict[str, tuple[Entry, list[Entry]]] = {}
    asked: dict[str, tuple[Entry, list[Entry]]] = {}
    gone: dict[str, Entry] = {}
    left_of: dict[str, int | None] = {}
    for entry in book.counting:
        subject = entry.about
        if subject == "room":
            continue
        opening = opened.get(subject)
        if opening is None:
            never[subject].append(entry)
            continue
        if entry.at < opening.at:
            before[subject].append(entry)
            continue
        if isinstance(entry, CountSettled) and entry.count > 0:
            gone.pop(subject, None)  # looked for and found: the group is there again
        end = gone.get(subject)
        if isinstance(entry, Arrived | EnclosureSetUp):
            gone.pop(subject, None)
            if isinstance(entry, Arrived):
                held = left_of.get(subject)
                left_of[subject] = entry.count if held is None or entry.count is None else held + entry.count
        elif end is not None:
            if entry.at > end.at and (not entry.afterwards or isinstance(entry, _ASKED_ABOUT)):
                found = asked if entry.afterwards else after
                found.setdefault(end.id, (end, []))[1].append(entry)
        elif is_the_end(entry, left_of):
            gone[subject] = entry
        if isinstance(entry, SplitOff | Merged):
            gone.pop(entry.into, None)
    yield from _never_opened(never)
    for subject, entries in before.items():
        yield _too_early(book, subject, opened[subject], entries)
    for end, entries in after.values():
        yield Finding(
            "wrong",
            f"{book.name(end.about)}: {end.phrase()} on {when(end)}, but there are entries from after that: "
            f"{told(entries)}. Correct them if they were meant for another, or write that it came back.",
            (end, *entries),
        )
    for end, entries in asked.values():
        yield Finding(
            "doubt",
            f"{book.name(end.about)}: {end.phrase()} on {when(end)}, and after that: {told(entries)}. "
            "Is it this animal? If not, correct whose it is.",
            (end, *entries),
        )


def _never_opened(never: dict[str, list[Entry]]) -> Iterator[Finding]:
    for subject, entries in never.items():
        if SUBJECT.fullmatch(subject) is None:
            how = "names no subject: an id is animal/…, group/…, enclosure/…, clutch/…, supply/… or room"
        elif subject.startswith("enclosure/"):
            how = "was never set up. Write “enclosure_set_up” with the day it first stood there"
        elif subject.startswith("clutch/"):
            how = "was never laid. Write “eggs_laid” for its mother and this clutch"
        elif subject.startswith("supply/"):
            how = "was never counted. Write “stock_counted” with what there was of it"
        else:
            how = "never arrived. Write “arrived” with the day it came or hatched"
        yield Finding(
            "wrong",
            f"{subject[:80]} stands in {len(entries)} entr{'ies' if len(entries) > 1 else 'y'} and {how}, or "
            "correct "
            f"what was meant for another: {told(entries)}.",
            tuple(entries),
        )


def _too_early(book: Book, subject: str, opening: Entry, entries: list[Entry]) -> Finding:
    """A slip of some hours on one day is likelier a late note than a wrong life.

    What was written late is known from before: the logbook began later than the animal.
    """
    if from_before(entries, opening):
        sort = subject.partition("/")[0]
        began = {"enclosure": "it was set up", "clutch": "it was first laid", "supply": "it was first counted"}.get(
            sort, "it arrived"
        )
        count = f"{len(entries)} entr{'ies' if len(entries) > 1 else 'y'}"
        return Finding(
            "said",
            f"{book.name(subject)}: {count} known from before {began} on {when(opening)}, the oldest "
            f"{entries[0].phrase()[:60]}, {when(entries[0])}.",
            (opening, *entries),
        )
    name, dead = book.name(subject), [entry for entry in entries if isinstance(entry, Died)]
    same_day = all(entry.at.date() == opening.at.date() for entry in entries)
    sort = subject.partition("/")[0]
    began = {"enclosure": "was set up", "clutch": "was first laid", "supply": "was first counted"}.get(
        sort, "arrived"
    )
    what = f"died on {when(dead[0])}, before it" if dead else f"has entries from before it {began}:"
    tail = f"{began} on {when(opening)}" if dead else f"{told(entries)}; it {began} on {when(opening)}"
    return Finding(
        "doubt" if same_day else "wrong",
        f"{name} {what} {tail}. Correct the day that is wrong.",
        (opening, *entries),
    )


def names_the_unknown(book: Book) -> Iterator[Finding]:
    """An entry names another subject (a mate, a box, a group) that was never opened.

    Parents may have lived elsewhere, so a sire or dam named at arrival need not be known.
    """
    opened = {entry.about for entry in book.any_of(Arrived, PedigreeNoted, EnclosureSetUp)}
    for entry in book.any_of(MatingSeen, PutTogether, Parted, Hatched, EggsLaid, SplitOff, Merged):
        named = {
            MatingSeen: "sire",
            PutTogether: "mate",
            Parted: "mate",
            Hatched: "into",
            EggsLaid: "sire",
            SplitOff: "into",
            Merged: "into",
        }[type(entry)]
        other = getattr(entry, named)
        if other is not None and other not in opened:
            yield Finding(
                "doubt",
                f"{book.name(entry.about)}: {entry.phrase()} on {when(entry)} names {other}, which never arrived. "
                "Write its arrival, or correct the name.",
                (entry,),
            )


def quarantine_ended_never_begun(book: Book) -> Iterator[Finding]:
    """A quarantine was ended that no arrival had begun."""
    begun = {entry.about for entry in book.of(Arrived) if entry.quarantine}
    for entry in book.of(QuarantineEnded):
        if entry.about not in begun:
            yield Finding(
                "doubt",
                f"{book.name(entry.about)}: quarantine ended on {when(entry)}, but it did not arrive into "
                "quarantine. "
                "Was another meant?",
                (entry,),
            )


def hatched_after_arriving(book: Book) -> Iterator[Finding]:
    """An animal hatched after the day on which it arrived."""
    for entry in book.of(Arrived):
        if entry.hatched is not None and entry.hatched > entry.at.date():
            yield Finding(
                "wrong",
                f"{book.name(entry.about)} arrived on {when(entry)}, but is said to have hatched on "
                f"{day(entry.hatched)}, after that. Correct one of the two days.",
                (entry,),
            )
