"""Every entry kind described from its own record: members, units, allowed words, and a line as an example.

docs/entries.md is what `entries_page` gives; `rounds help weighed` prints one kind of it.
"""

from __future__ import annotations

import inspect
from collections.abc import Iterator
from typing import Any, Final

from rounds.logbook.entries import KINDS, Entry
from rounds.logbook.members import Member, members
from rounds.paper.plain_text import wrapped

#: Members that every entry has; they are listed once.
SHARED: Final = tuple(Entry.__struct_fields__)
#: What one value of a member is, in words; and several of them.
_ONE: Final[dict[str, str]] = {
    "text": "text",
    "whole": "a whole number",
    "figure": "a number",
    "truth": "true or false",
    "day": "a day",
    "moment": "a moment with the room's offset",
    "word": "one word",
}
_SEVERAL: Final[dict[str, str]] = {"word": "words", "subject": "ids", "whole": "whole numbers", "figure": "numbers"}
#: A text of so many letters is as long as anyone writes: its limit is not told.
_MANY_LETTERS: Final = 10_000
_COLUMNS: Final = 110
_EXAMPLE_SUBJECT: Final = {
    "animal": "animal/wattle",
    "enclosure": "enclosure/b3",
    "clutch": "clutch/wattle-2026-1",
    "group": "group/hatch-1",
    "supply": "supply/locusts",
    "room": "room",
}


def own_members(kind: type[Entry]) -> list[Member]:
    """The members of a kind beside those that every entry has."""
    return [one for name, one in members(kind).items() if name not in SHARED]


def holds(member: Member) -> str:
    """What a member may hold, in words: `a number of g, more than 0, at most 5000`."""
    if member.many:
        return f"a list of {_SEVERAL.get(member.sort, 'texts')}"
    if member.sort == "subject":
        return f"the id of {_a(member.names or 'subject')}"
    parts = [_ONE[member.sort] + (f" of {member.unit}" if member.unit else "")]
    for limit, word in ((member.above, "more than"), (member.least, "at least"), (member.most, "at most")):
        if limit is not None:
            parts.append(f"{word} {limit:g}")
    if member.letters is not None and member.letters < _MANY_LETTERS:
        parts.append(f"{member.letters} letters at most")
    return ", ".join(parts)


def example(kind: str) -> dict[str, Any]:
    """An entry of the kind, as a line for `rounds log -` has it."""
    record = KINDS[kind]
    about = _EXAMPLE_SUBJECT[next(sort for sort in record.of if sort in _EXAMPLE_SUBJECT)]
    return {"kind": kind, "at": "2026-04-12T07:15", "by": "AK", "about": about, **record.example}


def kind_page(kind: str) -> str:
    """One kind: what it is for, whom it is about, its members, and an example. Markdown that reads as text."""
    record = KINDS[kind]
    lines = [f"## {kind}", "", *_paragraphs(record), f"About: {_or(record.of)}.", ""]
    own = own_members(record)
    for one in own:
        need = "needed" if one.needed else f"else {one.default}" if one.default else "may be left away"
        words = f": {', '.join(one.words)}" if one.words else ""
        says = f"{one.says}, " if one.says else ""
        lines += wrapped(f"`{one.name}`: {says}{holds(one)} ({need}){words}", _COLUMNS, "- ")
    if not own:
        lines.append("No members of its own.")
    lines += ["", "```json", _json(example(kind)), "```", ""]
    return "\n".join(lines)


def _paragraphs(record: type[Entry]) -> Iterator[str]:
    text = inspect.cleandoc(record.__doc__ or "")
    for paragraph in text.split("\n\n"):
        yield from (*wrapped(" ".join(paragraph.split("\n")), _COLUMNS), "")


def _or(sorts: tuple[str, ...]) -> str:
    words = ["the room" if sort == "room" else _a(sort) for sort in sorts]
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"


def _a(word: str) -> str:
    return f"{'an' if word[0] in 'ae' else 'a'} {word}"


def _json(entry: dict[str, Any]) -> str:
    import json

    return json.dumps(entry, ensure_ascii=False)


_HEAD: Final = """\
# Entry kinds

An entry is one thing seen or done, at a time, by a keeper, about a subject. It is never changed: a mistake is
answered by a `corrected` entry. On the sheets each is one line of JSON, and `rounds log -` takes the same lines:

```
rounds log weighed wattle grams=452 --by AK
echo '{"kind": "weighed", "about": "animal/wattle", "grams": 452}' | rounds log - --by AK
```

A subject is `animal/wattle`, `group/hatch-1`, `enclosure/b3`, `clutch/wattle-2026-1`, `supply/locusts` or `room`:
small letters, digits and hyphens behind the slash, 60 at most. On the command line the name written on the tub
(`Wattle`, `B3`) or the part behind the slash does as well; several values of one member are parted by commas.

What every entry has:

"""

_SHARED_WORDS: Final = {
    "id": "sorts by the moment of writing and is unique across desks; `rounds log` gives one",
    "at": "when it was seen; without an offset it is the room's clock, left away it is now",
    "by": "the keeper's initials; `--by` or ROUNDS_KEEPER gives them",
    "about": "whom or what it is about",
    "written": "set when it was written down later than it was seen; `rounds log` sets it",
    "note": "the keeper's own words, 10,000 letters at most",
}


def entries_page() -> str:
    """docs/entries.md."""
    shared = "".join(f"- `{name}`: {_SHARED_WORDS[name]}\n" for name in SHARED)
    index = "\n".join(wrapped(", ".join(f"`{kind}`" for kind in sorted(KINDS)), _COLUMNS))
    return f"{_HEAD}{shared}\nThe kinds:\n\n{index}\n\n" + "\n".join(kind_page(kind) for kind in sorted(KINDS))
