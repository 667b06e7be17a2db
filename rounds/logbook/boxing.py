"""How the boxings of one clutch are read: which eggs lie in which box, and what became of the others.

An entry says only: so many boxed here, so many lost, so many hatched. Whether a boxing is a further box or the
same eggs boxed again is worked out here, for the standing and for the audit alike. Pure; in eggs.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Final

import msgspec
from msgspec.structs import replace

from rounds.logbook.entries import EggsBoxed, EggsLaid, EggsLost, Hatched
from rounds.logbook.times import hours_between

#: A clutch is boxed within a day (the default of the house rule `eggbinding.eggs_boxed_hours`): until then a
#: boxing may be a further box, and a loss may be of the slugs that were never boxed.
BOXING_HOURS: Final = 24


class InBoxes(msgspec.Struct, frozen=True):
    """Eggs of a clutch in their boxes: how many were put in, and how many of these were lost and hatched since."""

    boxes: tuple[EggsBoxed, ...] = ()
    put: int = 0
    lost: int = 0
    hatched: int = 0
    #: How many are left in each place; None where a loss or a hatching may have been in any of them.
    shares: Mapping[str | None, int] | None = {}
    #: Whether they are eggs that had been in a box before.
    again: bool = False
    #: Of eggs boxed again: how many the boxes held before, and how many sound ones were in no box.
    held: int = 0
    waiting: int = 0
    #: What was lost and hatched when the last box was added.
    gone_by_then: int = 0

    @property
    def left(self) -> int:
        """Eggs that are still in the boxes."""
        return max(0, self.put - self.lost - self.hatched)

    @property
    def in_doubt(self) -> bool:
        """Whether eggs read as boxed again may have been others: their count is not what was left, or fits both."""
        fits = self.put == self.held + self.waiting or (self.put == self.held and self.put > self.waiting)
        return self.again and not fits

    def with_box(self, entry: EggsBoxed) -> InBoxes:
        """The same with a box more."""
        shares = self.shares
        if shares is not None:
            shares = {**shares, entry.place: shares.get(entry.place, 0) + entry.count}
        return replace(
            self,
            boxes=(*self.boxes, entry),
            put=self.put + entry.count,
            shares=shares,
            gone_by_then=self.lost + self.hatched,
        )

    def without(self, lost: int = 0, hatched: int = 0) -> InBoxes:
        """The same after eggs of the boxes were lost or hatched."""
        if not lost + hatched:
            return self
        shares, held = None, [place for place, count in (self.shares or {}).items() if count]
        if self.shares is not None and len(held) == 1:
            shares = {**self.shares, held[0]: max(0, self.shares[held[0]] - lost - hatched)}
        return replace(self, lost=self.lost + lost, hatched=self.hatched + hatched, shares=shares)


class Boxings(msgspec.Struct, frozen=True):
    """A clutch from laying to hatching, in numbers: each egg laid is in a box, gone, or in no box."""

    laid: int = 0
    slugs: int = 0
    #: Each time the eggs were boxed, oldest first; further boxes belong to the time they were added to.
    times: tuple[InBoxes, ...] = ()
    #: Eggs lost that were in no box, and how many of these are taken for slugs.
    lost_unboxed: int = 0
    slugs_lost: int = 0
    #: All that were lost, and all that hatched.
    lost: int = 0
    hatched: int = 0

    @property
    def now(self) -> InBoxes:
        """What lies in the boxes."""
        return self.times[-1] if self.times else InBoxes()

    @property
    def in_no_box(self) -> int:
        """Eggs that are neither gone nor in a box; below 0 where the counts are of more eggs than were laid."""
        return self.laid - self.lost - self.hatched - self.now.left

    @property
    def slugs_in_no_box(self) -> int:
        """How many of these are slugs."""
        return max(0, min(self.slugs - self.slugs_lost, self.in_no_box))

    @property
    def unboxed(self) -> int:
        """How many of these are sound: still to be boxed, or, once eggs were boxed again, not accounted for."""
        return max(0, self.in_no_box - self.slugs_in_no_box)

    def after_box(self, entry: EggsBoxed, grown: bool) -> Boxings:
        """The same after a boxing; `grown` says that more eggs were counted since the last one."""
        now = self.now
        if not now.boxes:
            return replace(self, times=(InBoxes().with_box(entry),))
        soon = hours_between(now.boxes[-1].at, entry.at) <= BOXING_HOURS
        untouched = now.lost + now.hatched == now.gone_by_then
        if 0 < entry.count <= self.unboxed and (grown or (soon and untouched)):
            return replace(self, times=(*self.times[:-1], now.with_box(entry)))
        again = InBoxes(again=True, held=now.left, waiting=self.unboxed)
        return replace(self, times=(*self.times, again.with_box(entry)))

    def after_loss(self, entry: EggsLost) -> Boxings:
        """The same after a loss: of slugs first, as long as the clutch is not boxed, or was within a day."""
        now, count = self.now, entry.count
        early = not now.boxes
        boxing = not now.again and (early or hours_between(now.boxes[-1].at, entry.at) <= BOXING_HOURS)
        slugs = min(count, self.slugs_in_no_box) if boxing else 0
        unboxed = count if early else slugs
        return replace(
            self,
            times=self.times if early else (*self.times[:-1], now.without(lost=count - unboxed)),
            lost_unboxed=self.lost_unboxed + unboxed,
            slugs_lost=self.slugs_lost + slugs,
            lost=self.lost + count,
        )

    def after_hatching(self, entry: Hatched) -> Boxings:
        """The same after young came out."""
        now = self.now
        times = (*self.times[:-1], now.without(hatched=entry.count)) if now.boxes else self.times
        return replace(self, times=times, hatched=self.hatched + entry.count)


def read_boxings(laid: Sequence[EggsLaid], events: Iterable[EggsBoxed | EggsLost | Hatched]) -> Boxings:
    """What the entries of one clutch say of its eggs. `laid` is oldest first, the others in any order.

    A further box adds to the one before while sound eggs are in no box and it holds no more than these: within a
    day, with no loss of boxed eggs in between, or once more eggs were counted. Any other boxing is the same eggs
    boxed again: its count is what is in the box from then on.
    """
    read, before = Boxings(slugs=laid[-1].slugs if laid else 0), 0
    counted = laid[0].count if laid else 0
    oldest_first = iter(laid)
    following = next(oldest_first, None)
    for entry in sorted(events, key=lambda entry: entry.key):
        while following is not None and following.at <= entry.at:
            counted, following = following.count, next(oldest_first, None)
        read = replace(read, laid=counted)
        if isinstance(entry, EggsBoxed):
            read = read.after_box(entry, grown=counted > before)
            before = counted
        elif isinstance(entry, EggsLost):
            read = read.after_loss(entry)
        else:
            read = read.after_hatching(entry)
    return replace(read, laid=laid[-1].count if laid else 0)
