"""Egg boxes at their stops: when they are weighed and topped up, and when their eggs are candled."""

from __future__ import annotations

from collections.abc import Iterator

from rounds.due.line import DueLine
from rounds.due.round import Round
from rounds.logbook.entries import Candled, EggsBoxed
from rounds.logbook.times import hours_between
from rounds.standing.clutch import Clutch
from rounds.standing.egg_box import EggBox
from rounds.standing.egg_boxes import boxes_at, holds_eggs


def egg_box_lines(around: Round, place: str) -> Iterator[DueLine]:
    """What is due to the egg box that stands here, or to the boxes without a name on this shelf."""
    if not holds_eggs(around.standing, place):
        return
    for box in boxes_at(around.standing, place, around.house.egg_figures):
        if box.clutches:
            yield from weigh_box_lines(around, box)
            for eggs in box.clutches:
                yield from candle_lines(around, box, eggs)


def weigh_box_lines(around: Round, box: EggBox) -> Iterator[DueLine]:
    """Its weekly weighing; between two of them the water that was asked for and not added."""
    key = "eggs.weigh_days"
    last = around.day_of(box.last.entry) if box.last is not None else None
    opened = around.day_of_moment(box.since) if box.since is not None else None
    due = around.fell_due(key, last, opened)
    house: tuple[str, ...] = (key,)
    if due is not None:
        target = f", target {box.target:.0f} g" if box.target is not None else ""
        says = f"weigh{target}"
    elif box.top_up is not None and last is not None:
        due, house = last, ("eggs.top_up_g", "eggs.top_up_percent")
        says = f"top up {water_words(box.top_up)}"
    else:
        return
    yield DueLine(
        care="egg box",
        about=box.key,
        place=box.place,
        says=says,
        due=due,
        late_days=around.late(due),
        plain=False,
        house=house,
        left_out=around.left_out("egg box", box.key, box.place),
    )


def water_words(grams: float) -> str:
    """`7 g (7 ml)`: water to be added, to the half gram."""
    shown = f"{round(grams * 2) / 2:g}"
    return f"{shown} g ({shown} ml)"


def is_up_marked(eggs: Clutch, place: str) -> bool:
    """Whether the up-side of a clutch's eggs in a place is marked, or they were candled as they were put in."""
    marked = [box for box in eggs.page.of(EggsBoxed) if box.up_marked and box.place == place]
    return bool(marked) or any(one.up_marked and one.place in (None, place) for one in eggs.page.of(Candled))


def candle_lines(around: Round, box: EggBox, eggs: Clutch) -> Iterator[DueLine]:
    """Candling: on day 0 for the up-side, while eggs may still be turned; from day 10 to 14 for veins.

    Within those hours and days it is due and not late.
    """
    house, started = around.house, eggs.started
    if started is None:
        return
    boxed = [one for one in eggs.in_boxes.boxes if one.place == box.place]
    # The date that stands on the lid: laid after midnight, eggs are of the new day, whoever's walk it still was.
    first_day, opens = started.date(), house.band("eggs.candle_days")
    fresh = hours_between(started, around.now) <= house.number("eggs.up_side_hours")
    keys: tuple[str, ...]
    looks = [one for one in eggs.page.of(Candled) if one.place in (None, box.place)]
    if fresh and boxed and not is_up_marked(eggs, box.place) and not looks:
        due, late = around.day_of(boxed[0]), 0
        says, keys = "candle and mark the up-side", ("eggs.up_side_hours",)
    else:
        due = around.later(first_day, int(opens[0]))
        late = around.late(around.later(first_day, int(opens[1])))
        lapsed = (around.day - first_day).days > house.days("eggs.candle_lapses_days")
        if due > around.day or lapsed or any(around.day_of(one) >= due for one in looks):
            return
        says, keys = "candle for veins", ("eggs.candle_days", "eggs.candle_lapses_days")
    yield DueLine(
        care="candle",
        about=eggs.subject,
        place=box.place,
        says=f"{says}, day {max(0, (around.day - first_day).days)}",
        due=due,
        late_days=late,
        plain=False,
        house=keys,
        left_out=around.left_out("candle", eggs.subject, box.place),
    )


def next_weighing(around: Round, box: EggBox) -> str | None:
    """The day on which it is weighed next, as ISO date; None where the calendar says when, or it holds no eggs."""
    value = around.house.rule("eggs.weigh_days").value
    if not box.clutches or not isinstance(value, int | float):
        return None
    if box.last is None:
        return around.day.isoformat()
    return around.later(around.day_of(box.last.entry), int(value)).isoformat()
