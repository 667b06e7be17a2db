"""Evidence that adds up: signs of a gravid female that are weak one by one, and what each counts for.

A list, not a verdict: each line says what was seen, since when, by which house rule, and how many points that
rule gives it. The sum is held against the house's own limits. What was seen counts from her last clutch that is
believed, or from the visit at which a vet found her empty. A sum that has once come to the vet's limit stays there
until a vet has seen her or was spoken to, or eggs came: whatever was written after it.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from functools import cached_property
from typing import NamedTuple

from rounds.due.dates import just_before
from rounds.due.signs import Sign, Signs
from rounds.logbook.entries import (
    Ate,
    BehaviourSeen,
    ConditionSeen,
    EggCheckDone,
    EggsLaid,
    FeltForEggs,
    MatingSeen,
    Moved,
    Parted,
    PutTogether,
    VetSeen,
    Weighed,
)
from rounds.rules.house import House
from rounds.standing.female import Female

#: Kinds that can make the sum smaller: what it was is asked just before each of them.
_LOWERING = (
    Ate,
    ConditionSeen,
    EggCheckDone,
    EggsLaid,
    FeltForEggs,
    MatingSeen,
    Moved,
    Parted,
    PutTogether,
    Weighed,
)


class Sum(NamedTuple):
    """The list at one moment, when it first came to the vet's limit (None: it has not), and until when it rests."""

    signs: tuple[Sign, ...]
    raised: datetime | None
    rests_until: datetime | None = None

    @property
    def points(self) -> int:
        """All of them together."""
        return sum(sign.points for sign in self.signs)


def evidence(her: Female, house: House, now: datetime) -> Sum:
    """The signs that stand at `now`; where the sum came to the vet's limit before, those that stood then."""
    case = _Case(her, house, now)
    limit = house.number("evidence.vet_points")
    signs = case.at(now)
    if sum(sign.points for sign in signs) < limit and case.most_ever() < limit:
        return Sum(signs, None, case.rests_until)
    for moment in case.moments():
        before = case.at(moment)
        if sum(sign.points for sign in before) >= limit:
            return Sum(before if sum(sign.points for sign in signs) < limit else signs, moment, case.rests_until)
    return Sum(signs, None, case.rests_until)


class _Case(Signs):
    """One female's signs, asked at any moment since a vet last heard of her."""

    @cached_property
    def rests_until(self) -> datetime | None:
        """Until when the vet's word stands: the vet's own day, else so many days after a visit or a call."""
        contact = self.one.last_contact
        if contact is None:
            return None
        key = "vet_again_days" if isinstance(contact, VetSeen) else "call_again_days"
        rests = contact.at + timedelta(days=self.house.days(f"eggbinding.{key}"))
        if contact.again is not None and contact.again > contact.at.date():
            # The end of the vet's day, by the clock of the visit.
            days = min(366, (contact.again - contact.at.date()).days + 1)
            midnight = contact.at.replace(hour=0, minute=0, second=0, microsecond=0)
            rests = max(contact.at, midnight + timedelta(days=days))
        return rests

    def moments(self) -> Iterator[datetime]:
        """When the sum is asked: just before whatever could have made it smaller, and now; oldest first."""
        starts = [moment for moment in (self.her.cycle_start, self.rests_until) if moment is not None]
        start = max(starts, default=None)
        times = {
            just_before(entry.at) for kind in _LOWERING for entry in self.one.page.of(kind) if entry.at <= self.now
        }
        # A male put in with her, or a copulation, opens her window again.
        times |= {just_before(one.since) for one in self.her.company if one.since <= self.now}
        times |= {
            just_before(entry.at)
            for entry in self.one.own(BehaviourSeen)
            if entry.behaviour == "copulation" and entry.at <= self.now
        }
        times = {moment for moment in times if start is None or moment > start}
        if start is None or start < self.now:
            times.add(self.now)
        yield from sorted(times)

    def most_ever(self) -> int:
        """No sum since her last clutch was larger than this: whether it is worth asking for each moment."""
        keys = ["no_look", "no_look_long", "quiet"]
        if any(window.first_closes < self.now.date() for window in self._windows):
            keys += ["window_past", "second_window"]
        if self._felt:
            keys += ["eggs_felt", "gravid_long"]
        if self._refusals:
            keys += ["off_food", "off_food_long"]
        if self._heavy or self._gains:
            keys += ["gain", "gravid_long"]
        if self._dug:
            keys += ["dug_and_stopped", "digs_after"]
        if self.her.last_complete is not None:
            keys += ["short_clutch", "heavy_after"]
        return sum(self._points(key) for key in keys)
