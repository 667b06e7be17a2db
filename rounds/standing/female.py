"""A female's breeding year: what was seen since her last clutch, and the phase that makes.

Numbers that judge come in `Days`: the house rules have them, with their sources. The flow is mated → gravid →
nesting → in lay box → laying → laid, and what counts for one clutch starts after the last one was complete and
believed, or after a vet found her empty. A clutch far under her usual is not believed until a vet has heard of it.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from rounds.logbook.entries import (
    ConditionSeen,
    EggCheckDone,
    Entry,
    FeltForEggs,
    LayBoxIn,
    LayBoxOut,
    VetSeen,
)
from rounds.logbook.times import days_between, hours_between
from rounds.standing.animal import animal
from rounds.standing.breeding import Days, Digging, Phase
from rounds.standing.digging import dug_in, noted_of
from rounds.standing.enclosure import enclosure
from rounds.standing.fold import Standing
from rounds.standing.her_clutches import HEAVY
from rounds.standing.kept import cached_property
from rounds.standing.laying import slugs_only
from rounds.standing.own_weight import OwnWeight


class Female(OwnWeight):
    """One female as she stands. Get her with `female(standing, subject, days)`; meaningless for a male."""

    # What is seen of her

    @cached_property
    def dug_noted(self) -> tuple[Entry, ...]:
        """All digging known to be hers, of this cycle or before, oldest first.

        Noted of her, or of her tub when it can only have been hers.
        """
        found: list[Entry] = list(noted_of(self.animal))
        for place in dict.fromkeys(stay.enclosure for stay in self.animal.stays):
            for dug in dug_in(self.standing, place, self.days):
                if dug.whose == self.subject and any(
                    stay.enclosure == place and stay.covers(dug.entry.at) for stay in self.animal.stays
                ):
                    found.append(dug.entry)
        return tuple(sorted(found, key=lambda entry: entry.key))

    @cached_property
    def dug_ever(self) -> tuple[Entry, ...]:
        """Digging of this cycle known to be hers, oldest first.

        Scratching within the closing hours after a clutch that is believed, or after eggs found later that were
        written before it, closes the nest and is none (common practice, no source).
        """
        closed = self.cycle_start
        return tuple(
            entry
            for entry in self.dug_noted
            if self.counts(entry)
            and (closed is None or self._vet_found_empty_at(closed) or not self._closes_nest(closed, entry))
            and not any(
                eggs.at <= entry.at and eggs.known <= entry.known and self._closes_nest(eggs.at, entry)
                for eggs in self.came_later
            )
        )

    def _vet_found_empty_at(self, moment: datetime) -> bool:
        return any(seen.at == moment and seen.found_empty for seen in self.animal.own(VetSeen))

    def _closes_nest(self, laid: datetime, entry: Entry) -> bool:
        return hours_between(laid, entry.at) <= self.days.closing_hours

    def digging(self, now: datetime) -> Digging | None:
        """Her run of nest digging of which no vet has heard, from its first day on; None once it is over.

        Pauses belong to it. It is over after a pause longer than the gap, or once the rest of the eggs came,
        unless its days had come to the vet's.
        """
        run: list[Entry] = []
        for entry in self.dug_ever:
            if run and (
                self._is_over(run, entry.at, now)
                or self._was_heard_between(run[-1], entry)
                or self._laid_the_rest(run, entry.at, now)
            ):
                run.clear()
            run.append(entry)
        if not run or not self.animal.after_contact(run[-1]):
            return None
        if self._is_over(run, now, now) or self._laid_the_rest(run, now, now):
            return None
        return Digging(tuple(run))

    def _was_heard_between(self, earlier: Entry, later: Entry) -> bool:
        """Whether a vet heard of the earlier digging, and the pause to the later one is longer than the gap."""
        heard = not self.animal.after_contact(earlier) and self.animal.after_contact(later)
        return heard and days_between(earlier.at, later.at) > self.days.nesting_gap

    def _laid_the_rest(self, run: list[Entry], until: datetime, now: datetime) -> bool:
        """Whether the rest of a laying came after the digging: it was said to be complete, and is said so again."""
        done = {eggs.subject: eggs.complete for eggs in self.clutches if eggs.complete is not None}
        return any(
            run[-1].at <= eggs.at <= until
            and eggs.clutch in done
            and done[eggs.clutch].at <= eggs.at
            and not self.digs_for_vet(Digging(tuple(run)), eggs.known, now)
            for eggs in self.came_later
        )

    def _is_over(self, run: list[Entry], at: datetime, now: datetime) -> bool:
        gap = self.days.nesting_gap
        if days_between(run[-1].at, at) <= gap:
            return False
        if days_between(run[-1].at, min(entry.known for entry in run)) > gap:
            return True  # it was over before anybody wrote it down
        return not self.digs_for_vet(Digging(tuple(run)), run[-1].at + timedelta(days=gap), now)

    def digs_for_vet(self, digs: Digging, at: datetime, now: datetime) -> bool:
        """Whether the days of a run have come past the vet's day.

        Digging of one day alone counts only while something else speaks for eggs: a window that is or was open,
        eggs felt, a heavy body. Past the gap, nothing having spoken, it is over.
        """
        if digs.day(at) <= self.days.dig_vet_day:
            return False
        # Digging noted a minute before midnight and a minute after it was seen once.
        if digs.since.date() != digs.last.date() and hours_between(digs.since, digs.last) >= self.days.turn_hours:
            return True
        by = min(at.date(), digs.last.date() + timedelta(days=self.days.nesting_gap))
        spoke = [window.opens for window in self.windows(now)]
        spoke += [entry.known.date() for entry in self.felt_ever]
        spoke += [
            entry.known.date()
            for entry in self.animal.own(ConditionSeen)
            if entry.body in HEAVY and self.counts(entry)
        ]
        return any(day <= by for day in spoke)

    def digs_now(self, now: datetime, within_days: int) -> bool:
        """Whether digging of hers was seen lately, so that she is left alone."""
        dug = self.dug_ever
        return bool(dug) and days_between(dug[-1].at, now) <= within_days

    @cached_property
    def felt(self) -> Entry | None:
        """The last entry of this cycle that says eggs were felt in her, however it was entered.

        That none were felt later takes nothing away: feeling is for practised hands, and other masses feel like
        eggs (dvm360, Preovulatory stasis and dystocia in oviparous lizards).
        """
        return max(self.felt_ever, key=lambda entry: entry.key, default=None)

    @property
    def felt_ever(self) -> tuple[Entry, ...]:
        """Every entry of this cycle that says eggs were felt in her, oldest first."""
        return tuple(entry for entry in self.felt_at_all if self.counts(entry))

    def felt_since(self, egg: Entry) -> tuple[Entry, ...]:
        """Every entry that says eggs were felt in her since an egg of hers, said to be the last one or not."""
        return tuple(entry for entry in self.felt_at_all if entry.at >= egg.at)

    @cached_property
    def felt_at_all(self) -> tuple[Entry, ...]:
        """Every entry that says eggs were felt in her, oldest first."""
        found: list[Entry] = [entry for entry in self.animal.own(FeltForEggs) if entry.found == "eggs"]
        found += [entry for entry in self.animal.own(VetSeen) if entry.found_gravid]
        found += [entry for entry in self.animal.own(EggCheckDone) if "eggs felt" in entry.present]
        found += [entry for entry in self.animal.own(ConditionSeen) if "eggs felt" in entry.signs]
        return tuple(sorted(found, key=lambda entry: entry.key))

    @cached_property
    def heavy(self) -> Entry | None:
        """The last note of her body, when it says heavy."""
        notes = [entry for entry in self.animal.own(ConditionSeen) if entry.body and self.counts(entry)]
        return notes[-1] if notes and notes[-1].body in HEAVY else None

    # The lay box

    @cached_property
    def lay_box(self) -> LayBoxIn | None:
        """The lay box she has, however it was addressed: given to her, to her tub, or to one who lives with her.

        The last word about any of these counts, in or out. A box given to her alone does not move with her.
        """
        place = self.animal.place
        boxes: list[Entry] = [
            entry for entry in (*self.animal.own(LayBoxIn), *self.animal.own(LayBoxOut)) if self._is_here(entry)
        ]
        if place is not None:
            tub = enclosure(self.standing, place)
            boxes += [*tub.own(LayBoxIn), *tub.own(LayBoxOut)]
            for who in self.animal.companions():
                if who.startswith("animal/"):
                    other = animal(self.standing, who)
                    came = other.stays[-1].since if other.stays else None
                    boxes += [
                        entry
                        for entry in (*other.own(LayBoxIn), *other.own(LayBoxOut))
                        if came is not None and entry.at >= came and not getattr(entry, "box", None)
                    ]
        last = max(boxes, key=lambda entry: entry.key, default=None)
        return last if isinstance(last, LayBoxIn) else None

    def _is_here(self, entry: Entry) -> bool:
        """Whether a lay box put in or taken out for her is the one where she lives now: not so if moved since."""
        if self.animal.place is None or isinstance(entry, LayBoxOut):
            return True
        moved = self.animal.stays[-1] if self.animal.stays else None
        return getattr(entry, "box", None) == self.animal.place or (moved is not None and moved.since <= entry.at)

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

    # Gravid, and her phase

    def slugs_only(self, eggs: Entry) -> bool:
        """Whether nothing but slugs came of the laying that an entry is about, as far as it is noted by now."""
        return any(
            slugs_only(parts) for parts in self.layings if any(eggs.id == one.id for it in parts for one in it.laid)
        )

    def gravid_because(self, now: datetime) -> tuple[Entry, ...] | None:
        """Why she can be gravid at that time: the entries that say so, or None when nothing does.

        A clutch begun, eggs felt, mated or with a male in the last months, or a clutch not long ago (stored sperm).
        """
        if self.laying is not None and self.laying.laid[0].at <= now:
            return self.laying.laid
        felt = [entry for entry in self.felt_ever if entry.at <= now]
        if felt:
            return (felt[-1],)
        within = self.days.gravid_days
        recent = [entry for entry in self.matings if entry.at <= now and days_between(entry.at, now) <= within]
        if recent:
            return (recent[-1],)
        laid = self.stored_since(now)
        if laid is not None and days_between(laid.at, now) <= self.days.stored_days:
            return (laid,)
        for company in reversed(self.company):
            end = min(company.until or now, now)
            fresh = self.chance_start is None or end > self.chance_start
            if company.since <= now and days_between(end, now) <= within and fresh:
                return (company.entry,) if company.entry else ()
        return None

    def phase(self, now: datetime) -> Phase:
        """Her place in the breeding year at `now`."""
        if self.laying is not None:
            return "laying"
        digs = self.digging(now)
        if self.has_lay_box and (digs or self.felt or self.heavy or self._mated(now)):
            return "in lay box"
        if digs:
            return "nesting"
        if self.felt or (self.heavy and (self._mated(now) or self.company)):
            return "gravid"
        if self._mated(now):
            return "mated"
        if self.laid_at is not None and days_between(self.laid_at, now) <= self.days.laid_lasts:
            return "laid"
        return "with male" if self.with_male_now else "resting"

    def _mated(self, now: datetime) -> bool:
        # A mating counts until she has laid or been found empty; past the window it matters most.
        return any(days_between(entry.at, now) <= 2 * self.days.window_closes for entry in self.matings)


def female(standing: Standing, subject: str, days: Days) -> Female:
    """The female as she stands under the breeding days of the house; worked out once for a standing."""
    key = ("female", subject, days)
    found = standing.views.get(key)
    if found is None:
        found = standing.views[key] = Female(standing, subject, days)
    assert isinstance(found, Female)
    return found


def females_here(standing: Standing, days: Days) -> list[Female]:
    """All females that are in the colony now, by id."""
    return [
        female(standing, subject, days)
        for subject in standing.subjects("animal")
        if (one := animal(standing, subject)).here and one.sex == "F"
    ]
