"""Pairs, clutches, eggs and young: what cannot be true of them."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from itertools import pairwise
from typing import Final

from rounds.audit.finding import Book, Finding, by_subject, plural, when
from rounds.logbook.boxing import eggs_gone, read_boxings
from rounds.logbook.census import census_of
from rounds.logbook.entries import (
    Arrived,
    BrumationBegan,
    BrumationEnded,
    Died,
    EggsBoxed,
    EggsLaid,
    EggsLost,
    Entry,
    Hatched,
    LayBoxIn,
    LayBoxOut,
    Left,
    Moved,
    Parted,
    PutTogether,
)
from rounds.logbook.times import hours_between

#: House, no publishable number found: within so many hours two keepers may write one thing twice.
_ONE_WALK_HOURS: Final = 12


def clutches(book: Book) -> Iterator[Finding]:
    """Counts of one clutch that go down, slugs beyond the eggs, and a clutch with two mothers."""
    of_clutch: dict[str, list[EggsLaid]] = defaultdict(list)
    for entry in book.of(EggsLaid):
        of_clutch[entry.clutch].append(entry)
        if entry.slugs > entry.count:
            yield Finding(
                "wrong",
                f"{book.name(entry.about)}: {plural(entry.slugs, 'slug')} among {plural(entry.count, 'egg')} on "
                f"{when(entry)}. The count is of all eggs, slugs among them.",
                (entry,),
            )
    for subject, laid in of_clutch.items():
        mothers = sorted({book.name(entry.about) for entry in laid})
        if len({entry.about for entry in laid}) > 1:
            other = next(entry for entry in laid if entry.about != laid[0].about)
            yield Finding(
                "wrong",
                f"{book.name(subject)} has two mothers: {' and '.join(mothers)} (entries {laid[0].id}, "
                f"{other.id}). "
                "Give one of the two clutches an id of its own.",
                (laid[0], other),
            )
            continue
        for before, entry in pairwise(laid):
            if entry.count < before.count:
                yield Finding(
                    "wrong",
                    f"{book.name(entry.about)}'s clutch {book.name(subject)} had {plural(before.count, 'egg')} on "
                    f"{when(before)} and {entry.count} on {when(entry)}. The count is of the whole clutch up "
                    "to then: "
                    "correct one; eggs that spoiled are “eggs_lost”.",
                    (before, entry),
                )


def more_young_than_eggs(book: Book) -> Iterator[Finding]:
    """More young hatched, or more eggs boxed, hatched and lost, than were laid."""
    laid = {entry.clutch: entry for entry in book.of(EggsLaid)}
    out: Counter[str] = Counter()
    hatched: Counter[str] = Counter()
    told: set[str] = set()
    for entry in book.any_of(EggsBoxed, EggsLost, Hatched):
        assert isinstance(entry, EggsBoxed | EggsLost | Hatched)
        clutch, eggs = entry.about, laid.get(entry.about)
        if eggs is None:
            continue
        name = book.name(clutch)
        if isinstance(entry, EggsBoxed):
            if entry.count > eggs.count:
                yield Finding(
                    "wrong",
                    f"{name}: {plural(entry.count, 'egg')} boxed on {when(entry)}, but {eggs.count} laid by "
                    f"{when(eggs)}. Correct one of the two counts.",
                    (eggs, entry),
                )
            continue
        out[clutch] += eggs_gone(entry)
        hatched[clutch] += eggs_gone(entry) if isinstance(entry, Hatched) else 0
        if out[clutch] > eggs.count and clutch not in told:
            told.add(clutch)
            young = f"{plural(hatched[clutch], 'egg')} hatched"
            lost = out[clutch] - hatched[clutch]
            and_lost = f" and {plural(lost, 'egg')} lost" if lost else ""
            yield Finding(
                "wrong",
                f"{name}: {young}{and_lost} up to {when(entry)}, "
                f"but she laid {eggs.count} ({when(eggs)}). Correct a count.",
                (eggs, entry),
            )


def _of_clutches(
    book: Book,
) -> tuple[dict[str, list[EggsLaid]], dict[str, list[EggsBoxed | EggsLost | Hatched]]]:
    """The entries of each clutch's eggs: of laying, and of what became of them."""
    laid: dict[str, list[EggsLaid]] = defaultdict(list)
    events: dict[str, list[EggsBoxed | EggsLost | Hatched]] = defaultdict(list)
    for entry in book.any_of(EggsLaid, EggsBoxed, EggsLost, Hatched):
        if isinstance(entry, EggsLaid):
            laid[entry.clutch].append(entry)
        else:
            assert isinstance(entry, EggsBoxed | EggsLost | Hatched)
            events[entry.about].append(entry)
    return laid, events


def boxed_again_in_doubt(book: Book) -> Iterator[Finding]:
    """A boxing that is read as the same eggs boxed again, though its count is not what was left, or fits both."""
    laid, events = _of_clutches(book)
    for clutch, eggs in laid.items():
        for box in read_boxings(eggs, events[clutch]).times:
            if not box.in_doubt:
                continue
            before = f"{box.held} were left in boxes" + (f" and {box.waiting} in none" if box.waiting else "")
            yield Finding(
                "doubt",
                f"{book.name(clutch)}: {plural(box.put, 'egg')} boxed on {when(box.boxes[0])} "
                f"{'is' if box.put == 1 else 'are'} read as boxed again, but {before}. "
                "Was it a further box? Then write each box again, one after the other. "
                "Were eggs lost before it? Write “eggs_lost” with a time before it. Or correct the count.",
                box.boxes,
            )


def clutch_does_not_add_up(book: Book) -> Iterator[Finding]:
    """More eggs of a clutch are gone and in boxes than were laid, as when two desks wrote the same hatching."""
    laid, events = _of_clutches(book)
    for clutch, eggs in laid.items():
        read = read_boxings(eggs, events[clutch])
        told = any(isinstance(one, EggsBoxed) and one.count > eggs[-1].count for one in events[clutch])
        if read.over and not told and read.lost + read.hatched <= eggs[-1].count:
            yield Finding(
                "wrong",
                f"{book.name(clutch)}: {census_of(read).words}. Was one written twice, at two desks? "
                "Take it back, or correct a count.",
                (eggs[-1], *events[clutch][-2:]),
            )


def more_out_of_a_box_than_it_held(book: Book) -> Iterator[Finding]:
    """More eggs lost or hatched in one box than lay in it, as when two desks wrote the same loss."""
    laid, events = _of_clutches(book)
    for clutch, eggs in laid.items():
        read = read_boxings(eggs, events[clutch])
        if read.over:
            continue  # told by the whole clutch
        for entry, held in (one for box in read.times for one in box.beyond):
            where = book.name(entry.place) if entry.place is not None else "it"
            word = "lost" if isinstance(entry, EggsLost) else "hatched"
            yield Finding(
                "doubt",
                f"{book.name(clutch)}: {plural(eggs_gone(entry), 'egg')} {word} in {where} on {when(entry)}, but "
                f"{where} held {held} of them. Was one written twice, at two desks? Take it back, or correct "
                "the count or the box.",
                (entry,),
            )


def same_eggs_by_two_keepers(book: Book) -> Iterator[Finding]:
    """The same eggs boxed, lost or hatched by two keepers within some hours: it may have been written twice.

    One egg is no sign of that: two keepers may each throw one out. Nor is what another finding tells.
    """
    laid, events = _of_clutches(book)
    for clutch, eggs in laid.items():
        read = read_boxings(eggs, events[clutch])
        if read.over or any(box.in_doubt or box.beyond for box in read.times):
            continue
        last: dict[tuple[object, ...], EggsBoxed | EggsLost | Hatched] = {}
        for entry in sorted(events[clutch], key=lambda one: one.key):
            alike = (type(entry), entry.count, entry.place)
            before = last.get(alike)
            last[alike] = entry
            if before is None or entry.count < 2 or entry.by == before.by:
                continue
            if hours_between(before.at, entry.at) <= _ONE_WALK_HOURS:
                yield Finding(
                    "doubt",
                    f"{book.name(clutch)}: {plural(entry.count, 'egg')} on {when(before)} and again on "
                    f"{when(entry)}, alike. Written twice, at two desks? Then take one back.",
                    (before, entry),
                )


def same_laying_by_two_keepers(book: Book) -> Iterator[Finding]:
    """As many eggs of one female under two clutches within hours, by two keepers: the same eggs, at two desks?"""
    last: dict[tuple[str, int], EggsLaid] = {}
    for entry in sorted(book.of(EggsLaid), key=lambda one: one.key):
        alike = (entry.about, entry.count)
        before = last.get(alike)
        last[alike] = entry
        if before is None or entry.count < 2 or entry.by == before.by or entry.clutch == before.clutch:
            continue
        if hours_between(before.at, entry.at) <= _ONE_WALK_HOURS:
            yield Finding(
                "doubt",
                f"{book.name(entry.about)}: {plural(entry.count, 'egg')} of {book.name(before.clutch)} on "
                f"{when(before)}, and as many of {book.name(entry.clutch)} on {when(entry)}. "
                "The same eggs, written at two desks? Then take one back.",
                (before, entry),
            )


def laid_on_after_hatching(book: Book) -> Iterator[Finding]:
    """A clutch whose young had come out, and to which more eggs were then added."""
    first_out: dict[str, Hatched] = {}
    for entry in book.of(Hatched):
        first_out.setdefault(entry.about, entry)
    for laid in book.of(EggsLaid):
        out = first_out.get(laid.clutch)
        if out is not None and laid.at > out.at:
            yield Finding(
                "wrong",
                f"{book.name(laid.clutch)}: {laid.phrase()} on {when(laid)}, after its young came out on "
                f"{when(out)}. "
                "Is it her next clutch? Then give it an id of its own.",
                (out, laid),
            )


def parted_never_together(book: Book) -> Iterator[Finding]:
    """A pair was parted that was never put together and never lived in one enclosure."""
    together: set[str] = set()
    home: dict[str, str] = {}
    joined_at: dict[str, int] = {}
    came: Counter[str] = Counter()
    living: Counter[str] = Counter()

    def leave(who: str) -> None:
        place = home.pop(who, None)
        if place is not None:
            if came[place] > joined_at[who]:
                together.add(who)
            living[place] -= 1

    for entry in book.any_of(Arrived, Moved, Left, Died, PutTogether, Parted):
        who = entry.about
        if isinstance(entry, PutTogether):
            together.update((who, entry.mate))
        elif isinstance(entry, Parted):
            shares = who in home and (living[home[who]] > 1 or came[home[who]] > joined_at[who])
            if who not in together and not shares:
                yield Finding(
                    "doubt",
                    f"{book.name(who)}: {entry.phrase()} on {when(entry)}, but no “put_together” stands before "
                    "it and "
                    "she shared no enclosure. Write when they were put together, or correct it.",
                    (entry,),
                )
        else:
            place = entry.to if isinstance(entry, Moved) else entry.place if isinstance(entry, Arrived) else None
            if place is None and isinstance(entry, Arrived):
                continue
            leave(who)
            if place is not None:
                home[who] = place
                living[place] += 1
                came[place] += 1
                joined_at[who] = came[place]
                if living[place] > 1:
                    together.add(who)


def brumation_out_of_step(book: Book) -> Iterator[Finding]:
    """A brumation ended that never began, or began twice."""
    for subject, entries in by_subject(book.any_of(BrumationBegan, BrumationEnded)).items():
        began: Entry | None = None
        for entry in entries:
            if isinstance(entry, BrumationBegan):
                if began is not None:
                    yield Finding(
                        "doubt",
                        f"{book.name(subject)}: brumation began on {when(began)} and again on {when(entry)} "
                        "without "
                        "having ended. Write when it woke in between, or take one back.",
                        (began, entry),
                    )
                began = entry
            elif began is None:
                yield Finding(
                    "doubt",
                    f"{book.name(subject)}: brumation ended on {when(entry)}, but none had begun. Write when "
                    "it began, "
                    "or correct whose it was.",
                    (entry,),
                )
            else:
                began = None


def lay_box_out_never_in(book: Book) -> Iterator[Finding]:
    """A lay box was taken out that was never put in: of her, of her enclosure, or of the box itself."""
    home: dict[str, str] = {}
    given: set[str] = set()
    for entry in book.any_of(Arrived, Moved, LayBoxIn, LayBoxOut):
        who = entry.about
        if isinstance(entry, Arrived | Moved):
            place = entry.to if isinstance(entry, Moved) else entry.place
            if place is not None:
                home[who] = place
        elif isinstance(entry, LayBoxIn):
            given.update(one for one in (who, home.get(who), entry.box) if one)
        elif who not in given and home.get(who) not in given:
            yield Finding(
                "doubt",
                f"{book.name(who)}: lay box out on {when(entry)}, but none had been put in. Write “lay_box_in” "
                "with the "
                "day she got it, or correct whose it was.",
                (entry,),
            )
