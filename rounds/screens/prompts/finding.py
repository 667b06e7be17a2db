"""Finding a subject by a few letters, or by the label that a scanner types."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Sequence

from rounds.logbook.entries import Arrived, EnclosureSetUp
from rounds.screens.prompts.asks import Found
from rounds.standing.animal import animal
from rounds.standing.clutch import called, clutch
from rounds.standing.enclosure import enclosure
from rounds.standing.fold import Standing
from rounds.standing.group import group


def label(standing: Standing, subject: str) -> str:
    """A subject in a list: its name, what it is, where it is."""
    name = called(standing, subject)
    sort = subject.partition("/")[0]
    if sort == "enclosure":
        one = enclosure(standing, subject)
        return f"{name}  {one.what}" + ("" if one.stands else ", taken down")
    if sort == "clutch":
        return f"{name}  clutch, {clutch(standing, subject).count} eggs"
    if sort == "supply":
        return f"{name}  supply"
    who = group(standing, subject) if sort == "group" else animal(standing, subject)
    gone = ", never lived here" if who.elsewhere is not None else ", not here any more"
    place = f", {standing.name(who.place)}" if who.place else "" if who.here else gone
    return f"{name}  {'group' if sort == 'group' else who.sex}{place}"


def tag_of(standing: Standing, subject: str) -> str:
    """What its label says, if that was noted."""
    page = standing.page(subject)
    opened = page.last(EnclosureSetUp) if subject.startswith("enclosure/") else page.last(Arrived)
    return opened.tag if opened is not None and opened.about == subject else ""


def find(standing: Standing, typed: str, wanted: str = "", *, most: int = 60) -> list[Found]:
    """Subjects that the letters may mean: a scanned tag first, then names that begin so, then any that hold them.

    `wanted` narrows to a sort (`enclosure`, `animal:M` …); those not here any more come last.
    """
    sorts, _, sex = wanted.partition(":")
    # The / that a scanner sends in front is the key of the jump, not of the label.
    letters = _plain(typed.strip().removeprefix("/"))
    ranked: list[tuple[tuple[int, int, str], str]] = []
    for subject in standing.pages:
        sort = subject.partition("/")[0]
        if sort == "room" or (sorts and sort not in sorts.split("|")):
            continue
        if sex and sort == "animal" and animal(standing, subject).sex not in (sex, "?"):
            continue
        rank = _rank(standing, subject, letters)
        if rank is None:
            continue
        gone = 0 if _is_here(standing, subject, sort) else 1
        ranked.append(((gone, rank, called(standing, subject).casefold()), subject))
    ranked.sort()
    return [Found(label(standing, subject), subject) for _, subject in ranked[:most]]


def _plain(text: str) -> str:
    """A text as it is compared: in small letters, and composed (Unicode NFC), however it was written."""
    return unicodedata.normalize("NFC", text).casefold()


def _rank(standing: Standing, subject: str, letters: str) -> int | None:
    if not letters:
        return 3
    tag = _plain(tag_of(standing, subject))
    name = _plain(called(standing, subject))
    if letters in (tag, subject.casefold()):
        return 0
    if name == letters:
        return 1
    if name.startswith(letters) or subject.partition("/")[2].startswith(letters):
        return 2
    if letters in name or letters in subject:
        return 4
    if tag and letters in tag:
        return 5
    return None


def _is_here(standing: Standing, subject: str, sort: str) -> bool:
    if sort == "enclosure":
        return enclosure(standing, subject).stands
    if sort in ("clutch", "supply"):
        return standing.card(subject).opened
    return group(standing, subject).here if sort == "group" else animal(standing, subject).here


def finder(standing: Standing, exclude: str = "") -> Callable[[str], Callable[[str], Sequence[Found]]]:
    """What a form's fields look subjects up with: a function of the letters, for each sort wanted."""

    def for_sort(wanted: str) -> Callable[[str], Sequence[Found]]:
        return lambda typed: [one for one in find(standing, typed, wanted, most=200) if one.value != exclude]

    return for_sort
