"""Sexes and parents: what cannot be true of who is whose."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from rounds.audit.finding import Book, Finding, by_subject, day, when
from rounds.logbook.descent import OF_DESCENT, Descent, written_parents
from rounds.logbook.entries import (
    Arrived,
    EggCheckDone,
    EggsLaid,
    Entry,
    FeltForEggs,
    MatingSeen,
    PutTogether,
    SexSettled,
)
from rounds.logbook.words import Sex

_SEX_WORD = {"F": "a female", "M": "a male", "?": "of unknown sex"}


def eggs_from_a_male(book: Book) -> Iterator[Finding]:
    """Eggs were laid by, or looked for in, an animal that is a male."""
    for entry in book.any_of(EggsLaid, EggCheckDone, FeltForEggs):
        if book.sex(entry.about) == "M":
            laid = isinstance(entry, EggsLaid)
            yield Finding(
                "wrong" if laid else "doubt",
                f"{book.name(entry.about)} is a male, but {entry.phrase()} on {when(entry)}. "
                + ("Settle the sex, or correct whose eggs they were." if laid else "Was another animal meant?"),
                (entry,),
            )


def mating_of_one_sex(book: Book) -> Iterator[Finding]:
    """A mating, or a pairing, of two animals of one sex, or noted the wrong way round."""
    for entry in book.any_of(MatingSeen, PutTogether):
        assert isinstance(entry, MatingSeen | PutTogether)
        other = entry.sire if isinstance(entry, MatingSeen) else entry.mate
        if other is None:
            if book.sex(entry.about) == "M":
                yield _pair(book, entry, "is a male: such an entry is about the female")
            continue
        sexes = (book.sex(entry.about), book.sex(other))
        if other == entry.about:
            yield _pair(book, entry, "is named as its own mate")
        elif sexes == ("M", "F"):
            yield _pair(book, entry, f"is a male and {book.name(other)} a female: write it about the female")
        elif sexes in (("F", "F"), ("M", "M")):
            yield _pair(book, entry, f"and {book.name(other)} are both {_SEX_WORD[sexes[0]][2:]}s")
        elif sexes[1] == "F":
            yield _pair(book, entry, f"is paired with {book.name(other)}, who is a female")
        elif sexes[0] == "M":
            yield _pair(book, entry, "is a male: such an entry is about the female")


def _pair(book: Book, entry: Entry, why: str) -> Finding:
    return Finding(
        "wrong" if isinstance(entry, MatingSeen) else "doubt",
        f"{book.name(entry.about)}: {entry.phrase()} on {when(entry)}, but {book.name(entry.about)} {why}. "
        "Correct the entry, or settle the sex.",
        (entry,),
    )


def sex_to_and_fro(book: Book) -> Iterator[Finding]:
    """An animal's sex was settled one way, then the other, then back."""
    for subject, entries in by_subject(book.any_of(Arrived, SexSettled)).items():
        turns: list[Entry] = []
        believed: Sex = "?"
        for entry in entries:
            assert isinstance(entry, Arrived | SexSettled)
            if entry.sex not in ("?", believed):
                believed = entry.sex
                turns.append(entry)
        if len(turns) > 2:
            steps = ", ".join(f"{entry.sex} on {when(entry)}" for entry in turns)  # type: ignore[attr-defined]
            yield Finding(
                "doubt",
                f"{book.name(subject)}: its sex went to and fro: {steps}. Are two animals being taken for one?",
                tuple(turns),
            )


def parents_that_cannot_be(book: Book) -> Iterator[Finding]:
    """A sire who is a female, a dam who is a male, a parent that hatched after its young."""
    every = [entry for entries in _by_descent(book).values() for entry in entries]
    hatched = {entry.about: entry for entry in every if entry.hatched}
    told: set[tuple[str, str, str]] = set()
    for entry in book.any_of(*OF_DESCENT, EggsLaid):
        assert isinstance(entry, Descent | EggsLaid)
        dam = None if isinstance(entry, EggsLaid) else entry.dam
        for parent, word, wrong_sex in ((entry.sire, "sire", "F"), (dam, "dam", "M")):
            if parent is None:
                continue
            if book.sex(parent) == wrong_sex:
                yield Finding(
                    "wrong",
                    f"{book.name(parent)} is {_SEX_WORD[wrong_sex]}, but stands as {word} in "
                    f"{book.name(entry.about)}'s "
                    f"entry of {when(entry)}. Correct the {word}, or settle the sex.",
                    (entry,),
                )
            older, young = hatched.get(parent), hatched.get(entry.about)
            if isinstance(entry, EggsLaid) or young is None or older is None or parent == entry.about:
                continue
            if entry.hatched is not None:
                young = entry
            assert older.hatched is not None
            assert young.hatched is not None
            if older.hatched >= young.hatched and (pair := (parent, word, entry.about)) not in told:
                told.add(pair)
                about = young.hatched_about or older.hatched_about
                yield Finding(
                    "doubt" if about else "wrong",
                    f"{book.name(parent)}, {word} of {book.name(entry.about)}, hatched on "
                    f"{day(older.hatched)}, and "
                    f"its young on {day(young.hatched)}. Correct the day that is wrong (entries {older.id} and "
                    f"{young.id}), or the {word}.",
                    (older, entry),
                )


def own_ancestor(book: Book) -> Iterator[Finding]:
    """An animal is its own parent, or its own ancestor: the loop is named."""
    last = {who: entries[-1] for who, entries in _by_descent(book).items()}
    parents = _parents(book)
    done: set[str] = set()
    for start in last:
        path: list[str] = []
        places: dict[str, int] = {}
        # Each step: a parent to look at, or None to go back to the young it was reached from.
        ahead: list[str | None] = [start]
        while ahead:
            who = ahead.pop()
            if who is None:
                gone = path.pop()
                del places[gone]
                done.add(gone)
                continue
            if who in places:
                yield _loop(book, path[places[who] :], last)
                continue
            if who in done:
                continue
            places[who] = len(path)
            path.append(who)
            ahead.append(None)
            ahead.extend(parents.get(who, ()))


def _parents(book: Book) -> dict[str, list[str]]:
    """Every animal that is or may be a parent of each, as the pedigree has it (rounds/standing/parents.py).

    The newest entry that names one counts; where it names a clutch, that clutch's for what is not said.
    """
    clutch_dams, clutch_sires = dict[str, str](), dict[str, str]()
    for eggs in book.of(EggsLaid):
        clutch_dams.setdefault(eggs.clutch, eggs.about)
        if eggs.sire:
            clutch_sires[eggs.clutch] = eggs.sire
    found: dict[str, list[str]] = {}
    for who, entries in _by_descent(book).items():
        own = written_parents(entries)
        eggs_of = own.clutch or ""
        dam, sires = own.dam or clutch_dams.get(eggs_of), own.sires
        if not sires and eggs_of in clutch_sires and dam == clutch_dams.get(eggs_of):
            sires = (clutch_sires[eggs_of],)
        found[who] = [*sires, *([dam] if dam else [])]
    return found


def _by_descent(book: Book) -> dict[str, list[Descent]]:
    found: dict[str, list[Descent]] = {}
    for entry in book.any_of(*OF_DESCENT):
        assert isinstance(entry, Descent)
        found.setdefault(entry.about, []).append(entry)
    return found


def _loop(book: Book, loop: list[str], last: Mapping[str, Descent]) -> Finding:
    entries = tuple(last[who] for who in loop if who in last)
    names = [book.name(who) for who in loop]
    if len(loop) == 1:
        what = f"{names[0]} stands as its own parent"
    else:
        what = " is a young of ".join([*names, names[0]]) + ": one of them would be its own ancestor"
    ids = ", ".join(when(entry) for entry in entries)
    return Finding("wrong", f"{what}. Correct a parent in the entries of {ids}.", entries)
