"""Egg boxes: the eggs in each and their days, what it should weigh and did, what to top up, what is due."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from rounds.due.egg_boxes import egg_box_lines, is_up_marked, next_weighing, water_words
from rounds.due.line import DueLine
from rounds.due.round import Round
from rounds.logbook.entries.base import grams
from rounds.logbook.times import days_between
from rounds.paper.page import Page
from rounds.paper.plain_text import cut, shown
from rounds.paper.values import Values, due_values, moment
from rounds.paper.words import date_words, many
from rounds.rules.house import House
from rounds.rules.settings import Settings
from rounds.standing.as_of import as_of
from rounds.standing.census import census
from rounds.standing.clutch import Clutch
from rounds.standing.egg_box import EggBox
from rounds.standing.egg_boxes import boxes_at, boxes_on, egg_boxes, holds_eggs
from rounds.standing.fold import Standing
from rounds.standing.water import potential

#: Columns for the name of a box before what is said of it.
_NAME = 24


def boxes(standing: Standing, settings: Settings, now: datetime, place: str | None = None) -> Values:
    """Every egg box, or those on a shelf (or the one box that `place` is), as values ready for JSON."""
    standing, house = as_of(standing, now), settings.house
    figures = house.egg_figures
    found = egg_boxes(standing, figures) if place is None else _at(standing, house, place)
    around = Round(standing, house, now, "morning")
    return {
        "colony": settings.name,
        "now": moment(now, house),
        "boxes": [box_values(around, box) for box in found],
    }


def _at(standing: Standing, house: House, place: str) -> Sequence[EggBox]:
    on_it = boxes_on(standing, place, house.egg_figures)
    return on_it or boxes_at(standing, place, house.egg_figures)


def boxes_here(standing: Standing, house: House, stop: str) -> Sequence[EggBox]:
    """The egg box that a stop is, or the boxes that stand on it; none where animals live."""
    if standing.living_in(stop) or not holds_eggs(standing, stop):
        return ()
    return _at(standing, house, stop)


def box_values(around: Round, box: EggBox) -> Values:
    """One egg box: masses in g, water in g or ml, days since its eggs were laid."""
    standing, house, now = around.standing, around.house, around.now
    last, made = box.last, box.made_up
    mine = {box.key, *(one.subject for one in box.clutches)}
    due = [line for line in egg_box_lines(around, box.place) if line.about in mine]
    water = potential(made.medium, box.ratio) if made is not None else None
    return {
        "box": box.place,
        "name": box.name,
        "of_clutch": box.of_clutch,
        "shelf": box.shelf,
        "shelf_name": standing.name(box.shelf) if box.shelf else "",
        "clutches": [_eggs(standing, now, box, one) for one in box.clutches],
        "eggs": box.eggs,
        "made_up": moment(made.at, house) if made is not None else None,
        "medium": made.medium if made is not None else _medium(box),
        "tare_grams": made.tare_grams if made is not None else None,
        "dry_grams": made.dry_grams if made is not None else None,
        "water_grams": _round(box.water),
        "ratio_now": _round(box.ratio, 2),
        "water_potential_kpa": _round(water.kpa, 0) if water is not None else None,
        "water_potential_between_kpa": [_round(water.drier, 0), _round(water.wetter, 0)] if water else None,
        "eggs_grams": _round(box.eggs_grams),
        "target_grams": _round(box.target),
        "weighed": moment(last.at, house) if last is not None else None,
        "grams": last.grams if last is not None else None,
        "added_grams": last.added if last is not None else None,
        "top_up_grams": _round(box.top_up),
        "weigh_next": next_weighing(around, box),
        "due": [due_values(standing, line) for line in due],
        "lid": lid_words(box, now),
        "says": box_words(box, now, due),
    }


def _eggs(standing: Standing, now: datetime, box: EggBox, one: Clutch) -> Values:
    return {
        "clutch": one.subject,
        "name": one.called,
        "dam": one.dam,
        "dam_name": standing.name(one.dam) if one.dam else "",
        "here": one.left_in(box.place),
        "boxed_here": sum(entry.count for entry in one.in_boxes.boxes if entry.place == box.place),
        "left_to_hatch": one.left_to_hatch,
        "up_marked": is_up_marked(one, box.place),
        "laid": one.started.isoformat() if one.started else None,
        "day": days_between(one.started, now) if one.started else None,
        "sum": census(standing, one.subject).words,
    }


def _medium(box: EggBox) -> str:
    return next((entry.medium for one in box.clutches for entry in one.in_boxes.boxes if entry.medium), "")


def _round(value: float | None, digits: int = 1) -> float | None:
    return None if value is None else round(value, digits)


def eggs_words(box: EggBox, now: datetime) -> str:
    """`Saltbush 1 16/18 eggs day 41`, of each clutch in it; `empty` without any."""
    told: list[str] = []
    for one in box.clutches:
        here, put = one.left_in(box.place), sum(e.count for e in one.in_boxes.boxes if e.place == box.place)
        count = f"{put if here is None else here}{'' if here == put else f'/{put}' if here is not None else '?'}"
        day = f" day {days_between(one.started, now)}" if one.started else ""
        told.append(f"{one.called} {count} {'egg' if count == '1' else 'eggs'}{day}")
    return ", ".join(told) or "empty"


def weight_words(box: EggBox) -> str:
    """`405 g of 412 g`, what it weighed last and what it should weigh; what is not known is said.

    Where eggs came or went since it was weighed: `about 389 g of 389 g`, reckoned with them.
    """
    last, target = box.last, box.target
    if last is None:
        return f"not weighed, target {target:.0f} g" if target is not None else "not weighed"
    moved = abs(box.moved_since(last)) >= 0.5
    now = f"about {box.expected:.0f} g" if moved else grams(round(last.grams + last.added, 1))
    return f"{now} of {target:.0f} g" if target is not None else now


def box_words(box: EggBox, now: datetime, due: Iterable[DueLine] = ()) -> str:
    """A box in one line: its eggs, its weight, what is to be done."""
    todo = "weigh" if any(line.care == "egg box" and line.says.startswith("weigh") for line in due) else ""
    todo = f"top up {water_words(box.top_up)}" if box.top_up is not None else todo
    candle = "candle" if any(line.care == "candle" for line in due) else ""
    return "  ".join(word for word in (eggs_words(box, now), weight_words(box), todo, candle) if word)


def lid_words(box: EggBox, now: datetime) -> str:
    """What keepers write on the lid: clutch, dam, day laid, eggs, box, weight."""
    own = box.made_up.lid if box.made_up is not None else ""
    name = own or (box.name if box.of_clutch is None else "")
    told = [name] if name else []
    for one in box.clutches:
        here = one.left_in(box.place)
        sire = f" × {box.standing.name(one.sire)}" if one.sire else ""
        laid = f"laid {date_words(one.started, now)}" if one.started else ""
        told += [f"{one.called}{sire}", laid, many(here, "egg") if here is not None else ""]
    told.append(f"{box.target:.0f} g" if box.target is not None and box.clutches else "")
    return " · ".join(word for word in told if word)


def boxes_text(found: Values, now: datetime) -> str:
    """The egg boxes as 80 columns of text, shelf by shelf."""
    page = Page()
    page.title(f"{found['colony']}   egg boxes", f"{now:%a} {now.day} {now:%b %Y %H:%M}")
    if not found["boxes"]:
        page.text("No egg box yet: `rounds log egg_box_made_up K1 …`, or `rounds log eggs_boxed CLUTCH …`.")
    shelves: dict[str, list[Values]] = {}
    for box in found["boxes"]:
        shelves.setdefault(box["shelf_name"], []).append(box)
    for shelf, there in sorted(shelves.items()):
        page.heading(shelf or "On no shelf")
        for box in there:
            name = box["name"] if box["of_clutch"] is None else f"({box['shelf_name']})"
            page.text(box["says"], f"  {cut(shown(name), _NAME):<6} ", "         ")
            page.text(box_facts(box, now), "         ")
            page.text(box["lid"], "         lid  ")
    return str(page)


def box_facts(box: Values, now: datetime) -> str:
    """What it is made of and when it was weighed, in words."""
    facts = [box["medium"]]
    if box["dry_grams"]:
        facts.append(f"{box['dry_grams']:g} g dry, {box['water_grams'] or 0:g} g water")
    if box["ratio_now"] is not None:
        facts.append(f"now {box['ratio_now']:g} : 1")
    if box["water_potential_kpa"] is not None:
        facts.append(f"{box['water_potential_kpa']:.0f} kPa ± 30 %")
    if box["weighed"]:
        facts.append(f"weighed {date_words(datetime.fromisoformat(box['weighed']), now)}")
    facts.append(f"{box['tare_grams']:g} g empty" if box["tare_grams"] else "")
    marked = [one["up_marked"] for one in box["clutches"]]
    facts.append("up-side marked" if marked and all(marked) else "")
    return ", ".join(one for one in facts if one)
