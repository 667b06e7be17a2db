"""Readings of the scale as weighings: which belong together, which weight counts, and whether they agree."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date, datetime, timedelta
from itertools import groupby
from typing import NamedTuple
from zoneinfo import ZoneInfo

import msgspec

from rounds.logbook.entries import Weighed
from rounds.standing.slopes import median


class WeighingRule(msgspec.Struct, frozen=True):
    """Which readings are one weighing, and which agree: `House.weighing_rule` gives a house's.

    Readings of one room day are one weighing, and those of the next day less than `shift_hours` after the first.
    Two readings agree when the lower lies less than the part `apart` under the higher.
    """

    shift_hours: float = 6
    day_turns_hour: float = 3
    apart: float = 0.07
    zone: ZoneInfo | None = None

    def together(self, first: datetime, then: datetime) -> bool:
        """Whether a reading belongs to the weighing that began with another.

        Only the first is asked, so that no reading glues two weighings together.
        """
        since = then - first
        if since < timedelta(hours=self.shift_hours):
            return True
        # The longest day has 25 hours.
        return since <= timedelta(hours=25) and self._day(first) == self._day(then)

    def agree(self, low: float, high: float) -> bool:
        """Whether two readings in g agree."""
        return low > high * (1 - self.apart) + 1e-9

    def _day(self, moment: datetime) -> date:
        try:
            wall = moment if self.zone is None else moment.astimezone(self.zone)
            return (wall - timedelta(hours=self.day_turns_hour)).date()
        except OverflowError:
            # The first and the last day of the calendar, as only a broken clock writes them.
            return moment.date()


class Weighing(msgspec.Struct, frozen=True):
    """The readings of one weighing, oldest first.

    The median counts; of an even number the mean of the two in the middle while they agree. It is unsure when the
    reading in the middle agrees with no other, or the two in the middle do not agree. Then the one just below the
    middle counts: the safer one against a loss. No rule takes an unsure weighing as a gain or as an all-clear.
    """

    readings: tuple[Weighed, ...]
    rule: WeighingRule

    @property
    def at(self) -> datetime:
        """When it began. There it stands in time, so that within a window no two lie nearer than a few hours."""
        return self.readings[0].at

    @property
    def ended(self) -> datetime:
        """When its last reading was taken."""
        return self.readings[-1].at

    @property
    def known(self) -> datetime:
        """When the first of its readings was written down."""
        return min(entry.known for entry in self.readings)

    @property
    def times(self) -> int:
        """How many readings it has."""
        return len(self.readings)

    @property
    def unsure(self) -> bool:
        """Whether its readings do not say which of them holds."""
        if len(self.readings) == 1:
            return False
        grams = self._by_weight
        low, high = (len(grams) - 1) // 2, len(grams) // 2
        if low != high:
            return not self.rule.agree(grams[low], grams[high])
        return not (self.rule.agree(grams[low - 1], grams[low]) or self.rule.agree(grams[low], grams[low + 1]))

    @property
    def grams(self) -> float:
        """The weight that counts, in g; of an unsure weighing the one that counts for a loss."""
        if len(self.readings) == 1:
            return self.readings[0].grams
        grams = self._by_weight
        return grams[len(grams) // 2 - 1] if self.unsure else round(median(grams), 3)

    @property
    def middle(self) -> tuple[Weighed, ...]:
        """The readings the weight rests on: the one in the middle, or the two whose mean it is.

        Read over and over it is the first of these.
        """
        grams = self._by_weight
        half = len(grams) // 2
        counts = {grams[half - 1]} if self.unsure else {grams[(len(grams) - 1) // 2], grams[half]}
        return tuple(next(entry for entry in self.readings if entry.grams == one) for one in sorted(counts))

    @property
    def reading(self) -> Weighed:
        """The one of these readings that stands for the weighing where one entry has to."""
        return self.middle[0]

    @property
    def words(self) -> str:
        """What the weight is of several readings: `median of 3 readings`."""
        if self.unsure:
            return f"lower of {self.times} readings that differ"
        return f"{'mean' if self.times == 2 else 'median'} of {self.times} readings"

    def only(self, holds: Callable[[Weighed], bool]) -> Weighing | None:
        """The weighing of those readings alone of which something holds; None when it holds of none."""
        kept = tuple(entry for entry in self.readings if holds(entry))
        if len(kept) == len(self.readings):
            return self
        return Weighing(kept, self.rule) if kept else None

    def settled(self) -> Weighing:
        """The weighing as it stood before its readings disagreed; itself while they agree."""
        stood = self
        while stood.unsure:
            stood = Weighing(stood.readings[:-1], self.rule)
        return stood

    @property
    def _by_weight(self) -> list[float]:
        return sorted(entry.grams for entry in self.readings)


def weighings_of(
    readings: Iterable[Weighed], rule: WeighingRule, splits: Iterable[datetime] = ()
) -> tuple[Weighing, ...]:
    """Readings (oldest first) as weighings.

    `splits` are moments at which the weight itself changed, eggs laid among them: what was read before and what was
    read after are two weighings, however near.
    """
    ends = sorted(splits)
    found: list[list[Weighed]] = []
    place = 0
    for entry in readings:
        split = False
        while place < len(ends) and ends[place] <= entry.at:
            place, split = place + 1, True
        if found and not split and rule.together(found[-1][0].at, entry.at):
            found[-1].append(entry)
        else:
            found.append([entry])
    return tuple(Weighing(tuple(part), rule) for part in found)


class AsKnown(NamedTuple):
    """The weighings of a window as they stood from one moment on, and the newest reading among them."""

    moment: datetime
    last: Weighed
    weighings: tuple[Weighing, ...]


def as_known(readings: Sequence[Weighed], rule: WeighingRule, splits: Sequence[datetime] = ()) -> Iterator[AsKnown]:
    """The weighings after each moment at which readings of them were written down, oldest first.

    `splits` as in `weighings_of`.
    """
    ends = sorted(splits)
    known: list[Weighed] = []
    found: tuple[Weighing, ...] = ()
    by_moment = groupby(sorted(readings, key=lambda entry: (entry.known, entry.key)), key=lambda entry: entry.known)
    for moment, group in by_moment:
        written = list(group)
        late = bool(known) and written[0].key < known[-1].key
        known = sorted([*known, *written], key=lambda entry: entry.key) if late else [*known, *written]
        # Noted late: what stood before is grouped again. Else only the last weighing can have got more readings.
        closed, again = ((), known) if late or not found else (found[:-1], [*found[-1].readings, *written])
        begun = again[0].at
        found = (*closed, *weighings_of(again, rule, [end for end in ends if end > begun]))
        yield AsKnown(moment, known[-1], found)


def sure_ones(weighings: Sequence[Weighing]) -> tuple[Weighing, ...]:
    """The weighings whose readings agree; where there are none, the others as they stood before they did not."""
    sure = tuple(weighing for weighing in weighings if not weighing.unsure)
    return sure or tuple(weighing.settled() for weighing in weighings)


def last_word(weighings: Sequence[Weighing]) -> tuple[Weighing, ...]:
    """What stands of weighings (oldest first): the last whose readings agree, and one since as it stood before.

    Readings that differ take nothing away: neither what they stood for before, nor what was weighed before them.
    """
    sure = [weighing for weighing in weighings if not weighing.unsure][-1:]
    since = [weighing.settled() for weighing in weighings[-1:] if weighing.unsure]
    return (*sure, *since)
