"""A female's breeding year: what was seen since her last clutch, and the phase that makes.

Numbers that judge (how long a mating counts, when nesting starts anew) are arguments: the house rules
have them, with their sources. The flow is mated → gravid → nesting → in lay box → laying → laid, and
what counts for one clutch starts after the last one was complete, or after a vet found her empty.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from functools import cached_property
from statistics import mean, median

from rounds.logbook.entries import (
    Arrived,
    BehaviourSeen,
    ConditionSeen,
    Died,
    EggCheckDone,
    EggsLaid,
    Entry,
    FeltForEggs,
    LayBoxIn,
    LayBoxOut,
    Left,
    MatingSeen,
    Moved,
    Parted,
    PutTogether,
    VetSeen,
    Weighed,
)
from rounds.logbook.times import days_between, hours_between
from rounds.logbook.words import NESTING_BEHAVIOURS
from rounds.standing.animal import Animal, animal
from rounds.standing.breeding import Company, Days, Digging, Phase
from rounds.standing.clutch import Clutch, clutch
from rounds.standing.enclosure import enclosure
from rounds.standing.fold import Standing


class Female:
    """One female as she stands. Get her with `female(standing, subject)`; meaningless for a male."""

    def __init__(self, standing: Standing, subject: str) -> None:
        self.standing = standing
        self.subject = subject
        self.animal: Animal = animal(standing, subject)

    @cached_property
    def clutches(self) -> tuple[Clutch, ...]:
        """Her clutches, oldest first."""
        seen: dict[str, None] = {}
        for entry in self.animal.laid:
            seen.setdefault(entry.clutch)
        return tuple(clutch(self.standing, subject) for subject in seen)

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

    @property
    def last_count_at(self) -> EggsLaid | None:
        """Her newest entry of eggs laid."""
        return self.animal.laid[-1] if self.animal.laid else None

    @cached_property
    def laying(self) -> Clutch | None:
        """The clutch she has begun and not completed."""
        begun = [one for one in self.clutches if not one.complete]
        latest = begun[-1] if begun else None
        if latest is None or latest.begun_at is None:
            return None
        if self.cycle_start is not None and latest.begun_at <= self.cycle_start:
            return None
        return latest

    def usual_count(self) -> float | None:
        """The mean size of her complete clutches, this one not among them; None without any."""
        counts = [one.count for one in self.clutches if one.complete and one.count]
        return mean(counts) if counts else None

    @cached_property
    def cycle_start(self) -> datetime | None:
        """Since when what is seen counts for the next clutch: her last complete one, or a vet finding her empty."""
        starts = [entry.at for entry in self.animal.own(VetSeen) if entry.carrying is False]
        if self.laid_at is not None:
            starts.append(self.laid_at)
        return max(starts, default=None)

    def counts(self, entry: Entry) -> bool:
        """Whether an entry was made after the last clutch was complete."""
        return self.cycle_start is None or entry.at > self.cycle_start

    @cached_property
    def _matings_ever(self) -> tuple[Entry, ...]:
        found: list[Entry] = [*self.animal.own(MatingSeen)]
        found += [entry for entry in self.animal.own(BehaviourSeen) if entry.behaviour == "copulation"]
        return tuple(sorted(found, key=lambda entry: entry.key))

    @cached_property
    def matings(self) -> tuple[Entry, ...]:
        """Matings seen since her last clutch, oldest first: noted as such, or as copulation."""
        return tuple(entry for entry in self._matings_ever if self.counts(entry))

    @property
    def last_mating_ever(self) -> Entry | None:
        """The last mating ever noted, before her last clutch too (sperm may be stored)."""
        return self._matings_ever[-1] if self._matings_ever else None

    @cached_property
    def company(self) -> tuple[Company, ...]:
        """When she was with a male: put together and not parted, or living in one enclosure. Oldest first."""
        times: list[Company] = []
        ends = self.animal.own(Parted)
        for put in self.animal.own(PutTogether):
            parted = next((end.at for end in ends if end.key > put.key and end.mate in (None, put.mate)), None)
            apart = self._went_apart(put)
            until = min((end for end in (parted, apart) if end is not None), default=None)
            times.append(Company(put.mate, put.at, until, put))
        for stay in self.animal.stays:
            for other in self._lived_in(stay.enclosure):
                if other == self.subject or animal(self.standing, other).sex != "M":
                    continue
                for his in animal(self.standing, other).stays:
                    if his.enclosure != stay.enclosure:
                        continue
                    since = max(stay.since, his.since)
                    finished = [end for end in (stay.until, his.until) if end is not None]
                    until = min(finished, default=None)
                    if until is None or since < until:
                        times.append(Company(other, since, until, None))
        return tuple(sorted(times, key=lambda one: (one.since, one.mate or "")))

    def _went_apart(self, put: PutTogether) -> datetime | None:
        """When one of a pair was moved away from the other, or left, though nobody wrote that they were parted."""
        his = animal(self.standing, put.mate)
        moves = [
            entry.at
            for one in (self.animal, his)
            for entry in (*one.own(Moved), *one.own(Left), *one.own(Died))
            if entry.key > put.key
        ]
        for moment in sorted(moves):
            hers, where = _place_at(self.animal, moment), _place_at(his, moment)
            if hers is None or where is None or hers != where:
                return moment
        return None

    def _lived_in(self, place: str) -> set[str]:
        """Animals that live, or came to live, in an enclosure, as far back as its page goes."""
        page = self.standing.page(place)
        came = {entry.about for entry in (*page.of(Arrived), *page.of(Moved))}
        came.update(self.standing.living_in(place))
        return {who for who in came if who.startswith("animal/")}

    @cached_property
    def with_male_now(self) -> Company | None:
        """The male she is with now."""
        return next((one for one in reversed(self.company) if one.until is None), None)

    def last_with_male(self, now: datetime) -> datetime | None:
        """The last moment at which she was with a male; now, if she is."""
        return max((one.until or now for one in self.company if one.since <= now), default=None)

    def digging(self, gap_days: int, now: datetime | None = None, closing_hours: float = 24) -> Digging | None:
        """The present run of nest digging; a pause longer than `gap_days` starts a new one.

        Known to be hers: noted of her, or found at an egg check. A vet's visit ends the run. Scratching
        within `closing_hours` after her clutch was complete closes the nest and is none (common practice,
        no source). With `now`, a run whose last digging lies more than `gap_days` back is over.
        """
        run = self.digging_ever(gap_days, closing_hours)
        if run is None or (now is not None and days_between(run.last, now) > gap_days):
            return None
        return run

    def digging_ever(self, gap_days: int, closing_hours: float = 24) -> Digging | None:
        """The last run of nest digging of this cycle, however long ago it was."""
        found: list[Entry] = [
            entry
            for entry in self.animal.own(BehaviourSeen)
            if entry.behaviour in NESTING_BEHAVIOURS and self.counts(entry)
        ]
        found += [
            entry for entry in self.animal.own(EggCheckDone) if "digging" in entry.present and self.counts(entry)
        ]
        seen, laid = self.animal.last_vet, self.laid_at
        run: list[Entry] = []
        for entry in sorted(found, key=lambda entry: entry.key):
            if seen is not None and entry.key <= seen.key:
                continue
            if laid is not None and hours_between(laid, entry.at) <= closing_hours:
                continue
            if run and days_between(run[-1].at, entry.at) > gap_days:
                run.clear()
            run.append(entry)
        return Digging(tuple(run)) if run else None

    @cached_property
    def felt(self) -> Entry | None:
        """The entry that says eggs were felt in her, unless none were felt after it."""
        looks: list[Entry] = [entry for entry in self.animal.own(FeltForEggs) if self.counts(entry)]
        looks += [
            entry for entry in self.animal.own(EggCheckDone) if "eggs felt" in (*entry.present, *entry.absent)
        ]
        latest: Entry | None = None
        for entry in sorted(looks, key=lambda entry: entry.key):
            if not self.counts(entry) or (isinstance(entry, FeltForEggs) and entry.found == "unsure"):
                continue
            full = entry.found == "eggs" if isinstance(entry, FeltForEggs) else _says(entry, "eggs felt")
            latest = entry if full else None
        return latest

    @cached_property
    def heavy(self) -> Entry | None:
        """The last note of her body, when it says heavy."""
        notes = [entry for entry in self.animal.own(ConditionSeen) if entry.body and self.counts(entry)]
        return notes[-1] if notes and notes[-1].body == "heavy" else None

    @cached_property
    def lay_box(self) -> LayBoxIn | None:
        """The lay box she has: given to her, standing in her enclosure, or she lives in one."""
        put, out = self.animal.last(LayBoxIn), self.animal.last(LayBoxOut)
        if put is not None and (out is None or out.key < put.key) and self._box_of_this_cycle(put):
            return put
        return enclosure(self.standing, self.animal.place).lay_box if self.animal.place else None

    def _box_of_this_cycle(self, put: LayBoxIn) -> bool:
        """A box put in before she laid served that clutch; until taken out it still stands with her.

        Not so when she was moved since: a box set into her old tub stayed there.
        """
        if self.animal.place is None:
            return True
        moved = self.animal.stays[-1] if self.animal.stays else None
        return put.box == self.animal.place or (moved is not None and moved.since <= put.at)

    @property
    def lives_in_lay_box(self) -> bool:
        """Whether the enclosure she lives in is itself a lay box."""
        return self.animal.place is not None and enclosure(self.standing, self.animal.place).what == "lay box"

    @property
    def has_lay_box(self) -> bool:
        """Whether she can reach a place to lay."""
        return self.lay_box is not None or self.lives_in_lay_box

    @property
    def last_egg_check(self) -> EggCheckDone | None:
        """The last egg check."""
        return self.animal.last(EggCheckDone)

    def can_carry(self, now: datetime, within_days: int, next_clutch_days: int) -> tuple[Entry, ...] | None:
        """Why she can be carrying: the entries that say so, or None when nothing does.

        Mated, or with a male, in the last `within_days`; or a clutch not more than `next_clutch_days`
        ago (stored sperm); or eggs felt; or a clutch begun.
        """
        if self.laying is not None:
            return self.laying.laid
        if self.felt is not None:
            return (self.felt,)
        recent = [entry for entry in self.matings if days_between(entry.at, now) <= within_days]
        if recent:
            return (recent[-1],)
        last = self.last_complete
        if last is not None and last.complete is not None:
            at = last.complete.at
            if self.cycle_start == at and days_between(at, now) <= next_clutch_days:
                return (last.complete,)
        for company in reversed(self.company):
            end = company.until or now
            if days_between(end, now) <= within_days and (self.cycle_start is None or end > self.cycle_start):
                return (company.entry,) if company.entry else ()
        return None

    def phase(self, now: datetime, days: Days) -> Phase:
        """Her place in the breeding year at `now`."""
        if self.laying is not None:
            return "laying"
        digs = self.digging(days.nesting_gap, now, days.closing_hours)
        if self.has_lay_box and (digs or self.felt or self.heavy or self._mated(now, days)):
            return "in lay box"
        if digs:
            return "nesting"
        if self.felt or (self.heavy and (self._mated(now, days) or self.company)):
            return "gravid"
        if self._mated(now, days):
            return "mated"
        if self.laid_at is not None and days_between(self.laid_at, now) <= days.laid_lasts:
            return "laid"
        return "with male" if self.with_male_now else "resting"

    def _mated(self, now: datetime, days: Days) -> bool:
        # A mating counts until she has laid or been found empty; past the window it matters most.
        return any(days_between(entry.at, now) <= 2 * days.window_closes for entry in self.matings)

    def weight_before_carrying(self) -> float | None:
        """Her own weight in g before this cycle's first mating: the median of the last three before it."""
        start = self.matings[0].at if self.matings else None
        return _median_before(self.animal.weights, start) if start else None

    def weight_before_last_clutch(self, carries_at_most: int | None = None) -> float | None:
        """Her own weight in g before the mating that led to her last complete clutch.

        When no mating was noted: before the day that lies `carries_at_most` days before the first egg.
        """
        last = self.last_complete
        if last is None or last.begun_at is None:
            return None
        begun = last.begun_at
        earlier = [one.complete.at for one in self.clutches if one.complete and one.complete.at < begun]
        since = max(earlier, default=None)
        matings = [
            entry.at for entry in self._matings_ever if entry.at < begun and (since is None or entry.at > since)
        ]
        if matings:
            return _median_before(self.animal.weights, min(matings))
        if carries_at_most is None:
            return None
        return _median_before(self.animal.weights, begun - timedelta(days=carries_at_most))

    def weights_after_laying(self) -> tuple[Weighed, ...]:
        """Weighings after her last clutch was complete, oldest first."""
        laid = self.laid_at
        return tuple(entry for entry in self.animal.weights if laid is not None and entry.at >= laid)


def _says(entry: Entry, sign: str) -> bool:
    return isinstance(entry, EggCheckDone) and sign in entry.present


def _place_at(one: Animal, moment: datetime) -> str | None:
    return next((stay.enclosure for stay in one.stays if stay.covers(moment)), None)


def _median_before(weights: tuple[Weighed, ...], moment: datetime) -> float | None:
    before = [entry.grams for entry in weights if entry.at <= moment]
    return median(before[-3:]) if before else None


def female(standing: Standing, subject: str) -> Female:
    """The female as she stands; worked out once for a standing."""
    found = standing.views.get(("female", subject))
    if found is None:
        found = standing.views[("female", subject)] = Female(standing, subject)
    assert isinstance(found, Female)
    return found


def females_here(standing: Standing) -> list[Female]:
    """All females that are in the colony now, by id."""
    return [
        female(standing, subject)
        for subject in standing.subjects("animal")
        if (one := animal(standing, subject)).here and one.sex == "F"
    ]
