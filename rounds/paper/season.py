"""The season on paper: females by weeks, their clutches below them, and what comes next in words."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import Final

from rounds.due.dates import day
from rounds.due.matter import Level
from rounds.due.season import Row
from rounds.paper.page import COLUMNS, Page
from rounds.paper.plain_text import cut, padded, shown, width
from rounds.paper.timescale import LEGEND, Drawn, Timescale
from rounds.paper.values import Values, moment
from rounds.paper.words import many
from rounds.rules.settings import Settings
from rounds.standing.fold import Standing

#: Weeks before today and in all, where no others are asked for.
BEFORE: Final = 8
WEEKS: Final = 18
#: Columns of the name, of the place, and of the words at 80 columns.
NAME, PLACE, WORDS = 10, 4, 26
#: A date, and an hour, at the end of a verdict.
_DATED: Final = re.compile(r" \d{1,2} [A-Z][a-z]{2}( \d{1,2}:\d{2})?$")


def monday(day: date, weeks: int = 0) -> date:
    """The Monday of a week, or of one so many weeks later, as far as the calendar goes."""
    last = date.max.toordinal() - 800
    return date.fromordinal(max(1, min(last, day.toordinal() - day.weekday() + 7 * weeks)))


def drawn_words(scale: Timescale) -> str:
    """`season, 28 Sep 2026 to 3 Jan 2027`: the days drawn.

    The weeks around a day are no season of the colony: which goes from waking to waking, and has its name from
    `standing.colony_seasons` alone.
    """
    first, last = scale.begins, scale.ends
    year = "" if first.year == last.year else f" {first.year}"
    return f"season, {day(first)}{year} to {day(last)} {last.year}"


def season_values(
    standing: Standing, settings: Settings, now: datetime, rows: Sequence[Row], begins: date, weeks: int
) -> Values:
    """The season as values, ready for JSON."""
    return {
        "colony": settings.name,
        "now": moment(now, settings.house),
        "begins": begins.isoformat(),
        "weeks": weeks,
        "rows": [
            {
                "subject": row.subject,
                "name": row.name,
                "dam": row.dam,
                "place": row.place,
                "place_name": standing.name(row.place) if row.place else "",
                "boxes": list(row.boxes),
                "box_names": [standing.name(one) for one in row.boxes],
                "marks": [
                    {
                        "what": mark.what,
                        "first": mark.first.isoformat(),
                        "last": mark.last.isoformat(),
                        "count": mark.number,
                    }
                    for mark in row.marks
                ],
                "next": {
                    "first": row.comes.first.isoformat(),
                    "last": row.comes.last.isoformat(),
                    "likely": row.comes.likely.isoformat() if row.comes.likely else None,
                    "why": row.why,
                }
                if row.comes is not None
                else None,
                "says": row.says,
                "level": row.matter.level.word if row.matter is not None else None,
                "matter": row.matter.says if row.matter is not None else "",
                "rule": row.matter.rule if row.matter is not None else "",
            }
            for row in rows
        ],
    }


def season_text(found: Values, now: datetime) -> str:
    """The season as 80 columns of text."""
    page = Page()
    cells = COLUMNS - NAME - PLACE - WORDS - 4
    scale = Timescale.of_weeks(date.fromisoformat(found["begins"]), found["weeks"], cells)
    page.title(f"{found['colony']}   {drawn_words(scale)}", f"{now:%a} {now.day} {now:%b %Y %H:%M}")
    females = [row for row in found["rows"] if row["dam"] is None]
    page.text(
        f"{many(len(females), 'female')}, {many(len(found['rows']) - len(females), 'clutch', 'clutches')} of eggs."
    )
    if not found["rows"]:
        page.text("No female is registered, and no eggs incubate.")
        return str(page)
    page.blank()
    lead = " " * (NAME + PLACE + 3)
    page.lines += [(lead + scale.months()).rstrip(), (lead + scale.today(now.date())).rstrip()]
    for row in found["rows"]:
        drawn = [
            Drawn(one["what"], date.fromisoformat(one["first"]), date.fromisoformat(one["last"]), one["count"])
            for one in row["marks"]
        ]
        places = row["box_names"] or [row["place_name"]]
        name, place = columns(row["name"], places, NAME, PLACE, clutch=row["dam"] is not None)
        chart = scale.row(drawn, now.date())
        comes = row["next"] is not None
        told = said(row["level"], row["says"], row["matter"], row["name"], row["rule"], WORDS, comes=comes)
        words = cut(shown(told), WORDS)
        page.lines.append(f" {name}{place} {chart} {words}".rstrip())
    page.blank()
    page.lines += legend(COLUMNS)
    return str(page)


def legend(wide: int) -> list[str]:
    """What the signs say, in lines of at most so many columns; no sign is parted from its word."""
    lines = [""]
    for one in LEGEND:
        if lines[-1] and len(lines[-1]) + 3 + len(one) > wide:
            lines.append("")
        lines[-1] += f"   {one}" if lines[-1] else one
    return lines


def columns(name: str, places: Sequence[str], name_wide: int, place_wide: int, *, clutch: bool) -> tuple[str, str]:
    """The name and the places of a line in its columns; a clutch is set in below its dam.

    Several boxes are named where name and places have room together, and counted where they have not.
    """
    name = shown(("  " if clutch else "") + name)
    if len(places) < 2:
        return padded(name, name_wide + 1), padded(shown(" ".join(places)), place_wide)
    where = shown(" ".join(places))
    if width(f"{name} {where}") > name_wide + 1 + place_wide:
        name, where = name.replace(" eggs", "").replace(" young", " y"), f"in {len(places)} boxes"
    room = max(0, name_wide + 1 + place_wide - max(place_wide, width(where)))
    return padded(name, room), padded(where, name_wide + 1 + place_wide - room)


def said(level: str | None, says: str, matter: str, name: str, rule: str, wide: int, *, comes: bool = True) -> str:
    """What comes next; a worst matter for today puts its level in front, one for the vet stands alone.

    One for today stands alone too where nothing `comes`: “today” is not said of a rest. A sign beats a forecast: no
    date to come stands where a vet is to be phoned. Where a matter's sentence is wider than `wide`, its verdict
    stands alone, else the short words of its rule: never half a verdict.
    """
    if level in (Level.VET.word, Level.VET_NOW.word) or (level == Level.TODAY.word and matter and not comes):
        told = matter.removeprefix(name).lstrip(": ")
        sentence = told.partition(". ")[0]
        verdict = sentence.partition(": ")[0]
        short = (told, sentence, verdict, _DATED.sub("", verdict), rule)
        fits = next((one for one in short if one and width(shown(one)) <= wide - len(level) - 1), rule or told)
        return f"{level.upper()} {fits}"
    if level != Level.TODAY.word:
        return says
    told = f"{level.upper()} {says}"
    before, _, figures = says.partition(": ")
    return f"{level.upper()} {figures or before}" if width(shown(told)) > wide else told


def drawn_of(row: Row) -> list[Drawn]:
    """The marks of a line, to be drawn."""
    return [Drawn(mark.what, mark.first, mark.last, mark.number) for mark in row.marks]


def weeks_later(day: date, weeks: int) -> date:
    """The day so many weeks later, as far as the calendar goes."""
    try:
        return monday(day + timedelta(weeks=weeks))
    except OverflowError:
        return monday(day)
