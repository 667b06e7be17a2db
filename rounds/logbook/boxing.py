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


class EggsGone(msgspec.Struct, frozen=True):
    """Eggs that came out of a box: by which entry, how many, of which box; not `sure` where it may be another."""

    entry: EggsBoxed | EggsLost | Hatched
    count: int
    place: str | None
    sure: bool


def eggs_gone(entry: EggsLost | Hatched) -> int:
    """How many eggs an entry takes out: those lost, or those that young came out of: of twins fewer."""
    return entry.eggs_out if isinstance(entry, Hatched) else entry.count


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
    #: What came out of them, oldest first; what was moved from one to another too.
    gone: tuple[EggsGone, ...] = ()
    #: Losses and hatchings of more eggs than the box they name held, each with how many it did.
    beyond: tuple[tuple[EggsLost | Hatched, int], ...] = ()

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

    def moved(self, entry: EggsBoxed) -> InBoxes:
        """The same after eggs were put from one of the boxes into another."""
        assert self.shares is not None
        shares = dict(self.shares)
        shares[entry.out_of] -= entry.count
        shares[entry.place] = shares.get(entry.place, 0) + entry.count
        gone = (*self.gone, EggsGone(entry, entry.count, entry.out_of, True))
        return replace(self, boxes=(*self.boxes, entry), shares=shares, gone=gone)

    def without(self, entry: EggsLost | Hatched, count: int) -> InBoxes:
        """The same after so many eggs of the boxes were lost or hatched."""
        if not count:
            return self
        shares, place, sure, beyond = self.shares, entry.place, False, self.beyond
        if shares is not None and place is not None and place in shares and shares[place] < eggs_gone(entry):
            beyond = (*beyond, (entry, shares[place]))
        held = [one for one, many in (shares or {}).items() if many]
        if shares is not None and (place is None or not shares.get(place)) and len(held) == 1:
            place = held[0]
        if shares is not None and shares.get(place, 0) >= count and (place is not None or len(held) == 1):
            shares, sure = {**shares, place: shares[place] - count}, True
        else:
            shares = None
        hatched = count if isinstance(entry, Hatched) else 0
        return replace(
            self,
            lost=self.lost + count - hatched,
            hatched=self.hatched + hatched,
            shares=shares,
            gone=(*self.gone, EggsGone(entry, count, place, sure)),
            beyond=beyond,
        )


class Boxings(msgspec.Struct, frozen=True):
    """A clutch from laying to hatching, in numbers: each egg laid is in a box, gone, or in no box."""

    laid: int = 0
    slugs: int = 0
    #: Each time the eggs were boxed, oldest first; further boxes belong to the time they were added to.
    times: tuple[InBoxes, ...] = ()
    #: Eggs lost that were in no box, and how many of these are taken for slugs.
    lost_unboxed: int = 0
    slugs_lost: int = 0
    #: All that were lost, those of them that stayed in the box and failed, and all that hatched.
    lost: int = 0
    failed: int = 0
    hatched: int = 0
    #: So many hatched, or failed in a box, that can only have been slugs in no box.
    stray: int = 0
    #: How many of these failed.
    stray_failed: int = 0
    #: Whether its eggs were ever counted.
    counted: bool = False

    @property
    def over(self) -> int:
        """How many eggs too many are gone or in boxes; 0 where all of it adds up. Not known without a count."""
        return self.stray + max(0, -self.in_no_box) if self.counted else 0

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
        if entry.out_of is not None and 0 < entry.count <= (now.shares or {}).get(entry.out_of, 0):
            return replace(self, times=(*self.times[:-1], now.moved(entry)))
        soon = hours_between(now.boxes[-1].at, entry.at) <= BOXING_HOURS
        untouched = now.lost + now.hatched == now.gone_by_then
        if 0 < entry.count <= self.unboxed and (grown or (soon and untouched)):
            return replace(self, times=(*self.times[:-1], now.with_box(entry)))
        again = InBoxes(again=True, held=now.left, waiting=self.unboxed)
        return replace(self, times=(*self.times, again.with_box(entry)))

    def after_loss(self, entry: EggsLost) -> Boxings:
        """The same after a loss.

        Of slugs first, as long as the clutch is not boxed, or was within a day; one that names its box, or that
        failed there, is of that box; one that says it was in none is of no box. What is more than the boxes hold
        was in none.
        """
        now, count = self.now, entry.count
        early = not now.boxes
        soon = not now.again and (early or hours_between(now.boxes[-1].at, entry.at) <= BOXING_HOURS)
        named = entry.in_box is True or (now.shares or {}).get(entry.place, 0) > 0
        outside = entry.in_box is False and not named
        of_a_box = not early and not outside and (entry.how == "failed" or named)
        first = min(count, self.slugs_in_no_box) if soon and not of_a_box else 0
        unboxed = count if early or outside else max(first, count - now.left)
        slugs = 0 if early and not soon else min(unboxed, self.slugs_in_no_box)
        return replace(
            self,
            times=self.times if early else (*self.times[:-1], now.without(entry, count - unboxed)),
            lost_unboxed=self.lost_unboxed + unboxed,
            slugs_lost=self.slugs_lost + slugs,
            lost=self.lost + count,
            failed=self.failed + (count - slugs if entry.how == "failed" else 0),
            stray=self.stray + (slugs if of_a_box else 0),
            stray_failed=self.stray_failed + (slugs if of_a_box else 0),
        )

    def after_hatching(self, entry: Hatched) -> Boxings:
        """The same after young came out; of more than the boxes hold, the boxing was never written down."""
        now, count = self.now, entry.eggs_out
        boxed = min(count, now.left)
        times = (*self.times[:-1], now.without(entry, boxed)) if now.boxes else self.times
        slugs = min(max(0, count - boxed - self.unboxed), self.slugs_in_no_box)
        return replace(self, times=times, hatched=self.hatched + count, stray=self.stray + slugs)


def read_boxings(laid: Sequence[EggsLaid], events: Iterable[EggsBoxed | EggsLost | Hatched]) -> Boxings:
    """What the entries of one clutch say of its eggs. `laid` is oldest first, the others in any order.

    A further box adds to the one before while sound eggs are in no box and it holds no more than these: within a
    day, with no loss of boxed eggs in between, or once more eggs were counted. Any other boxing is the same eggs
    boxed again: its count is what is in the box from then on.
    """
    read, before = Boxings(slugs=laid[-1].slugs if laid else 0, counted=bool(laid)), 0
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
