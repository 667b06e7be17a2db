"""Health of one animal or group, from its page: food refused, signs seen, how bright it looked, and the vet."""

from __future__ import annotations

from datetime import datetime, timedelta

import msgspec
from msgspec.structs import replace

from rounds.logbook.entries import (
    Ate,
    ConditionSeen,
    EggCheckDone,
    Entry,
    Referred,
    TreatmentEnded,
    TreatmentGiven,
    VetCalled,
    VetSeen,
)
from rounds.logbook.times import days_between
from rounds.logbook.words import DANGER_SIGNS, HEALTH_SIGNS
from rounds.standing.kept import cached_property
from rounds.standing.view import View, newest


class SignSeen(msgspec.Struct, frozen=True):
    """A sign for the vet that was seen: when first, when last, and the look after that which did not find it."""

    sign: str
    entry: Entry
    last: Entry
    gone: Entry | None = None


class OffFood(msgspec.Struct, frozen=True):
    """A time without food: what was refused, oldest first, and the food taken that ended it."""

    entries: tuple[Entry, ...]
    ended: Ate | None


class Health(View):
    """What is known of its health. What no vet has seen or heard of stays, whatever was noted after it."""

    @cached_property
    def eating(self) -> tuple[Ate, ...]:
        """How it took its food, oldest first."""
        return self.own(Ate)

    def off_food_runs(self, gap_days: int) -> tuple[OffFood, ...]:
        """Times in which it took no food, oldest first, the last one being open if it still does not.

        A refusal noted as such, or "off food" among the signs of a look, however it was entered. Any food
        taken ends a run, and so do more than `gap_days` (`health.off_food_gap_days`) without a word, for food taken
        is not always written down.
        """
        if gap_days not in self._off_food:
            self._off_food[gap_days] = self._off_food_runs(gap_days)
        return self._off_food[gap_days]

    @cached_property
    def _off_food(self) -> dict[int, tuple[OffFood, ...]]:
        return {}

    def _off_food_runs(self, gap_days: int) -> tuple[OffFood, ...]:
        noted: list[Entry] = [*self.eating]
        noted += [entry for entry in self.own(EggCheckDone) if "off food" in entry.present]
        noted += [entry for entry in self.own(ConditionSeen) if "off food" in entry.signs]
        runs: list[OffFood] = []
        run: list[Entry] = []
        # Food taken ends a run once it is written down: a late note of it must not undo what was known before.
        for entry in sorted(noted, key=lambda entry: (_ends_at(entry), entry.id)):
            if isinstance(entry, Ate) and entry.how != "refused":
                if run:
                    runs.append(OffFood(tuple(run), entry))
                    run = []
            else:
                if run and days_between(run[-1].at, entry.at) > gap_days:
                    runs.append(OffFood(tuple(run), None))
                    run = []
                run.append(entry)
        if run:
            runs.append(OffFood(tuple(run), None))
        return tuple(runs)

    def refusals(self, gap_days: int) -> tuple[Entry, ...]:
        """The unbroken run of refusals up to now, oldest first."""
        runs = self.off_food_runs(gap_days)
        return runs[-1].entries if runs and runs[-1].ended is None else ()

    @cached_property
    def with_the_vet(self) -> Referred | None:
        """The referral that is still open: no vet has seen it since, nor said by telephone that none need.

        A call closes a referral whose appointment was not made yet, or had passed by then.
        """
        referred, seen, called = self.last(Referred), self.last(VetSeen), self.last(VetCalled)
        if referred is None or (seen is not None and seen.key > referred.key):
            return None
        if called is not None and called.key > referred.key:
            on = referred.appointment
            if on is None or on < called.at.date():
                return None
        return referred

    @property
    def last_vet(self) -> VetSeen | None:
        """The last time a vet saw it."""
        return self.last(VetSeen)

    @cached_property
    def last_contact(self) -> VetSeen | VetCalled | None:
        """The last time a vet saw it, or was spoken to about it."""
        contacts = [entry for entry in (self.last(VetSeen), self.last(VetCalled)) if entry is not None]
        return max(contacts, key=lambda entry: entry.key, default=None)

    def after_contact(self, entry: Entry) -> bool:
        """Whether no vet has seen or heard of what an entry tells: it came, or was written, after the last contact.

        What was seen before a call but written down only after it was not told by telephone.
        """
        contact = self.last_contact
        return contact is None or entry.key > contact.key or entry.known > contact.known

    def under_treatment(self, now: datetime) -> VetSeen | None:
        """The vet's visit that put it under treatment, while that lasts: until its day, or until it was ended."""
        for seen in reversed(self.own(VetSeen)):
            if seen.under_treatment_until is None and not seen.treatment:
                continue
            ended = self.last(TreatmentEnded)
            if ended is not None and ended.key > seen.key:
                return None
            until = seen.under_treatment_until
            if until is None:
                later = self.last_vet
                # A later visit that says nothing of a treatment ends one that had no day.
                return seen if later is seen else None
            return seen if now.date() <= until else None
        return None

    def under_the_vet(self, now: datetime, days: int) -> Entry | None:
        """What says that it is not to be paired, sold or brumated: a treatment, or instructions without an end.

        A treatment given, or instructions without a day, count for `days`, or until it was said to have ended.
        """
        treated = self.under_treatment(now)
        if treated is not None:
            return treated
        ended = self.last(TreatmentEnded)
        grounds: list[Entry] = [
            *self.own(TreatmentGiven),
            *(seen for seen in self.own(VetSeen) if seen.instructions and seen.under_treatment_until is None),
        ]
        open_ones = [
            entry
            for entry in grounds
            if now - entry.at <= timedelta(days=days) and (ended is None or entry.key > ended.key)
        ]
        return newest(open_ones)

    @cached_property
    def look(self) -> ConditionSeen | None:
        """The last note of its condition that says how bright it was."""
        return newest(entry for entry in self.own(ConditionSeen) if entry.look)

    @cached_property
    def dull_runs(self) -> tuple[tuple[ConditionSeen, ...], ...]:
        """Runs of dull looks of which no vet has heard, oldest first. Looking bright or quiet ends a run."""
        runs: list[list[ConditionSeen]] = [[]]
        looks = sorted(self.own(ConditionSeen), key=lambda entry: (_clears_at(entry), entry.id))
        for entry in looks:
            if not entry.look or not self.after_contact(entry):
                continue
            if entry.look == "dull":
                runs[-1].append(entry)
            elif runs[-1]:
                runs.append([])
        return tuple(tuple(run) for run in runs if run)

    @cached_property
    def danger(self) -> tuple[SignSeen, ...]:
        """Signs for the vet of which no vet has seen or heard since: those of the danger list first.

        A look that did not find a sign again does not take it away: signs come and go. It stands in `gone`.
        """
        seen: dict[str, SignSeen] = {}
        looks: list[EggCheckDone | ConditionSeen] = [*self.own(EggCheckDone), *self.own(ConditionSeen)]
        for entry in sorted(looks, key=lambda entry: entry.key):
            if not self.after_contact(entry):
                continue
            present = entry.present if isinstance(entry, EggCheckDone) else entry.signs
            for sign in present:
                if sign in DANGER_SIGNS or sign in HEALTH_SIGNS:
                    first = seen[sign].entry if sign in seen else entry
                    seen[sign] = SignSeen(sign, first, entry)
            for sign in entry.absent if isinstance(entry, EggCheckDone) else ():
                if sign in seen and sign not in present:
                    seen[sign] = replace(seen[sign], gone=entry)
        return tuple(sorted(seen.values(), key=lambda one: (one.sign in HEALTH_SIGNS, one.entry.key)))

    def danger_before(self, contact: VetCalled, days: int) -> tuple[Entry, ...]:
        """Looks that found a danger sign, or a sign for the vet, in the days before a call, oldest first."""
        looks: list[EggCheckDone | ConditionSeen] = [*self.own(EggCheckDone), *self.own(ConditionSeen)]
        earlier = [entry for entry in (self.last_vet,) if entry is not None]
        return tuple(
            entry
            for entry in sorted(looks, key=lambda entry: entry.key)
            if entry.key < contact.key
            and days_between(entry.at, contact.at) <= days
            and all(entry.key > seen.key for seen in earlier)
            and (DANGER_SIGNS & set(entry.present if isinstance(entry, EggCheckDone) else entry.signs))
        )

    @property
    def danger_since(self) -> datetime | None:
        """When the first of these signs was seen; None without any."""
        return min((one.entry.at for one in self.danger), default=None)


def _ends_at(entry: Entry) -> datetime:
    """When an entry about food counts: a refusal when it was seen, food taken once it was written down."""
    return entry.known if isinstance(entry, Ate) and entry.how != "refused" else entry.at


def _clears_at(entry: ConditionSeen) -> datetime:
    """When a look counts: a dull one when it was seen, any other once it was written down."""
    return entry.at if entry.look == "dull" else entry.known
