"""How far a female's weight lies above her own: what she weighed before she can have been gravid."""

from __future__ import annotations

from datetime import datetime, timedelta
from itertools import islice

from rounds.logbook.times import days_between
from rounds.standing.clutch import Clutch
from rounds.standing.cycle import Cycle
from rounds.standing.kept import cached_property
from rounds.standing.slopes import median
from rounds.standing.weighing import Weighing, sure_ones
from rounds.standing.weighings import changed_by, weighings, weighings_ever, weighings_known


class OwnWeight(Cycle):
    """A female's weights by weighings. Where readings of one disagree it counts as it stood before they did."""

    def gain(self, weighing: Weighing) -> float | None:
        """By what part a weighing lies above her own weight, by what was written when it was (0.1 for 10 %).

        What is written after it changes nothing in it. None without her own weight, and for one before her first
        chance of this clutch or after its first eggs.
        """
        key = tuple(entry.id for entry in weighing.readings)
        if key not in self._gains:
            self._gains[key] = self._gain_of(weighing.settled())
        return self._gains[key]

    @cached_property
    def _gains(self) -> dict[tuple[str, ...], float | None]:
        return {}

    def _gain_of(self, weighing: Weighing) -> float | None:
        begun = self.laid_since_cycle_start
        if not any(map(self.counts, weighing.readings)) or (begun is not None and weighing.at >= begun.at):
            return None
        first = min((window.first for window in self.windows(weighing.known)), default=None)
        if first is not None and weighing.at.date() <= first:
            return None
        own = self.own_weight(weighing.at, weighing.known)
        return None if own is None else weighing.grams / own - 1

    def weighings(self, known: datetime | None = None) -> tuple[Weighing, ...]:
        """Her weighings, oldest first; with `known` by what was written up to then."""
        if known is None:
            return weighings(self.animal, self.days.weighing)
        return weighings_known(self.animal, self.days.weighing, known)

    def weighed_ever(self) -> tuple[Weighing, ...]:
        """Her weighings, each as it stood at any moment, in no order."""
        return weighings_ever(self.animal, self.days.weighing)

    def _sure(self, known: datetime | None) -> tuple[Weighing, ...]:
        """Her weighings of which the readings agree; when there are none, the others as they stood before."""
        every = self.weighings(known)
        # Of one reading each, they all agree.
        return sure_ones(every) if changed_by(self.animal, self.days.weighing) else every

    def own_weight(self, now: datetime, known: datetime | None = None) -> float | None:
        """Her own weight in g before she can have been gravid this time; None when none was noted.

        The median of the last three weighings up to the first mating or day with a male; after a clutch, of the
        first three after it; of one never with a male, of the last three that are four weeks old or older, unless
        she is known to be growing still. With `known` by what was written up to then.
        """
        weights, start = self._sure(known), self.cycle_start
        chances = [window for window in self.windows(known or now) if window.why != "stored sperm"]
        if chances:
            first = chances[0].first
            before = list(islice((entry.grams for entry in reversed(weights) if entry.at.date() <= first), 3))
            if before:
                return median(before)
        last = self.laying_with(self.last_complete) if self.last_complete is not None else ()
        if start is not None and any(entry.at == start for one in last for entry in one.laid):
            after = [
                entry.grams
                for entry in weights
                if start < entry.ended and entry.at - start <= timedelta(days=self.days.next_opens)
            ]
            # She regains what laying took: only above her weight before it is it a gain.
            own = self.weight_before_last_clutch()
            return max(median(after[:3]), own or 0) if after else own
        months = self.animal.age_months(now)
        if chances or (months is not None and months < self.days.grown_months):
            return None
        day = now.date().toordinal() - 28
        old = [entry.grams for entry in weights if entry.at.date().toordinal() <= day]
        if not old or (months is None and median(old) < self.days.grown_grams):
            return None
        # She regains what brumation took: the lower figures of a time are not her own weight.
        return max(median(old[-3:]), median(old))

    def weight_before_last_clutch(self) -> float | None:
        """Her own weight in g before the mating, or the company, that led to her last complete clutch.

        When none was noted: before the day that lies the longest window before the first egg.
        """
        return self.weight_before(self.last_complete) if self.last_complete is not None else None

    def weight_before(self, eggs: Clutch) -> float | None:
        """The same of any clutch of hers, of its laying; never above what she weighed with no clutch in her."""
        if eggs not in self._before:
            parts = self.laying_with(eggs)
            # Weighed between a few eggs and the clutch only, that counts: none was noted before the first.
            found = (before for one in parts if (before := self._weight_before(one)) is not None)
            self._before[eggs] = next(found, None)
        return self._before[eggs]

    @cached_property
    def _before(self) -> dict[Clutch, float | None]:
        return {}

    def _weight_before(self, eggs: Clutch) -> float | None:
        found, empty = self._weight_near(eggs), self.weight_without_eggs(eggs)
        return found if empty is None else empty if found is None else min(found, empty)

    def weight_without_eggs(self, eggs: Clutch) -> float | None:
        """Her weight in g before a clutch of hers, by the last three weighings in which no clutch was in her.

        A clutch may be in her from its first mating or company on, else from the clutch before, else for the
        longest window before its first egg. None where no weighing from before it was without one.
        """
        if eggs.begun_at is None:
            return None
        known = self._sure(eggs.laid[0].known) or self._sure(None)
        with_eggs = [
            (self._may_carry_since(one), one.complete.at if one.complete else one.laid[-1].at)
            for one in self.clutches
            if one.begun_at is not None and one.begun_at <= eggs.begun_at
        ]
        empty = [
            one
            for one in known
            if one.at <= eggs.begun_at and not any(since < one.at <= done for since, done in with_eggs)
        ]
        return median([one.grams for one in empty[-3:]]) if empty else None

    def _may_carry_since(self, eggs: Clutch) -> datetime:
        """From when on this clutch may have been in her."""
        begun = eggs.laid[0].at
        since, chances = self._chances_before(begun)
        if chances:
            return min(chances)
        if since is not None and days_between(since, begun) <= self.days.window_closes:
            return since
        try:
            return begun - timedelta(days=self.days.window_closes)
        except OverflowError:
            return begun

    def _chances_before(self, begun: datetime) -> tuple[datetime | None, list[datetime]]:
        """When the clutch before this one was complete; each mating since, else each beginning of company."""
        earlier = [one.complete.at for one in self.clutches if one.complete and one.complete.at < begun]
        since = max(earlier, default=None)
        chances = [
            entry.at for entry in self.matings_ever if entry.at < begun and (since is None or entry.at > since)
        ]
        if not chances:
            chances = [
                max(one.since, since) if since is not None else one.since
                for one in self.company
                if one.since < begun and (since is None or (one.until or begun) > since)
            ]
        return since, chances

    def _weight_near(self, eggs: Clutch) -> float | None:
        if eggs.begun_at is None:
            return None
        begun = eggs.begun_at
        # A weight written down once she had laid does not change what her own weight was taken for.
        weights = self._sure(eggs.laid[0].known) or self._sure(None)
        since, chances = self._chances_before(begun)
        if chances:
            return _median_before(weights, min(chances))
        if since is not None and days_between(since, begun) <= self.days.window_closes:
            # By stored sperm: what she weighed once the clutch before was laid.
            after = [entry.grams for entry in weights if since < entry.ended and entry.at < begun][:3]
            return median(after) if after else None
        longest = self.days.window_closes
        far = tuple(entry for entry in weights if days_between(entry.at, begun) >= longest)
        return _median_before(far, begun)


def _median_before(weights: tuple[Weighing, ...], moment: datetime) -> float | None:
    before = [entry.grams for entry in weights if entry.at <= moment]
    return median(before[-3:]) if before else None
