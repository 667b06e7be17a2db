"""Evidence that adds up: signs of a gravid female that are weak one by one, and what each counts for.

A list, not a verdict: each line says what was seen, since when, by which house rule, and how many points that
rule gives it. The sum is held against the house's own limits. What was seen counts from her last clutch that is
believed, or from the visit at which a vet found her empty. A sum that has once come to the vet's limit stays there
until a vet has seen her or was spoken to, or eggs came: whatever was written after it.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from itertools import pairwise

import msgspec

from rounds.due.dates import end_of_day, just_before, later
from rounds.due.signs import Sign, Signs
from rounds.logbook.entries import (
    BehaviourSeen,
    BrumationBegan,
    BrumationEnded,
    ConditionSeen,
    Entry,
    MatingSeen,
    VetSeen,
)
from rounds.logbook.times import days_between
from rounds.rules.house import House
from rounds.standing.female import Female
from rounds.standing.kept import cached_property
from rounds.standing.weighings import changed_by


class Sum(msgspec.Struct, frozen=True):
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
    case = Case(her, house, now)
    limit = house.number("evidence.vet_points")
    signs = case.at(now)
    if sum(sign.points for sign in signs) < limit and case.most_ever() < limit:
        return Sum(signs, None, case.rests_until)
    for moment in case.moments():
        before = case.at(moment)
        if sum(sign.points for sign in before) >= limit:
            return Sum(before if sum(sign.points for sign in signs) < limit else signs, moment, case.rests_until)
    return Sum(signs, None, case.rests_until)


class Case(Signs):
    """One female's signs, asked at any moment since a vet last heard of her."""

    @cached_property
    def rests_until(self) -> datetime | None:
        """Until when the vet's word stands: the vet's own day, else so many days after a visit or a call."""
        contact = self.one.last_contact
        if contact is None:
            return None
        key = "vet_again_days" if isinstance(contact, VetSeen) else "call_again_days"
        rests = later(contact.at, self.house.days(f"eggbinding.{key}"))
        most = later(contact.at, self.house.days("eggbinding.again_most_days"))
        if contact.again is not None and contact.again > contact.at.date():
            # The end of the vet's day, by the clock of the visit.
            days = min(366, (contact.again - contact.at.date()).days + 1)
            midnight = contact.at.replace(hour=0, minute=0, second=0, microsecond=0)
            rests = max(contact.at, later(midnight, days))
        return min(rests, most)

    def moments(self) -> Iterator[datetime]:
        """When the sum is asked: just before whatever could make it smaller was written, and now; oldest first."""
        starts = [moment for moment in (self.her.cycle_start, self.rests_until) if moment is not None]
        start = max(starts, default=None)
        times = {just_before(entry.known) for entry in self._lowering() if entry.known <= self.now}
        # A male put in with her opens her window again.
        times |= {just_before(one.known) for one in self.her.company if one.known <= self.now}
        times |= {moment for moment in self._lapses() if moment <= self.now}
        times = {moment for moment in times if start is None or moment > start}
        if start is None or start < self.now:
            times.add(self.now)
        yield from sorted(times)

    def _lowering(self) -> Iterator[Entry]:
        """Entries that can have made the sum smaller: eggs, a mating, food taken, a weight read again, a look after
        days without."""
        yield from self.one.laid
        yield from self.one.own(MatingSeen)
        yield from self.one.own(BrumationBegan)
        yield from self.one.own(BrumationEnded)
        yield from changed_by(self.one, self.her.days.weighing)
        yield from self.her.dug_noted
        yield from self.her.felt_ever
        for seen in self.one.own(BehaviourSeen):
            if seen.behaviour == "copulation":
                yield seen
        least = self._days("off_food_days")
        for run in self.one.off_food_runs(self.house.days("health.off_food_gap_days")):
            # A refusal after a week begins another time without food, and the one before is over.
            yield run.entries[0]
            if run.ended is not None and days_between(run.entries[0].at, run.ended.known) >= least:
                yield run.ended
        least = self._days("no_look_days")
        for earlier, after in pairwise(self.looked):
            if days_between(earlier.at, after.known) >= least:
                yield after
        yield from self.looked[:1]
        for look, after in pairwise(entry for entry in self.one.own(ConditionSeen) if entry.look):
            if look.look != "bright":
                yield after

    def _was_missed(self) -> bool:
        """Whether there was a time of days in which nobody looked at her, by what was known of it at any moment."""
        start = self.her.cycle_start
        looks = [entry for entry in self.looked if start is None or entry.at > start]
        starts = [start.date()] if start is not None else []
        starts += [window.opens for window in self._windows]
        starts += [seen[0].at.date() for seen in (self._dug, self._felt) if seen]
        since = min(starts, default=looks[0].at.date() if looks else self.now.date())
        seen_at = [since, *(entry.at.date() for entry in looks)]
        until = [*(entry.known.date() for entry in looks), self.now.date()]
        least = self._days("no_look_days")
        return any((later - earlier).days >= least for earlier, later in zip(seen_at, until, strict=True))

    def _lapses(self) -> Iterator[datetime]:
        """The last moments at which a sign stood that ends by the calendar alone."""
        days = self.her.days
        food = self.house.days("health.refused_lapses_days")
        for run in self.one.off_food_runs(self.house.days("health.off_food_gap_days")):
            for entry in run.entries:
                yield end_of_day(entry.at, food)
        for seen in (*self._dug, *self._felt):
            yield end_of_day(seen.at, days.nesting_gap)
        for look in self.one.own(ConditionSeen):
            if look.look and look.look != "bright":
                yield end_of_day(look.at, self._days("quiet_days"))
        for window in self.her.windows(self.now):
            for day in (window.first_closes, window.closes, window.last):
                noon = datetime.combine(day, self.now.timetz())
                yield end_of_day(noon, 0)
                yield end_of_day(noon, days.gravid_days)
                yield end_of_day(noon, days.nesting_gap)
        for eggs in self.her.clutches:
            if eggs.complete is not None:
                yield end_of_day(eggs.complete.at, days.stored_days)
                yield end_of_day(eggs.complete.at, days.gravid_days)

    def most_ever(self) -> int:
        """No sum since her last clutch was larger than this: whether it is worth asking for each moment.

        Of signs that never stand together only the heaviest counts.
        """
        over = any(window.first_closes < self.now.date() for window in self._windows)
        most = self._most("window_open") if self._windows else 0
        if over:
            most += self._most("window_past", "stored_window_past", "first_window_past")
            most += self._most("second_window") * len(self._windows)
        if self._felt:
            most += self._most("eggs_felt", "vet_found_eggs")
        # One weighing alone is a gain only once a window has ended.
        gains = self._gains if over or self._may_have_gained_twice() else ()
        if self._heavy or gains:
            most += self._most("gain")
        starts = [*(entry.at for entry in self._felt[:1]), *(weighing.at for weighing in gains[:1])]
        first = min(starts, default=self.now)
        if days_between(first, self.now) >= self._days("gravid_long_days"):
            most += self._most("gravid_long")
        if self._dug:
            most += self._most("dug_and_stopped", "digs_after")
        if self.her.last_complete is not None:
            most += self._most("heavy_after")
            if self.her.laid_since_cycle_start is not None:
                most += self._most("short_clutch")
        if self._refused(self._days("off_food_days")):
            most += self._most("off_food")
        if self._refused(self._days("off_food_long_days"), until_last=True):
            most += self._most("off_food_long")
        if any(entry.look and entry.look != "bright" for entry in self.one.own(ConditionSeen)):
            most += self._most("quiet", "dull")
        if self._was_missed():
            most += self._most("no_look") + self._most("no_look_long")
        return most

    def _most(self, *keys: str) -> int:
        """The points of the heaviest of these signs."""
        return max(map(self._points, keys))
