"""Egg boxes: one that dries fast, one that takes on water, one that no one weighs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites, needs
from rounds.due.matters.wording import day, listed, many
from rounds.logbook.entries import EggBoxMadeUp, EggBoxWeighed, EggsBoxed, Entry

if TYPE_CHECKING:
    from rounds.standing.egg_box import EggBox, Stretch  # late: no start has to wait for it

#: Said wherever a loss is judged: what the eggs take up never shows as a loss.
_EGGS_DRINK = "Eggs drink too: the box has lost more water than the scale shows."


def _boxes(look: Look) -> list[EggBox]:
    """The boxes here with eggs in them."""
    from rounds.standing.egg_boxes import boxes_at  # late: no start has to wait for it

    return [box for box in boxes_at(look.standing, look.subject, look.house.egg_figures) if box.clutches]


def _last(box: EggBox) -> Stretch | None:
    """The stretch that ends with the last weighing, where what it lost is known."""
    stretch = box.stretches[-1] if box.stretches else None
    if stretch is None or not stretch.sure or box.last is None or stretch.last.entry.id != box.last.entry.id:
        return None
    return stretch


@cites("eggs.fast_times", "eggs.habit_stretches", "eggs.top_up_g", "eggs.top_up_percent")
@needs(EggBoxWeighed)
def egg_box_dries_fast(look: Look) -> Iterator[Matter]:
    """An egg box lost water much faster than it did before.

    Held against its own habit, the median of its earlier losses a day, with the eggs and the water that came and
    went taken off. Too few weighings make no habit. The eggs drink too: a loss understates how much it dried.
    It ends with a weighing at which it lost no more than is usual.
    """
    from rounds.due.egg_boxes import water_words  # late: no start has to wait for it

    for box in _boxes(look):
        stretch = _last(box)
        usual = box.habit(stretch) if stretch is not None else None
        if stretch is None or usual is None:
            continue
        floor = box.least_top_up / look.house.number("eggs.weigh_days") if _weekly(look) else 0.0
        if stretch.loss < box.least_top_up or stretch.rate <= look.house.number("eggs.fast_times") * max(
            usual, floor
        ):
            continue
        water = f" Top up {water_words(box.top_up)}." if box.top_up is not None else ""
        habit = f"its habit is {usual * stretch.days:.0f} g"
        yield look.matter(
            egg_box_dries_fast,
            Level.TODAY,
            f"{box.name} dries fast: {stretch.loss:.0f} g in {many(round(stretch.days), 'day')}, {habit}.{water}",
            since=stretch.last.at,
            entries=(stretch.first.entry, stretch.last.entry),
            do=(
                "Top up what it lost; look at the lid, its holes, and the fan above it.",
                "Weigh it again soon, to see whether it goes on.",
                _EGGS_DRINK,
            ),
            worsens="eggs dent when their medium dries",
            acts=("egg box", "note"),
        )


def _weekly(look: Look) -> bool:
    return isinstance(look.house.rule("eggs.weigh_days").value, int | float)


@cites("eggs.top_up_g", "eggs.top_up_percent")
@needs(EggBoxWeighed)
def egg_box_takes_on_water(look: Look) -> Iterator[Matter]:
    """An egg box weighs more than at its last weighing, with the water added then.

    Water was added and not written down, or drops from the lid or the incubator get in. It ends with a weighing at
    which it did not gain.
    """
    for box in _boxes(look):
        stretch = _last(box)
        if stretch is None or -stretch.loss < box.least_top_up:
            continue
        yield look.matter(
            egg_box_takes_on_water,
            Level.WATCH,
            f"{box.name} gained {-stretch.loss:.0f} g of water in {many(round(stretch.days), 'day')}.",
            since=stretch.last.at,
            entries=(stretch.first.entry, stretch.last.entry),
            do=(
                "Water added and not written down? Correct the weighing.",
                "Else look for drops on the lid and wet medium; squeezed it clumps and does not drip.",
            ),
            worsens="eggs in wet medium sweat and mould",
            acts=("egg box", "note"),
        )


@cites("eggs.not_weighed_days", "eggs.weigh_days")
@needs(EggsBoxed, EggBoxMadeUp)
def egg_box_not_weighed(look: Look) -> Iterator[Matter]:
    """Eggs lie in a box that no one weighed for two weeks.

    Watch. Counted from its last weighing; from the day the eggs were put in where there was none.
    """
    late: list[tuple[EggBox, int]] = []
    for box in _boxes(look):
        from_then = box.last.at if box.last is not None else min((one.entry.at for one in box.moves), default=None)
        if from_then is not None and look.days_since(from_then) >= look.house.days("eggs.not_weighed_days"):
            late.append((box, look.days_since(from_then)))
    if not late:
        return
    late.sort(key=lambda one: (-one[1], one[0].name))
    oldest = late[0][0]
    names = listed([box.name for box, _ in late[:4]] + ([f"{len(late) - 4} more"] if len(late) > 4 else []))
    behind: list[Entry] = [oldest.last.entry if oldest.last is not None else oldest.moves[0].entry]
    when = f"since {day(behind[0].at)}" if oldest.last is not None else f"yet, eggs in it since {day(behind[0].at)}"
    yield look.matter(
        egg_box_not_weighed,
        Level.WATCH,
        f"Weigh the egg box: {names} not weighed {when}.",
        since=look.midnight(look.in_days(behind[0].at, look.house.days("eggs.not_weighed_days"))),
        entries=tuple(behind),
        do=("Weigh it with its lid as always, top up what it lost, and write both down.",),
        worsens="no one sees how dry it is",
        acts=("egg box", "note"),
    )
