"""The next fourteen days as lines: a line for each sort of thing on a day. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from rich.cells import cell_len

from rounds.paper.fortnight import by_what, coming_words, day_title
from rounds.paper.values import Values
from rounds.paper.words import many
from rounds.screens.board.board import BLANK, Line, Span, fit, line, wrap

_DAY, _WHAT = 11, 15


class Row(NamedTuple):
    """What comes of one sort on one day; `first` of the rows of that day."""

    title: str
    first: bool
    what: str
    overdue: bool
    coming: tuple[Values, ...]


def rows_of(found: Values) -> list[Row]:
    """The fourteen days as rows; a day without anything has one that says so."""
    days = found["days"]
    today = date.fromisoformat(days[0]["day"])
    rows: list[Row] = []
    for one in days:
        title = day_title(date.fromisoformat(one["day"]), today)
        for late in (True, False):
            for what, coming in by_what(one["overdue" if late else "coming"]).items():
                rows.append(Row(title, not (rows and rows[-1].title == title), what, late, tuple(coming)))
        if not rows or rows[-1].title != title:
            rows.append(Row(title, True, "", False, ()))
    return rows


def row_lines(row: Row, width: int, mark: bool, titled: bool) -> list[Line]:
    """A row on one line, cut where it is too long; the one selected whole. `titled`: its day stands before it."""
    room = max(8, width - 3 - _DAY - _WHAT - 1)
    texts = [coming_words(one) for one in row.coming]
    told = wrap("; ".join(texts), room)[:6] if mark and texts else [_cut(texts, room)]
    style = "today" if row.overdue or row.what in ("runs out", "order") else ""
    lines: list[Line] = []
    for place, text in enumerate(told):
        first = place == 0
        lines.append(
            line(
                Span(" > " if mark and first else "   ", "key"),
                Span(fit(row.title if first and titled else "", _DAY), "name"),
                Span(fit(("late: " if row.overdue else "") + row.what if first else "", _WHAT) + " ", style),
                Span(text, "cursor" if mark else "quiet" if not row.coming else ""),
            )
        )
    return lines


def _cut(texts: Sequence[str], room: int) -> str:
    """As many as fit, and how many more there are."""
    if not texts:
        return "-"
    for kept in range(len(texts), 0, -1):
        more = f" +{len(texts) - kept} more" if kept < len(texts) else ""
        told = "; ".join(texts[:kept])
        if cell_len(told) + len(more) <= room:
            return told + more
    more = f" +{len(texts) - 1} more" if len(texts) > 1 else ""
    return fit(texts[0], room - len(more)).rstrip() + more


def several_lines(row: Row, width: int) -> list[Line]:
    """Each of several with where it is and why, one below the other."""
    lines: list[Line] = [line(Span(fit(f" {row.title}: {row.what}", width), "title")), BLANK]
    for one in row.coming:
        place = fit(one["place_name"] or "", 8)
        head = line(" ", Span(place, "quiet"), " ", Span(fit(one["name"], max(8, width - 12)), "name"))
        late = f"{many(one['late_days'], 'day')} late" if one["late_days"] else ""
        why = ", ".join(word for word in (late, one["why"]) if word)
        lines += [head, *(line(" " * 10, Span(text, "quiet")) for text in wrap(why, width - 11) if why)]
    return lines
