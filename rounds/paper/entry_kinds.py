"""Every entry kind described from its own record: members, units, allowed words, and a line as an example.

docs/entries.md is what `entries_page` gives; `rounds help weighed` prints one kind of it.
"""

from __future__ import annotations

import inspect
import types
import typing
from collections.abc import Iterator
from datetime import date, datetime
from typing import Any, Final, NamedTuple

import msgspec

from rounds.logbook.entries import KINDS, Entry
from rounds.paper.plain_text import wrapped

#: Members that every entry has; they are listed once.
SHARED: Final = tuple(Entry.__struct_fields__)
_UNITS: Final = {
    "grams": "g",
    "svl_mm": "mm",
    "total_mm": "mm",
    "depth_cm": "cm",
    "basking_c": "°C",
    "cool_c": "°C",
    "night_low_c": "°C",
    "air_c": "°C",
    "humidity": "%",
    "box_grams": "g",
}
#: What an example entry says; members that are not here are left away in it.
_EXAMPLE: Final[dict[str, Any]] = {
    "acknowledged": {"matter": "danger sign animal/wattle 2026-04-12", "level": "vet now"},
    "arrived": {"name": "Wattle", "place": "enclosure/b3", "sex": "F", "hatched": "2023-03-01"},
    "ate": {"how": "well"},
    "behaviour_seen": {"behaviour": "nest digging"},
    "cleaned": {"extent": "spot"},
    "climate_read": {"basking_c": 40.5, "cool_c": 24, "uv_index": 3.5},
    "condition_seen": {"look": "bright", "body": "heavy"},
    "corrected": {"replaces": "1m7zzz0abcdefg", "because": "it was Sedge", "was": "nest digging"},
    "died": {"cause": "found in the morning"},
    "droppings_seen": {"look": "normal"},
    "egg_check_done": {"present": ["eggs felt"], "absent": ["lethargy", "straining"]},
    "eggs_boxed": {"count": 21, "place": "enclosure/s1", "medium": "vermiculite 1 : 1 by weight", "box_grams": 812},
    "eggs_laid": {"clutch": "clutch/wattle-2026-1", "count": 22, "slugs": 1, "complete": True},
    "eggs_lost": {"count": 1, "why": "moulded"},
    "enclosure_set_up": {"name": "B3", "what": "open tub", "rack": "B", "order": 12},
    "fed": {"food": "insects", "what": "roaches", "dusted": "calcium"},
    "felt_for_eggs": {"found": "eggs"},
    "handed_over": {"to": "EM"},
    "hatched": {"count": 20, "into": "group/hatch-1"},
    "lay_box_in": {"box": "enclosure/l1", "depth_cm": 20, "medium": "damp sand and soil"},
    "left": {"how": "sold", "to": "a keeper in the next valley"},
    "left_out": {"care": "feed insects", "reason": "brumation"},
    "mating_seen": {"sire": "animal/karri"},
    "measured": {"svl_mm": 195, "total_mm": 460},
    "moved": {"to": "enclosure/b4", "why": "calmer there"},
    "noted": {"note": "door of the rack sticks"},
    "parted": {"mate": "animal/karri"},
    "put_off": {"matter": "lamp due enclosure/b3 2026-04-12", "until": "2026-04-20", "reason": "tube ordered"},
    "put_together": {"mate": "animal/karri"},
    "referred": {"to": "the reptile vet", "why": "digs since a week, no eggs", "appointment": "2026-04-13"},
    "sex_settled": {"sex": "F", "how": "by the vet"},
    "shed_seen": {"state": "begun"},
    "stop_walked": {"walk": "morning", "day": "2026-04-12"},
    "tested": {"what": "faecal test", "clear": True},
    "treatment_given": {"what": "as the vet wrote it down"},
    "vet_called": {"vet": "the reptile vet", "said": "bring her tomorrow at nine", "again": "2026-04-13"},
    "vet_seen": {"outcome": "kept overnight", "instructions": "warm and quiet", "carrying": True},
    "weighed": {"grams": 452},
}
_COLUMNS: Final = 110
_EXAMPLE_SUBJECT: Final = {
    "animal": "animal/wattle",
    "enclosure": "enclosure/b3",
    "clutch": "clutch/wattle-2026-1",
    "room": "room",
}


class Member(NamedTuple):
    """One member of an entry kind."""

    name: str
    #: What it holds, in words: "a number of g, more than 0, at most 5000".
    holds: str
    needed: bool
    #: The words it may be, if it is one of some words.
    words: tuple[str, ...]
    default: str


def members(kind: type[Entry], *, shared: bool = False) -> list[Member]:
    """The members of a kind beside those that every entry has (or those, with `shared`)."""
    hints = typing.get_type_hints(kind, include_extras=True)
    defaults = dict(zip(kind.__struct_fields__[::-1], kind.__struct_defaults__[::-1], strict=False))
    return [
        _member(name, hints[name], defaults.get(name, msgspec.NODEFAULT))
        for name in kind.__struct_fields__
        if (name in SHARED) is shared
    ]


def words_of(kind: type[Entry], name: str) -> tuple[str, ...]:
    """The words a member may be; none when it is not one of some words."""
    return next((one.words for own in (False, True) for one in members(kind, shared=own) if one.name == name), ())


def _member(name: str, hint: Any, default: Any) -> Member:
    words = _words(hint)
    shown = "" if default in (None, "", (), False, msgspec.NODEFAULT) else str(default)
    return Member(name, _holds(name, hint, words), default is msgspec.NODEFAULT, words, shown)


def _words(hint: Any) -> tuple[str, ...]:
    if typing.get_origin(hint) is typing.Literal:
        return tuple(typing.get_args(hint))
    return tuple(word for part in typing.get_args(hint) if not isinstance(part, str) for word in _words(part))


def _holds(name: str, hint: Any, words: tuple[str, ...]) -> str:
    """What a hint allows, in words."""
    origin = typing.get_origin(hint)
    if origin is typing.Annotated:
        told = _holds(name, typing.get_args(hint)[0], words)
        for extra in hint.__metadata__:
            told = _limits(told, extra)
        return told
    if origin in (typing.Union, types.UnionType):
        (some,) = (part for part in typing.get_args(hint) if part is not type(None))
        return _holds(name, some, words)
    if origin is tuple:
        inner = _holds(name, typing.get_args(hint)[0], words)
        return f"a list of {'words' if words else 'ids' if 'id of' in inner else 'texts'}"
    if words:
        return "one word"
    unit = f" of {_UNITS[name]}" if name in _UNITS else ""
    return {
        str: "text",
        bool: "true or false",
        int: f"a whole number{unit}",
        float: f"a number{unit}",
        date: "a day",
        datetime: "a moment with the room's offset",
    }[hint]


def _limits(told: str, extra: Any) -> str:
    if not isinstance(extra, msgspec.Meta):
        return told
    if extra.extra and "subject" in extra.extra:
        sort = extra.extra["subject"]
        return f"the id of {'an' if sort[:1] in 'ae' and sort else 'a'} {sort or 'subject'}"
    parts = [told]
    for limit, word in ((extra.gt, "more than"), (extra.ge, "at least"), (extra.le, "at most")):
        if limit is not None:
            parts.append(f"{word} {limit:g}")
    if extra.max_length is not None and extra.max_length < 10_000:
        parts.append(f"{extra.max_length} letters at most")
    return ", ".join(parts)


def example(kind: str) -> dict[str, Any]:
    """An entry of the kind, as a line for `rounds log -` has it."""
    about = _EXAMPLE_SUBJECT[next(sort for sort in KINDS[kind].of if sort in _EXAMPLE_SUBJECT)]
    if kind in ("left_out", "noted", "put_off"):
        about = "enclosure/b3"
    return {"kind": kind, "at": "2026-04-12T07:15", "by": "AK", "about": about, **_EXAMPLE.get(kind, {})}


def kind_page(kind: str) -> str:
    """One kind: what it is for, whom it is about, its members, and an example. Markdown that reads as text."""
    record = KINDS[kind]
    lines = [f"## {kind}", "", *_paragraphs(record), f"About: {_or(record.of)}.", ""]
    own = members(record)
    for one in own:
        need = "needed" if one.needed else f"else {one.default}" if one.default else "may be left away"
        words = f": {', '.join(one.words)}" if one.words else ""
        lines += wrapped(f"`{one.name}`: {one.holds} ({need}){words}", _COLUMNS, "- ")
    if not own:
        lines.append("No members of its own.")
    lines += ["", "```json", _json(example(kind)), "```", ""]
    return "\n".join(lines)


def _paragraphs(record: type[Entry]) -> Iterator[str]:
    text = inspect.cleandoc(record.__doc__ or "")
    for paragraph in text.split("\n\n"):
        yield from (*wrapped(" ".join(paragraph.split("\n")), _COLUMNS), "")


def _or(sorts: tuple[str, ...]) -> str:
    words = ["the room" if sort == "room" else f"{'an' if sort[0] in 'ae' else 'a'} {sort}" for sort in sorts]
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"


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

A subject is `animal/wattle`, `group/hatch-1`, `enclosure/b3`, `clutch/wattle-2026-1` or `room`: small
letters, digits and hyphens behind the slash, 60 at most. On the command line the name written on the tub (`Wattle`,
`B3`) or the part behind the slash does as well; several values of one member are parted by commas.

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


__all__ = ["Member", "entries_page", "example", "kind_page", "members", "words_of"]
