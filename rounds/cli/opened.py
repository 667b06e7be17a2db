"""Whom the lines of one `rounds log` open: animals, groups, enclosures, clutches, supplies, ancestors."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from rounds.cli.given import Line
from rounds.desk.subjects import Names, as_id, id_of
from rounds.errors import BadEntry
from rounds.logbook.plain import slug
from rounds.paper.plain_text import shown
from rounds.rules.house import House
from rounds.standing.fold import Standing
from rounds.standing.supply import supply

_OPENING: Final = {"arrived": "animal", "enclosure_set_up": "enclosure"}
#: The first of these about a supply opens it.
_SUPPLIES: Final = frozenset({"stock_counted", "stock_in"})


def opened_by(standing: Standing, house: House, lines: Sequence[Line], errors: dict[int, str]) -> dict[str, str]:
    """The subjects that these lines open, each with its name; their `about` is settled on the way.

    What is wrong with a line goes into `errors`, by its place.
    """
    opened: dict[str, str] = {}
    for place, line in enumerate(lines):
        members, kind = line.members, line.members.get("kind")
        if not isinstance(kind, str):
            continue
        word = members.get("about")
        try:
            if kind == "eggs_laid" and isinstance(members.get("clutch"), str):
                members["clutch"] = clutch = id_of(members["clutch"], "clutch")
                opened.setdefault(clutch, clutch.rpartition("/")[2])
            if kind in _SUPPLIES and isinstance(word, str):
                _open_supply(standing, house, members, word, opened)
            if kind == "pedigree_noted" and isinstance(word, str):
                _open_ancestor(standing, members, word, opened)
            if kind not in _OPENING or not isinstance(word, str):
                continue
            subject = id_of(word, "group" if _counts_many(members) else _OPENING[kind])
        except BadEntry as error:
            errors[place] = str(error)
            continue
        if not members.get("name") and line.lenient:
            members["name"] = word.rpartition("/")[2] if as_id(word) else word
        name = members.get("name")
        members["about"] = subject
        opened.setdefault(subject, name if isinstance(name, str) else "")
    return opened


def _open_supply(
    standing: Standing, house: House, members: dict[str, Any], word: str, opened: dict[str, str]
) -> None:
    """The supply that is counted or came in; one that no one knows is opened by it. Raises `BadEntry`."""
    names = Names(standing, opened, prefixes=False)
    subject = names.named(word, ("supply",))
    if subject is None:
        subject = id_of(word, "supply")
        if as_id(word) is None:
            near = names.near(word, ("supply",))
            if near:
                raise BadEntry(f"There is no supply “{shown(word)[:80]}” yet.{near} If not, write {subject}.")
            if slug(word) != word:
                members.setdefault("name", word)
        opened.setdefault(subject, members.get("name") or subject.partition("/")[2].replace("-", " "))
    members["about"] = subject
    if "id" not in members and not members.get("unit"):
        # In what it is counted up to now, else as colony.toml has it.
        plan = house.supplies.get(subject)
        if unit := supply(standing, subject).unit or (plan.unit if plan is not None else ""):
            members["unit"] = unit


def _open_ancestor(standing: Standing, members: dict[str, Any], word: str, opened: dict[str, str]) -> None:
    """The animal whose descent is noted; one that no one knows is opened by it. Raises `BadEntry`."""
    subject = Names(standing, opened, prefixes=False).named(word, ("animal",))
    if subject is None:
        subject = id_of(word, "animal")
        members.setdefault("name", word.rpartition("/")[2] if as_id(word) else word)
        opened.setdefault(subject, members["name"])
    members["about"] = subject


def _counts_many(members: Mapping[str, Any]) -> bool:
    """Whether an arrival is of more than one: then a name alone opens a group."""
    return members.get("kind") == "arrived" and str(members.get("count", 1)).strip() not in ("", "1", "None")
