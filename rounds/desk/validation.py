"""What is asked about, turned round or refused before it is written: the same at every door.

An entry about the wrong sex is refused; one written from the male's side is turned round, for she is the one it is
about; what is likelier a slip (an entry about the dead, a far-off weight, more dead than there are) is a doubt,
which a keeper may answer. Pure: screens ask, the command line refuses until it is given `--sure`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, NamedTuple

from msgspec.structs import replace

from rounds.desk import reading_slips, season_slips, young_door
from rounds.desk.egg_slips import water_that_is_unlikely
from rounds.desk.slips import day_of, impossible, unlikely
from rounds.logbook.drafts import Draft
from rounds.logbook.entries import (
    Arrived,
    ClimateRead,
    ConditionSeen,
    Died,
    EggBoxWeighed,
    EggsLaid,
    EnclosureSetUp,
    EnclosureTakenDown,
    Entry,
    Left,
    MatingSeen,
    Merged,
    Parted,
    PutTogether,
    Reserved,
    StockIn,
    Weighed,
)
from rounds.rules.house import House
from rounds.rules.plausible import weight_doubt
from rounds.rules.plausible_box import box_doubt
from rounds.standing.animal import Animal, animal
from rounds.standing.enclosure import enclosure
from rounds.standing.fold import Standing
from rounds.standing.group import group

#: Entries about a pair, each with the member that names him.
PAIRS: Final[dict[type[Entry], str]] = {MatingSeen: "sire", PutTogether: "mate", Parted: "mate"}


class Judged(NamedTuple):
    """An entry as it may be written; why it may not be, if so; and what is to be asked about it first."""

    entry: Entry
    refused: str = ""
    doubts: tuple[str, ...] = ()


def judged(standing: Standing, house: House, entry: Entry, excluding: frozenset[str] = frozenset()) -> Judged:
    """Look at an entry before it is written.

    `standing` may hold it already; `excluding` are ids of entries that do not count.
    """
    refused = wrong_sex(standing, type(entry), entry.about) or _eggs_in_a_male(standing, entry)
    if refused:
        return Judged(entry, refused)
    entry, refused = _the_right_way_round(standing, entry)
    if not refused:
        refused = season_slips.cannot(standing, entry, excluding | {entry.id})
    if not refused:
        refused = impossible(standing, house, entry, excluding | {entry.id})
    if not refused and isinstance(entry, EnclosureTakenDown):
        refused = _lived_in(standing, entry)
    if not refused:
        refused = young_door.refused(standing, house, entry, excluding | {entry.id})
    if refused:
        return Judged(entry, refused)
    entry = young_door.filled_in(standing, house, entry, excluding)
    return Judged(entry, "", tuple(_doubts(standing, house, entry, excluding | {entry.id})))


def wrong_sex(standing: Standing, kind: type[Entry], subject: str) -> str:
    """A sentence when a kind of entry is said of females only, and this is a male."""
    what = kind.of_females
    if not what or not subject.startswith("animal/") or animal(standing, subject).sex != "M":
        return ""
    return _for_females(standing.name(subject), what)


def _eggs_in_a_male(standing: Standing, entry: Entry) -> str:
    """A sentence when a look at a male says that eggs were felt."""
    if not isinstance(entry, ConditionSeen) or "eggs felt" not in entry.signs:
        return ""
    return wrong_sex(standing, EggsLaid, entry.about)


def _for_females(name: str, what: str) -> str:
    verb = "are" if what == "eggs" else "is"
    return f"{name} is a male: {what} {verb} for females. If {name} is none, settle the sex first."


def _the_right_way_round(standing: Standing, entry: Entry) -> tuple[Entry, str]:
    """An entry about a pair, about her; or why it cannot be."""
    member = PAIRS.get(type(entry))
    if member is None:
        return entry, ""
    other = getattr(entry, member)
    own = animal(standing, entry.about).sex
    name = standing.name(entry.about)
    if other is None:
        if own == "M" and not isinstance(entry, Parted):
            return entry, f"{name} is a male: write it about her, or say with whom."
        return entry, ""
    if other == entry.about:
        return entry, f"{name} cannot be paired with itself."
    his = animal(standing, other).sex
    if own == his != "?":
        both = "females" if own == "F" else "males"
        return entry, f"{name} and {standing.name(other)} are both {both}. If one is not, settle its sex first."
    if own == "M" or his == "F":
        return replace(entry, about=other, **{member: entry.about}), ""
    return entry, ""


def _lived_in(standing: Standing, entry: Entry) -> str:
    living = [
        who
        for who in standing.living_in(entry.about)
        if any(stay.enclosure == entry.about and stay.since <= entry.at for stay in _one(standing, who).stays[-1:])
    ]
    if not living:
        return ""
    names = [standing.name(who) for who in living]
    more = f" and {len(names) - 4} more" if len(names) > 4 else ""
    lives = "lives" if len(names) == 1 else "live"
    return f"{', '.join(names[:4])}{more} still {lives} in {standing.name(entry.about)}. Move them first."


def _doubts(standing: Standing, house: House, entry: Entry, excluding: frozenset[str]) -> Iterator[str]:
    gone = _gone_before(standing, entry, excluding)
    if gone is not None:
        name = standing.name(entry.about)
        yield f"{name}: {gone.phrase()} on {day_of(gone)} ({gone.by}). This would be after that."
    if isinstance(entry, Weighed):
        doubt = weight_doubt(standing, house, entry.about, entry.grams, entry.at, excluding)
        if doubt:
            yield doubt
    if isinstance(entry, EggBoxWeighed):
        doubt = box_doubt(standing, house, entry.about, entry.clutch, entry.grams, entry.at, excluding)
        if doubt:
            yield doubt
        if water := water_that_is_unlikely(standing, house, entry):
            yield water
    yield from unlikely(standing, house, entry, excluding)
    yield from young_door.doubts(standing, house, entry, excluding)
    yield from season_slips.hardly(standing, house, entry, excluding)
    if isinstance(entry, ClimateRead):
        yield from reading_slips.too_hot(standing, house, entry)
    yield from reading_slips.too_early(standing, house, entry)


def _gone_before(standing: Standing, entry: Entry, excluding: frozenset[str]) -> Entry | None:
    """The entry by which its subject was gone before it; None while it was here, or never was."""
    if entry.afterwards or entry.about == "room":
        return None
    if entry.about.startswith("enclosure/"):
        stood = enclosure(standing, entry.about)
        down = [one for one in stood.own(EnclosureTakenDown) if one.id not in excluding and one.at < entry.at]
        again = [one for one in stood.own(EnclosureSetUp) if down and down[-1].key < one.key and one.at <= entry.at]
        return down[-1] if down and not again else None
    if entry.about.startswith("group/"):
        end = group(standing, entry.about).gone
        return end if end is not None and end.id not in excluding and end.at < entry.at else None
    if not entry.about.startswith("animal/"):
        return None
    one = animal(standing, entry.about)
    ends: list[Entry] = [*one.own(Left), *one.own(Died)]
    ends = [end for end in ends if end.id not in excluding and end.at < entry.at]
    if not ends:
        return None
    last = max(ends, key=lambda end: end.key)
    came = [arrival for arrival in one.own(Arrived) if last.key < arrival.key and arrival.at <= entry.at]
    return None if came else last


def there_without(standing: Standing, entry: Died | Left, excluding: frozenset[str] = frozenset()) -> int:
    """How many of a group there are when this entry, and those that do not count, are left aside."""
    ends: list[Died | Left] = [*group(standing, entry.about).own(Died), *group(standing, entry.about).own(Left)]
    # All that were left then: they are as many as this entry leaves.
    later = {end.id for end in ends if end.count is None and end.key > entry.key}
    return young_door.census_without(standing, entry, excluding | later).alive


def _one(standing: Standing, subject: str) -> Animal:
    return group(standing, subject) if subject.startswith("group/") else animal(standing, subject)


def ends_a_life(standing: Standing, entry: Entry) -> str:
    """What an entry ends, in words that want a yes that no Enter gives; empty when it ends nothing.

    One of a group may die or leave by its count alone; more than one, the last one, an animal, an enclosure not.
    """
    name = standing.name(entry.about)
    if isinstance(entry, EnclosureTakenDown):
        return f"{name} is taken down and leaves the walk."
    if not isinstance(entry, Died | Left):
        return ""
    what = "died" if isinstance(entry, Died) else f"left ({entry.how})"
    if entry.about.startswith("animal/"):
        return f"{name} {what}."
    there = group(standing, entry.about).count
    if entry.count is None:
        return f"{name}: all {there} {what}."
    if entry.count == 1 < there:
        return ""
    return f"{name}: {entry.count} of {there} {what}."


def draft_of(entry: Entry, like: Draft) -> Draft:
    """The draft of an entry that was judged: about whom it is now, and its members."""
    member = PAIRS.get(type(entry))
    fields = like.fields if member is None else {**like.fields, member: getattr(entry, member)}
    if isinstance(entry, Merged):
        fields = {**fields, "count": entry.count}
    if isinstance(entry, Arrived) and entry.hatched is not None:
        fields = {**fields, "hatched": entry.hatched}
    if isinstance(entry, Left | Reserved | StockIn) and entry.currency:
        fields = {**fields, "currency": entry.currency}
    fields = {name: value for name, value in fields.items() if value is not None or name != member}
    return like._replace(about=entry.about, fields=fields)
