"""Weights that a slip of the decimal point explains better than the animal does."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta
from typing import Final

from rounds.audit.finding import Book, Finding, by_subject, when
from rounds.logbook.entries import Weighed
from rounds.logbook.entries.base import grams
from rounds.logbook.turns import turns

#: A slip of the decimal point makes 10; half of that on the scale of ratios (√10) would already be met by
#: hatchlings weighed once a season, 5 is not met by growth within `NEAR`: 11.1 % a week, the fastest of the 32
#: pairs computed from the masses of Wild et al. 2023 (J Exp Biol 226 jeb245657), makes 2.5 in 60 days.
SLIP: Final = 5.0
NEAR: Final = timedelta(days=60)


#: What was read within half a day was read of one animal as it was (no source, our own choice).
SHIFT_HOURS: Final = 12.0


def off_by_ten(book: Book) -> Iterator[Finding]:
    """A weight about ten times, or a tenth of, its neighbours in time: other weighings, or readings of its shift.

    A slip that was read again within a shift stands beside itself, so that only other shifts tell it.
    """
    for subject, weights in by_subject(book.of(Weighed)).items():
        shifts = turns(weights, SHIFT_HOURS)
        middles = [_middle(shift) for shift in shifts]
        for number, shift in enumerate(shifts):
            before, after = middles[max(0, number - 2) : number], middles[number + 1 : number + 3]
            whole = [*before, *shift, *after]
            for place, entry in enumerate(shift, len(before)):
                alone = _beside([*before, entry, *after], len(before))
                among = _beside(whole, place)
                beside = next((found for found in (alone, among) if _is_off(entry, found)), None)
                if beside is None:
                    continue
                told = " and ".join(f"{grams(one.grams)} on {when(one)}" for one in beside)
                yield Finding(
                    "doubt",
                    f"{book.name(subject)} weighed {grams(entry.grams)} on {when(entry)}, next to {told}. Is the "
                    "decimal point in its place, and was it this animal?",
                    (entry, *beside),
                )


def _is_off(entry: Weighed, beside: Sequence[Weighed]) -> bool:
    ratios = [entry.grams / one.grams for one in beside]
    return bool(ratios) and (min(ratios) >= SLIP or max(ratios) <= 1 / SLIP)


def _middle(shift: Sequence[Weighed]) -> Weighed:
    return sorted(shift, key=lambda entry: entry.grams)[len(shift) // 2]


def _beside(weights: Sequence[Weighed], place: int) -> list[Weighed]:
    """The neighbours that judge a weight: the one before and the one after, which no growth lies between.

    At an end of the row the two nearest on the other side, if the nearest is near in time; of two weights alone
    the later is the one asked about.
    """
    last = len(weights) - 1
    if 0 < place < last:
        return [weights[place - 1], weights[place + 1]]
    if last == 0 or (last == 1 and place == 0):
        return []
    beside = [*(weights[1:3] if place == 0 else weights[:-1][-2:][::-1])]
    return beside if abs(beside[0].at - weights[place].at) <= NEAR else []
