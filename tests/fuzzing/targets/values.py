"""Values for members of entries, and odd texts, out of choices."""

from __future__ import annotations

from typing import Any, Final

from rounds.errors import RoundsError
from rounds.logbook.entries import KINDS
from rounds.logbook.members import Member, members
from rounds.paper.plain_text import shown
from tests.fuzzing.feed import Feed
from tests.hostile.hostile import HOSTILE, safe

KIND_NAMES: Final = tuple(KINDS)
MEMBER_NAMES: Final = tuple(sorted({name for kind in KINDS.values() for name in kind.__struct_fields__}))
SUBJECTS: Final = (
    "wattle",
    "animal/karri",
    "b3",
    "enclosure/b4",
    "room",
    "sedge",
    "clutch/w-1",
    "supply/locusts",
    "group/young",
    "new",
)
MOMENTS: Final = (
    "2026-04-12T08:00:00+02:00",
    "2026-04-12T08:00",
    "08:00",
    "yesterday 18",
    "-2d",
    "0001-01-01T00:00:00+14:00",
    "9999-12-31T23:59:59-12:00",
    "2026-03-29T02:30",
    "2026-10-25T02:30+99:99",
)
DAYS: Final = ("2026-04-12", "2023-05-01", "0001-01-01", "9999-12-31", "2026-02-30", "may 2024")
ODD: Final = (*HOSTILE.values(), "", " ", "@b3", "+x", "%x", "٣٤٥", "²", "1e309", "-0", "NaN", "\ud800", "e1")
_NUMBERS: Final = (0, -1, 1, 3, 450, 1.5, 0.1, 10**30, -(10**30), 1e308, 2**63, -(2**63) - 1)


def odd_text(feed: Feed) -> str:
    """One of the odd texts, or any."""
    return feed.pick(ODD) if feed.is_one_in(2) else feed.text()


def fitting(kind: object, name: str, feed: Feed) -> Any:
    """What a member of a kind may hold, at the edge of it now and then."""
    known = members(KINDS[kind]).get(name) if isinstance(kind, str) and kind in KINDS else None
    if known is None:
        return odd_text(feed)
    if known.many:
        return [_one(known, feed) for _ in range(feed.number(2))]
    return _one(known, feed)


def _one(member: Member, feed: Feed) -> Any:
    if member.sort == "subject":
        return feed.pick(SUBJECTS)
    if member.sort == "word":
        return feed.pick(member.words)
    if member.sort == "truth":
        return feed.is_one_in(2)
    if member.sort == "moment":
        return feed.pick(MOMENTS)
    if member.sort == "day":
        return feed.pick(DAYS)
    if member.sort in ("whole", "figure"):
        number = feed.pick((3, member.least, member.most, member.above, feed.number(999)))
        return 3 if number is None else number
    return feed.text() or "x"


def any_value(feed: Feed, deep: int = 2) -> Any:
    """A JSON value."""
    what = feed.number(5)
    if what <= 1 or deep == 0:
        return odd_text(feed)
    if what == 2:
        return feed.pick(_NUMBERS)
    if what == 3:
        return feed.pick((True, False, None))
    if what == 4:
        return [any_value(feed, deep - 1) for _ in range(feed.number(2))]
    return {odd_text(feed): any_value(feed, deep - 1) for _ in range(feed.number(2))}


def answered(error: RoundsError) -> None:
    """A refusal is a sentence, and nothing in it acts on a terminal."""
    assert str(error).strip()
    safe(shown(str(error), lines=True), columns=None)


def members_of(kind: object) -> tuple[str, ...]:
    """The members of a kind; a few of any when it is none."""
    known = KINDS.get(kind) if isinstance(kind, str) else None
    return known.__struct_fields__ if known is not None else ("id", "about", "note")
