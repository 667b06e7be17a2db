"""A subject's page: how it stands, its weights, the season's timeline, and every entry, newest first."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime

from rounds.due.matter import Matter
from rounds.logbook.entries import Corrected, Entry, Weighed
from rounds.logbook.entries.base import grams
from rounds.paper.page import Page
from rounds.paper.said import said
from rounds.paper.timeline import corrected_by, counting, timeline
from rounds.paper.values import Values, entry_values, matter_values, moment, resident_values, when
from rounds.paper.words import day_words, many, phase_words, window
from rounds.rules.house import House
from rounds.rules.settings import Settings
from rounds.standing.animal import Animal, animal
from rounds.standing.clutch import clutch
from rounds.standing.enclosure import enclosure
from rounds.standing.female import female
from rounds.standing.fold import Standing
from rounds.standing.group import group


def subject_page(
    standing: Standing,
    settings: Settings,
    now: datetime,
    subject: str,
    history: Sequence[Entry],
    matters: Sequence[Matter],
) -> Values:
    """The page as values, ready for JSON. `history` is every entry on it, oldest first, corrected ones too."""
    house = settings.house
    dead = corrected_by(history)
    return {
        "colony": settings.name,
        "now": moment(now, house),
        "subject": subject,
        "sort": subject.partition("/")[0],
        "name": called(standing, subject),
        **_stands(standing, house, now, subject),
        "weights": [
            {"at": entry.at.isoformat(), "grams": entry.grams, "by": entry.by, "id": entry.id}
            for entry in counting(history)
            if isinstance(entry, Weighed) and entry.about == subject
        ],
        "matters": [matter_values(standing, house, matter) for matter in matters],
        "timeline": [_in_words(standing, subject, entry) for entry in timeline(history)],
        "entries": [listed_values(standing, entry, dead.get(entry.id), subject) for entry in reversed(history)],
    }


def listed_values(standing: Standing, entry: Entry, corrected: Corrected | None, subject: str = "") -> Values:
    """An entry in words and whole, with the correction that answers it; on the page of `subject`, if it is one."""
    return {
        **_in_words(standing, subject, entry),
        "corrected_by": corrected.id if corrected is not None else None,
        "entry": entry_values(entry),
    }


def _in_words(standing: Standing, subject: str, entry: Entry) -> Values:
    """An entry in words; about another, it is named."""
    return {
        "at": entry.at.isoformat(),
        "by": entry.by,
        "about": entry.about,
        "name": "" if entry.about == subject else called(standing, entry.about),
        "says": said(standing, entry),
        "note": entry.note,
    }


def called(standing: Standing, subject: str) -> str:
    """What a sentence calls the subject."""
    return "the room" if subject == "room" else standing.name(subject)


def _stands(standing: Standing, house: House, now: datetime, subject: str) -> Values:
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
            "dam": eggs.dam,
            "dam_name": standing.name(eggs.dam) if eggs.dam else "",
            "sire": eggs.sire,
            "sire_name": standing.name(eggs.sire) if eggs.sire else "",
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
        }
    return {"here": True}


def _life(standing: Standing, house: House, now: datetime, subject: str) -> Values:
    young = subject.startswith("group/")
    one: Animal = group(standing, subject) if young else animal(standing, subject)
    arrived, check = one.arrived, None
    values: Values = {
        "here": one.here,
        "gone": {"at": moment(one.gone.at, house), "says": said(standing, one.gone)} if one.gone else None,
        "place": one.place,
        "place_name": standing.name(one.place) if one.place else "",
        "hatched": one.hatched.isoformat() if one.hatched else None,
        "hatched_about": bool(arrived and arrived.hatched_about),
        "dam": arrived.dam if arrived else None,
        "sire": arrived.sire if arrived else None,
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


# The text


def subject_text(found: Values, now: datetime, most: int = 40) -> str:
    """The page as 80 columns of text, with the newest `most` entries."""
    page = Page()
    page.title(
        f"{found['name']}   {found['sort'] if found['sort'] != 'room' else found['colony']}",
        f"{now:%a} {now.day} {now:%b %Y %H:%M}",
    )
    for paragraph in _standing_text(found, now):
        page.text(paragraph)
    if found["matters"]:
        page.heading("What needs attention")
        for matter in found["matters"]:
            page.text(matter["says"], f"  {matter['level'].upper():<8}")
    weights = found["weights"]
    if weights:
        page.heading(f"Weights: {len(weights)}")
        page.table(weight_rows(weights[-12:], now), (16, 9, 8), lead="  ")
    if found["timeline"]:
        page.heading("Timeline")
        page.table([_row(one, now) for one in found["timeline"][-30:]], (18, 6), lead="  ")
    entries = found["entries"]
    page.heading(f"{many(len(entries), 'entry', 'entries')}, newest first")
    page.table([listed_row(one, now) for one in entries[:most]], (18, 6), lead="  ")
    if len(entries) > most:
        page.text(f"and {len(entries) - most} older ones: --json or --lines gives them all", "  ")
    return str(page)


def _standing_text(found: Values, now: datetime) -> list[str]:
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
        eggs = f"{many(found['eggs'], 'egg')}, {many(found['slugs'], 'slug')}, {state}"
        if found["boxed"] is None:
            return [parents, eggs, f"not boxed, {found['hatched']} hatched, {found['lost']} lost"]
        again = found["boxed_again"]
        return [
            parents,
            eggs,
            f"{found['boxed']} boxed {'again ' if again else ''}at {found['place_name'] or '?'}, "
            f"{'since then ' if again else ''}{found['hatched_since_boxed']} hatched, "
            f"{found['lost_since_boxed']} lost, {found['left_to_hatch']} left to hatch",
        ]
    return []


def _life_text(found: Values, now: datetime) -> list[str]:
    gone = found["gone"]
    words = [str(found.get("count", found["sex"])), found["age"], found["weight"], found["trend"]]
    where = f"lives in {found['place_name']}" if found["place_name"] else "has no place"
    if gone:
        where = f"not here: {gone['says']}, {when(gone['at'], now)}"
    lines = ["   ".join(word for word in words if word), f"{where}   {found['state']}"]
    born = f"hatched {'about ' if found['hatched_about'] else ''}{found['hatched']}" if found["hatched"] else ""
    parents = [f"{word} {found[word].rpartition('/')[2]}" for word in ("dam", "sire") if found[word]]
    origin = f"from {found['origin']}" if found["origin"] else ""
    lines.append("   ".join(word for word in (born, *parents, origin, *found["traits"]) if word))
    breeding = found.get("breeding")
    if breeding:
        check = breeding["last_egg_check"]
        eggs = ", ".join(str(one["eggs"]) for one in breeding["clutches"])
        parts = [
            f"{many(len(breeding['clutches']), 'clutch', 'clutches')}: {eggs} eggs" if eggs else "",
            f"window {' to '.join(breeding['window'])}" if breeding["window"] else "",
            "has a lay box" if breeding["lay_box"] else "",
            f"last egg check {day_words(datetime.fromisoformat(check), now)}" if check else "",
        ]
        lines.append("   ".join(part for part in parts if part))
    return lines


def weight_rows(
    weights: Sequence[Values], now: datetime, in_words: Callable[[str, datetime], str] = when
) -> list[list[str]]:
    """Weights with the change since the one before, in %; `in_words` puts a moment into words."""
    rows: list[list[str]] = []
    before: float | None = None
    for one in weights:
        change = f"{100 * (one['grams'] / before - 1):+.1f} %" if before else ""
        rows.append([in_words(one["at"], now), f"{grams(one['grams']):>9}", f"{change:>8}", one["by"]])
        before = one["grams"]
    return rows


def _row(one: Values, now: datetime) -> list[str]:
    note = f": {one['note']}" if one["note"] else ""
    return [when(one["at"], now), one["by"], f"{one['name']}{': ' if one['name'] else ''}{one['says']}{note}"]


def listed_row(one: Values, now: datetime) -> list[str]:
    """An entry in a table: when, by whom, what; a corrected one is marked."""
    row = _row(one, now)
    mark = f"[corrected, does not count: {one['corrected_by']}] " if one["corrected_by"] else ""
    late = f" [written {when(one['entry']['written'], now)}]" if "written" in one["entry"] else ""
    return [*row[:2], f"{mark}{row[2]}{late}  ({one['entry']['id']})"]
