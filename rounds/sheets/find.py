"""Conditions as a TinyDB query, asked of entries through our own Storage and Table.

The entries come from the index (a subject's) or from the sheets, some days at a time, so that ten years fit.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import reduce
from operator import and_
from typing import Any, NoReturn

from tinydb import Query, where
from tinydb.queries import QueryInstance

from rounds.logbook.conditions import Conditions, Figure, folded, seen_members, texts, usual_figures
from rounds.logbook.entries import KINDS, Entry
from rounds.sheets.database import EVERY_DAY, AppendOnly, Logbook, SheetStorage

#: An entry as TinyDB has it: the members of its JSON object. One that is as usual (0 slugs) is left out.
Document = Mapping[str, Any]


def matching(entries: Sequence[Entry], query: QueryInstance) -> list[Entry]:
    """Those of the entries that the query finds, in their order."""
    table = Logbook(storage=SheetStorage, append=_not_here, reader=lambda _: [("", entries)]).table(EVERY_DAY)
    found = {document["id"] for document in table.search(query)}
    return [entry for entry in entries if entry.id in found] if found else []


def _not_here(*_: object) -> NoReturn:
    raise AppendOnly


def query_of(wanted: Conditions) -> QueryInstance:
    """The query that finds what fulfils all conditions; there is one at least."""
    parts: list[QueryInstance] = []
    if wanted.kinds:
        parts.append(where("kind").one_of(list(wanted.kinds)))
    if wanted.by:
        parts.append(where("by").map(folded) == folded(wanted.by))
    if wanted.first is not None:
        parts.append(where("at").map(_day) >= wanted.first.isoformat())
    if wanted.last is not None:
        parts.append(where("at").map(_day) <= wanted.last.isoformat())
    if wanted.subjects:
        parts.append(Query().map(_subjects).all(list(wanted.subjects)))
    parts += [_figure(figure) for figure in wanted.figures]
    parts += [_note(folded(words)) for words in wanted.words]
    parts += [_seen(word) for word in wanted.seen]
    # In pairs, and pairs of these: a thousand one behind the other would be a thousand calls deep.
    while len(parts) > 1:
        parts = [reduce(and_, parts[place : place + 2]) for place in range(0, len(parts), 2)]
    return parts[0]


def _figure(figure: Figure) -> QueryInstance:
    def numbers(document: Document) -> Iterator[float]:
        usual = usual_figures(KINDS[document["kind"]])
        for name in figure.members_of(document["kind"]):
            number = document.get(name, usual.get(name))
            if isinstance(number, list | tuple):
                yield from number  # of a logger's readings one is enough
            elif number is not None:
                yield number

    return Query().map(numbers).test(lambda found: any(map(figure.holds, found)))


def _note(words: str) -> QueryInstance:
    def said(document: Document) -> Iterator[str]:
        return (folded(document[name]) for name in texts(KINDS[document["kind"]]) if name in document)

    return Query().map(said).test(lambda found: any(words in text for text in found))


def _seen(word: str) -> QueryInstance:
    def told(document: Document) -> Iterator[str]:
        for name in seen_members(KINDS[document["kind"]]):
            value = document.get(name) or ()
            yield from (value,) if isinstance(value, str) else value

    return Query().map(told).test(lambda found: word in found)


def _day(at: str) -> str:
    return at[:10]


def _subjects(document: Document) -> list[str]:
    """The subjects on whose pages the entry stands."""
    found: list[str] = [document["about"]]
    for name in KINDS[document["kind"]].mentions:
        named = document.get(name) or ()
        found += [named] if isinstance(named, str) else named
    return found
