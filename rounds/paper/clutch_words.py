"""A clutch in words: where each of its eggs is, for its page, and in short for a stop."""

from __future__ import annotations

from datetime import datetime

from rounds.logbook.entries import EggsBoxed
from rounds.logbook.times import days_between
from rounds.paper.values import Values
from rounds.paper.words import date_words, many
from rounds.standing.census import Census
from rounds.standing.clutch import Clutch


def clutch_words(eggs: Clutch, now: datetime, place: str) -> str:
    """A clutch at a stop, in one line: how many eggs are left there, whose, and how that is reckoned."""
    name, box, here = eggs.standing.name, eggs.in_boxes, eggs.left_in(place)
    whose = f"of {name(eggs.dam)}" if eggs.dam else name(eggs.subject)
    places = [one for one in dict.fromkeys(one.place for one in box.boxes) if one]
    if here is None:
        words = [f"{many(box.left, 'egg')} {whose} in {' and '.join(map(name, places))} together"]
    else:
        words = [f"{many(here, 'egg')} {whose}"]
    doubt = _doubt(eggs)
    if eggs.begun_at:
        words += [] if doubt or here is None else [f"laid {date_words(eggs.begun_at, now)}"]
        words.append(f"day {days_between(eggs.begun_at, now)}")
    words += ["boxed again", doubt] if doubt else []
    if here is not None and here < box.left:
        others = " and ".join(name(one) for one in places if one != place)
        words.append(f"{box.left - here} more" + (f" in {others}" if others else ""))
    words += [f"{eggs.unboxed} not boxed"] if eggs.unboxed and not box.again else []
    words += [f"{box.lost} lost since"] if box.lost else []
    words += [f"{box.hatched} hatched"] if box.hatched else []
    return ", ".join(words)


def clutch_sum(eggs: Clutch) -> str:
    """Where each egg laid is now: `20 laid: 2 lost before boxing; 18 boxed in S1, 0 lost since, 18 left`."""
    box, read = eggs.in_boxes, eggs.boxings
    earlier = "earlier" if box.again else "before boxing" if box.boxes else ""
    before = [
        f"{read.lost - box.lost} lost {earlier}".rstrip() if read.lost > box.lost else "",
        f"{read.hatched - box.hatched} hatched {earlier}".rstrip() if read.hatched > box.hatched else "",
        f"{many(read.slugs_in_no_box, 'slug')} not boxed" if read.slugs_in_no_box else "",
        f"{read.unboxed} not boxed" if read.unboxed and not box.again else "",
    ]
    parts = [", ".join(word for word in before if word), ", ".join(_boxed(eggs))]
    laid = f"{eggs.count} laid" + (f", {many(eggs.slugs, 'slug')} among them" if eggs.slugs else "")
    told = "; ".join(part for part in parts if part)
    return f"{laid}: {told}" if told else laid


def census_values(found: Census) -> Values:
    """Every term of a clutch's census, the sum in words, and whether it adds up."""
    return {
        "laid": found.laid,
        "slugs": found.slugs,
        "removed": found.removed,
        "failed": found.failed,
        "hatched": found.hatched,
        "still_in": found.still_in,
        "not_boxed": found.not_boxed,
        "not_accounted": found.not_accounted,
        "adds_up": found.adds_up,
        "says": found.words,
    }


def _boxed(eggs: Clutch) -> list[str]:
    """What was put into boxes last, and what became of it."""
    box = eggs.in_boxes
    if not box.boxes:
        return []
    again = " again" if box.again else ""
    name = eggs.standing.name
    moved = {one.entry.id for one in box.gone if isinstance(one.entry, EggsBoxed)}
    placed = [
        (one.count, f" in {name(one.place)}" if one.place else "") for one in box.boxes if one.id not in moved
    ]
    if len(placed) == 1:
        words = [f"{box.put} boxed{again}{placed[0][1]}"]
    else:
        words = [f"{box.put} boxed{again}: " + ", ".join(f"{count}{where}" for count, where in placed)]
    doubt = _doubt(eggs)
    words += [doubt] if doubt else []
    words += [
        f"{one.count} moved from {name(one.out_of)} to {name(one.place)}"
        for one in box.boxes
        if one.id in moved and one.out_of and one.place
    ]
    since = [f"{box.lost} lost since", *([f"{box.hatched} hatched"] if box.hatched else []), f"{box.left} left"]
    if len(placed) > 1 or moved or doubt:
        return [f"{', '.join(words)}; {', '.join(since)}"]
    return [*words, *since]


def _doubt(eggs: Clutch) -> str:
    """What does not add up in eggs that are read as boxed again; empty when all does."""
    box = eggs.in_boxes
    before = box.held + box.waiting
    if not box.again or box.put == before:
        return ""
    if box.put > before:
        return f"{box.put - before} more than were left"
    return f"{before - box.put} of {before} not accounted for"
