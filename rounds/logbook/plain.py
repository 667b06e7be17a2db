"""An entry in plain words: `weighed wattle grams=452`, as the command line and the tests write it.

A subject is an id (`animal/wattle`, `enclosure/b3`, `room`); without its sort it is an animal, and
`@b3` is an enclosure, `+young` a group, `%wattle-1` a clutch. Members are `name=value`; several values
of one member are parted by commas.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable
from typing import Any, Final

from rounds.errors import BadEntry
from rounds.logbook import rows
from rounds.logbook.entries import KINDS, Entry

_SORTS: Final = {"@": "enclosure/", "+": "group/", "%": "clutch/"}


def slug(name: str) -> str:
    """The part of a subject's id that a name gives: small letters, digits and hyphens."""
    folded = unicodedata.normalize("NFKD", name.replace("ß", "ss")).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", folded).strip("-")[:60].strip("-")


def subject_of(word: str) -> str:
    """The subject's id that a word of the notation stands for."""
    if word in ("room", "") or "/" in word:
        return word
    if word[0] in _SORTS:
        return _SORTS[word[0]] + word[1:]
    return "animal/" + word


def members(kind: str, words: Iterable[str], subject: Callable[[str], str] = subject_of) -> dict[str, Any]:
    """The members that `name=value` words give an entry of this kind; `subject` reads a word that names one.

    Raises `BadEntry` for an unknown kind and for a word that is no `name=value`.
    """
    known = KINDS.get(kind)
    if known is None:
        raise BadEntry(f"{kind!r} is no entry kind; docs/entries.md lists them")
    many, subjects = rows.list_fields(known), rows.subject_fields(known)
    found: dict[str, Any] = {"kind": kind}
    for word in words:
        name, equals, value = word.partition("=")
        if not equals:
            raise BadEntry(f"{word!r}: write it as name=value")
        if name in many:
            parts = [part.strip() for part in value.split(",") if part.strip()]
            found[name] = [subject(part) for part in parts] if name in subjects else parts
        else:
            found[name] = subject(value) if name in subjects else value
    return found


def entry(kind: str, about: str, words: Iterable[str], **shared: Any) -> Entry:
    """An entry from words; `shared` gives id, at and by. Raises `BadEntry`."""
    fields = {**shared, **members(kind, words), "about": subject_of(about)}
    return rows.from_mapping(fields, lenient=True)
