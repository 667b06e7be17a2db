"""What was seen of one female since her last clutch, as far as it may count for eggs that stay in her."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from itertools import pairwise

from rounds.logbook.entries import ConditionSeen, EggCheckDone, Entry, FeltForEggs, VetSeen
from rounds.logbook.times import days_between, hours_between
from rounds.rules.house import House
from rounds.standing.breeding import Window
from rounds.standing.clutch import Clutch
from rounds.standing.female import Female
from rounds.standing.her_clutches import HEAVY
from rounds.standing.kept import cached_property
from rounds.standing.weighing import Weighing

#: What counts as having looked at her.
_LOOKS = (EggCheckDone, ConditionSeen, FeltForEggs, VetSeen)


class SeenOfHer:
    """One female, the house, and what was written of her up to a moment."""

    def __init__(self, her: Female, house: House, now: datetime) -> None:
        self.her = her
        self.house = house
        self.now = now
        self.one = her.animal

    def apart(self, first: Entry, last: Entry) -> bool:
        """Whether two entries are of two turns: noted over and over within one, a thing was seen once."""
        return hours_between(first.at, last.at) >= self.house.number("walk.turn_gap_hours")

    def _points(self, key: str) -> int:
        return int(self.house.number(f"evidence.{key}"))

    def _days(self, key: str) -> int:
        return self.house.days(f"evidence.{key}")

    # What there is since her last clutch

    @cached_property
    def _windows(self) -> tuple[Window, ...]:
        return self.her.windows(self.now)

    def fresh(self, entry: Entry) -> bool:
        """Whether an entry belongs to this clutch, and no vet has heard of what it says."""
        return self.her.counts(entry) and self.one.after_contact(entry)

    def _stands(self, entry: Entry) -> bool:
        """Whether eggs felt still count. A call takes nothing from what was felt on two days; a visit does.

        What the vet found counts on.
        """
        if isinstance(entry, VetSeen) or self.one.after_contact(entry):
            return True
        visit = self.one.last_vet
        felt = self.her.felt_ever
        twice = bool(felt) and felt[0].at.date() != felt[-1].at.date() and self.apart(felt[0], felt[-1])
        return twice and (visit is None or entry.key > visit.key)

    @cached_property
    def _felt(self) -> tuple[Entry, ...]:
        return tuple(entry for entry in self.her.felt_ever if self._stands(entry))

    @cached_property
    def _dug(self) -> tuple[Entry, ...]:
        return tuple(entry for entry in self.her.dug_ever if self.fresh(entry))

    @cached_property
    def _heavy(self) -> tuple[Entry, ...]:
        return tuple(entry for entry in self.one.own(ConditionSeen) if entry.body in HEAVY and self.fresh(entry))

    def _refused(self, days: int, until_last: bool = False) -> bool:
        """Whether any time without food since her last clutch came to so many days, or did by its last refusal."""
        for run in self.one.off_food_runs(self.house.days("health.off_food_gap_days")):
            last = run.entries[-1]
            ended = run.ended.known if run.ended is not None else self.now
            if self.fresh(last) and days_between(run.entries[0].at, last.at if until_last else ended) >= days:
                return True
        return False

    @cached_property
    def _gains(self) -> tuple[Weighing, ...]:
        """Weighings well above her own weight, before any eggs of this clutch, each as it stood at any moment."""
        # Her own weight is no less than the lightest figure: nearer to that there is no gain to ask for.
        lightest = min((entry.grams for entry in self.one.weights), default=0.0)
        heavy = [one for one in self.her.weighed_ever() if one.settled().grams >= lightest * (1 + self._least_gain)]
        over = [kept for one in heavy if (kept := one.only(self.fresh)) is not None and self._is_gain(kept)]
        return tuple(sorted(over, key=lambda one: one.readings[0].key))

    @cached_property
    def _least_gain(self) -> float:
        return self.house.number("eggbinding.gain_percent") / 100 - 1e-6

    def _is_gain(self, weighing: Weighing) -> bool:
        return (self.her.gain(weighing) or 0) >= self._least_gain

    def _laid_by(self, moment: datetime, since: date) -> bool:
        """Whether any eggs of hers came after that day, up to the moment; not those of the laying before."""
        return any(
            entry.known <= moment and entry.at.date() > since and not self.her.is_later(entry)
            for entry in self.one.laid
        )

    def _laid_since(self, moment: datetime, day: date) -> bool:
        """Whether any eggs of hers came on that day or after it, up to the moment."""
        return any(entry.known <= moment and entry.at.date() >= day for entry in self.one.laid)

    def _gained(self, moment: datetime) -> list[Weighing]:
        """Weighings that count as a gain, as they stood at a moment: once her window has ended one alone does.

        Else the second of two in a row: one figure alone may be a slip of the scale, or a full gut. Where readings
        differ a weighing counts as it stood before they did.
        """
        if not self._gains:
            return []
        known = self.her.weighings(moment)
        fresh = [kept for one in known if (kept := one.only(self.fresh)) is not None]
        over = [self._is_gain(one) for one in fresh]
        if self._window_over(moment):
            return [one for one, is_over in zip(fresh, over, strict=True) if is_over]
        return [
            later
            for (earlier, was), (later, now) in pairwise(zip(fresh, over, strict=True))
            if was and now and days_between(earlier.at, later.at) >= 1
        ]

    def _may_have_gained_twice(self) -> bool:
        """Whether any two can be two such weighings."""
        gains = self._gains
        return len(gains) > 1 and days_between(gains[0].at, gains[-1].at) >= 1

    def _window_over(self, moment: datetime) -> bool:
        """Whether a window of hers has ended, no eggs seen in it."""
        return any(
            window.first_closes < moment.date() and not self._laid_by(moment, window.first)
            for window in self.her.windows(moment)
        )

    def _mated_again(self, window: Window, moment: datetime) -> bool:
        """Whether a mating opened a new window after this one was over, and nothing had spoken for eggs by then.

        While the new window runs, what is seen is of the new eggs. A next clutch by stored sperm is no promise:
        one that never came does not count beside them. What was seen of her up to the mating, that day with it,
        and written by now, brings it back.
        """
        days = [entry.at.date() for entry in self.her.matings if entry.known <= moment]
        after = [day for day in days if day > window.closes]
        if not after or (moment.date() - after[0]).days > self.her.days.window_closes:
            return False
        runs = [
            entry
            for run in self.one.off_food_runs(self.house.days("health.off_food_gap_days"))
            for entry in run.entries
            if self.fresh(entry)
        ]
        looks = [entry for entry in self.one.own(ConditionSeen) if entry.look in ("quiet", "dull")]
        spoke = [*self._felt, *self._heavy, *self._dug, *runs, *filter(self.fresh, looks)]
        spoke += [one.settled().reading for one in self._gains]
        return not any(entry.at.date() <= after[0] and entry.known <= moment for entry in spoke)

    def _complete_at(self, moment: datetime) -> Clutch | None:
        """The last clutch that had been said to be complete by then."""
        done = [
            (eggs.complete.key, eggs)
            for eggs in self.her.clutches
            if eggs.complete is not None and eggs.complete.known <= moment
        ]
        return max(done, key=lambda one: one[0])[1] if done else None

    def _digs_after(self, moment: datetime) -> list[Entry]:
        """Digging after a clutch that was said to be complete, once the closing of the nest is over."""
        eggs, days = self._complete_at(moment), self.her.days
        done = eggs.complete if eggs is not None else None
        if done is None or days_between(done.at, moment) > days.gravid_days:
            return []
        laid = max([done.at, *(one.at for one in self.her.later_eggs if one.known <= moment)])
        return [
            entry
            for entry in self.her.dug_noted
            if entry.at > laid + timedelta(hours=days.closing_hours)
            and entry.known <= moment
            and days_between(done.at, entry.at) <= days.laid_lasts
            and self.one.after_contact(done)
        ]

    @cached_property
    def looked(self) -> tuple[Entry, ...]:
        """Every time somebody looked at her, oldest first."""
        found: list[Entry] = [entry for kind in _LOOKS for entry in self.one.own(kind)]
        return tuple(sorted(found, key=lambda entry: entry.key))
