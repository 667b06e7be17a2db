"""A line of words read as conditions: `wattle weighed grams<300 since 1 oct by AK note dusty`.

The words stand in any order. The command line and the find screen read them alike. Nothing here reads the clock:
`today` is an argument.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from datetime import date, timedelta
from difflib import get_close_matches
from functools import cache
from typing import Final, Protocol, TypeVar

from rounds.errors import BadEntry
from rounds.logbook import rows
from rounds.logbook.conditions import Conditions, Figure, Sign, figure_names, usual_figures
from rounds.logbook.entries import KINDS
from rounds.logbook.times import DateOrder, with_year
from rounds.logbook.words import BEHAVIOURS, SIGNS
from rounds.logbook.written_times import read_day

_Found = TypeVar("_Found")

HOW: Final = "wattle weighed grams<300 since 1 oct by AK note dusty"
_TOKEN: Final = re.compile(r'"([^"]*)"?|([<>=≤≥]+)|([^\s"<>=≤≥]+)')
_SIGNS: Final[Mapping[str, Sign]] = {
    **{"<": "<", "under": "<", "below": "<", ">": ">", "over": ">", "above": ">"},
    **{"<=": "<=", "=<": "<=", "≤": "<=", ">=": ">=", "=>": ">=", "≥": ">=", "=": "=", "==": "="},
}
_NUMBER: Final = re.compile(r"([+-]?\d{1,9}(?:[.,]\d{1,6})?)(?:g|mm|cm|°c|°|c|%)?")
_UNITS: Final = frozenset({"g", "mm", "cm", "°c", "°", "c", "%", "degrees"})
#: Words that begin a condition; none of them is taken for a name unless `about` stands before it.
_SINCE: Final = frozenset({"since", "from"})
_UNTIL: Final = frozenset({"until", "till", "to"})
_ON: Final = frozenset({"on", "in"})
_NOTE: Final = frozenset({"note", "words"})
_STARTS: Final = _SINCE | _UNTIL | _ON | _NOTE | {"by", "about", "kind", "today", "yesterday"}
#: So many words at most make a day, a name or a kind.
_LONGEST: Final = 6
_WHOLE_YEAR: Final = re.compile(r"\d{4}")


class Names(Protocol):
    """Whom a word means."""

    def named(self, word: str) -> str | None:
        """The subject of exactly this name, tag or id; None when there is none. Raises `BadEntry` for two."""

    def find(self, word: str) -> str:
        """The subject, also by the beginning of its name. Raises `BadEntry`, naming those that are near."""


def conditions(line: str, names: Names, today: date, order: DateOrder = "day-month") -> Conditions:
    """The conditions that a line of words names. Raises `BadEntry` saying what cannot be read."""
    reading = _Reading(line, names, today, order)
    while reading.left:
        reading.take_one()
    found = reading.found
    if found == Conditions():
        raise BadEntry(f"Find what? Write it in a line: {HOW}.")
    if found.first is not None and found.last is not None and found.last < found.first:
        raise BadEntry(
            f"The period ends before it begins: since {with_year(found.first)}, until {with_year(found.last)}. "
            "Turn them round."
        )
    _check_figures(found)
    return found


class _Reading:
    """A line, read condition by condition."""

    def __init__(self, line: str, names: Names, today: date, order: DateOrder) -> None:
        #: The words that are left; one in quotation marks is one word, and never begins a condition.
        self.left = [(one[1] or one[2] or one[3] or "", one[0].startswith('"')) for one in _TOKEN.finditer(line)]
        self.names = names
        self.today = today
        self.order: DateOrder = order
        self.found = Conditions()

    def take_one(self) -> None:
        """Read the condition that comes next."""
        word, quoted = self.left[0]
        start = "" if quoted else word.casefold()
        if start in _NOTE:
            self._take_note()
        elif start == "by":
            self._next(word, "AK")
            self.found = self.found._replace(by=self.left.pop(0)[0])
        elif start == "about":
            self._next(word, "Wattle")
            self.found = self.found._replace(subjects=(*self.found.subjects, self._subject()))
        elif start == "kind":
            self._next(word, "weighed")
            self.found = self.found._replace(kinds=(*self.found.kinds, self._kind_named()))
        elif start in _SINCE | _UNTIL | _ON or start in ("today", "yesterday"):
            self._take_period(start)
        elif len(self.left) > 1 and not quoted and self.left[1][0].casefold() in _SIGNS:
            kind = _kind(f"{word} {self.left[1][0]}")  # "handed over"
            if kind is None:
                self._take_figure()
            else:
                del self.left[:2]
                self.found = self.found._replace(kinds=(*self.found.kinds, kind))
        elif len(self.left) > 1 and not (quoted or self.left[1][1]) and not self.left[1][0].strip("<>=≤≥"):
            raise BadEntry(f"“{self.left[1][0][:20]}” is no sign: write {start[:60]}<300 or {start[:60]}>300.")
        else:
            self._take_kind_or_name()

    def _next(self, word: str, like: str) -> None:
        self.left.pop(0)
        if not self.left:
            raise BadEntry(f"“{word}” wants a word behind it, such as {word} {like}.")

    def _ahead(self) -> int:
        """How many words stand before the next condition begins, of those that may belong together."""
        for place, (word, quoted) in enumerate(self.left[:_LONGEST]):
            if place and not quoted and (word.casefold() in _STARTS or word.casefold() in _SIGNS):
                return place - 1 if word.casefold() in _SIGNS and place > 1 else place
        return min(len(self.left), _LONGEST)

    def _longest(self, read: Callable[[str], _Found | None]) -> _Found | None:
        """What the most words together give; they are taken."""
        for many in range(self._ahead(), 0, -1):
            found = read(" ".join(word for word, _ in self.left[:many]))
            if found is not None:
                del self.left[:many]
                return found
        return None

    def _take_note(self) -> None:
        self._next(self.left[0][0], "dusty")
        words: list[str] = []
        while self.left and (self.left[0][1] or self.left[0][0].casefold() not in _STARTS):
            words.append(self.left.pop(0)[0])
        self.found = self.found._replace(words=(*self.found.words, *filter(None, words)))

    def _take_period(self, start: str) -> None:
        if start not in ("today", "yesterday"):
            self._next(start, "3 nov")
        written = " ".join(word for word, _ in self.left[: self._ahead()])
        read = self._longest(self._days)
        if read is None:
            read_day(written, self.today, self.order, label=start)  # says what is wrong with it
            raise AssertionError
        first, last = read
        if start not in _UNTIL:
            self.found = self.found._replace(first=first)
        if start not in _SINCE:
            self.found = self.found._replace(last=last)

    def _days(self, text: str) -> tuple[date, date] | None:
        """The first and the last of the days that words name: of a month or a year more than one."""
        try:
            read = read_day(text, self.today, self.order)
        except BadEntry:
            return None
        if not read.about:
            return read.day, read.day
        if _WHOLE_YEAR.fullmatch(text.strip()):
            return read.day, read.day.replace(month=12, day=31)
        return read.day, (read.day.replace(day=28) + timedelta(days=4)).replace(day=1) - timedelta(days=1)

    def _take_figure(self) -> None:
        name, sign = self.left.pop(0)[0].casefold(), self.left.pop(0)[0].casefold()
        known = figure_names()
        if name not in known:
            near = _near(name, known)
            raise BadEntry(f"No entry has a figure “{name[:60]}”; write grams, degrees, eggs or another.{near}")
        number = _NUMBER.fullmatch(self.left[0][0].casefold()) if self.left else None
        if number is None:
            what = f"“{self.left[0][0][:60]}” is no figure" if self.left else f"{name} wants a figure"
            raise BadEntry(f"{what}: write {name}{sign if sign in '<>' else ' ' + sign + ' '}300.")
        self.left.pop(0)
        if self.left and self.left[0][0].casefold() in _UNITS:
            self.left.pop(0)
        figure = Figure(name, known[name], _SIGNS[sign], float(number[1].replace(",", ".")))
        self.found = self.found._replace(figures=(*self.found.figures, figure))

    def _subject(self) -> str:
        written = self.left[0][0]
        found = self._longest(self.names.named)
        if found is None:
            found = self.names.find(written)
            self.left.pop(0)
        return found

    def _kind_named(self) -> str:
        written = self.left[0][0]
        found = self._longest(_kind)
        if found is None:
            raise BadEntry(f"“{written[:60]}” is no entry kind; docs/entries.md lists them.{_near(written, KINDS)}")
        return found

    def _take_kind_or_name(self) -> None:
        quoted = self.left[0][1]
        kind = None if quoted else self._longest(_kind)
        if kind is not None:
            self.found = self.found._replace(kinds=(*self.found.kinds, kind))
            return
        subject = self._longest(self.names.named)
        if subject is None and not quoted and (seen := self._longest(_seen)) is not None:
            self.found = self.found._replace(seen=(*self.found.seen, seen))
            return
        if subject is None:
            word = self.left[0][0]
            try:
                subject = self.names.find(word)
            except BadEntry as error:
                if word.casefold() in figure_names():
                    raise BadEntry(f"{word} wants a figure: {word}<300 or {word}>300.") from error
                near = _near(word, KINDS)
                how = f"“{word[:60]}” is no entry kind either.{near}" if near else f"In notes: note {word[:60]}"
                raise BadEntry(f"{error} {how}") from error
            self.left.pop(0)
        self.found = self.found._replace(subjects=(*self.found.subjects, subject))


def _kind(text: str) -> str | None:
    """The kind of these words: `egg check done`, `egg-check-done`, or as it is printed: `vet phoned`."""
    kind = re.sub(r"[\s-]+", "_", text.casefold())
    return kind if kind in KINDS else _printed().get(text.casefold())


@cache
def _printed() -> Mapping[str, str]:
    """How lists and pages print a kind, up to its first figure, comma or bracket."""
    found = {"evening stop": "stop_walked"}
    for name, kind in KINDS.items():
        like = {"id": "x", "by": "x", "at": "2026-01-01T08:00:00+00:00", "kind": name, **kind.example}
        about = kind.of[0] if kind.of[0] == "room" else f"{kind.of[0]}/x"
        phrase = rows.from_mapping({"about": about, **like}, lenient=True).phrase()
        found.setdefault(re.split(r"[,(:]|\d", phrase)[0].strip().casefold(), name)
    return {words: name for words, name in found.items() if _seen(words) is None}


def _seen(text: str) -> str | None:
    """The sign or behaviour of these words."""
    return next((word for word in (*SIGNS, *BEHAVIOURS) if word.casefold() == text.casefold()), None)


def _near(word: str, known: Mapping[str, object] | Sequence[str]) -> str:
    near = get_close_matches(word.casefold(), list(known), n=2, cutoff=0.8)
    return f" Did you mean {' or '.join(near)}?" if near else ""


def _check_figures(found: Conditions) -> None:
    """A figure that none of the kinds has finds nothing: that is a slip, and said."""
    for figure in found.figures:
        has = [kind for kind in found.kinds if usual_figures(KINDS[kind]).keys() & set(figure.members_of(kind))]
        if found.kinds and not has:
            kind = found.kinds[0]
            its = ", ".join(sorted(usual_figures(KINDS[kind]))) or "none"
            raise BadEntry(f"{kind} has no {figure.name}. Its figures: {its}.")
