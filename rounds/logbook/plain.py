"""An entry in plain words: `weighed wattle grams=452`, as the command line and the tests write it.

A subject is an id (`animal/wattle`, `enclosure/b3`, `room`). Without its sort it is of the first sort that may
stand there: `b3 cleaned` is about an enclosure, `wattle moved to=b3` about an animal. Members are
`name=value`; several values of one member are parted by commas.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable
from typing import Any

from rounds.errors import BadEntry
from rounds.logbook import rows
from rounds.logbook.entries import KINDS, Entry


def slug(name: str) -> str:
    """The part of a subject's id that a name gives: small letters, digits and hyphens."""
    folded = unicodedata.normalize("NFKD", name.replace("ß", "ss")).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", folded).strip("-")[:60].strip("-")


def folded(name: str) -> str:
    """A name as it is compared: letters composed, in one case, one space between words."""
    return " ".join(unicodedata.normalize("NFC", name).casefold().split())


def subject_of(word: str, sort: str = "animal") -> str:
    """The id a word of the notation stands for; without a sort of its own it is of this one."""
    if word in ("room", "") or "/" in word:
        return word
    return f"{sort}/{word}"


def about_of(kind: str, word: str) -> str:
    """The id of what an entry of this kind is about. An unknown kind is about an animal."""
    known = KINDS.get(kind)
    return subject_of(word, known.of[0] if known is not None else "animal")


def as_written(word: str, _sort: str = "") -> str:
    """A word that names a subject as it stands: who reads it looks the name up."""
    return word


def members(kind: str, words: Iterable[str], subject: Callable[[str, str], str] = subject_of) -> dict[str, Any]:
    """The members that `name=value` words give an entry of this kind.

    `subject` reads a word that names one; it is given the sort that may stand there too. Raises `BadEntry` for an
    unknown kind and for a word that is no `name=value`.
    """
    known = KINDS.get(kind)
    if known is None:
        raise BadEntry(f"{kind!r} is no entry kind; docs/entries.md lists them")
    many, sorts = rows.list_fields(known), rows.subject_sorts(known)
    found: dict[str, Any] = {"kind": kind}
    for word in words:
        name, equals, value = word.partition("=")
        if not equals:
            raise BadEntry(f"{word!r}: write it as name=value")
        sort = sorts.get(name, "") or "animal"
        if name in many:
            parts = [part.strip() for part in value.split(",") if part.strip()]
            found[name] = [subject(part, sort) for part in parts] if name in sorts else parts
        else:
            found[name] = subject(value, sort) if name in sorts else value
    return found


def entry(kind: str, about: str, words: Iterable[str], **shared: Any) -> Entry:
    """An entry from words; `shared` gives id, at and by. Raises `BadEntry`."""
    fields = {**shared, **members(kind, words), "about": about_of(kind, about)}
    return rows.from_mapping(fields, lenient=True)
