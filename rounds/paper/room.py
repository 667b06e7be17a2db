"""The room as it stands: each enclosure with what presses most there, what is due, and whether it was walked."""

from __future__ import annotations

from datetime import datetime
from typing import Final

from rounds.due.matter import Level
from rounds.due.room import WORDS, Cell, Room
from rounds.due.walk import Walk
from rounds.paper.page import COLUMNS, Page
from rounds.paper.plain_text import cut, padded, shown, width
from rounds.paper.room_plan import MOST_NAME, flowed
from rounds.paper.today import matter_counts
from rounds.paper.values import Values, counts, moment
from rounds.paper.words import many
from rounds.rules.settings import Settings
from rounds.standing.clutch import called
from rounds.standing.fold import Standing
from rounds.standing.racks import Rack

#: The cells that a word takes.
WORD_WIDE: Final = max(map(len, WORDS))
#: What the signs of a drawing say.
LEGEND: Final = "· walked   look: a look or a figure is due   due: plain care is due"


def room_values(standing: Standing, settings: Settings, now: datetime, walk: Walk, found: Room) -> Values:
    """The room as values, ready for JSON."""
    done, of = walk.progress
    matters = [matter for cell in found.cells.values() for matter in cell.matters]
    return {
        "colony": settings.name,
        "now": moment(now, settings.house),
        "day": walk.day.isoformat(),
        "walk": {"part": walk.part, "stops": of, "done": done, "resume": walk.resume},
        "matters": counts(matters),
        "racks": [
            {
                "name": rack.title,
                "columns": rack.columns,
                "rows": [
                    [_cell(standing, found.cells[stop], walk) if stop is not None else None for stop in row]
                    for row in rack.rows
                ],
            }
            for rack in found.racks
        ],
    }


def _cell(standing: Standing, cell: Cell, walk: Walk) -> Values:
    return {
        "enclosure": cell.stop,
        "name": cell.name,
        "number": walk.number(cell.stop),
        "word": cell.word,
        "level": cell.level.word if cell.level is not None else None,
        "walked": cell.walked,
        "lives": [standing.name(who) for who in standing.living_in(cell.stop)],
        "due": [line.care for line in cell.due],
        "looks": [f"{line.care} {called(standing, line.about)}" for line in cell.looks],
        "says": [matter.says for matter in cell.matters if matter.level >= Level.TODAY],
    }


def room_text(found: Values, now: datetime) -> str:
    """The room as 80 columns of text."""
    page = Page()
    walk = found["walk"]
    page.title(f"{found['colony']}   the room", f"{now:%a} {now.day} {now:%b %Y %H:%M}")
    page.text(
        f"{walk['part']} walk: {walk['done']} of {many(walk['stops'], 'stop')} done.   "
        f"{matter_counts(found['matters'])}"
    )
    cells = {
        one["enclosure"]: one for rack in found["racks"] for row in rack["rows"] for one in row if one is not None
    }
    if not cells:
        page.text("No enclosure is set up yet: `rounds open` sets one up, or `rounds log enclosure_set_up B3`.")
        return str(page)
    page.blank()
    page.lines += _drawn(found, cells)
    page.blank()
    page.text(LEGEND)
    for one in cells.values():
        if one["says"] and one["word"] == one["word"].upper():
            page.blank()
            name = cut(shown(one["name"]), MOST_NAME)
            lead = padded(name, max(width(name) + 1, 6)) + padded(one["word"], 8)
            for says in one["says"]:
                page.text(says, lead)
    return str(page)


def _drawn(found: Values, cells: Values) -> list[str]:
    racks = [
        Rack(rack["name"], tuple(tuple(one and one["enclosure"] for one in row) for row in rack["rows"]))
        for rack in found["racks"]
    ]
    plan = flowed(racks, lambda stop: str(cells[stop]["name"]), WORD_WIDE, COLUMNS - 1)
    lines: list[str] = []
    for spots in plan.spots:
        text, at = "", 0
        for spot in spots:
            text += " " * (spot.x - at)
            if spot.stop is None:
                text += padded(shown(" " + spot.title), spot.wide)
            else:
                one = cells[spot.stop]
                mark = "·" if one["walked"] and one["word"] != "done" else " "
                name = padded(shown(one["name"]), spot.name_wide)
                text += padded(f" {name}{mark}{one['word']}", spot.wide)
            at = spot.x + spot.wide
        lines.append(text.rstrip())
    return lines
