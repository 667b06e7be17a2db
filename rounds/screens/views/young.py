"""The young as lines: a heading for each clutch, two lines for each group or young animal. Pure."""

from __future__ import annotations

from datetime import datetime
from typing import Final

from rounds.logbook.entries.base import grams
from rounds.paper.values import Values
from rounds.paper.words import day_words
from rounds.paper.young import growth_words, held_or_refused
from rounds.screens.board.board import Line, Span, fit, line, short, wrap

#: So many rows tell of the one selected.
_MOST_ROWS: Final = 4


def clutch_heading(found: Values, width: int) -> Line:
    """The clutch, its parents, and the sum of its young."""
    parents = " × ".join(one for one in (found["dam_name"], found["sire_name"]) if one)
    words = "   ".join(one for one in (parents, found["sum"]) if one)
    name = fit(found["name"], min(24, max(8, len(found["name"]))))
    return line(" ", Span(name, "title"), "   ", Span(fit(words, width - len(name) - 5), "quiet"))


def young_rows(found: Values, now: datetime, width: int, mark: bool) -> list[Line]:
    """One group or young animal: how many, how old, where, its weight and growth; then what needs attention, what
    is due, and for whom it is kept. Two rows, of the one selected (`mark`) as many as it takes.
    """
    together = "count" in found
    many = f"{found['count']} young" if together else found["sex"]
    weight = grams(found["grams"]) if found["grams"] is not None else "no weight"
    wide = 14 if width < 100 else 22
    growth, room = growth_words(found), max(8, width - wide - 42)
    # Where there is no room for the figure the verdict stands alone, and the figure in the next row.
    verdict = growth if len(growth) <= room else growth.partition(",")[0]
    first = line(
        Span(" > " if mark else "   ", "key"),
        Span(fit(found["name"], wide), "cursor" if mark else "name"),
        fit(many, 10),
        fit(found["age"], 9),
        fit(found["place_name"] or "nowhere", 8),
        Span(fit(weight, 10)),
        Span(fit(verdict, room), "quiet" if found["growth"] == "in band" else ""),
    )
    level, _, matter = (found["open_before_sale"] or ("",))[0].rstrip(".").partition(": ")
    words = [f"{level}: {matter.removeprefix(found['name']).removeprefix(':').strip()}"] if level else []
    if found["due"]:
        words.append("due: " + ", ".join(found["due"]))
    words += [growth] if verdict != growth else []
    if together:
        when = day_words(datetime.fromisoformat(found["counted_at"]), now) if found["counted_at"] else ""
        words.append(f"counted {found['counted']} {when}" if when else "never counted")
        words += [f"{found['died']} died"] if found["died"] else []
        words += [f"{found['not_found']} not found"] if found["not_found"] else []
    elif found["siblings_grams"] is not None:
        words.append(f"siblings {grams(found['siblings_grams'])}")
    words.append(held_or_refused(found) or ("look before a sale" if level else "may be sold"))
    style = "vet" if level.startswith("VET") else "today" if level or found["due"] else "quiet"
    text = "   ".join(words)
    # Of the one selected it stands whole, of the others in one row.
    told = short(wrap(text, width - 6), _MOST_ROWS) if mark else [text]
    return [first, *(line("     ", Span(fit(one, width - 6), style)) for one in told)]
