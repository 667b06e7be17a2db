"""What is written on a subject's label, so that lists, the walk and names need not open its page."""

from __future__ import annotations

from datetime import datetime
from typing import Final

import msgspec

from rounds.logbook.entries import (
    Arrived,
    Corrected,
    CountSettled,
    Died,
    EnclosureSetUp,
    EnclosureTakenDown,
    Entry,
    Left,
    Merged,
    Moved,
    PedigreeNoted,
    QuarantineEnded,
    SexSettled,
    SingledOut,
    SplitOff,
    StockCounted,
    StockIn,
)
from rounds.standing.identity import AnimalIdentity, EnclosureIdentity, GroupIdentity, SupplyIdentity
from rounds.standing.page import Page

_ON_ANIMAL: Final = (
    *(Arrived, PedigreeNoted, Moved, Left, Died, SexSettled, QuarantineEnded),
    *(CountSettled, Merged, SingledOut, SplitOff),
)
_ON_ENCLOSURE: Final = (EnclosureSetUp, EnclosureTakenDown)
_ON_SUPPLY: Final = (StockCounted, StockIn)
#: Kinds that can change a card.
ON_CARDS: Final[frozenset[type[Entry]]] = frozenset({*_ON_ANIMAL, *_ON_ENCLOSURE, *_ON_SUPPLY, Corrected})


class Card(msgspec.Struct, frozen=True, gc=False, array_like=True):
    """One subject in short.

    `opened`: it arrived, was set up, laid, or counted, or its descent was noted. `here`: it is in the colony now;
    an enclosure stands.
    """

    name: str
    opened: bool = False
    here: bool = False
    tag: str = ""
    sex: str = "?"
    #: Where the animal or group lives now.
    place: str | None = None
    #: Of an enclosure: what it is, and what its turn on the walk depends on.
    what: str = ""
    rack: str = ""
    order: float | None = None
    #: The time of the newest entry, corrections aside, that can have changed the card.
    since: datetime | None = None
    #: Whether the animal or group is here and in quarantine.
    quarantine: bool = False
    #: Of a group that is none any more: whether its young went into others, or have names of their own.
    moved_on: bool = False


def card_of(page: Page) -> Card:
    """The card of a subject, from its page."""
    sort, _, name = page.subject.rpartition("/")
    if sort == "enclosure":
        return _card_of_enclosure(EnclosureIdentity(page), name)
    if sort == "animal":
        return _card_of_animal(AnimalIdentity(page), name)
    if sort == "group":
        return _card_of_animal(GroupIdentity(page), name)
    if sort == "supply":
        return _card_of_supply(SupplyIdentity(page))
    return Card(name=name or page.subject, opened=True, here=True)


def _card_of_supply(one: SupplyIdentity) -> Card:
    there = one.opened is not None
    return Card(name=one.name, opened=there, here=there, since=_since(one.page, _ON_SUPPLY))


def _card_of_enclosure(one: EnclosureIdentity, name: str) -> Card:
    opened, since = one.set_up, _since(one.page, _ON_ENCLOSURE)
    if opened is None:
        return Card(name=name, since=since)
    return Card(
        name=opened.name,
        opened=True,
        here=one.stands,
        tag=opened.tag,
        what=opened.what,
        rack=opened.rack,
        order=opened.order,
        since=since,
    )


def _card_of_animal(one: AnimalIdentity, name: str) -> Card:
    arrived, elsewhere = one.arrived, one.elsewhere
    own = arrived or elsewhere
    return Card(
        name=(own.name if own is not None else "") or name,
        opened=own is not None,
        here=one.here,
        tag="" if arrived is None else arrived.tag,
        sex=one.sex,
        place=one.place,
        since=_since(one.page, _ON_ANIMAL),
        quarantine=one.here and one.quarantine_since is not None,
        moved_on=isinstance(one.gone, Merged | SingledOut | SplitOff | CountSettled),
    )


def _since(page: Page, kinds: tuple[type[Entry], ...]) -> datetime | None:
    newest = [strand[-1].at for kind in kinds if (strand := page.strands.get(kind))]
    return max(newest, default=None)
