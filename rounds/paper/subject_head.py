"""The head of a subject's page, how it stands: as values, as text, and the words that the screen shares."""

from __future__ import annotations

from datetime import datetime

from rounds.logbook.entries import Arrived
from rounds.paper.clutch_words import clutch_sum
from rounds.paper.said import said
from rounds.paper.values import Values, moment, resident_values, when
from rounds.paper.words import day_words, many, phase_words, window
from rounds.rules.house import House
from rounds.standing.animal import Animal, animal
from rounds.standing.clutch import Clutch, clutch
from rounds.standing.enclosure import enclosure
from rounds.standing.female import female
from rounds.standing.fold import Standing
from rounds.standing.group import group


def head_values(standing: Standing, house: House, now: datetime, subject: str) -> Values:
    """How the subject stands, as values ready for JSON."""
    sort = subject.partition("/")[0]
    if sort in ("animal", "group"):
        return _life(standing, house, now, subject)
    if sort == "enclosure":
        place = enclosure(standing, subject)
        return {
            "here": place.stands,
            "what": place.what,
            "where": place.set_up.where if place.set_up else "",
            "residents": [resident_values(standing, house, who, now) for who in place.living],
            "lay_box_since": moment(place.lay_box.at if place.lay_box else None, house),
        }
    if sort == "clutch":
        eggs = clutch(standing, subject)
        return {
            "here": eggs.left_to_hatch > 0 or eggs.boxed is None,
            **parents_values(standing, eggs),
            "begun": moment(eggs.begun_at, house),
            "complete": moment(eggs.complete.at if eggs.complete else None, house),
            "eggs": eggs.count,
            "slugs": eggs.slugs,
            "boxed": eggs.in_boxes.put if eggs.boxed else None,
            "boxed_again": eggs.in_boxes.again,
            "place": eggs.place,
            "place_name": standing.name(eggs.place) if eggs.place else "",
            "lost": eggs.lost,
            "hatched": eggs.hatched,
            "lost_since_boxed": eggs.in_boxes.lost,
            "hatched_since_boxed": eggs.in_boxes.hatched,
            "left_to_hatch": eggs.left_to_hatch,
            "lost_before_boxed": eggs.lost - eggs.in_boxes.lost if eggs.boxed else None,
            "not_boxed": eggs.unboxed,
            "boxes": [
                {
                    "place": box.place,
                    "place_name": standing.name(box.place) if box.place else "",
                    "at": moment(box.at, house),
                    "count": box.count,
                    "left_in_place": eggs.left_in(box.place),
                }
                for box in eggs.in_boxes.boxes
            ],
            "sum": clutch_sum(eggs),
        }
    return {"here": True}


def _life(standing: Standing, house: House, now: datetime, subject: str) -> Values:
    young = subject.startswith("group/")
    one: Animal = group(standing, subject) if young else animal(standing, subject)
    arrived = one.arrived
    values: Values = {
        "here": one.here,
        "gone": {"at": moment(one.gone.at, house), "says": said(standing, one.gone)} if one.gone else None,
        "place": one.place,
        "place_name": standing.name(one.place) if one.place else "",
        "hatched": one.hatched.isoformat() if one.hatched else None,
        "hatched_about": bool(arrived and arrived.hatched_about),
        **parents_values(standing, arrived),
        "origin": arrived.origin if arrived else "",
        "traits": list(one.traits),
        **{name: value for name, value in resident_values(standing, house, subject, now).items() if name != "name"},
    }
    if not young and one.sex == "F":
        her = female(standing, subject, house.breeding_days)
        days, check = window(her, now), her.last_egg_check
        values["breeding"] = {
            "phase": her.phase(now),
            "says": phase_words(her, now),
            "window": [days.opens.isoformat(), days.closes.isoformat()] if days else None,
            "lay_box": her.has_lay_box,
            "clutches": [
                {
                    "clutch": eggs.subject,
                    "eggs": eggs.count,
                    "slugs": eggs.slugs,
                    "complete": eggs.complete is not None,
                }
                for eggs in her.clutches
            ],
            "last_egg_check": moment(check.at, house) if check else None,
        }
    return values


def parents_values(standing: Standing, young: Arrived | Clutch | None) -> Values:
    """The dam and the sire, by id and by name."""
    dam, sire = (young.dam, young.sire) if young is not None else (None, None)
    return {
        "dam": dam,
        "dam_name": standing.name(dam) if dam else "",
        "sire": sire,
        "sire_name": standing.name(sire) if sire else "",
    }


def head_text(found: Values, now: datetime) -> list[str]:
    """The head as paragraphs of text."""
    sort = found["sort"]
    if sort in ("animal", "group"):
        return _life_text(found, now)
    if sort == "enclosure":
        words = [f"{found['what']}{', ' + found['where'] if found['where'] else ''}"]
        words += [] if found["here"] else ["taken down"]
        who = [
            "   ".join(word for word in (one["sex"], one["name"], one["age"], one["weight"], one["state"]) if word)
            for one in found["residents"]
        ]
        return [". ".join(words), *(who or ["no one lives here"])]
    if sort == "clutch":
        parents = f"{found['dam_name'] or '?'} × {found['sire_name'] or '?'}"
        state = "complete" if found["complete"] else "not said to be complete"
        return [parents, state, found["sum"]]
    return []


def _life_text(found: Values, now: datetime) -> list[str]:
    gone = found["gone"]
    words = [str(found.get("count", found["sex"])), found["age"], found["weight"], found["trend"]]
    where = f"lives in {found['place_name']}" if found["place_name"] else "has no place"
    if gone:
        where = f"not here: {gone['says']}, {when(gone['at'], now)}"
    lines = ["   ".join(word for word in words if word), f"{where}   {found['state']}"]
    lines.append("   ".join(past_words(found)))
    if "breeding" in found:
        days = found["breeding"]["window"]
        parts = [
            f"window {' to '.join(days)}" if days else "",
            "has a lay box" if found["breeding"]["lay_box"] else "",
        ]
        eggs, check = breeding_words(found, now)
        lines.append("   ".join(part for part in (eggs, *parts, check) if part))
    return lines


def past_words(found: Values) -> list[str]:
    """Where an animal or a group comes from: when it hatched, its parents, its traits, who it came from."""
    hatched = f"hatched {'about ' if found['hatched_about'] else ''}{found['hatched']}" if found["hatched"] else ""
    parents = [f"{word} {found[word + '_name']}" for word in ("dam", "sire") if found[word]]
    origin = f"from {found['origin']}" if found["origin"] else ""
    return [word for word in (hatched, *parents, *found["traits"], origin) if word]


def breeding_words(found: Values, now: datetime) -> tuple[str, str]:
    """Of a female: her clutches, and when her last egg check was; each empty when there is none."""
    clutches, check = found["breeding"]["clutches"], found["breeding"]["last_egg_check"]
    eggs = ", ".join(str(one["eggs"]) for one in clutches)
    return (
        f"{many(len(clutches), 'clutch', 'clutches')}: {eggs} eggs" if clutches else "",
        f"last egg check {day_words(datetime.fromisoformat(check), now)}" if check else "",
    )
