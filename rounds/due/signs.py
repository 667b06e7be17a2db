"""Signs of a gravid female that are weak one by one: what each says, and what it counts for by the house rules."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, timedelta

import msgspec

from rounds.due.dates import day, span
from rounds.due.figures import percent
from rounds.due.seen_of_her import SeenOfHer
from rounds.logbook.entries import ConditionSeen, Entry, VetSeen
from rounds.logbook.times import days_between
from rounds.standing.breeding import Window
from rounds.standing.weighing import Weighing


class Sign(msgspec.Struct, frozen=True):
    """One sign of the list: in words, by which house rules, how many points, since when, from which entries."""

    says: str
    points: int
    since: datetime
    house: tuple[str, ...]
    entries: tuple[Entry, ...]


class Signs(SeenOfHer):
    """One female's signs since her last clutch, as they stood at any moment."""

    # The list at one moment

    def at(self, moment: datetime) -> tuple[Sign, ...]:
        """The signs that stood at a moment, the heaviest first."""
        gained = self._gained(moment)
        in_her = (*self._eggs(moment), *self._gain(moment, gained))
        gravid = [
            *self._window(moment, in_her),
            *in_her,
            *self._long(moment, gained),
            *self._dug_and_stopped(moment),
            *self._after_laying(moment),
        ]
        if not gravid and self.her.gravid_because(moment) is None:
            return ()
        every = [*gravid, *self._food(moment), *self._bright(moment), *self._looks(moment)]
        return tuple(sorted((sign for sign in every if sign.points > 0), key=lambda sign: -sign.points))

    def _window(self, moment: datetime, in_her: Sequence[Sign]) -> Iterator[Sign]:
        today = moment.date()
        # Eggs felt or a gain that count at least as much stand for the open window they go with.
        gravid = bool(in_her) and sum(sign.points for sign in in_her) >= self._points("window_open")
        past = 0
        for window in self.her.windows(moment):
            if self._laid_by(moment, window.first):
                continue
            key = "stored_window_past" if window.why == "stored sperm" else "window_past"
            which = ""
            if past == 0 and not gravid and window.opens <= today <= window.first_closes:
                yield self._open(window, moment)
            ended = window.closes if today > window.closes else window.first_closes
            if today <= ended or (today - ended).days > self.her.days.gravid_days:
                continue
            if window.why == "stored sperm" and self._mated_again(window, moment):
                continue
            if today <= window.closes:
                key, which = "first_window_past", "first "
            closes = "breeding.next_clutch_days" if window.why == "stored sperm" else "breeding.window_closes"
            past += 1
            if past > 1:
                key = "second_window"
            since = datetime.combine(ended + timedelta(days=1), datetime.min.time(), tzinfo=moment.tzinfo)
            yield Sign(
                f"{which}window ended {day(ended)}, no eggs",
                self._points(key),
                min(since, moment),
                (f"evidence.{key}", closes),
                window.entries,
            )

    def _open(self, window: Window, moment: datetime) -> Sign:
        since = datetime.combine(window.opens, datetime.min.time(), tzinfo=moment.tzinfo)
        stored = window.why == "stored sperm"
        return Sign(
            f"{'time for the next clutch' if stored else 'window'} since {day(window.opens)}",
            self._points("window_open"),
            min(since, moment),
            ("evidence.window_open", "breeding.next_clutch_days" if stored else "breeding.window_opens"),
            window.entries,
        )

    def _eggs(self, moment: datetime) -> Iterator[Sign]:
        felt = [entry for entry in self._felt if entry.known <= moment]
        found = [entry for entry in felt if isinstance(entry, VetSeen)]
        if found:
            yield Sign(
                f"gravid by the vet {day(found[-1].at)}",
                self._points("vet_found_eggs"),
                found[0].at,
                ("evidence.vet_found_eggs",),
                (found[-1],),
            )
        elif felt:
            yield Sign(
                f"eggs felt {day(felt[-1].at)}",
                self._points("eggs_felt"),
                felt[0].at,
                ("evidence.eggs_felt",),
                (felt[0], *felt[-1:]) if len(felt) > 1 else (felt[0],),
            )

    def _gain(self, moment: datetime, gains: Sequence[Weighing]) -> Iterator[Sign]:
        heavy = [entry for entry in self._heavy if entry.known <= moment]
        if gains:
            says = f"{percent(self.her.gain(gains[-1]) or 0)} above her own weight {day(gains[-1].at)}"
            rules = ("evidence.gain", "eggbinding.gain_percent")
            yield Sign(says, self._points("gain"), gains[0].at, rules, gains[-1].settled().middle)
        elif heavy:
            says = f"heavy {day(heavy[-1].at)}"
            yield Sign(says, self._points("gain"), heavy[0].at, ("evidence.gain",), (heavy[-1],))

    def _long(self, moment: datetime, gains: Sequence[Weighing]) -> Iterator[Sign]:
        seen = (*self._felt[:1], *(one.settled().reading for one in gains[:1]))
        first: list[Entry] = [entry for entry in seen if entry.known <= moment]
        if not first:
            return
        oldest = min(first, key=lambda entry: entry.key)
        days = days_between(oldest.at, moment)
        if days >= self._days("gravid_long_days"):
            yield Sign(
                f"gravid signs for {days} days",
                self._points("gravid_long"),
                oldest.at,
                ("evidence.gravid_long", "evidence.gravid_long_days"),
                (oldest,),
            )

    def _dug_and_stopped(self, moment: datetime) -> Iterator[Sign]:
        dug = [entry for entry in self._dug if entry.known <= moment]
        if not dug or self._laid_since(moment, dug[0].at.date()) or self._digs_after(moment):
            return
        stopped = days_between(dug[-1].at, moment) >= self._days("stopped_days")
        if stopped or self._window_over(moment):
            yield Sign(
                f"dug {span(dug[0].at, dug[-1].at)}{' and stopped' if stopped else ''}",
                self._points("dug_and_stopped"),
                dug[-1].at,
                ("evidence.dug_and_stopped", "evidence.stopped_days"),
                tuple({entry.id: entry for entry in (dug[0], dug[-1])}.values()),
            )

    def _after_laying(self, moment: datetime) -> Iterator[Sign]:
        """What does not fit a clutch that was said to be complete."""
        eggs = self._complete_at(moment)
        done = eggs.complete if eggs is not None else None
        if eggs is None or done is None:
            return
        days, laid = self.her.days, self.her.laid_in_all(eggs, moment)
        if days_between(done.at, moment) > days.gravid_days or not self.one.after_contact(done):
            return
        least = self.her.least_count(eggs)
        if laid < least:
            usual = self.her.usual_count(eggs)
            than = f"her usual is {usual:.0f}" if usual is not None else f"usual is {days.least_eggs} or more"
            yield Sign(
                f"laid {laid}, {than}",
                self._points("short_clutch"),
                done.at,
                ("evidence.short_clutch", "eggbinding.count_short_percent", "eggbinding.least_eggs"),
                eggs.laid[-1:],
            )
        after = [
            weighing
            for weighing in self.her.weighings(moment)
            if done.at < weighing.ended and days_between(done.at, weighing.at) <= days.laid_lasts
        ]
        own = self.her.weight_before(eggs)
        over = 1 + self.house.number("eggbinding.heavy_after_percent") / 100
        heavy = [one for one in after if own is not None and one.settled().grams >= own * over - 1e-6]
        if heavy and own is not None:
            yield Sign(
                f"{percent(heavy[-1].settled().grams / own - 1)} above her own weight after laying",
                self._points("heavy_after"),
                heavy[0].at,
                ("evidence.heavy_after", "eggbinding.heavy_after_percent"),
                heavy[-1].settled().middle,
            )
        digs = self._digs_after(moment)
        if digs:
            yield Sign(
                f"dug {day(digs[-1].at)}, after laying",
                self._points("digs_after"),
                digs[0].at,
                ("evidence.digs_after", "eggbinding.closing_hours"),
                (digs[0],),
            )

    def _food(self, moment: datetime) -> Iterator[Sign]:
        for run in reversed(self.one.off_food_runs(self.house.days("health.off_food_gap_days"))):
            entries = [entry for entry in run.entries if entry.known <= moment and self.fresh(entry)]
            if not entries or (run.ended is not None and run.ended.known <= moment):
                continue
            days = days_between(entries[0].at, entries[-1].at)
            stale = days_between(entries[-1].at, moment) > self.house.days("health.refused_lapses_days")
            if stale or not self.apart(entries[0], entries[-1]):
                continue  # one refusal, however often it was noted
            if days_between(entries[0].at, moment) < self._days("off_food_days"):
                continue
            # For long only what was seen counts: one refusal some time ago is no time without food.
            long = days >= self._days("off_food_long_days")
            points = self._points("off_food") + (self._points("off_food_long") if long else 0)
            rules: tuple[str, ...] = ("evidence.off_food", "evidence.off_food_days")
            if long:
                rules += ("evidence.off_food_long", "evidence.off_food_long_days")
            says = f"off food {days} days" if days else f"refused food {day(entries[0].at)}"
            yield Sign(says, points, entries[0].at, rules, (entries[0], *entries[-1:]))
            return

    def _bright(self, moment: datetime) -> Iterator[Sign]:
        looks = [entry for entry in self.one.own(ConditionSeen) if entry.look and entry.known <= moment]
        if not looks or looks[-1].look == "bright" or not self.fresh(looks[-1]):
            return
        if days_between(looks[-1].at, moment) <= self._days("quiet_days"):
            says = f"looked {looks[-1].look} {day(looks[-1].at)}"
            key = "quiet" if looks[-1].look == "quiet" else "dull"
            rules = (f"evidence.{key}", "evidence.quiet_days")
            yield Sign(says, self._points(key), looks[-1].at, rules, tuple(looks[-1:]))

    def _looks(self, moment: datetime) -> Iterator[Sign]:
        """Nobody looked at her for days, while a look was due each day."""
        since, until = self._looks_due(moment)
        if since is None or self.one.brumated_at(moment, moment):
            return
        last = next((entry for entry in reversed(self.looked) if entry.known <= moment), None)
        from_day = max(since, last.at.date()) if last is not None else since
        days = (until - from_day).days
        long = days >= self._days("no_look_long_days")
        # Once her window is over only a long time without a look speaks: she is looked at weekly then.
        if days < self._days("no_look_days") or (until < moment.date() and not long):
            return
        points = self._points("no_look") + (self._points("no_look_long") if long else 0)
        rules: tuple[str, ...] = ("evidence.no_look", "evidence.no_look_days")
        if long:
            rules += ("evidence.no_look_long", "evidence.no_look_long_days")
        began = datetime.combine(from_day, datetime.min.time(), tzinfo=moment.tzinfo)
        says = f"nobody looked at her for {days} days"
        yield Sign(says, points, min(began, moment), rules, (last,) if last is not None else ())

    def _looks_due(self, moment: datetime) -> tuple[date | None, date]:
        """The first day since her last clutch on which a look is due daily (None: there is none), and the last."""
        today, lasts = moment.date(), self.her.days.nesting_gap
        # A next clutch by stored sperm is no promise: days without a look say nothing there.
        windows = [
            window
            for window in self.her.windows(moment)
            if window.why != "stored sperm" and not self._laid_by(moment, window.first)
        ]
        starts = [window.opens for window in windows if window.opens <= today <= window.closes]
        for seen in (self._dug, self._felt):
            noted = [entry for entry in seen if entry.known <= moment]
            if noted and days_between(noted[-1].at, moment) <= lasts:
                starts.append(noted[0].at.date())
        if starts:
            return min(starts), today
        over = [one for one in windows if one.closes < today and (today - one.closes).days <= lasts]
        return (over[-1].opens, over[-1].closes) if over else (None, today)
