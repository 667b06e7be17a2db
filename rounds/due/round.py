"""The round that due lines are reckoned for: at which moment, on which of the room's days, which walk."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, datetime, timedelta
from typing import Any

from rounds.logbook.entries import Entry, LeftOut
from rounds.logbook.times import fixed
from rounds.logbook.words import Care, WalkPart
from rounds.rules.house import House
from rounds.standing.animal import Animal, animal
from rounds.standing.as_of import as_of
from rounds.standing.fold import Standing
from rounds.standing.group import group


def walk_day(moment: datetime, house: House) -> date:
    """The room's day of a moment: what is done shortly after midnight belongs to the walk of the day before."""
    try:
        wall = moment.astimezone(house.zone)
        return (wall - timedelta(hours=house.number("walk.day_turns_hour"))).date()
    except OverflowError:
        # The first and the last day of the calendar, as only a broken clock writes them.
        return moment.date()


def part_of(moment: datetime, house: House) -> WalkPart:
    """Which walk of the room's day a moment belongs to; the hours after midnight are still the evening's."""
    wall = fixed(moment, house.zone)
    return "evening" if wall.date() > walk_day(moment, house) or wall.time() >= house.evening_from else "morning"


def known_at(entry: Entry, now: datetime) -> datetime:
    """When an entry was written down; seen from a moment before that (looking back), when it was seen."""
    return entry.written if entry.written is not None and entry.written <= now else entry.at


class Round:
    """One walk of the room at a moment, with what is known then; entries dated later count not."""

    def __init__(self, standing: Standing, house: House, now: datetime, part: WalkPart) -> None:
        self.standing = as_of(standing, now)
        self.house = house
        self.now = now
        self.part = part
        self.day = walk_day(now, house)
        #: What was worked out for this round, to be asked for again.
        self.views: dict[tuple[str, str], Any] = {}

    def who(self, subject: str) -> Animal:
        """The animal or group."""
        return group(self.standing, subject) if subject.startswith("group/") else animal(self.standing, subject)

    def day_of(self, entry: Entry) -> date:
        """The room's day on which it was seen or done."""
        return self.day_of_moment(entry.at)

    def day_of_moment(self, moment: datetime) -> date:
        """The room's day of a moment."""
        return walk_day(moment, self.house)

    def later(self, day: date, days: int) -> date:
        """The day so many days later, as far as the calendar goes."""
        return date.fromordinal(min(day.toordinal() + days, date.max.toordinal()))

    def late(self, due: date) -> int:
        """How many days late care is that fell due on a day."""
        return max(0, (self.day - due).days)

    def fell_due(self, key: str, last: date | None, opened: date | None) -> date | None:
        """The day on which care fell due that follows a rule of days, or None when it is not due today.

        `last` is the day it was last done, `opened` the day from which it is owed: set up, arrived, lived in.
        What was never noted is due today, and what fell due before that day counts from that day. Care fixed
        to the calendar falls due on the first day of its recurrence after it was last done, or from that day.
        """
        rule = self.house.rule(key)
        if isinstance(rule.value, str):
            # Only a colony that sets recurrence rules reads that module.
            from rounds.rules.recurrence import first_after

            since = (opened or self.day) - timedelta(days=1)
            if last is not None:
                since = last if opened is None else max(last, since)
            return first_after(rule.value, rule.begins, since, self.day)
        if last is None:
            return self.day
        assert isinstance(rule.value, int | float)
        due = self.later(last, int(rule.value))
        if opened is not None:
            due = max(due, opened)
        return due if due <= self.day else None

    def first_fell_due(self, key: str, last: date | None, set_up: date | None, opened: date | None) -> date | None:
        """The same for what begins well, set up clean or new: its first turn comes one interval after that.

        Until it was noted once it is due and never late: nobody can say when it was done before.
        """
        if last is not None:
            return self.fell_due(key, last, opened)
        return None if self.fell_due(key, set_up, None) is None else self.day

    def turn_due(
        self, days_key: str | None, a_day_key: str, done: Sequence[Entry], opened: date | None
    ) -> date | None:
        """The day on which a meal, or other care done on each walk, fell due; None when it is not due on this walk.

        The first turn of a day goes by `days_key`; without one it comes each day. A second turn on the same day is
        due in the evening, where `a_day_key` asks for two. `done` is oldest first.
        """
        last = self.day_of(done[-1]) if done else None
        if last == self.day:
            return self.day if self._second_turn_due(a_day_key, done) else None
        if days_key is not None:
            return self.fell_due(days_key, last, opened)
        return self.day if last is None else max(last + timedelta(days=1), opened or last)

    def _second_turn_due(self, a_day_key: str, done: Sequence[Entry]) -> bool:
        """Whether care done today is due once more: this evening, unless it was done in it, or twice today."""
        if self.part == "morning" or self.house.number(a_day_key) < 2:
            return False
        return not self._this_evening(done[-1].at) and self._turns_today(done) < 2

    def left_out(self, care: Care, about: str, place: str | None, by_turn: bool = False) -> LeftOut | None:
        """The entry that says that this care was left out today, of the subject or of its whole enclosure.

        Of care `by_turn` a turn left out in the morning says nothing about the evening's.
        """
        for subject in (about, place):
            if subject is None:
                continue
            for entry in reversed(self.standing.page(subject).of(LeftOut)):
                if entry.about != subject or entry.care != care or self.day_of(entry) != self.day:
                    continue
                if by_turn and self.part == "evening" and not self._this_evening(entry.at):
                    continue
                return entry
        return None

    def _turns_today(self, done: Sequence[Entry]) -> int:
        """How many turns it had today; two entries less than the house's gap apart are one turn."""
        gap = timedelta(hours=self.house.number("walk.turn_gap_hours"))
        turns, before = 0, None
        for entry in done:
            if self.day_of(entry) == self.day and (before is None or entry.at - before >= gap):
                turns, before = turns + 1, entry.at
        return turns

    def _this_evening(self, moment: datetime) -> bool:
        # An evening walk begun early counts too: what was done or left out within the gap was so on it.
        gap = timedelta(hours=self.house.number("walk.turn_gap_hours"))
        return part_of(moment, self.house) == "evening" or self.now - moment < gap


def lived_in_since(around: Round, living: Sequence[Animal], set_up: Entry | None) -> date | None:
    """The day from which care is owed to an enclosure: set up, and lived in by those who are there now."""
    since = [around.day_of_moment(one.stays[-1].since) for one in living if one.stays]
    begun = [min(since)] if since else []
    if set_up is not None:
        begun.append(around.day_of(set_up))
    return max(begun, default=None)


def last_day(around: Round, entries: Sequence[Entry], fits: Callable[[Entry], bool] | None = None) -> date | None:
    """The room's day of the newest entry (that fits); `entries` are oldest first."""
    for entry in reversed(entries):
        if fits is None or fits(entry):
            return around.day_of(entry)
    return None
