"""Eggs that do not look right, eggs that sweat, and eggs candled clear."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Final

from msgspec.structs import replace

from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites, needs
from rounds.due.matters.wording import day, many
from rounds.logbook.entries import Candled, EggsLost, EggsSeen, Hatched
from rounds.logbook.times import days_between
from rounds.logbook.words import EggSign

_WORDS: Final[dict[EggSign, str]] = {
    "leaking": "leaking",
    "mould": "with mould",
    "dented": "dented",
    "discoloured": "discoloured",
}
_PRESSING: Final = frozenset({"leaking", "mould"})
#: What answers a sign, as the last step of each.
_ANSWER: Final = "Looks right again? Write a look with nothing wrong. Taken out? Write it down."


@cites("eggs.sign_days")
@needs(EggsSeen)
def eggs_look_wrong(look: Look) -> Iterator[Matter]:
    """Eggs in a box are mouldy, leaking, dented or discoloured.

    Today for mould and for a leak: they spoil their neighbours. Watch for dents (dry? weigh the box) and an odd
    colour. It stands until a later look finds nothing wrong, or so many eggs were taken out; dents and colour for a
    week at most.
    """
    eggs = look.clutch
    if not eggs.may_be_left:
        return
    standing = [(sign, seen) for sign in _WORDS if (seen := _unanswered(look, sign)) is not None]
    if not standing:
        return
    signs = [sign for sign, _ in standing]
    told = " and ".join(
        f"{seen.count if seen.count is not None else 'some'} {_WORDS[sign]}" for sign, seen in standing
    )
    entries = {seen.id: seen for _, seen in standing}
    pressing = not _PRESSING.isdisjoint(signs)
    steps: list[str] = []
    if pressing:
        steps.append("Candle them; take out what is spoiled and loose. Never tear apart eggs that stick together.")
    if "dented" in signs:
        steps.append(f"Dented: is the medium dry? Weigh the box{_box_words(look)}.")
    if "discoloured" in signs:
        steps.append("An odd colour: candle it.")
    yield _there(
        standing[0][1].place,
        look.matter(
            eggs_look_wrong,
            Level.TODAY if pressing else Level.WATCH,
            f"{eggs.called}: {told}, {day(max(seen.at for _, seen in standing))}.",
            since=min(seen.at for _, seen in standing),
            entries=tuple(sorted(entries.values(), key=lambda one: one.key)),
            do=(*steps, _ANSWER),
            worsens="mould goes from egg to egg" if pressing else "mould or a leak: today",
            acts=("eggs", "note"),
        ),
    )


def _there(place: str | None, matter: Matter) -> Matter:
    """The matter at the box where it was seen, if that was said."""
    return matter if place is None else replace(matter, place=place)


def _box_words(look: Look) -> str:
    """What its box should weigh, where that is known."""
    from rounds.standing.egg_boxes import boxes_at  # late: no start has to wait for it

    place = look.clutch.place
    boxes = boxes_at(look.standing, place, look.house.egg_figures) if place else ()
    box = next((one for one in boxes if any(eggs.subject == look.subject for eggs in one.clutches)), None)
    return f", target {box.target:.0f} g" if box is not None and box.target is not None else ""


def _unanswered(look: Look, sign: EggSign) -> EggsSeen | None:
    """The newest look with this sign that no later one, and no egg taken out, has answered."""
    page, eggs = look.clutch.page, look.clutch
    own = [one for one in page.of(EggsSeen) if one.about == look.subject]
    # Of eggs in one place every look is at all of them.
    one_place = len({box.place for box in eggs.in_boxes.boxes}) == 1
    for seen in reversed(own):
        if sign not in seen.signs:
            continue
        if sign not in _PRESSING and look.days_since(seen.at) > look.house.days("eggs.sign_days"):
            return None
        clear = any(
            not one.signs and one.key > seen.key and (one_place or one.place in (None, seen.place)) for one in own
        )
        lost = sum(
            one.count
            for one in page.of(EggsLost)
            if one.key > seen.key and (one.place is None or seen.place is None or one.place == seen.place)
        )
        if clear or lost >= (seen.count or 1) or (seen.place is not None and not eggs.may_lie_in(seen.place)):
            return None
        return seen
    return None


def hatches_from(look: Look) -> date:
    """The day from which hatching is looked for: by the house rule, or by the forecast where that is sooner."""
    from rounds.due.hatching import hatch_forecast  # late: no start has to wait for it

    started = look.clutch.started
    assert started is not None
    by_rule = look.in_days(started, look.house.days("eggs.hatch_from_days"))
    found = hatch_forecast(look.standing, look.house, look.now, look.subject)
    return by_rule if found is None else min(by_rule, found.window_begins)


@cites("eggs.hatch_from_days", "eggs.sweat_hours", "eggs.sign_days")
@needs(EggsSeen)
def eggs_sweating(look: Look) -> Iterator[Matter]:
    """Eggs sweat: near their time they hatch in about a day; long before it they may be too wet.

    Today near their time, by the house rule or sooner by the forecast; else watch. It ends when one pipped or
    hatched, at a later look with nothing wrong, and after a week.
    """
    eggs = look.clutch
    seen = _unanswered(look, "sweating")
    if seen is None or eggs.started is None or not eggs.may_be_left:
        return
    after = [one for one in eggs.page.of(EggsSeen) if "pipped" in one.signs and one.key > seen.key]
    if after or any(one.about == look.subject and one.key > seen.key for one in eggs.page.of(Hatched)):
        return
    number = days_between(eggs.started, seen.at)
    near = seen.at.date() >= hatches_from(look)
    hours = look.house.number("eggs.sweat_hours")
    yield _there(
        seen.place,
        look.matter(
            eggs_sweating,
            Level.TODAY if near else Level.WATCH,
            f"{eggs.called} sweats, day {number}: may hatch in about {hours:g} h."
            if near
            else f"{eggs.called} sweats early, day {number}: too wet?",
            since=seen.at,
            entries=(seen,),
            do=("Have a tub ready for the young; look again morning and evening.", "Do not open an egg.")
            if near
            else ("Weigh the box; add no water above its target.", "Look for drops under the lid.", _ANSWER),
            worsens="young dry out in a box that no one opens" if near else "wet eggs mould",
            acts=("eggs", "note"),
        ),
    )


@cites("eggs.candle_days")
@needs(Candled)
def candled_clear(look: Look) -> Iterator[Matter]:
    """Eggs were still clear at the last candling, when veins should be seen.

    Watch, from day 14 on. It ends when so many were taken out, or a later candling finds none.
    """
    eggs = look.clutch
    if eggs.started is None or not eggs.left_to_hatch or eggs.hatched:
        return
    looks = [one for one in eggs.page.of(Candled) if one.about == look.subject]
    whole = max((one.key for one in looks if one.place is None), default=None)
    # The newest of each box, those from before all boxes were candled together left aside.
    newest = {one.place: one for one in looks if whole is None or one.key >= whole}
    _, until = look.house.band("eggs.candle_days")
    late = [one for one in newest.values() if one.clear and days_between(eggs.started, one.at) >= until]
    left = sum(max(0, one.clear - _lost_since(look, one)) for one in late)
    if not left:
        return
    last = max(late, key=lambda one: one.key)
    yield _there(
        last.place,
        look.matter(
            candled_clear,
            Level.WATCH,
            f"{eggs.called}: {many(left, 'egg')} clear on day {days_between(eggs.started, last.at)}. Take out?",
            since=min(one.at for one in late),
            entries=tuple(sorted(late, key=lambda one: one.key)),
            do=(
                "Candle them once more. Clear, no veins, no shadow: take them out and write them down.",
                "In doubt leave it in, while it neither moulds nor leaks.",
            ),
            worsens="a spoiled egg moulds",
            acts=("eggs", "note"),
        ),
    )


def _lost_since(look: Look, candled: Candled) -> int:
    return sum(
        one.count
        for one in look.clutch.page.of(EggsLost)
        if one.key > candled.key and (one.place is None or candled.place is None or one.place == candled.place)
    )
