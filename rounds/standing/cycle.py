"""A female's cycle: her clutches, what a cycle starts with, her matings, and the windows in which she may lay.

What counts for one clutch starts after the last one was complete and believed, or after a vet found her empty. A
clutch far under her usual is not believed until a vet has heard of it.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from typing import Final

from msgspec.structs import replace

from rounds.logbook.entries import EggsLaid, Entry, VetSeen
from rounds.logbook.times import days_between
from rounds.standing.breeding import Chance, Company, Window
from rounds.standing.clutch import Clutch
from rounds.standing.her_clutches import Layings
from rounds.standing.kept import cached_property
from rounds.standing.matings import matings_of
from rounds.standing.together import company_of

#: Letters of the dam's id in that of a clutch: an id has 60, year and number take up to 20 of them.
_STEM: Final = 40
#: Of so many moments the windows are kept at hand.
_MOMENTS: Final = 16


class Cycle(Layings):
    """One female's clutches and chances of a clutch, under the days of the house."""

    def next_clutch(self, year: int) -> str:
        """The clutch that eggs laid now belong to: the one begun, else a new one, named by dam, year and number."""
        if self.laying is not None:
            return self.laying.subject
        stem = f"clutch/{self.subject.partition('/')[2][:_STEM]}-{year}-"
        number = 1
        while f"{stem}{number}" in self.standing.pages:
            number += 1
        return f"{stem}{number}"

    @cached_property
    def cycle_start(self) -> datetime | None:
        """Since when what is seen counts for the next clutch: the last one believed, or a vet finding her empty."""
        starts = [entry.at for entry in self.animal.own(VetSeen) if entry.found_empty]
        starts += [at for at, _ in self.believed]
        return max(starts, default=None)

    @cached_property
    def chance_start(self) -> datetime | None:
        """Since when a mating or company is a chance of the next clutch.

        Since the last clutch believed. A vet who finds her empty ends those whose window had opened by then: of
        a mating a few days before nothing can be felt yet.
        """
        laid = [at for at, _ in self.believed]
        empty = [
            _earlier(entry.at, self.days.window_opens) for entry in self.animal.own(VetSeen) if entry.found_empty
        ]
        return max([*laid, *empty], default=None)

    def stored_since(self, now: datetime) -> EggsLaid | None:
        """The last clutch that is believed, as it was known at `now`, if another may come of it by stored sperm.

        None once a vet has found her empty in the time to the next one.
        """
        done = [(at, complete) for at, complete in self.believed if complete.known <= now and at <= now]
        if not done:
            return None
        laid = max(done, key=lambda one: one[0])[1]
        opens = _after(laid.at.date(), self.days.next_opens)
        empty = any(
            entry.found_empty and opens <= entry.at.date() <= now.date() for entry in self.animal.own(VetSeen)
        )
        return None if empty else laid

    def counts(self, entry: Entry) -> bool:
        """Whether an entry was made after the last clutch was complete."""
        return self.cycle_start is None or entry.at > self.cycle_start

    @cached_property
    def laying(self) -> Clutch | None:
        """The clutch she has begun and not completed."""
        begun = [one for one in self.clutches if not one.complete and not self.was_long_over(one)]
        latest = begun[-1] if begun else None
        if latest is None or latest.begun_at is None:
            return None
        if self.cycle_start is not None and latest.begun_at <= self.cycle_start:
            return None
        return latest

    @cached_property
    def laid_since_cycle_start(self) -> EggsLaid | None:
        """The first eggs since her last clutch that is believed, and of another laying."""
        return next((entry for entry in self.animal.laid if self.counts(entry) and not self.is_later(entry)), None)

    def is_later(self, entry: EggsLaid) -> bool:
        """Whether eggs belong to a laying that was believed before them: found later, or laid later."""
        return any(entry is one for one in self.later_eggs)

    @cached_property
    def came_later(self) -> tuple[EggsLaid, ...]:
        """Of these, those in which the count had grown: eggs that came, while she counted as freshly laid.

        The same count written again, or a smaller one, is no egg.
        """
        most = {eggs.subject: 0 for eggs in self.clutches}
        grew: list[EggsLaid] = []
        for eggs in self.clutches:
            for entry in eggs.laid:
                if entry.count > most[eggs.subject]:
                    most[eggs.subject] = entry.count
                    grew.append(entry)
        return tuple(
            entry for entry in self.later_eggs if any(entry is one for one in grew) and self._freshly_laid(entry)
        )

    def _freshly_laid(self, entry: EggsLaid) -> bool:
        return any(
            at <= entry.at and days_between(at, entry.at) <= self.days.laid_lasts for at, _ in self.believed_first
        )

    @cached_property
    def later_eggs(self) -> tuple[EggsLaid, ...]:
        """What was noted of eggs after their laying was believed, under the same clutch or another."""
        done = {complete.clutch: at for at, complete in self.believed_first}
        found: list[EggsLaid] = []
        for parts in self.layings:
            since: datetime | None = None
            for eggs in parts:
                since = min(filter(None, (since, done.get(eggs.subject))), default=None)
                found += [entry for entry in eggs.laid if since is not None and entry.at > since]
        return tuple(found)

    # Matings, company, windows

    @cached_property
    def matings_ever(self) -> tuple[Entry, ...]:
        """Every mating seen, oldest first: noted as such, or as copulation."""
        return matings_of(self.animal)

    @cached_property
    def matings(self) -> tuple[Entry, ...]:
        """Matings seen since her last clutch, oldest first: noted as such, or as copulation."""
        start = self.chance_start
        return tuple(entry for entry in self.matings_ever if start is None or entry.at > start)

    def matings_before(self, moment: datetime) -> tuple[Entry, ...]:
        """Matings seen up to a moment, oldest first: sperm of them may be stored."""
        return tuple(entry for entry in self.matings_ever if entry.at <= moment)

    @property
    def last_mating_ever(self) -> Entry | None:
        """The last mating ever noted, before her last clutch too (sperm may be stored)."""
        return self.matings_ever[-1] if self.matings_ever else None

    @cached_property
    def company(self) -> tuple[Company, ...]:
        """When she was with a male, oldest first."""
        return company_of(self.standing, self.animal, self.days.gravid_from_months)

    @cached_property
    def with_male_now(self) -> Company | None:
        """The male she is with now."""
        return next((one for one in reversed(self.company) if one.until is None), None)

    def last_with_male(self, now: datetime) -> datetime | None:
        """The last moment at which she was with a male; now, if she is."""
        return max((one.until or now for one in self.company if one.since <= now), default=None)

    def windows(self, now: datetime) -> tuple[Window, ...]:
        """The times in which she may lay since her last clutch, oldest first.

        A mating seen counts by its day. Company of a male in which none was seen counts from its first day to
        its last, for a mating takes half a minute; so does company much longer than a pairing, beyond the
        matings seen in it. After a clutch sperm may be stored. What follows within an open window belongs to it.
        """
        known = self._windows.get(now)
        if known is None:
            if len(self._windows) >= _MOMENTS:
                self._windows.clear()  # a desk left on asks each minute
            known = self._windows[now] = self._windows_at(now)
        return known

    @cached_property
    def _windows(self) -> dict[datetime, tuple[Window, ...]]:
        return {}

    def _windows_at(self, now: datetime) -> tuple[Window, ...]:
        windows: list[Window] = []
        for chance in sorted(self.chances(now), key=lambda one: (one.first, one.opens)):
            if windows and chance.first <= windows[-1].closes:
                one = windows[-1]
                windows[-1] = replace(
                    one,
                    opens=min(one.opens, chance.opens),
                    closes=max(one.closes, chance.closes),
                    first_closes=min(one.first_closes, chance.first_closes),
                    last=max(one.last, chance.last),
                    entries=tuple({entry.id: entry for entry in (*one.entries[:1], *chance.entries)}.values()),
                    why="mated" if "mated" in (one.why, chance.why) else chance.why,
                )
            else:
                windows.append(chance)
        return tuple(windows)

    def chances(self, now: datetime) -> Iterator[Window]:
        """Each chance of a clutch with the window it opens alone."""
        days, start = self.days, self.chance_start
        stored = self.stored_since(now)
        if stored is not None:
            laid = stored.at.date()
            yield _window(laid, laid, days.next_opens, days.next_closes, (stored,), "stored sperm")
        matings = [mating for mating in self.matings if mating.known <= now]
        for mating in matings:
            day = mating.at.date()
            yield _window(day, day, days.window_opens, days.window_closes, (mating,), "mated")
        alike: set[tuple[datetime, datetime | None, datetime]] = set()
        for company in self.company:
            if company.entry is None:
                # Of many males in one enclosure with her most came on one day: their windows are one.
                stretch = (company.since, company.until, company.known)
                if stretch in alike:
                    continue
                alike.add(stretch)
            until = min(company.until or now, now)
            if company.since > now or company.known > now or (start is not None and until <= start):
                continue
            first = max(company.since, start) if start is not None else company.since
            behind = (company.entry,) if company.entry is not None else ()
            seen = [one.at.date() for one in matings if first.date() <= one.at.date() <= until.date()]
            begins, ends = first.date(), until.date()
            if seen:
                if days_between(begins, min(seen)) <= days.together_days:
                    begins = min(seen)
                if days_between(max(seen), ends) <= days.together_days:
                    ends = max(seen)
            yield _window(begins, ends, days.window_opens, days.window_closes, behind, "with a male")


def _window(first: date, last: date, opens: int, closes: int, entries: tuple[Entry, ...], why: Chance) -> Window:
    ends = _after(last, closes)
    return Window(_after(first, opens), ends, ends, entries, why, first, last)


def _earlier(moment: datetime, days: int) -> datetime:
    """The moment so many days earlier, as far as the calendar goes back."""
    try:
        return moment - timedelta(days=days)
    except OverflowError:
        return moment


def _after(day: date, days: int) -> date:
    """The day so many days later, as far as the calendar goes."""
    return date.fromordinal(min(day.toordinal() + days, date.max.toordinal()))
