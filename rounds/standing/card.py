"""What is written on a subject's label, so that lists, the walk and names need not open its page."""

from __future__ import annotations

from datetime import datetime
from typing import Final

import msgspec

from rounds.logbook.entries import (
    Arrived,
    Corrected,
    Died,
    EnclosureSetUp,
    EnclosureTakenDown,
    Entry,
    Left,
    Moved,
    QuarantineEnded,
    SexSettled,
)
from rounds.standing.page import Page

_ON_ANIMAL: Final = (Arrived, Moved, Left, Died, SexSettled, QuarantineEnded)
_ON_ENCLOSURE: Final = (EnclosureSetUp, EnclosureTakenDown)
#: Kinds that can change a card.
ON_CARDS: Final[frozenset[type[Entry]]] = frozenset({*_ON_ANIMAL, *_ON_ENCLOSURE, Corrected})


class Card(msgspec.Struct, frozen=True, gc=False, array_like=True):
    """One subject in short.

    `opened`: it arrived, was set up, or laid. `here`: it is in the colony now; an enclosure stands.
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


def card_of(page: Page) -> Card:
    """The card of a subject, from its page."""
    sort, _, rest = page.subject.rpartition("/")
    if sort == "enclosure":
        return _card_of_enclosure(page, rest)
    if sort in ("animal", "group"):
        return _card_of_animal(page, rest)
    return Card(name=rest or page.subject, opened=True, here=True)


def _card_of_enclosure(page: Page, name: str) -> Card:
    # Late: the views are made of standings, which hold cards.
    from rounds.standing.enclosure import Enclosure
    from rounds.standing.fold import Standing

    one = Enclosure(Standing({page.subject: page}), page.subject)
    opened = one.set_up
    if opened is None:
        return Card(name=_name(page, EnclosureSetUp, name), since=_since(page, _ON_ENCLOSURE))
    return Card(
        name=_name(page, EnclosureSetUp, name),
        opened=True,
        here=one.stands,
        tag=opened.tag,
        what=opened.what,
        rack=opened.rack,
        order=opened.order,
        since=_since(page, _ON_ENCLOSURE),
    )


def _card_of_animal(page: Page, name: str) -> Card:
    from rounds.standing.animal import Animal
    from rounds.standing.fold import Standing, place_on
    from rounds.standing.group import Group

    alone = Standing({page.subject: page})
    one = Group(alone, page.subject) if page.subject.startswith("group/") else Animal(alone, page.subject)
    return Card(
        name=_name(page, Arrived, name),
        opened=one.arrived is not None,
        here=one.here,
        tag=one.arrived.tag if one.arrived is not None else "",
        sex=one.sex,
        place=place_on(page),
        since=_since(page, _ON_ANIMAL),
        quarantine=one.here and one.quarantine_since is not None,
    )


def _name(page: Page, opening: type[Arrived] | type[EnclosureSetUp], otherwise: str) -> str:
    opened = page.last(opening)
    return opened.name if opened is not None and opened.about == page.subject else otherwise


def _since(page: Page, kinds: tuple[type[Entry], ...]) -> datetime | None:
    newest = [strand[-1].at for kind in kinds if (strand := page.strands.get(kind))]
    return max(newest, default=None)
