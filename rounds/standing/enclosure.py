"""What stands in the room: an enclosure, who lives in it, and what was done there."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cached_property

from rounds.logbook.entries import (
    BehaviourSeen,
    ClimateRead,
    LampChanged,
    LayBoxIn,
    LayBoxOut,
    StopWalked,
)
from rounds.standing.card import Card
from rounds.standing.fold import Standing
from rounds.standing.identity import EnclosureIdentity


class Enclosure(EnclosureIdentity):
    """One enclosure as it stands. Get it with `enclosure(standing, subject)`."""

    def __init__(self, standing: Standing, subject: str) -> None:
        super().__init__(standing.page(subject))
        self.standing = standing

    @property
    def name(self) -> str:
        """What is written on it."""
        return self.set_up.name if self.set_up else self.standing.name(self.subject)

    @property
    def what(self) -> str:
        """tub, open tub, tank, lay box, incubator shelf, egg box …"""
        return self.set_up.what if self.set_up else "other"

    @property
    def holds_animals(self) -> bool:
        """False for what holds eggs."""
        return self.what not in ("incubator shelf", "egg box")

    @property
    def living(self) -> tuple[str, ...]:
        """Who lives here now: animals and groups, by id."""
        return self.standing.living_in(self.subject)

    @cached_property
    def lay_box(self) -> LayBoxIn | None:
        """The lay box that stands in this enclosure for all in it; None when there is none."""
        put, out = self.last(LayBoxIn), self.last(LayBoxOut)
        return put if put is not None and (out is None or out.key < put.key) else None

    @property
    def climate(self) -> tuple[ClimateRead, ...]:
        """Readings taken here, oldest first."""
        return self.own(ClimateRead)

    @property
    def lamp(self) -> LampChanged | None:
        """The last change of its UV lamp."""
        return self.last(LampChanged)

    @property
    def behaviour_of_unknown(self) -> tuple[BehaviourSeen, ...]:
        """Behaviour seen here of an animal not known, oldest first."""
        return self.own(BehaviourSeen)

    @property
    def stops(self) -> tuple[StopWalked, ...]:
        """The last times a keeper stood here on a walk, oldest first."""
        return self.own(StopWalked)


def enclosure(standing: Standing, subject: str) -> Enclosure:
    """The enclosure as it stands; worked out once for a standing."""
    found = standing.views.get(("enclosure", subject))
    if found is None:
        found = standing.views[("enclosure", subject)] = Enclosure(standing, subject)
    assert isinstance(found, Enclosure)
    return found


def walking_order(standing: Standing, first: Sequence[str] = ()) -> tuple[str, ...]:
    """Every enclosure that stands, in the order in which the room is walked.

    `first` is the order the keeper gave in colony.toml, by id or by name as written on the tub; those
    it does not name follow by their own `order`, then rack, then name (A2 before A10). Enclosures where
    somebody in quarantine lives come last, unless `first` names them.
    """
    asked = tuple(first)
    found: tuple[str, ...] | None = standing.views.get(("walking order", asked))
    if found is None:
        found = standing.views[("walking order", asked)] = _quarantine_last(standing, asked)
    return found


def _quarantine_last(standing: Standing, first: tuple[str, ...]) -> tuple[str, ...]:
    known = standing.register.orders.get(first)
    if known is None:
        known = standing.register.orders[first] = _walking_order(standing, first)
    last = {place for subject, place in standing.places.items() if standing.card(subject).quarantine}
    if not last:
        return known
    named = {word.casefold() for word in first}
    last = {
        place
        for place in last
        if place.casefold() not in named and standing.card(place).name.casefold() not in named
    }
    return (*(stop for stop in known if stop not in last), *(stop for stop in known if stop in last))


def _walking_order(standing: Standing, first: Sequence[str]) -> tuple[str, ...]:
    named: dict[str, int] = {}
    for place, word in enumerate(first):
        named.setdefault(word.casefold(), place)

    def order(one: tuple[str, Card]) -> tuple[object, ...]:
        subject, card = one
        given = named.get(subject.casefold(), named.get(card.name.casefold()))
        return (
            (0, given) if given is not None else (1, 0),
            (0, card.order) if card.order is not None else (1, 0.0),
            natural(card.rack),
            natural(card.name),
            subject,
        )

    cards = [(subject, standing.card(subject)) for subject in standing.subjects("enclosure")]
    return tuple(subject for subject, _ in sorted((one for one in cards if one[1].here), key=order))


def natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """A key that puts A2 before A10."""
    return tuple(
        (0, int(part), "") if part.isdecimal() else (1, 0, part.casefold()) for part in re.findall(r"\d+|\D+", text)
    )
