"""Eggs looked at in their box, a few keys each: candled, signs seen, taken out, failed."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any, Final

from rounds.logbook.drafts import Draft, draft
from rounds.logbook.entries import Candled, EggsLost, EggsSeen
from rounds.logbook.words import EGG_LOOKS, EggSign
from rounds.screens.prompts.asks import Ask, Figure, Talk
from rounds.screens.prompts.choices import Choice, Option
from rounds.screens.prompts.saving import Save
from rounds.screens.prompts.scale import Count
from rounds.screens.prompts.words import Words
from rounds.screens.record.egg_boxes import box_eggs, make_up, shelve, weigh_box
from rounds.screens.record.hatching import hatched
from rounds.screens.record.host import Host
from rounds.screens.record.quick import climate
from rounds.standing.census import census
from rounds.standing.clutch import Clutch
from rounds.standing.egg_box import EggBox

#: The letter of each sign in the menu of an egg box.
SIGN_KEYS: Final[dict[EggSign, str]] = {
    "dented": "d",
    "mould": "m",
    "sweating": "s",
    "discoloured": "o",
    "leaking": "k",
    "pipped": "p",
}
_WHY: Final = (
    Option("m", "mould", "mould"),
    Option("c", "candled clear", "clear"),
    Option("d", "dented, dried", "dented"),
    Option("k", "leaking", "leaking"),
    Option("w", "in words …", ""),
)


def eggs_menu(screen: Host, box: EggBox, eggs: Clutch | None) -> Talk:
    """What is done with a box and its eggs: one letter, then a count."""
    assert set(SIGN_KEYS) == set(EGG_LOOKS)
    made = [
        Option("b", "box eggs into it", "box"),
        Option("u", "make it up", "make up"),
        Option("v", "set onto a shelf", "shelve"),
    ]
    inside = [Option("t", "temperature inside", "inside"), Option("l", "logger inside", "logger")]
    if eggs is None:
        what = yield Choice(f"{box.name}, empty", [made[1], made[0], made[2]], by_digits=False)
    else:
        what = yield Choice(
            f"{box.name}: eggs of {eggs.called}",
            [
                Option("c", "candle", "candle"),
                *(Option(key, sign, sign) for sign, key in SIGN_KEYS.items()),
                Option("n", "nothing wrong", "fine"),
                Option("a", "up-side marked", "up"),
                Option("x", "taken out", "out"),
                Option("f", "failed", "failed"),
                Option("h", "hatched …", "hatched"),
                Option("w", "weigh the box", "weigh"),
                *(inside if box.of_clutch is None else ()),
                *made,
            ],
            by_digits=False,
        )
    if what == "box":
        yield from box_eggs(screen, box.place)
    elif what == "make up":
        yield from make_up(screen, box.place)
    elif what == "shelve":
        yield from shelve(screen, box)
    elif what == "weigh":
        yield from weigh_box(screen, box, "")
    elif what == "inside":
        yield from climate(screen, box.place, inside=True)
    elif what == "logger":
        from rounds.screens.record.logger import logger  # late: no start has to wait for it

        yield from logger(screen, box.place)
    elif eggs is not None:
        yield from _looked_at(screen, box, eggs, what)


def _looked_at(screen: Host, box: EggBox, eggs: Clutch, what: str) -> Talk:
    if what == "candle":
        yield from candle(screen, box, eggs)
    elif what == "hatched":
        yield from hatched(screen, eggs.subject, box.place)
    elif what in ("out", "failed"):
        yield from taken_out(screen, box, eggs, how="failed" if what == "failed" else "removed")
    elif what == "up":
        yield from _written(screen, box, draft(Candled, eggs.subject, place=box.place, up_marked=True))
    elif what == "fine":
        yield from _written(screen, box, draft(EggsSeen, eggs.subject, place=box.place))
    else:
        count = yield from _count(f"{eggs.called}: how many {what}", optional=True)
        fields: dict[str, object] = {"signs": (what,), "place": box.place}
        fields |= {"count": count} if count else {}
        yield from _written(screen, box, Draft(EggsSeen, eggs.subject, fields))


def _written(screen: Host, box: EggBox, wanted: Draft) -> Talk:
    saved = yield Save(wanted)
    if saved:
        said = saved[0].phrase().replace(f" in {box.place.rpartition('/')[2]}", "")
        screen.say(f"{box.name}: {said}", "good")


def _count(title: str, *, optional: bool) -> Generator[Ask, Any, int | None]:
    answer = yield Count(title, optional=optional)
    if answer == "more":
        answer = yield Figure(title, whole_number=True, most=100_000)
    return answer if isinstance(answer, int) else None


def candle(screen: Host, box: EggBox, eggs: Clutch) -> Talk:
    """The fertile ones are typed; of the others it is asked how many are clear, the rest is unclear."""
    here = eggs.left_in(box.place)
    left = eggs.left_to_hatch if here is None else here
    fertile = yield Figure(
        f"{eggs.called}: fertile, of {left} in {screen.shift.desk.standing.name(box.place)}",
        whole_number=True,
        hint="veins or a dark shadow; the others are asked for",
        most=100_000,
    )
    rest, clear = max(0, left - fertile), 0
    if rest:
        clear = yield Count(
            f"{eggs.called}: the other {rest}",
            optional=False,
            others=[Option("c", "all clear", rest), Option("u", "all unclear", 0)],
            digit="the clear ones",
            behind_figure=True,
            most=rest,
        )
        if clear == "more":
            clear = yield Figure(f"{eggs.called}: clear, of {rest}", whole_number=True, most=rest)
    yield from _written(
        screen,
        box,
        draft(Candled, eggs.subject, fertile=fertile, unclear=rest - clear, clear=clear, place=box.place),
    )


def taken_out(screen: Host, box: EggBox, eggs: Clutch, *, how: str) -> Talk:
    """Eggs taken out, or left over that never hatched: how many, and why."""
    done = "taken out" if how == "removed" else "failed"
    count = yield from _count(f"{eggs.called}: how many {done}", optional=False)
    why = ""
    if how == "removed":
        why = yield Choice("Why?", _WHY, by_digits=False)
        if not why:
            why = (yield Words("Why?", optional=True)) or ""
    fields: dict[str, object] = {"count": count, "how": how, "place": box.place}
    fields |= {"why": why} if why else {}
    saved = yield Save(Draft(EggsLost, eggs.subject, fields))
    if saved:
        after = screen.shift.desk.standing
        screen.say(f"{eggs.called}: {census(after, eggs.subject).words}", "good")
