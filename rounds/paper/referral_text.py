"""The sheet for the vet as 80 columns of text: the gravest and the newest first, the rest overleaf."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Final

from rounds.logbook.entries.base import grams
from rounds.paper.descent import sire_words
from rounds.paper.drawing import blocks
from rounds.paper.page import COLUMNS, Page
from rounds.paper.subject import weight_rows
from rounds.paper.values import Values, printed
from rounds.paper.words import CAUTION, full_day, many

#: So many lines of each part, the newest; a sheet is read, a logbook is searched.
MOST: Final = 200
#: Weighings in figures beside their drawing.
WEIGHINGS: Final = 14
EVERY_SIGN: Final = "Every sign ever seen, danger signs first"
#: Sex in words.
SEXES: Final = {"F": "female", "M": "male", "?": "sex not known"}


def referral_text(found: Values, now: datetime) -> str:
    """The sheet as text."""
    page = Page()
    page.title(f"For the vet: {found['name']}", f"{now:%a} {now.day} {now:%b %Y %H:%M}")
    page.text(f"{found['colony']}{'   written by ' + found['by'] if found['by'] else ''}")
    page.text(found["phone"] or "", "vet: ")
    page.text(", ".join(identity_words(found)))
    page.text(lives_words(found))
    if found["why"]:
        page.heading("Why")
        for matter in found["why"]:
            page.text(matter["says"], f"  {matter['level'].upper():<9}")
    page.heading("Signs as last looked for")
    seen = seen_words(found["signs"], now)
    page.text(", ".join(seen) or "none noted", "  seen           ")
    for last, signs in absent(found["signs"]).items():
        page.text(f"{', '.join(signs)} ({printed(last, now)})", "  not there      ")
    _weights(page, found["weighings"], now)
    page.heading(season_heading(found, now))
    _table(page, newest_first(found, "timeline"), now, danger=True)
    if found["every_sign"]:
        page.heading(EVERY_SIGN)
        _table(page, sign_rows(found["every_sign"]), now, danger=True)
    if found["clutches"]:
        page.heading("Clutches")
        for words in clutch_rows(found["clutches"], now):
            page.text("   ".join(words), "  ")
    page.heading("How it is kept")
    for label, text in kept_words(found["husbandry"], now):
        page.text(text, f"  {label:<13}")
    for heading, name in PARTS:
        if found[name]:
            page.heading(heading)
            _table(page, newest_first(found, name), now)
    page.heading("Vet's findings and instructions")
    page.lines += ["", "  " + "_" * 74, "", "  " + "_" * 74, "", "  " + "_" * 74]
    page.blank()
    page.text(CAUTION)
    return str(page)


def seen_words(signs: Sequence[Values], now: datetime) -> list[str]:
    """`lethargy (25 Nov 18:55 EM; not there 25 Nov 07:21)`: each sign that was there, and when it last was not."""
    return [
        f"{one['sign']} ({printed(one['at'], now)} {one['by']}"
        + (f"; not there {printed(one['not_at'], now)})" if one["not_at"] else ")")
        for one in signs
        if one["seen"]
    ]


#: The parts that are lists of entries, as they follow each other.
PARTS: Final = (
    ("What was tried", "tried"),
    ("Treatments and tests on record", "treatments"),
    ("How it ate", "eaten"),
    ("Condition, droppings, shed", "looked"),
    ("Vet so far, as written down", "vet"),
)


def newest_first(found: Values, name: str) -> Sequence[Values]:
    """A part of the sheet in the order in which it is read."""
    rows: Sequence[Values] = found[name]
    return rows[::-1] if name in ("timeline", "eaten", "looked", "vet") else rows


def identity_words(found: Values) -> list[str]:
    """What tells this animal from others: species, sex, age, tag, parents, length, weight, phase."""
    one = found["animal"]
    born = f"hatched {'about ' if one['hatched_about'] else ''}{full_day(one['hatched'])}" if one["hatched"] else ""
    lengths = [
        ", ".join(
            word
            for word in (
                f"snout–vent {last['svl_mm']:g} mm" if last["svl_mm"] else "",
                f"total {last['total_mm']:g} mm" if last["total_mm"] else "",
            )
            if word
        )
        for last in one["lengths"]
    ]
    words = (
        one["species"],
        SEXES[one["sex"]],
        one["age"],
        born,
        f"tag {one['tag']}" if one["tag"] else "",
        f"from {one['origin']}" if one["origin"] else "",
        f"dam {one['dam_name']}" if one["dam"] else "",
        sire_words(one) or (f"sire {one['sire_name']}" if one["sire"] else ""),
        *one["traits"],
        *lengths,
        one["weight"],
        one["state"],
    )
    return [word for word in words if word]


def season_heading(found: Values, now: datetime) -> str:
    """What the timeline begins with."""
    if found["mated"] is not None:
        return f"Since {printed(found['since'], now)}, newest first; last mated {printed(found['mated'], now)}"
    return f"Since {printed(found['since'], now)}, newest first; no mating noted"


def sign_rows(signs: Sequence[Values]) -> list[Values]:
    """Every sign seen, in words."""
    return [{**one, "says": ", ".join(one["signs"])} for one in signs]


def absent(signs: Sequence[Values]) -> dict[str, list[str]]:
    """Signs looked for and not there, by when they were last looked for."""
    found: dict[str, list[str]] = {}
    for sign in signs:
        if not sign["seen"]:
            found.setdefault(sign["at"], []).append(sign["sign"])
    return found


def clutch_rows(clutches: Sequence[Values], now: datetime) -> list[list[str]]:
    """Each clutch in words: when, how many, how long it took, complete or not."""
    rows: list[list[str]] = []
    for one in clutches:
        when = printed(one["begun"], now) if one["begun"] else "day not known"
        slugs = f", {many(one['slugs'], 'slug')}" if one["slugs"] else ""
        took = f"{one['hours']:g} h from first to last" if one["hours"] else ""
        words = [
            when,
            f"{many(one['eggs'], 'egg')}{slugs}",
            "complete" if one["complete"] else "not said to be complete",
            took,
            f"by {one['sire']}" if one["sire"] else "",
            f"{one['hatched']} hatched" if one["hatched"] else "",
        ]
        rows.append([word for word in words if word])
    return rows


def lives_words(found: Values) -> str:
    """With whom it lives; `place not known` where it lives nowhere that is noted."""
    others = found["animal"]["lives_with"]
    alone = "lives alone" if found["husbandry"]["enclosure"] else "place not known"
    return f"lives with {', '.join(others)}" if others else alone


def kept_words(kept: Values, now: datetime) -> list[tuple[str, str]]:
    """How it is kept, part by part: a label and what is known of it."""
    where = ", ".join(word for word in (kept["what"], kept["enclosure"]) if word) or "not known"
    alone = "alone" if kept["enclosure"] else ""
    company = f"with {', '.join(kept['lives_with'])}" if kept["lives_with"] else alone
    readings = [
        f"{one['what']} {one['value']:g}{' ' + one['unit'] if one['unit'] else ''} "
        f"({printed(one['at'], now)}{_in(one)})"
        for one in kept["readings"]
    ]
    lamp = kept["lamp"]
    calcium = kept["calcium"]
    return [
        ("enclosure", ", ".join(word for word in (where, company) if word)),
        ("climate", ", ".join(readings) or "never read"),
        ("UV lamp", f"{lamp['says']} ({printed(lamp['at'], now)}{_in(lamp)})" if lamp else "no change noted"),
        ("food", ", ".join(f"{one['says']} ({printed(one['at'], now)})" for one in kept["fed"]) or "none noted"),
        (
            "calcium",
            f"dusted with {calcium['dusted']} ({printed(calcium['at'], now)})" if calcium else "none noted",
        ),
    ]


def _in(one: Values) -> str:
    return f", in {one['place_name']}" if one["place_name"] else ""


def points(weighings: Sequence[Values]) -> list[tuple[datetime, float]]:
    """Weighings as moments and grams, oldest first."""
    return [(datetime.fromisoformat(one["at"]), one["grams"]) for one in weighings]


def _weights(page: Page, weighings: Sequence[Values], now: datetime) -> None:
    if not weighings:
        return
    low, high = min(one["grams"] for one in weighings), max(one["grams"] for one in weighings)
    page.heading(f"Weights: {len(weighings)}, {grams(low)} to {grams(high)}, newest last")
    page.lines += [f"  {row}".rstrip() for row in blocks(points(weighings), COLUMNS - 14)]
    if len(weighings) > WEIGHINGS:
        page.text(f"({len(weighings) - WEIGHINGS} earlier ones are in the drawing)", "  ")
    page.table(weight_rows(weighings[-WEIGHINGS:], now, printed), (18, 9, 8), lead="  ")


def _table(page: Page, rows: Sequence[Values], now: datetime, *, danger: bool = False) -> None:
    if not rows:
        page.text("nothing noted", "  ")
    mark = 2 if danger and any(one.get("danger") for one in rows) else 0
    page.table(
        [
            [
                printed(one["at"], now),
                one["by"],
                *(["!" if one.get("danger") else ""] if mark else []),
                words_of(one),
            ]
            for one in rows[:MOST]
        ],
        (18, 6, 1) if mark else (18, 6),
        lead="  ",
    )
    if len(rows) > MOST:
        page.text(f"({len(rows) - MOST} earlier ones are in the logbook)", "  ")


def words_of(one: Values) -> str:
    """An entry among the values, with its note."""
    return f"{one['says']}: {one['note']}" if one.get("note") else str(one["says"])
