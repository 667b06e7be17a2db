"""The members of an entry kind, described from its record: what each holds, in which unit, within which limits.

The one place that reads the types of a kind: the check of subjects, the words of the command line, the forms of the
screens and docs/entries.md all ask here.
"""

import types
import typing
from datetime import date, datetime
from functools import cache
from typing import Any, Final, Literal

import msgspec
from msgspec.structs import replace

from rounds.logbook.entries import Entry

Sort = Literal["text", "whole", "figure", "truth", "day", "moment", "word", "subject"]

_SORTS: Final[dict[Any, Sort]] = {
    str: "text",
    bool: "truth",
    int: "whole",
    float: "figure",
    date: "day",
    datetime: "moment",
}


class Member(msgspec.Struct, frozen=True):
    """One member of an entry kind."""

    name: str
    #: What one value of it is.
    sort: Sort
    #: Whether it holds several values.
    many: bool = False
    #: The words it may be, if its sort is a word.
    words: tuple[str, ...] = ()
    #: Which sort of subject it names, if its sort is a subject; "" for any.
    names: str = ""
    unit: str = ""
    #: What it says, where its name on the sheets is not the word for it.
    says: str = ""
    #: Its limits, each None where there is none: more than, at least, at most, letters at most.
    above: float | None = None
    least: float | None = None
    most: float | None = None
    letters: int | None = None
    needed: bool = False
    #: What it is when it is left away; None too when it is needed.
    default: Any = None


@cache  # late and once a kind: it takes longer than writing an entry, and whoever only reads pays nothing for it
def members(kind: type[Entry]) -> dict[str, Member]:
    """The members of a kind by their names, those that every entry has among them."""
    hints = typing.get_type_hints(kind, include_extras=True)
    needed = len(kind.__struct_fields__) - len(kind.__struct_defaults__)
    defaults = (*[msgspec.NODEFAULT] * needed, *kind.__struct_defaults__)
    return {
        name: replace(
            _described(Member(name, "text"), hints[name]),
            needed=default is msgspec.NODEFAULT,
            default=None if default is msgspec.NODEFAULT else default,
        )
        for name, default in zip(kind.__struct_fields__, defaults, strict=True)
    }


def _described(member: Member, hint: Any) -> Member:
    """The member with what a type says about it."""
    origin = typing.get_origin(hint)
    if origin is typing.Literal:
        return replace(member, sort="word", words=typing.get_args(hint))
    if origin is tuple:
        return _described(replace(member, many=True), typing.get_args(hint)[0])
    if origin in (typing.Union, types.UnionType):
        (one,) = (part for part in typing.get_args(hint) if part is not types.NoneType)
        return _described(member, one)
    if origin is not typing.Annotated:
        return replace(member, sort=_SORTS[hint])
    member = _described(member, typing.get_args(hint)[0])
    for meta in hint.__metadata__:
        extra = meta.extra or {}
        member = replace(
            member,
            sort="subject" if "subject" in extra else member.sort,
            names=extra.get("subject", ""),
            unit=extra.get("unit", ""),
            says=extra.get("says", ""),
            above=meta.gt,
            least=meta.ge,
            most=meta.le,
            letters=meta.max_length,
        )
    return member
