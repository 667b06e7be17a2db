"""The egg box at the scale: made up, eggs put in, weighed and topped up, set onto a shelf."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from datetime import timedelta
from typing import Any, Final

from rounds.desk.egg_slips import too_much_water
from rounds.due.egg_boxes import water_words
from rounds.logbook.drafts import Draft, draft
from rounds.logbook.entries import EggBoxMadeUp, EggBoxShelved, EggBoxWeighed, EggsBoxed
from rounds.logbook.words import Medium
from rounds.paper.boxes import lid_words, weight_words
from rounds.paper.making_up import EVEN, potential_words, running_words
from rounds.paper.words import day_words
from rounds.rules.plausible_box import box_doubt
from rounds.screens.prompts.asks import Ask, Figure, Found, Search, Talk
from rounds.screens.prompts.choices import Choice, Confirm, Option
from rounds.screens.prompts.finding import find, label
from rounds.screens.prompts.saving import Save
from rounds.screens.prompts.scale import TopUp
from rounds.screens.prompts.words import Words
from rounds.screens.record.host import Host
from rounds.standing.clutch import Clutch, clutch
from rounds.standing.egg_box import EggBox
from rounds.standing.egg_boxes import boxes_at, egg_box, is_egg_box
from rounds.standing.enclosure import enclosure
from rounds.standing.fold import Standing
from rounds.standing.water import still_to_add, water_needed

#: The heaviest egg box that an entry takes, in g.
MOST_BOX: Final = 50_000.0
#: A clutch that nothing was written of for so long is not offered to be boxed.
_LATELY: Final = timedelta(days=90)


def weigh_box(screen: Host, box: EggBox, typed: str) -> Talk:
    """The box's weight, typed straight in; then the water it is short of. One entry, written at the last Enter."""
    desk = screen.shift.desk
    hint = f"{weight_words(box)}, {day_words(box.last.at, screen.shift.now())}" if box.last else weight_words(box)
    while True:
        grams = yield Figure(
            f"Weight of the egg box {box.name}, lid on", typed=typed, unit="g", hint=hint, most=MOST_BOX
        )
        if not grams:
            screen.say("A weight of nothing was not written.", "today")
            return
        own = box.of_clutch
        doubt = box_doubt(desk.standing, desk.house, box.place, own, grams, screen.shift.now())
        if not doubt:
            break
        answer = yield Confirm([doubt], yes=f"{grams:g} g is right", no="again", by_enter=False, figure=True)
        if answer is True:
            break
        typed = answer or ""
    fields: dict[str, object] = {"grams": grams} | ({"clutch": own} if own is not None else {})
    water = box.top_up_for(grams)
    if water is not None:
        added = yield from _topped_up(screen, box, grams, water)
        if added:
            fields["added_grams"] = added
    saved = yield Save(Draft(EggBoxWeighed, box.place, fields))
    if saved:
        over = box.short_by(grams)
        above = f", {-over:.0f} g above its target" if over is not None and -over >= box.least_top_up else ""
        screen.say(f"{box.name}: {saved[0].phrase()}{above}", "good")


def _topped_up(screen: Host, box: EggBox, grams: float, water: float) -> Generator[Ask, Any, float]:
    """How much water was added, in g; what is far more than the box takes may be the weight of the next one."""
    offered, typed = round(water * 2) / 2, ""
    while True:
        added: float = yield TopUp(
            f"Top up {water_words(water)}: added",
            offered,
            typed=typed,
            hint=f"{grams:g} g of {box.target:.0f} g. Enter: {offered:g} g added. 0 Enter: none.",
            stays=f"{grams:g} g is not lost. Enter: {offered:g} g added. 0 Enter: none added.",
        )
        doubt = too_much_water(screen.shift.desk.house, box, grams, added)
        if not doubt:
            return added
        answer = yield Confirm([doubt], yes=f"{added:g} g is right", no="again", by_enter=False, figure=True)
        if answer is True:
            return added
        typed = answer or ""


# Making it up


def make_up(screen: Host, place: str, earlier: Talk | None = None) -> Talk:
    """Medium, tare, dry weight and ratio; how much water; then reading after reading what is still to be added.

    The box is on disk as soon as its target is known; the readings only lead there. The last of them is written as
    the box's first weighing. `earlier` asks for a box that was made up before now, with its time.
    """
    shift = screen.shift
    name = shift.desk.standing.name(place)
    if not is_egg_box(shift.desk.standing, place):
        screen.say("This box has no name: set it up with F2 as an egg box, then make it up.", "today")
        return
    medium: Medium | None = yield Choice(
        f"{name}: medium",
        [
            Option("v", "vermiculite", "vermiculite"),
            Option("p", "perlite", "perlite"),
            Option("s", "sphagnum", "sphagnum"),
            Option("o", "other", "other"),
            *([Option("e", "made up earlier", None)] if earlier is not None else []),
        ],
    )
    if medium is None:
        yield from earlier or ()
        return
    tare = yield Figure(
        f"{name}: the empty box, lid on, weighs",
        unit="g",
        optional=True,
        hint="Enter alone: not weighed, the scale was set to zero with the box on it",
        most=MOST_BOX,
    )
    fields: dict[str, object] = {"medium": medium}
    fields |= {"tare_grams": tare} if tare else {}
    dry: float | None = None
    ratio: float | None = None
    if medium == "vermiculite":
        dry = yield from _figure_over_nothing(f"{name}: dry {medium}, without the box")
        ratio_rule = shift.desk.house.number("eggs.ratio")
        ratio = yield Figure(
            f"{name}: water to 1 of dry, by weight",
            optional=True,
            hint=f"Enter alone: {ratio_rule:g} (house rule)",
            most=10,
        )
        ratio = ratio or ratio_rule
        water = round(water_needed(dry, ratio), 2)
        fields |= {"dry_grams": dry, "ratio": ratio, "water_grams": water}
        head, target = f"{medium} {dry:g} g dry, water {ratio:g} : 1 by weight", dry + water
    else:
        gross = yield from _figure_over_nothing(f"{name}: box, {medium} and water together shall weigh")
        fields["target_grams"] = gross
        head, target = f"{medium}, target {gross:g} g", gross
        if tare and tare < gross:
            dry = yield Figure(
                f"{name}: dry {medium}, without the box",
                unit="g",
                optional=True,
                hint="Enter alone: not weighed; then too much water can only be poured off",
                most=MOST_BOX,
            )
            water = round(gross - tare - (dry or 0.0), 2)
            if dry and water > 0:
                target, ratio = gross - tare, water / dry
                fields |= {"dry_grams": dry, "water_grams": water}
            else:
                dry = None
    shelf = yield from _shelf(screen, place)
    fields |= {"shelf": shelf} if shelf else {}
    before = egg_box(shift.desk.standing, place, shift.desk.house.egg_figures).made_up
    lid = yield Words(
        f"{name}: on the lid", offered=(before.lid if before else "") or name, optional=True, most=200
    )
    fields |= {"lid": lid} if lid else {}
    saved = yield Save(Draft(EggBoxMadeUp, place, fields))
    if not saved:
        return
    taken_off = (tare or 0.0) if dry is not None else 0.0
    last = yield from _watered(
        f"{name}   {head}", target, taken_off, dry, ratio, Draft(EggBoxMadeUp, place, fields)
    )
    if last is not None and (tare or dry is None):
        yield Save(draft(EggBoxWeighed, place, grams=last))
    eggs_in = f"Eggs in: {screen.label('egg-check')}, then b."
    screen.say(f"{name}: made up, {head}{potential_words(medium, ratio)}. {eggs_in}", "good")


def _figure_over_nothing(title: str) -> Generator[Ask, Any, float]:
    while True:
        figure = yield Figure(title, unit="g", most=MOST_BOX)
        if figure:
            return float(figure)


def _watered(
    title: str, target: float, tare: float, dry: float | None, ratio: float | None, made: Draft
) -> Generator[Ask, Any, float | None]:
    """Reading after reading, what is still to be added; the last reading, None without any.

    `target` is without the tare. Once there is too much water, a higher reading is of dry medium that was added:
    then the target grows with it, and the box is written down again as it is.
    """
    reading: float | None = None
    again = False
    while True:
        says = running_words(target, reading, tare, ratio)
        typed = yield Figure(
            f"{title}   scale",
            unit="g",
            optional=True,
            hint=f"{says} Next reading, or Enter alone: done.",
            stays="The box is written down. Enter alone: done.",
            most=MOST_BOX,
        )
        if typed is None:
            break
        before = still_to_add(target, reading, tare) if reading is not None else 0.0
        if dry is not None and ratio is not None and reading is not None and before < -EVEN and typed > reading:
            dry = round(dry + typed - reading, 2)
            target, again = dry + water_needed(dry, ratio), True
        reading = typed
    if again and dry is not None and ratio is not None:
        fields = {**made.fields, "dry_grams": dry, "water_grams": round(water_needed(dry, ratio), 2)}
        if "target_grams" in fields:
            fields["target_grams"] = round(target + tare, 2)
        yield Save(made._replace(fields=fields))
    return reading


# Where it stands


def _shelves(standing: Standing) -> list[str]:
    return [
        one
        for one in standing.subjects("enclosure")
        if standing.card(one).here and standing.card(one).what == "incubator shelf"
    ]


def _shelf(screen: Host, place: str) -> Generator[Ask, Any, str | None]:
    """The shelf it is set onto; the only one is not asked for."""
    standing = screen.shift.desk.standing
    shelves = _shelves(standing)
    if len(shelves) < 2:
        return shelves[0] if shelves else None
    box = egg_box(standing, place, screen.shift.desk.house.egg_figures)
    found = [Found(label(standing, one), one) for one in shelves]
    found.sort(key=lambda one: one.value != box.shelf)
    answer: str | None = yield Search(
        f"{standing.name(place)}: onto which shelf",
        lambda typed: find(standing, typed, "enclosure") if typed.strip() else found,
        optional=True,
    )
    return answer


def shelve(screen: Host, box: EggBox) -> Talk:
    """Set the box onto another shelf."""
    standing = screen.shift.desk.standing
    if box.of_clutch is not None:
        screen.say("This box has no name: set it up with F2 as an egg box, then box the eggs into it.", "today")
        return
    shelves = [one for one in _shelves(standing) if one != box.shelf]
    if not shelves:
        screen.say("There is no other shelf. F2 sets one up.", "today")
        return
    found = [Found(label(standing, one), one) for one in shelves]
    shelf = yield Search(
        f"{box.name}: onto which shelf",
        lambda typed: find(standing, typed, "enclosure") if typed.strip() else found,
    )
    saved = yield Save(draft(EggBoxShelved, box.place, shelf=shelf))
    if saved:
        screen.say(f"{box.name}: set onto {standing.name(shelf)}", "good")


# Eggs into it


def waiting(screen: Host) -> list[Clutch]:
    """The clutches of which sound eggs are in no box, the newest first; only those that were written of lately."""
    standing, now = screen.shift.desk.standing, screen.shift.now()
    newest = standing.register.newest
    lately = [subject for subject, at in newest.items() if subject.startswith("clutch/") and now - at <= _LATELY]
    lately.sort(key=lambda subject: (newest[subject], subject), reverse=True)
    found = [clutch(standing, subject) for subject in lately]
    return [one for one in found if one.unboxed and not one.in_boxes.again]


def box_eggs(screen: Host, place: str, offered: Sequence[str] = ()) -> Talk:
    """Eggs of a clutch into this box: whose, how many, what they weigh, the up-side, the box closed."""
    shift = screen.shift
    standing, house = shift.desk.standing, shift.desk.house
    name = standing.name(place)
    first = list(dict.fromkeys((*offered, *(one.subject for one in waiting(screen)))))
    ready = [
        Found(f"{clutch(standing, one).called}  {clutch(standing, one).unboxed} not boxed", one) for one in first
    ]
    subject = yield Search(
        f"Into {name}: eggs of which clutch",
        lambda typed: find(standing, typed, "clutch") if typed.strip() or not ready else ready,
        by_enter=len(ready) == 1,  # of several one is chosen
    )
    eggs = clutch(standing, subject)
    out_of = None if eggs.unboxed else _only_other_place(eggs, place)
    left = eggs.unboxed or (eggs.left_in(out_of) or 0 if out_of is not None else 0)
    where = f" out of {standing.name(out_of)}" if out_of else ""
    count = yield Figure(
        f"{eggs.called}: how many eggs into {name}{where}",
        whole_number=True,
        optional=bool(left),
        hint=f"Enter alone: all {left}" if left else "none is known to be without a box",
        most=100_000,
    )
    count = left if count is None else count
    if not count:
        screen.say("No egg: nothing was written.", "today")
        return
    weight = yield Figure(
        f"{eggs.called}: the {count} eggs together",
        unit="g",
        optional=True,
        hint="Enter alone: not weighed",
        most=5_000,
    )
    up = yield Choice(
        "Is the up-side of each egg marked?",
        [Option("y", "marked", True), Option("n", "not marked yet", False)],
        by_digits=False,
    )
    whole = yield Figure(
        f"{name} with its eggs, closed", unit="g", optional=True, hint="Enter alone: not weighed", most=MOST_BOX
    )
    made = egg_box(standing, place, house.egg_figures).made_up if is_egg_box(standing, place) else None
    fields: dict[str, object] = {"count": count, "place": place}
    fields |= {"medium": _medium_words(made)} if made is not None else {}
    fields |= {"eggs_grams": weight} if weight else {}
    fields |= {"up_marked": True} if up else {}
    fields |= {"box_grams": whole} if whole else {}
    fields |= {"out_of": out_of} if out_of else {}
    saved = yield Save(Draft(EggsBoxed, subject, fields))
    if saved:
        standing = shift.desk.standing
        box = next(one for one in boxes_at(standing, place, house.egg_figures) if one.of_clutch in (None, subject))
        rest = clutch(standing, subject).unboxed
        more = f" {rest} not boxed yet." if rest and not clutch(standing, subject).in_boxes.again else ""
        screen.say(f"Lid: {lid_words(box, shift.now())}.{more}", "good")


def _medium_words(made: EggBoxMadeUp) -> str:
    return f"{made.medium} {made.ratio:g} : 1 by weight" if made.ratio is not None else made.medium


def _only_other_place(eggs: Clutch, place: str) -> str | None:
    others = [one for one, many in (eggs.in_boxes.shares or {}).items() if many and one and one != place]
    return others[0] if len(others) == 1 else None


def weighs(screen: Host, place: str, typed: str = "") -> Talk:
    """Weigh the box of a place; of several without a name it is asked which. `typed` are digits typed so far."""
    standing = screen.shift.desk.standing
    boxes = boxes_at(standing, place, screen.shift.desk.house.egg_figures)
    if not boxes:
        screen.say(f"No egg box in {enclosure(standing, place).name}.", "today")
        return
    box = boxes[0]
    if len(boxes) > 1:
        options = [Option(chr(97 + n), one.name, one) for n, one in enumerate(boxes[:20])]
        box = yield Choice("Which box?", options, by_digits=False)  # its weight may be typed already
    yield from weigh_box(screen, box, typed)
