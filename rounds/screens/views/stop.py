"""A stop as lines: who lives there, what needs attention, what is due, what was done last. Pure."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime

from rich.cells import cell_len

from rounds.due.line import DueLine
from rounds.due.matter import Level, Matter
from rounds.logbook.entries import Acknowledged, Corrected, Entry, PutOff, StopWalked
from rounds.paper.said import said
from rounds.paper.words import Resident, left_beside, many, time_words
from rounds.screens.board.board import BLANK, Line, Span, fit, line, pressing, short, wrap
from rounds.standing.clutch import called
from rounds.standing.fold import Standing

STYLE_OF_LEVEL = {Level.WATCH: "watch", Level.TODAY: "today", Level.VET: "vet", Level.VET_NOW: "vet-now"}
#: The row that stands for "one of them, it is not known which".
UNKNOWN = "?"


def level_word(level: Level) -> str:
    """The level's word in six cells: words before colour; TODAY and VET in capitals."""
    return {Level.WATCH: "watch", Level.TODAY: "TODAY", Level.VET: "VET", Level.VET_NOW: "VET NOW"}[level]


def _no_steps(_number: int) -> tuple[str, ...]:
    return ()


def resident_lines(
    residents: Sequence[Resident],
    cursor: str,
    width: int,
    most: int,
    *,
    unknown: bool,
    steps: Callable[[int], tuple[str, ...]] = _no_steps,
) -> list[Line]:
    """Who lives here, the selected one marked; a window of `most` lines around it.

    `steps` gives the keys that select the one so many lines below, which a click presses.
    """
    rows: list[tuple[str, Line]] = []
    name = max(8, min(16, max((len(one.name) for one in residents), default=8)))
    if width < 100:
        name = min(name, 12)
    # Where nothing was weighed yet, or the animal brumates, it need not be said twice.
    residents = [
        one._replace(trend="") if one.weight == "no weight" or one.trend in one.state.split(", ") else one
        for one in residents
    ]
    trend = min(26, max((len(one.trend) for one in residents), default=0))
    rest = width - (3 + 4 + name + 2 + 9 + 10 + trend + 2)
    below: dict[str, Line] = {}
    for one in residents:
        mark = one.subject == cursor
        cut = cell_len(one.state) > rest
        if cut:
            below[one.subject] = line(" " * (name + 9), fit(one.state, max(8, width - name - 10)))
        rows.append(
            (
                one.subject,
                line(
                    Span(" > " if mark else "   ", "key"),
                    Span(fit(one.sex, 4)),
                    Span(fit(one.name, name + 2), "cursor" if mark else "name"),
                    fit(one.age, 9),
                    Span(f"{one.weight:>9} "),
                    Span(fit(one.trend, trend) + "  ", "quiet"),
                    fit(one.state, max(8, rest)),
                ),
            )
        )
    if unknown:
        mark = cursor == UNKNOWN
        rows.append(
            (
                UNKNOWN,
                line(
                    Span(" > " if mark else "   ", "key"),
                    "?   ",
                    Span("one of them, not known which", "cursor" if mark else "quiet"),
                ),
            )
        )
    at = next((place for place, (who, _) in enumerate(rows) if who == cursor), 0)
    rows = [(who, pressing(row, *steps(place - at))) for place, (who, row) in enumerate(rows)]
    if len(rows) + len(below) <= most:
        # There is room for a phase that does not fit behind the weight: below it, whole.
        return [shown for who, row in rows for shown in ((row[:-1], below[who]) if who in below else (row,))]
    if len(rows) <= most:
        return [shown for _, shown in rows]
    first = max(0, min(at - most // 2, len(rows) - (most - 1)))
    shown = [one for _, one in rows[first : first + most - 1]]
    return [*shown, line("     ", Span(f"{len(rows)} here; ↑ ↓ shows the others", "quiet"))]


def matter_lines(matters: Sequence[Matter], now: datetime, width: int, most: int, see: str = "") -> list[Line]:
    """What needs attention here, worst first; how many do not fit, and the key (`see`) that shows them."""
    see = f": {see}" if see else ""
    shown: list[Line] = []
    for place, matter in enumerate(matters):
        text = matter.says
        if left := left_beside(matter.says, matter.deadline, now):
            text += f" ({left})"
        if matter.acknowledged is not None and matter.level >= Level.VET:
            text += f" · read by {matter.acknowledged.by}"
        parts = wrap(text, width - 11)
        more = len(matters) - place
        if len(shown) + min(2, len(parts)) > most - (1 if more > 1 else 0):
            if not shown:  # the worst one is always in sight
                shown.append(_matter_line(matter, short(parts, 1)[0]))
                more -= 1
            if more and len(shown) < most:
                shown.append(line(" ", Span(f"        + {many(more, 'more matter')} here{see}", "quiet")))
            break
        for row, part in enumerate(short(parts, 2)):
            shown.append(_matter_line(matter, part) if row == 0 else line(" " * 9, part))
    return shown


def _matter_line(matter: Matter, text: str) -> Line:
    style = STYLE_OF_LEVEL[matter.level]
    says = Span(text, style if matter.level >= Level.TODAY else "")
    return line(" ", Span(f"{level_word(matter.level):<7}", style), " ", says)


def due_lines(lines: Sequence[DueLine], standing: Standing, stop: str, width: int, most: int) -> list[Line]:
    """What is due here; what needs a look or a figure first is set in bold."""
    shown: list[Line] = []
    rows = [_due_words(due, standing, stop) for due in lines]
    care = 2 + max((len(row[0]) for row in rows), default=0)
    late = max((len(row[3]) for row in rows if not row[4]), default=0)
    who = 2 + min(14, max((len(row[2]) for row in rows), default=0))
    who = 0 if who == 2 else who
    says = max(8, min(2 + max((len(row[1]) for row in rows), default=0), width - 11 - care - who - late))
    for place, (row, due) in enumerate(zip(rows, lines, strict=True)):
        if len(shown) >= most - 1 and place < len(lines) - 1:
            shown.append(line("         ", Span(f"+ {len(lines) - place} more due here", "quiet")))
            break
        head = Span(" due     " if place == 0 else "         ", "quiet")
        if row[4]:
            text = f"{row[2]}  {row[3]}" if row[2] else row[3]
            shown.append(line(head, Span(fit(row[0], care), "quiet"), Span(text, "quiet")))
            continue
        room = says - 1 if who else says
        # What is to be done goes on below where there is a row left for it, sooner than be cut.
        below = most - len(shown) - (len(lines) - place)
        parts = short(wrap(row[1], room), 1 + below) if below > 0 else [row[1]]
        shown.append(
            line(
                head,
                Span(fit(row[0], care), "" if due.plain else "name"),
                fit(fit(parts[0], room), says),
                Span(fit(row[2], who), "name"),
                Span(fit(row[3], max(late, width - 10 - care - says - who)), "today"),
            )
        )
        shown += [line(" " * (9 + care), part) for part in parts[1:]]
    return shown


def _due_words(due: DueLine, standing: Standing, stop: str) -> tuple[str, str, str, str, bool]:
    who = "" if due.about == stop else called(standing, due.about)
    says = due.says.removeprefix(due.care).removeprefix(": ").removeprefix(", ").strip()
    if due.left_out is not None:
        return due.care, "", who, f"left out: {due.left_out.reason}", True
    return due.care, says, who, f"{many(due.late_days, 'day')} late" if due.late_days > 0 else "", False


def last_lines(
    entries: Sequence[Entry], standing: Standing, stop: str, now: datetime, width: int, most: int
) -> list[Line]:
    """The last few things done or seen here, by whom."""
    shown: list[Line] = []
    for entry in entries:
        if isinstance(entry, StopWalked | Acknowledged | PutOff | Corrected):
            continue
        if len(shown) == most:
            break
        who = "" if entry.about == stop else called(standing, entry.about) + "  "
        text = f"{time_words(entry.at, now)} {entry.by}  {who}{said(standing, entry)}" + (
            f": {entry.note}" if entry.note else ""
        )
        head = " last    " if not shown else "         "
        shown.append(line(Span(head, "quiet"), Span(fit(text, width - 10), "quiet")))
    return shown


def stop_lines(
    *,
    residents: Sequence[Resident],
    cursor: str,
    unknown: bool,
    matters: Sequence[Matter],
    due: Sequence[DueLine],
    last: Sequence[Entry],
    standing: Standing,
    stop: str,
    now: datetime,
    width: int,
    height: int,
    eggs: Sequence[str] = (),
    boxes: Callable[[int], list[Line]] = lambda _most: [],
    see: str = "",
    steps: Callable[[int], tuple[str, ...]] = _no_steps,
) -> list[Line]:
    """All of a stop in at most `height` lines: first who, then what needs attention, what is due, what was."""
    rows = len(residents) + (1 if unknown else 0)
    spare = height - 3
    who = resident_lines(
        residents,
        cursor,
        width,
        max(3, min(2 * rows, spare - min(len(due), 3) - min(2 * len(matters), 6))),
        unknown=unknown,
        steps=steps,
    )
    for place, text in enumerate(eggs):
        if place >= max(2, spare - 8):
            who.append(line("     ", Span(f"and {len(eggs) - place} clutches more", "quiet")))
            break
        who.append(line("   ", Span(fit("eggs", 5), "quiet"), fit(text, width - 9)))
    who += boxes(max(3, spare - min(len(due), 4) - min(2 * len(matters), 4) - 2))
    spare -= len(who)
    due_room = min(len(due), max(2, spare // 2)) if due else 0
    what = matter_lines(matters, now, width, max(2, spare - due_room), see) if matters else []
    spare -= len(what)
    todo = (
        due_lines(due, standing, stop, width, max(1, spare))
        if due
        else [line(Span(" due     ", "quiet"), Span("nothing is due here", "quiet"))]
    )
    spare -= len(todo)
    parts = [who, what, todo]
    if spare > 1:
        parts.append(last_lines(last, standing, stop, now, width, min(spare - 1, 6 if height < 30 else 14)))
    shown: list[Line] = []
    for part in parts:
        if part:
            shown += ([BLANK] if shown else []) + part
    return shown[:height]
