"""A female's clutches by laying: how many eggs are believed to be all, and which clutches are believed."""

from __future__ import annotations

from datetime import datetime
from typing import Final

from rounds.logbook.entries import ConditionSeen, EggsLaid, Entry, VetCalled, VetSeen
from rounds.logbook.times import days_between, hours_between
from rounds.standing.animal import Animal, animal
from rounds.standing.breeding import Days
from rounds.standing.clutch import Clutch, clutches_of
from rounds.standing.fold import Standing
from rounds.standing.kept import cached_property
from rounds.standing.laying import layings_of, said_again

#: Body words that say that she may be full of eggs.
HEAVY: Final = frozenset({"heavy", "very heavy"})


class Layings:
    """One female's clutches, under the days of the house."""

    def __init__(self, standing: Standing, subject: str, days: Days) -> None:
        self.standing = standing
        self.subject = subject
        self.days = days
        self.animal: Animal = animal(standing, subject)

    @cached_property
    def clutches(self) -> tuple[Clutch, ...]:
        """Her clutches, oldest first."""
        return clutches_of(self.standing, self.animal)

    @cached_property
    def layings(self) -> tuple[tuple[Clutch, ...], ...]:
        """Her clutches by laying: one begun while she counts as freshly laid belongs to the one before it."""
        days = self.days
        within = min(days.laid_lasts, days.next_opens - 1)
        empty = [entry.at for entry in self.animal.own(VetSeen) if entry.found_empty]
        return layings_of(self.clutches, within, days.least_eggs, days.vet_hours, empty)

    def laying_with(self, eggs: Clutch) -> tuple[Clutch, ...]:
        """The clutches of one laying up to this one, which is the last of them."""
        for parts in self.layings:
            if eggs in parts:
                return parts[: parts.index(eggs) + 1]
        return (eggs,)

    def laid_in_all(self, eggs: Clutch, moment: datetime | None = None) -> int:
        """Eggs of its laying up to this clutch, as last counted; up to a moment, as counted by then."""
        return sum(one.count if moment is None else one.count_at(moment) for one in self.laying_with(eggs))

    def came_late(self, eggs: Clutch, hours: float) -> EggsLaid | None:
        """The last eggs of a laying, when she was said to be done and none had come for so many hours before."""
        parts = self.laying_with(eggs)
        least, counts = self.least_count(eggs), dict[str, int]()
        before: EggsLaid | None = None
        done, late = False, None
        for entry in sorted((entry for one in parts for entry in one.laid), key=lambda entry: entry.key):
            if entry.count > counts.get(entry.clutch, 0):
                waited = before is not None and hours_between(before.at, entry.at) > hours
                late = entry if done and (waited or late is not None) else None
                counts[entry.clutch], before = entry.count, entry
            done = done or (entry.complete and sum(counts.values()) >= least)
        return late

    def laid_after(self, eggs: Clutch, felt: Entry) -> bool:
        """Whether eggs enough for a clutch came after eggs were felt, and she was said to be done then."""
        parts = self.laying_with(eggs)
        said = any(entry.complete and entry.at >= felt.at for one in parts for entry in one.laid)
        return said and sum(one.most - one.most_at(felt.at) for one in parts) >= self.least_count(eggs)

    def was_long_over(self, eggs: Clutch) -> bool:
        """Whether no one wrote of a clutch before its time was over: it says nothing of what is in her now."""
        last = eggs.last_egg
        known = min((entry.known for entry in eggs.laid), default=None)
        return last is not None and known is not None and days_between(last.at, known) > self.days.gravid_days

    @cached_property
    def last_complete(self) -> Clutch | None:
        """Her last clutch that was said to be complete."""
        done = [one for one in self.clutches if one.complete]
        return max(done, key=lambda one: one.complete.key if one.complete else (), default=None)

    @property
    def laid_at(self) -> datetime | None:
        """When her last clutch was said to be complete."""
        last = self.last_complete
        return last.complete.at if last and last.complete else None

    def usual_count(self, besides: Clutch | None = None) -> float | None:
        """The mean size of her complete clutches before this one, each with all of its laying; None without any.

        One under the least that is usual at all says nothing of her, unless a vet has heard of it.
        """
        before = self.laying_with(besides)[0].begun_at if besides is not None else None
        counts: list[int] = []
        for parts in self.layings:
            begun, done = parts[0].begun_at, [one for one in parts if one.complete]
            if before is not None and begun is not None and begun >= before:
                continue
            count = sum(one.most for one in done)
            if done and (count >= self.days.least_eggs or any(map(self._was_heard_of, done))):
                counts.append(count)
        return sum(counts) / len(counts) if counts else None

    def least_count(self, eggs: Clutch) -> float:
        """So many eggs are believed to be all of a clutch: by her usual, or by the least that is usual at all."""
        usual = self.usual_count(eggs)
        return self.days.least_eggs if usual is None else usual * (1 - self.days.short_percent / 100)

    def is_short(self, eggs: Clutch) -> bool:
        """Whether a clutch, with its laying, is far under her usual (without one: the least that is usual)."""
        return self.laid_in_all(eggs) < self.least_count(eggs)

    def is_few(self, eggs: Clutch) -> bool:
        """The same of the eggs under this name alone: so many answer nothing that was seen before them."""
        return eggs.count < self.least_count(eggs)

    def believed_eggs(self, eggs: Clutch) -> EggsLaid | None:
        """The first count of a clutch that is enough to be believed, said to be complete or not."""
        least = self.least_count(eggs)
        return next((entry for entry in eggs.laid if entry.count >= least), None)

    @cached_property
    def believed(self) -> tuple[tuple[datetime, EggsLaid], ...]:
        """Her clutches that are believed: when each came to be, and the entry that said she was done."""
        return (*self.believed_first, *((again.at, again) for again in self.said_again))

    @cached_property
    def said_again(self) -> tuple[EggsLaid, ...]:
        """Where she was said to be done too soon and laying went on within hours: the last word on it, for each.

        Eggs felt between the two are laid. Not where she was seen quiet, dull or heavy, or with a sign, between.
        """
        found: list[EggsLaid] = []
        for _, complete in self.believed_first:
            parts = next(one for one in self.layings if any(complete.clutch == eggs.subject for eggs in one))
            again = said_again(parts, complete, self.days.call_hours)
            if again is not None and not self._looked_ill(complete.at, again.known):
                found.append(again)
        return tuple(found)

    def _looked_ill(self, since: datetime, until: datetime) -> bool:
        return any(
            since <= seen.at <= until and (seen.look in ("quiet", "dull") or seen.body in HEAVY or seen.signs)
            for seen in self.animal.own(ConditionSeen)
        )

    @cached_property
    def believed_first(self) -> tuple[tuple[datetime, EggsLaid], ...]:
        """The same by the first word on each."""
        return tuple(
            (at, eggs.complete)
            for eggs in self.clutches
            if eggs.complete is not None and (at := self._believed_at(eggs)) is not None
        )

    def _believed_at(self, eggs: Clutch) -> datetime | None:
        """When a clutch was believed to be complete: said so, with eggs enough, or heard of by a vet since.

        Eggs that a vet finds in her, and a clutch begun before the vet heard, are of the next.
        """
        if eggs.complete is None:
            return None
        if not self.is_few(eggs):
            enough = self.believed_eggs(eggs) or eggs.complete
            return max(eggs.complete.at, enough.at)
        done = eggs.complete.at
        heard = next((entry for entry in self._contacts if entry.at >= done), None)
        if heard is None:
            return None
        begun = any(done < one.begun_at <= heard.at for one in self.clutches if one.begun_at is not None)
        gravid = isinstance(heard, VetSeen) and heard.found_gravid
        return done if begun or gravid else heard.at

    def _was_heard_of(self, eggs: Clutch) -> bool:
        """Whether a vet saw her, or was spoken to, since a clutch was said to be complete."""
        done = eggs.complete
        return (
            bool(eggs.count)
            and done is not None
            and any(
                entry.at >= done.at and not (isinstance(entry, VetSeen) and entry.found_gravid)
                for entry in self._contacts
            )
        )

    @cached_property
    def _contacts(self) -> tuple[Entry, ...]:
        """Every time a vet saw her or was spoken to about her, oldest first."""
        found: list[Entry] = [*self.animal.own(VetSeen), *self.animal.own(VetCalled)]
        return tuple(sorted(found, key=lambda entry: entry.key))
