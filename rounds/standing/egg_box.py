"""An egg box as it stands: what it was made of, the eggs in it, what it should weigh and what it weighed.

A box with a name is an enclosure of its own. Eggs boxed straight onto a shelf lie in a box without a name: one for
each clutch there. All masses in g; water: 1 g = 1 ml.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Final, NamedTuple

import msgspec

from rounds.logbook.boxing import BOXING_HOURS
from rounds.logbook.entries import (
    EggBoxMadeUp,
    EggBoxWeighed,
    EggsBoxed,
    EggsLost,
    Entry,
)
from rounds.logbook.times import hours_between
from rounds.standing.clutch import Clutch, clutch, clutches_in
from rounds.standing.egg_mass import EggFigures, egg_mean
from rounds.standing.fold import Standing
from rounds.standing.kept import cached_property
from rounds.standing.shelves import shelf_of
from rounds.standing.slopes import median
from rounds.standing.water import water_needed

#: A stretch between two weighings is judged from so many hours on.
_LEAST_HOURS: Final = 20
#: So many eggs that were not weighed may come or go within a stretch that is judged.
_UNWEIGHED: Final = 2


class Reading(NamedTuple):
    """A weighing of the box with all that was in it, before water was added; and how much then was."""

    at: datetime
    grams: float
    added: float
    entry: EggBoxWeighed | EggsBoxed


class Move(NamedTuple):
    """Eggs put in (or, below 0, taken out): how many, of what mass together, and whether that was weighed."""

    entry: Entry
    eggs: int
    grams: float
    weighed: bool


class Stretch(msgspec.Struct, frozen=True):
    """From one weighing to another: what the box lost by itself, eggs and water that came and went aside."""

    first: Reading
    last: Reading
    loss: float
    days: float
    #: Whether no eggs came or went whose mass is only guessed.
    sure: bool

    @property
    def rate(self) -> float:
        """g a day."""
        return self.loss / self.days


class EggBox:
    """One egg box as it stands. Get it with `egg_box` (`rounds.standing.egg_boxes`)."""

    def __init__(self, standing: Standing, place: str, figures: EggFigures, of_clutch: str | None = None) -> None:
        self.standing = standing
        self.place = place
        self.figures = figures
        #: For a box without a name: the clutch in it.
        self.of_clutch = of_clutch
        self.page = standing.page(place)

    @property
    def key(self) -> str:
        """What tells it from every other box: its place, or the clutch of one without a name."""
        return self.of_clutch or self.place

    @property
    def name(self) -> str:
        """What keepers call it: what is written on it, else the clutch and its shelf."""
        place = self.standing.name(self.place)
        return place if self.of_clutch is None else f"{clutch(self.standing, self.key).called} ({place})"

    # What it was made of, and where it stands

    @cached_property
    def made_up(self) -> EggBoxMadeUp | None:
        """How it was made up last."""
        if self.of_clutch is not None:
            return None
        own = [entry for entry in self.page.of(EggBoxMadeUp) if entry.about == self.place]
        return own[-1] if own else None

    @cached_property
    def shelf(self) -> str | None:
        """The incubator shelf it stands on."""
        if self.of_clutch is not None:
            return self.place
        shelf = shelf_of(self.standing, self.place)
        return shelf if shelf != self.place else None

    @property
    def water(self) -> float | None:
        """The water it was to have; None where it is not known."""
        made = self.made_up
        if made is None:
            return None
        if made.water_grams is not None:
            return made.water_grams
        if made.dry_grams is None or made.ratio is None:
            return None
        return water_needed(made.dry_grams, made.ratio)

    @property
    def base(self) -> float | None:
        """What box, medium and water weigh together, without eggs; None where it is not known."""
        made = self.made_up
        if made is None:
            return None
        if made.target_grams is not None:
            return made.target_grams
        if made.tare_grams is None or made.dry_grams is None or self.water is None:
            return None
        return made.tare_grams + made.dry_grams + self.water

    # The eggs in it

    @cached_property
    def clutches(self) -> list[Clutch]:
        """The clutches that lie in it now, by id."""
        found = clutches_in(self.standing, self.place)
        return [one for one in found if self.of_clutch in (None, one.subject)]

    @cached_property
    def eggs(self) -> int | None:
        """The eggs in it now; None where it cannot be known which of several boxes lost some."""
        found = [one.left_in(self.place) for one in self.clutches]
        known = [count for count in found if count is not None]
        return sum(known) if len(known) == len(found) else None

    @cached_property
    def since(self) -> datetime | None:
        """The moment from which it counts: when it was made up last, else when its first eggs were put in."""
        if self.made_up is not None:
            return self.made_up.at
        return min((box.at for box in self._boxes), default=None)

    @cached_property
    def _boxes(self) -> list[EggsBoxed]:
        """How the clutches in it now came into it, oldest first."""
        every = [box for one in self.clutches for box in one.in_boxes.boxes if box.place == self.place]
        return sorted(every, key=lambda box: box.key)

    @cached_property
    def moves(self) -> tuple[Move, ...]:
        """The eggs put in and taken out, of clutches that lie in it now; oldest first."""
        found: list[Move] = []
        for one in self.clutches:
            mean, weighed = self._mean(one)
            for box in one.in_boxes.boxes:
                if box.place == self.place:
                    own = box.eggs_grams
                    found.append(Move(box, box.count, mean * box.count if own is None else own, weighed))
            for gone in one.in_boxes.gone:
                if gone.place != self.place or not gone.sure:
                    continue
                scale = gone.entry.grams if isinstance(gone.entry, EggsLost) else None
                if isinstance(gone.entry, EggsBoxed):
                    scale = gone.entry.eggs_grams
                grams = mean * gone.count if scale is None else scale
                found.append(Move(gone.entry, -gone.count, -grams, weighed or scale is not None))
        return tuple(sorted(found, key=lambda move: move.entry.key))

    def _mean(self, one: Clutch) -> tuple[float, bool]:
        """The mean of a clutch's eggs in this box in g, and whether it comes from a scale.

        As weighed when boxed; else the box with its eggs less the box without; else that of the clutch.
        """
        boxes = [box for box in one.in_boxes.boxes if box.place == self.place]
        scaled = [(box.eggs_grams, box.count) for box in boxes if box.eggs_grams is not None and box.count]
        if scaled:
            mean = sum(grams for grams, _ in scaled) / sum(count for _, count in scaled)
            if self._believed(mean):
                return mean, True
        mean, weighed = egg_mean(one, self.figures)
        if not weighed and self.base is not None and self.made_up is not None and len(self.clutches) == 1:
            for box in boxes[:1]:
                soon = 0 <= hours_between(self.made_up.at, box.at) <= BOXING_HOURS
                if soon and box.box_grams is not None and box.count:
                    apart = (box.box_grams - self.base) / box.count
                    if self._believed(apart):
                        return apart, True
        return mean, weighed

    def _believed(self, mean: float) -> bool:
        return self.figures.least_grams <= mean <= self.figures.most_grams

    @property
    def eggs_grams(self) -> float:
        """The mass of the eggs in it now."""
        return max(0.0, sum(move.grams for move in self.moves))

    # Its weight

    @cached_property
    def readings(self) -> tuple[Reading, ...]:
        """Its weighings since it was made up, or emptied, oldest first; the weight at boxing is one of them."""
        if self.since is None:
            return ()
        start = self.made_up.key if self.made_up is not None else (self.since, "")
        if not self.clutches:  # with its eggs it weighed something else
            start = max((start, *self._taken_out))
        found = [
            Reading(entry.at, entry.grams, entry.added_grams, entry)
            for entry in self.page.of(EggBoxWeighed)
            if entry.about == self.place and self._is_of_it(entry) and entry.key > start
        ]
        found += [Reading(box.at, box.box_grams, 0.0, box) for box in self._boxes if box.box_grams is not None]
        return tuple(sorted(found, key=lambda reading: reading.entry.key))

    @property
    def _taken_out(self) -> Iterator[tuple[datetime, str]]:
        """When eggs left it, of clutches that lay in it once."""
        for subject in sorted({entry.about for entry in self.page.of(EggsBoxed)}):
            for box in clutch(self.standing, subject).boxings.times:
                yield from (gone.entry.key for gone in box.gone if gone.place in (None, self.place))
                if box.again:  # boxed again, elsewhere
                    yield box.boxes[0].key

    def _is_of_it(self, entry: EggBoxWeighed) -> bool:
        """Whether a weighing on the shelf is of this box: it names the clutch, or no other lies there."""
        if self.of_clutch is None:
            return True
        if entry.clutch is not None:
            return entry.clutch == self.of_clutch
        return len(clutches_in(self.standing, self.place)) == 1

    @property
    def last(self) -> Reading | None:
        """The last weighing."""
        return self.readings[-1] if self.readings else None

    @cached_property
    def target(self) -> float | None:
        """What it should weigh now: tare + dry + water + the eggs in it.

        Where that is not known: what it weighed when its eggs were put in, or at its first weighing, with the eggs
        that came and went since. None before it was ever weighed, and where it is not known which eggs are in it.
        """
        if self.eggs is None:
            return None
        if self.base is not None:
            return self.base + self.eggs_grams
        first = self.readings[0] if self.readings else None
        if first is None:
            return None
        closed = [
            one
            for one in self.readings
            if isinstance(one.entry, EggsBoxed) and hours_between(first.at, one.at) <= BOXING_HOURS
        ]
        from_then = closed[-1] if closed else first
        return max(0.0, from_then.grams + from_then.added + self.moved_since(from_then))

    def moved_since(self, reading: Reading, until: Reading | None = None) -> float:
        """The mass of the eggs that came, less that of those that went, after one reading and up to another."""
        return sum(move.grams for move in self._moved(reading, until))

    def _moved(self, reading: Reading, until: Reading | None) -> list[Move]:
        end = None if until is None else until.entry.key
        return [
            move
            for move in self.moves
            if move.entry.key > reading.entry.key and (end is None or move.entry.key <= end)
        ]

    @property
    def expected(self) -> float | None:
        """What it weighed last, with the water added and the eggs moved since; before any weighing the target."""
        last = self.last
        return self.target if last is None else max(0.0, last.grams + last.added + self.moved_since(last))

    @property
    def least_top_up(self) -> float:
        """From so many g under the target water is asked for: 2 g or 1 % of it, whichever is more (house rules)."""
        return max(self.figures.top_up_grams, self.figures.top_up_part * (self.target or 0.0))

    def short_by(self, grams: float | None) -> float | None:
        """How far a weight lies under the target, in g; below 0 above it; None without a target."""
        return None if grams is None or self.target is None else self.target - grams

    def top_up_for(self, grams: float | None) -> float | None:
        """The water to add at this weight, in g or ml; None where none is asked for."""
        short = self.short_by(grams)
        return short if short is not None and short >= self.least_top_up - 1e-6 else None

    @property
    def top_up(self) -> float | None:
        """The water to add now, by its last weighing; None where none is asked for, or it was never weighed."""
        return self.top_up_for(self.expected) if self.last is not None else None

    @property
    def ratio(self) -> float | None:
        """Water to dry medium by mass as it is now by its last weighing (eggs drink too: rather more than less)."""
        made = self.made_up
        if made is None or not made.dry_grams or self.water is None:
            return None
        short = self.short_by(self.expected) or 0.0
        return max(0.0, (self.water - short) / made.dry_grams)

    # How it dries

    @cached_property
    def stretches(self) -> tuple[Stretch, ...]:
        """From weighing to weighing, each at least most of a day long; oldest first."""
        again = max((one.in_boxes.boxes[0].at for one in self.clutches if one.in_boxes.again), default=None)
        readings = [one for one in self.readings if again is None or one.at >= again]
        found: list[Stretch] = []
        loss, sure = 0.0, True
        first = before = readings[0] if readings else None
        for reading in readings[1:]:
            assert before is not None
            assert first is not None
            moved = self._moved(before, reading)
            loss += before.grams + before.added + sum(move.grams for move in moved) - reading.grams
            guessed = sum(abs(move.eggs) for move in moved if not move.weighed)
            sure = sure and guessed <= _UNWEIGHED
            before = reading
            hours = hours_between(first.at, reading.at)
            if hours >= _LEAST_HOURS:
                found.append(Stretch(first, reading, loss, hours / 24, sure and self.eggs is not None))
                first, loss, sure = reading, 0.0, True
        return tuple(found)

    def habit(self, before: Stretch) -> float | None:
        """What it lost a day in the stretches before this one (their median), in g; None of too few."""
        rates = [one.rate for one in self.stretches if one.sure and one.last.at <= before.first.at]
        return max(0.0, median(rates)) if len(rates) >= self.figures.habit_least else None
