"""Whom a keeper means: by id, by the name or tag written on the tub, or by the beginning of one."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from functools import cached_property

from rounds.errors import BadEntry
from rounds.logbook.descent import OF_DESCENT
from rounds.logbook.entries import EnclosureSetUp
from rounds.logbook.entries.base import SUBJECT
from rounds.logbook.plain import folded, slug
from rounds.paper.plain_text import shown
from rounds.standing.animal import animal
from rounds.standing.enclosure import enclosure
from rounds.standing.fold import Standing
from rounds.standing.group import group

#: Where a word without its sort is looked for, in this order.
SORTS = ("animal", "group", "enclosure", "clutch", "supply")


#: Signs that once stood before a name to say its sort. They are refused, with the way it is written now.
_SIGNS = {"@": "enclosure", "+": "group", "%": "clutch"}


def as_id(word: str) -> str | None:
    """The id, in small letters, of a word that says its sort (`room`, `animal/wattle`, `Enclosure/B3`), or None."""
    small = word.strip().casefold()
    return small if word == "room" or small.startswith(tuple(f"{sort}/" for sort in SORTS)) else None


def id_of(word: str, sort: str) -> str:
    """The id of one who need not be known yet: the word itself if it is an id, else one made from the name.

    Raises `BadEntry` for a sign before the name, and for a name without a letter or digit.
    """
    refuse_sign(word)
    own = slug(word)
    if not own:
        raise BadEntry(f"“{shown(word)[:60]}” makes no id: write one beside the name, such as {sort}/wattle")
    return as_id(word) or f"{sort}/{own}"


def refuse_sign(word: str) -> None:
    """Raises `BadEntry` for `@b3`, `+hatch-1` and `%wattle-1`, saying how they are written."""
    sort, own = _SIGNS.get(word[:1], ""), slug(word)
    if sort and own:
        raise BadEntry(f"“{shown(word)[:80]}” is written without the sign: {own}, or {sort}/{own}.")


def known(standing: Standing, subject: str) -> bool:
    """Whether the subject was ever opened: arrived, set up, laid, counted, or its descent noted."""
    if subject == "room":
        return True
    page = standing.pages.get(subject)
    if page is None:
        return False
    if subject.startswith("clutch/"):
        return True
    if subject.startswith("supply/"):
        return standing.card(subject).opened
    opening = (EnclosureSetUp,) if subject.startswith("enclosure/") else OF_DESCENT
    return any(entry.about == subject for kind in opening for entry in page.of(kind))


def here(standing: Standing, subject: str) -> bool:
    """Whether it is in the colony now (an enclosure: whether it stands)."""
    if subject.startswith("enclosure/"):
        return enclosure(standing, subject).stands
    if subject.startswith("group/"):
        return group(standing, subject).here
    return not subject.startswith("animal/") or animal(standing, subject).here


class Names:
    """Looks subjects up in a standing; `opened` are those that the entries being written open, with their names."""

    def __init__(
        self, standing: Standing, opened: Mapping[str, str] | None = None, *, prefixes: bool = True
    ) -> None:
        self.standing = standing
        self.opened: Mapping[str, str] = opened or {}
        self.prefixes = prefixes

    def known(self, subject: str) -> bool:
        """Whether the subject exists, or will once these entries are written."""
        return subject in self.opened or known(self.standing, subject)

    def named(self, word: str, sorts: Collection[str] = SORTS) -> str | None:
        """The subject of exactly this id, name or tag, if there is one. Raises `BadEntry` when there are two."""
        subject = as_id(word)
        if subject is not None:
            return subject if self.known(subject) else None
        wanted = folded(word)
        found = {subject for subject, names in self._named(sorts) if wanted in names} if wanted else set()
        return self._one_of(shown(word)[:80], found) if found else None

    def find(self, word: str, sorts: Collection[str] = SORTS) -> str:
        """The subject a word stands for. Raises `BadEntry` when there is none, or more than one it could be.

        An id is taken as it is; else the name or tag written on it, or the last part of an id, in any case, then,
        if `prefixes`, the beginning of one of these. Those that are here go before those that are gone.
        """
        plain = shown(word)[:80]
        found = self.named(word, sorts)
        if found is not None:
            return found
        subject = as_id(word)
        if subject is not None:
            raise BadEntry(self._unknown(plain, subject, sorts))
        wanted = folded(word)
        if not wanted:
            raise BadEntry("Whom is it about? Write a name, an id such as animal/wattle, or room.")
        if wanted == "room":
            return wanted
        refuse_sign(word)
        named = self._named(sorts) if self.prefixes else ()
        begins = {subject for subject, names in named if any(name.startswith(wanted) for name in names)}
        if not begins:
            raise BadEntry(self._unknown(plain, "", sorts))
        return self._one_of(plain, begins)

    @cached_property
    def _every(self) -> list[tuple[str, str, frozenset[str]]]:
        """Each subject with its sort and the names it goes by, folded."""
        found: list[tuple[str, str, frozenset[str]]] = []
        for sort in SORTS:
            opened = {subject for subject in self.opened if subject.startswith(sort + "/")}
            for subject in {*self.standing.subjects(sort), *opened}:
                card = self.standing.card(subject)
                if not card.opened and subject not in opened:
                    continue
                names = (subject.rpartition("/")[2], self.opened.get(subject, ""), card.name, card.tag)
                found.append((subject, sort, frozenset(folded(name) for name in names if name)))
        return found

    def _named(self, sorts: Collection[str]) -> Iterator[tuple[str, frozenset[str]]]:
        return ((subject, names) for subject, sort, names in self._every if sort in sorts)

    def _one_of(self, word: str, found: set[str]) -> str:
        if len(found) > 1:
            found = {one for one in found if one in self.opened or here(self.standing, one)} or found
        if len(found) > 1:
            told = [f"{shown(self.standing.name(one))} ({one})" for one in sorted(found)]
            more = f" and {len(told) - 6} more" if len(told) > 6 else ""
            raise BadEntry(f"“{word}” may be {', '.join(told[:6])}{more}: write the id.")
        return found.pop()

    def _unknown(self, word: str, subject: str, sorts: Collection[str]) -> str:
        if subject and subject != "room" and SUBJECT.fullmatch(subject) is None:
            sort, _, rest = subject.partition("/")
            like = f"{sort if sort in SORTS else 'animal'}/{slug(rest) or 'wattle'}"
            return (
                f"“{word}” is no id: animal/…, group/…, enclosure/…, clutch/…, supply/… with small letters, "
                f"digits and hyphens, such as {like}."
            )
        sort = subject.partition("/")[0]
        how = {
            "enclosure": "was never set up; write “enclosure_set_up” first",
            "clutch": "was never laid; write “eggs_laid” first",
            "supply": "was never counted; write “stock_counted” first",
        }.get(sort, "never arrived; write “arrived” first")
        if subject:
            return f"“{word}” {how}.{self.near(word, sorts)}"
        *most, last = [sort for sort in SORTS if sort in sorts] or ["subject"]
        what = f"{', '.join(most)} or {last}" if most else last
        others = [other for other, names in self._named(set(SORTS) - set(sorts)) if folded(word) in names]
        if others:
            told = ", ".join(f"{shown(self.standing.name(one))} ({one})" for one in sorted(others))
            return f"There is no {what} “{word}” here, only {told}."
        return f"There is no {what} “{word}” here.{self.near(word, sorts)}"

    def near(self, word: str, sorts: Collection[str]) -> str:
        """A question after those whose names are spelled nearly so; empty when there are none."""
        from difflib import get_close_matches

        own = folded(word.rpartition("/")[2])
        names = {name: subject for subject, names in self._named(sorts) for name in names}
        near = get_close_matches(own, names, n=2, cutoff=0.7)
        told = list(dict.fromkeys(f"{shown(self.standing.name(names[one]))} ({names[one]})" for one in near))
        return f" Did you mean {' or '.join(told)}?" if told else ""
