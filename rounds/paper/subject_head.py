"""The head of a subject's page, how it stands: as values, as text, and the words that the screen shares."""

from __future__ import annotations

from datetime import date, datetime
from typing import Final

from rounds.due.hatching import hatch_forecast
from rounds.due.round import Round
from rounds.due.supplies import supplies
from rounds.paper.boxes import box_facts, box_values, boxes_here
from rounds.paper.clutch_words import census_values, clutch_sum
from rounds.paper.descent import clutch_sire, descent_values, sire_words
from rounds.paper.females import breeding_lines, breeding_values
from rounds.paper.hatching import hatch_values, hot_caution, window_words
from rounds.paper.said import said
from rounds.paper.supplies import amount_words, counted_words, lasts_words, stock_values, use_sentence
from rounds.paper.values import Values, moment, resident_values, when
from rounds.paper.words import date_words, day_words, many, span_words, window
from rounds.rules.house import House
from rounds.standing.animal import Animal, animal
from rounds.standing.census import census
from rounds.standing.clutch import Clutch, clutch
from rounds.standing.enclosure import enclosure
from rounds.standing.female import female
from rounds.standing.fold import Standing
from rounds.standing.group import group
from rounds.standing.holding import holds


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
            "egg_boxes": [
                box_values(Round(standing, house, now, "morning"), box)
                for box in boxes_here(standing, house, subject)
            ],
        }
    if sort == "clutch":
        eggs = clutch(standing, subject)
        return {
            "here": eggs.left_to_hatch > 0 or eggs.boxed is None,
            **parents_values(standing, eggs),
            "sire_says": clutch_sire(standing, house, eggs),
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
            "hatch": {
                **hatch_values(hatch_forecast(standing, house, now, subject), house),
                "alarm_c": house.number("climate.incubator_alarm_c"),
            },
            "census": census_values(census(standing, subject)),
        }
    if sort == "supply":
        return _supply(standing, house, now, subject)
    return {"here": True}


def _life(standing: Standing, house: House, now: datetime, subject: str) -> Values:
    young = subject.startswith("group/")
    one: Animal = group(standing, subject) if young else animal(standing, subject)
    came = one.arrived or one.elsewhere
    values: Values = {
        "here": one.here,
        "lived_here": one.elsewhere is None,
        "gone": {"at": moment(one.gone.at, house), "says": said(standing, one.gone)} if one.gone else None,
        "place": one.place,
        "place_name": standing.name(one.place) if one.place else "",
        "hatched": one.hatched.isoformat() if one.hatched else None,
        "hatched_about": came is not None and came.hatched_about,
        **descent_values(standing, house, one),
        "origin": came.origin if came is not None else "",
        **{name: value for name, value in resident_values(standing, house, subject, now).items() if name != "name"},
        "sex_words": "" if young else one.sex_words,
        "held": [hold.says for hold in holds(one).every] if one.here else [],
        "sum": group(standing, subject).census.says if young else "",
    }
    if not young and one.sex == "F":
        her = female(standing, subject, house.breeding_days)
        days, check = window(her, now), her.last_egg_check
        values["breeding"] = {
            **breeding_values(her, house, now),
            "window": [days.opens.isoformat(), days.closes.isoformat()] if days else None,
            "last_egg_check": moment(check.at, house) if check else None,
        }
    return values


def _supply(standing: Standing, house: House, now: datetime, subject: str) -> Values:
    found = supplies(standing, house, now)
    values = stock_values(found.stock(subject), house, now)
    del values["supply"], values["rules"]
    week, fortnight = amount_words(values["need_week"]), amount_words(values["need_fortnight"])
    need = f"Needed for 7 days {week}, for 14 days {fortnight}"
    lasts = lasts_words(values, now)
    words = [
        lasts[:1].upper() + lasts[1:],
        f"{amount_words(values['left'], values['unit'])} left" if values["left"] is not None else "",
        counted_words(values, now),
    ]
    order = f" Order {amount_words(values['order'], values['unit'])}." if values["order"] else ""
    says = f"{', '.join(word for word in words if word)}. {need}. {use_sentence(values)}{order}"
    return {"here": standing.card(subject).opened, **values, "says": says}


def parents_values(standing: Standing, young: Clutch) -> Values:
    """The dam and the sire, by id and by name."""
    dam, sire = young.dam, young.sire
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
        told = [] if found["egg_boxes"] else ["no one lives here"]
        for box in found["egg_boxes"]:
            name = "" if box["box"] == found.get("subject") else f"{box['name']}  "
            told += [f"{name}{box['says']}", box_facts(box, now), f"lid: {box['lid']}"]
        return [". ".join(words), *who, *([] if who else told)]
    if sort == "clutch":
        parents = f"{found['dam_name'] or '?'} × {found['sire_says'] or '?'}"
        state = "complete" if found["complete"] else "not said to be complete"
        hatch = found["hatch"]
        spoken = (window_words(hatch, now), hot_caution(hatch, hatch["alarm_c"]))
        return [parents, state, found["census"]["says"], found["sum"], *(one for one in spoken if one)]
    if sort == "supply":
        return [found["says"]]
    return []


#: Of an ancestor that is known from papers alone.
NEVER_HERE: Final = "never lived here, only its descent is noted"


def _life_text(found: Values, now: datetime) -> list[str]:
    if not found["lived_here"]:
        born = "   ".join(word for word in (found["sex_words"], found["age"]) if word)
        return [born, NEVER_HERE, "   ".join(past_words(found, now))]
    gone = found["gone"]
    words = [str(found.get("count", found["sex_words"])), found["age"], found["weight"], found["trend"]]
    where = f"lives in {found['place_name']}" if found["place_name"] else "has no place"
    if gone:
        where = f"not here: {gone['says']}, {when(gone['at'], now)}"
    lines = ["   ".join(word for word in words if word), f"{where}   {found['state']}"]
    lines.append("   ".join(past_words(found, now)))
    if "breeding" in found:
        days = [date.fromisoformat(one) for one in found["breeding"]["window"] or ()]
        # One that is over says nothing of a female at rest.
        over = bool(days) and days[-1] < now.date() and found["breeding"]["phase"] == "resting"
        window = f"window {span_words(days[0], days[-1], now)}" if days and not over else ""
        eggs, check = breeding_words(found, now)
        lines.append("   ".join(part for part in (eggs, window, check) if part))
        lines += [
            f"{label}{'' if label.endswith('?') else ':'} {text}"
            for label, text in breeding_lines(found["breeding"], now)
        ]
    if "year" in found:
        lines += [f"before pairing: {found['fit']['says']}"] if found["fit"] else []
        lines.append(found["year"]["says"])
        lines += [pair["says"] for pair in found["pairings"][-3:][::-1]]
        if found["recovery"] and found["breeding"]["regained"] is None:
            lines.append(found["recovery"]["says"])
    return [line for line in lines if line]


def past_words(found: Values, now: datetime) -> list[str]:
    """Where an animal or a group comes from: when it hatched, its parents, its traits, who it came from."""
    hatched = ""
    if found["hatched"]:
        day = date_words(date.fromisoformat(found["hatched"]), now)
        hatched = f"hatched {'about ' if found['hatched_about'] else ''}{day}"
    open_sire = sire_words(found)
    named = [word for word in ("dam", "sire") if found[word] and (word == "dam" or not open_sire)]
    parents = [*(f"{word} {found[word + '_name']}" for word in named), open_sire]
    origin = f"from {found['origin']}" if found["origin"] else ""
    return [word for word in (hatched, *parents, *found["traits"], origin, *found["held"], found["sum"]) if word]


def breeding_words(found: Values, now: datetime) -> tuple[str, str]:
    """Of a female: her clutches, and when her last egg check was; each empty when there is none."""
    clutches, check = found["breeding"]["clutches"], found["breeding"]["last_egg_check"]
    eggs = ", ".join(str(one["eggs"]) for one in clutches)
    return (
        f"{many(len(clutches), 'clutch', 'clutches')}: {eggs} eggs" if clutches else "",
        f"last egg check {day_words(datetime.fromisoformat(check), now)}" if check else "",
    )
