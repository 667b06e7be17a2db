"""A matter as lines: in the list of all, and whole, with all that explains it."""

from __future__ import annotations

from datetime import datetime

from rounds.due.matter import Level, Matter
from rounds.paper.plain_text import cut
from rounds.paper.said import said
from rounds.paper.words import date_words, left_beside, left_words, time_words
from rounds.rules.house import House
from rounds.screens.board.board import BLANK, Line, Span, fit, line, wrap
from rounds.screens.views.stop import STYLE_OF_LEVEL, level_word
from rounds.standing.clutch import called
from rounds.standing.fold import Standing

#: Where the vet's number is to be written, when the colony has none.
NO_VET = "no number yet: write it in colony.toml, under [vet]"

#: How the rows begin that tell by which rules a matter stands: what is to be done stands above them.
RULE = " rule"


def matter_row(matter: Matter, standing: Standing, now: datetime, width: int, mark: bool) -> list[Line]:
    """One matter in the list, in three lines at most."""
    place = standing.name(matter.place) if matter.place else ""
    tail = ""
    if matter.put_off is not None:
        tail = f"  put off until {date_words(matter.put_off.until, now)}: {matter.put_off.reason}"
    elif left := left_beside(matter.says, matter.deadline, now):
        tail = f"  {left}"
    if matter.needs_acknowledging:
        tail += "  not read yet"
    elif matter.acknowledged is not None:
        tail += f"  read by {matter.acknowledged.by}"
    cells = max(8, width - 18)
    parts = wrap(matter.says + tail, cells)
    if len(parts) > 3:  # how long is left, and whether it was read, stay in sight
        parts = wrap(cut(matter.says, max(8, 3 * cells - len(tail) - 16)) + tail, cells)
    word = "off" if matter.put_off is not None else level_word(matter.level)
    style = "quiet" if matter.put_off is not None else STYLE_OF_LEVEL[matter.level]
    shown = [
        line(
            Span(" > " if mark else "   ", "key"),
            Span(f"{word:<7}", style),
            " ",
            Span(fit(place, 6)),
            " ",
            Span(parts[0], "cursor" if mark else ""),
        )
    ]
    shown += [line(" " * 18, Span(part, "quiet" if matter.put_off else "")) for part in parts[1:3]]
    return shown


def whole_matter(matter: Matter, standing: Standing, house: House, now: datetime, width: int) -> list[Line]:
    """One matter, whole: what, why, from which entries, by which rule, what to do, when it worsens."""
    style = STYLE_OF_LEVEL[matter.level]
    where = f"   {standing.name(matter.place)}" if matter.place else ""
    shown: list[Line] = [
        line(" ", Span(level_word(matter.level), style), "  ", Span(called(standing, matter.about), "name"), where),
        BLANK,
    ]
    shown += [line(" ", Span(one, "name")) for one in wrap(matter.says, width - 2)]
    if matter.deadline is not None:
        shown.append(
            line(
                " ", Span(f"deadline {matter.deadline:%A %d %b, %H:%M}: {left_words(matter.deadline, now)}", style)
            )
        )
    shown.append(BLANK)
    shown += _part("do", matter.do, width)
    if matter.level >= Level.VET:
        shown += _part("vet", (house.vet or NO_VET,), width)
    if matter.worsens:
        shown += _part("worsens", (matter.worsens,), width)
    shown += _part("adds up", matter.adds, width)
    if matter.entries:
        seen = tuple(
            f"{time_words(entry.at, now)} {entry.by}  {called(standing, entry.about)}  {said(standing, entry)}"
            + (f": {entry.note}" if entry.note else "")
            for entry in matter.entries
        )
        shown += _part("seen", seen, width)
    else:
        shown += _part("seen", ("no entry: this is about what has not been written",), width)
    shown += _part(RULE.strip(), tuple(house.rule(key).cite() for key in matter.house), width)
    if matter.acknowledged is not None:
        shown += _part("read", (f"{time_words(matter.acknowledged.at, now)} by {matter.acknowledged.by}",), width)
    if matter.put_off is not None:
        shown += _part(
            "put off",
            (f"until {matter.put_off.until:%d %b %Y} by {matter.put_off.by}: {matter.put_off.reason}",),
            width,
        )
    return shown


def _part(word: str, texts: tuple[str, ...], width: int) -> list[Line]:
    shown: list[Line] = []
    for text in texts:
        for row, part in enumerate(wrap(text, width - 12)):
            head = f" {word:<8} " if not shown else " " * 10
            shown.append(
                line(
                    Span(head, "quiet"),
                    "· " if row == 0 and len(texts) > 1 else "  " if len(texts) > 1 else "",
                    part,
                )
            )
    return [*shown, BLANK] if shown else shown
