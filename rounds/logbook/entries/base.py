"""What every entry shares: when, who, and about what."""

import re
from datetime import date, datetime
from typing import Annotated, Any, ClassVar, TypeAlias

import msgspec

# Annotations stand as they are in these modules, not as text: msgspec would evaluate each of them at every
# start, 8 ms in all.
# Which subjects a field may name is checked when an entry is written (rows.validated) and when a page
# is opened, not at each decoding: a pattern there would cost more than the decoding itself.
#: `animal/wattle`, `group/hatch-3`, `enclosure/b3`, `clutch/wattle-2026-1`, `supply/locusts` or `room`.
Subject: TypeAlias = Annotated[str, msgspec.Meta(extra={"subject": ""})]
Animal: TypeAlias = Annotated[str, msgspec.Meta(extra={"subject": "animal"})]
Enclosure: TypeAlias = Annotated[str, msgspec.Meta(extra={"subject": "enclosure"})]
Clutch: TypeAlias = Annotated[str, msgspec.Meta(extra={"subject": "clutch"})]
Group: TypeAlias = Annotated[str, msgspec.Meta(extra={"subject": "group"})]
Text: TypeAlias = Annotated[str, msgspec.Meta(max_length=10_000)]
Count: TypeAlias = Annotated[int, msgspec.Meta(ge=0, le=100_000)]
Grams: TypeAlias = Annotated[float, msgspec.Meta(gt=0, le=5_000, extra={"unit": "g"})]
#: A sum of money in the currency beside it.
Money: TypeAlias = Annotated[float, msgspec.Meta(ge=0, le=10_000_000)]
#: Three letters of ISO 4217, such as `AUD`; empty where none is known.
Currency: TypeAlias = Annotated[str, msgspec.Meta(pattern=r"^(?:[A-Z]{3})?$")]
Celsius: TypeAlias = Annotated[float, msgspec.Meta(ge=-20, le=80, extra={"unit": "°C"})]

ROOM = "room"
SUBJECT = re.compile(r"(?:(?:animal|group|enclosure|clutch|supply)/[a-z0-9][a-z0-9-]{0,59}|room)")
_CAPITAL = re.compile(r"(?<!^)(?=[A-Z])")


def kind_of_name(name: str) -> str:
    """`EggCheckDone` → `egg_check_done`: the word for the kind on disk, on the command line and in docs."""
    return _CAPITAL.sub("_", name).lower()


class Entry(
    msgspec.Struct,
    frozen=True,
    kw_only=True,
    omit_defaults=True,
    gc=False,
    tag_field="kind",
    tag=kind_of_name,
):
    """One thing seen or done, at a time, by a keeper, about a subject.

    `at` is when it was seen, with the room's offset; `written` is set only when it was written
    down later than that. `id` sorts by the moment of writing and is unique across desks.

    What a kind may say of itself beside its members stands below; a number says its unit in its type
    (`extra={"unit": "mm"}`).
    """

    id: Annotated[str, msgspec.Meta(min_length=1, max_length=40)]
    at: Annotated[datetime, msgspec.Meta(tz=True)]
    by: Annotated[str, msgspec.Meta(min_length=1, max_length=40)]
    about: Subject
    written: Annotated[datetime, msgspec.Meta(tz=True)] | None = None
    note: Text = ""

    #: Fields that name other subjects on whose pages this entry stands too.
    mentions: ClassVar[tuple[str, ...]] = ()
    #: Which subjects it may be about.
    of: ClassVar[tuple[str, ...]] = ("animal", "group", "enclosure", "clutch", "supply", "room")
    #: What is said of females only, in the words of a refusal: `a lay box`.
    of_females: ClassVar[str] = ""
    #: Whether it may be written of an animal after its death or its leaving, and of an enclosure taken down.
    afterwards: ClassVar[bool] = False
    #: Whether it marks the season: it stands on the timeline of a page and of the referral sheet.
    milestone: ClassVar[bool] = False
    #: How many of this kind a subject's page keeps (all of them stay readable in its history).
    keep: ClassVar[int] = 8
    #: Where it is not 0, `keep` counts days that have entries, and so many entries of a day are kept: what is noted
    #: over and over within a shift pushes no other day off the page.
    a_day: ClassVar[int] = 0
    #: What an entry of this kind says in docs and help; `about` only where it is not the first of `of`.
    example: ClassVar[dict[str, Any]] = {}

    @property
    def kind(self) -> str:
        """The word for what was seen, as on disk."""
        tag = self.__struct_config__.tag
        assert isinstance(tag, str)
        return tag

    @property
    def key(self) -> tuple[datetime, str]:
        """The order of the logbook: by time, then id."""
        return (self.at, self.id)

    @property
    def known(self) -> datetime:
        """When it was written down: from then on keepers could act on it."""
        return self.written if self.written is not None and self.written > self.at else self.at

    def phrase(self) -> str:
        """What was seen, in a few words, without the subject."""
        return self.kind.replace("_", " ")

    def subjects(self) -> tuple[str, ...]:
        """Every subject on whose page this entry stands, the first being what it is about."""
        if not self.mentions:
            return (self.about,)
        named: list[str] = [self.about]
        for field in self.mentions:
            value = getattr(self, field)
            for subject in (value,) if isinstance(value, str) else (value or ()):
                if subject and subject not in named:
                    named.append(subject)
        return tuple(named)


def joined(*parts: str) -> str:
    """Put the parts that say something behind one another."""
    return ", ".join(part for part in parts if part)


def day_said(day: date, at: datetime) -> str:
    """A day that an entry names: `16 Apr`, with the year where it is not that of the entry."""
    return f"{day.day} {day:%b}" + (f" {day.year}" if day.year != at.year else "")


def grams(value: float) -> str:
    """A mass in g as a keeper writes it: no decimals unless there are some."""
    return f"{value:.1f}".removesuffix(".0") + " g"
