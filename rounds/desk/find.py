"""Finding entries among all that was ever written, newest first, a slice at a time.

By subject through the index of its history; by period from the sheets of these days and late notes; else all
sheets from the newest day back. Nothing is kept but what was found and not handed out yet.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from rounds.logbook.conditions import Conditions
from rounds.logbook.entries import Corrected, Entry

if TYPE_CHECKING:
    from rounds.desk.reader import Reader

#: So many of what was found are shown unless more are asked for.
MOST = 200
#: So many entries of a history are asked at a time.
_AT_A_TIME = 500


class Found(NamedTuple):
    """An entry that was found, and the correction that says it does not count."""

    entry: Entry
    corrected: Corrected | None


class Step(NamedTuple):
    """What was found further, newest first, and how far the search is: sheets looked at, of how many."""

    found: list[Found]
    done: int
    of: int


def find(reader: Reader, wanted: Conditions) -> Iterator[Step]:
    """What fulfils the conditions, newest first, corrected entries too. Not what lies ahead of the clock."""
    # Late: no other command pays for TinyDB's queries.
    from rounds.sheets.find import matching, query_of

    query, now = query_of(wanted), reader.now()
    answers: dict[str, Corrected] = {}
    if wanted.subjects:
        history = reader.history(wanted.subjects[0])
        answers.update((entry.replaces, entry) for entry in history if isinstance(entry, Corrected))
        for end in range(len(history), 0, -_AT_A_TIME):
            hits = matching(history[max(0, end - _AT_A_TIME) : end], query)
            yield Step(_in_order(hits, answers), len(history) - end, len(history))
        return
    waiting: list[Entry] = []
    known: set[str] = set()
    done = of = 0
    for part in reader.sheets.newest_first(wanted.first, wanted.last):
        counting = [entry for entry in part.entries if entry.at <= now]
        answers.update((entry.replaces, entry) for entry in counting if isinstance(entry, Corrected))
        fresh = [entry for entry in matching(counting, query) if entry.id not in known] if counting else []
        known.update(entry.id for entry in fresh)
        waiting += fresh
        done, of = part.done, part.of
        # What was seen later than this day cannot stand on an older sheet: it can be handed out. The day is a text:
        # a copy may be named after one that is in no calendar.
        ready = [entry for entry in waiting if part.day and entry.at.date().isoformat() > part.day]
        if ready:
            gone = {entry.id for entry in ready}
            waiting = [entry for entry in waiting if entry.id not in gone]
        yield Step(_in_order(ready, answers), done, of)
    yield Step(_in_order(waiting, answers), done, of)


def _in_order(entries: list[Entry], answers: dict[str, Corrected]) -> list[Found]:
    return [
        Found(entry, answers.get(entry.id)) for entry in sorted(entries, key=lambda entry: entry.key, reverse=True)
    ]
