"""The one widget the round is read from: plain lines of styled words, repainted without layout.

A line widget answers a key in a few milliseconds where stacked stock widgets take a layout pass;
at the rack each key must feel instant.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import ClassVar, Final, NamedTuple

from rich.cells import cell_len, set_cell_size
from rich.segment import Segment
from rich.style import Style
from textual.events import Click, Key
from textual.geometry import Region
from textual.keys import key_to_character
from textual.selection import Selection
from textual.strip import Strip
from textual.widget import Widget

from rounds.paper.plain_text import padded, shown, wrapped


class Span(NamedTuple):
    """Words in one style: "" plain, or a style word of the board (`vet`, `today`, `quiet`, `key` …).

    `field` is the place of the text field: while text is typed it lies over these words. A click on the words
    presses `keys`, one after the other, by the names that a terminal gives them.
    """

    text: str
    style: str = ""
    keys: tuple[str, ...] = ()


Line = tuple[Span, ...]
BLANK: Line = ()


def row_of(text: Sequence[Line], begins: str) -> int:
    """The place of the first row that begins with these words; behind the last where there is none."""
    found = (at for at, row in enumerate(text) if begins and row and row[0].text.startswith(begins))
    return next(found, len(text))


#: In front of a subject in the place of keys: a click presses what leads there from where the cursor is then.
TO: Final = "to "


class Fitted(tuple[Span, ...]):
    """A line that is just so many cells wide (`width`), and need not be measured again."""

    width: int = 0


def line(*parts: str | Span) -> Line:
    """A line of words, plain unless they bring their style."""
    return tuple(part if isinstance(part, Span) else Span(part) for part in parts)


def pressing(one: Line, *keys: str) -> Line:
    """The line, a click on which presses these keys wherever its words have none of their own."""
    return tuple(span if span.keys else span._replace(keys=keys) for span in one) if keys else one


def fit(text: str, width: int) -> str:
    """The text in exactly `width` cells, cut with … or padded; what a terminal would obey is made visible."""
    return padded(shown(text), max(0, width)) if width > 0 else ""


#: The space between a figure and its unit, or a day and its month.
_BOUND: Final = re.compile(r"(?<=\d) (?=%|(?:g|h|cm|°C|Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)\b)")


def wrap(text: str, width: int) -> list[str]:
    """The text in lines of at most `width` cells, broken between words; no figure loses its unit."""
    return [one.replace("\xa0", " ") for one in wrapped(_BOUND.sub("\xa0", shown(text)), max(8, width))]


def short(lines: list[str], most: int) -> list[str]:
    """At most so many lines; that some are missing is seen at the end of the last."""
    return lines if len(lines) <= most else [*lines[: most - 1], lines[most - 1][:-1].rstrip() + "…"]


def sheet_lines(sheet: str, width: int) -> list[str]:
    """A sheet of 80 columns on a screen that may be narrower: long lines go on below, set in as they begin."""
    lines: list[str] = []
    for text in sheet.splitlines():
        text = shown(text).rstrip()
        if cell_len(text) <= width:
            lines.append(text)
            continue
        if not text.strip("=-"):
            lines.append(text[:width])
            continue
        inset = min(len(text) - len(text.lstrip()), width // 3)
        first, *rest = wrapped(text.strip(), max(8, width - inset))
        lines += [" " * inset + first, *(" " * inset + one for one in rest)]
    return lines


def asked(title: str, typed: str, width: int, *, style: str = "ask", rows: int = 1) -> list[Line]:
    """A question and what was typed so far, the end of which is always in sight.

    With the style `field` it is typed in the text field, in so many rows; more than one stand below the question.
    """
    title = shown(title)
    room = width - 2 - cell_len(title) - 3
    lines: list[Line] = []
    least = cell_len(typed) + 2
    if rows > 1 or room < (least if style == "field" else min(12, least)):  # the title has lines of its own
        lines = [line(" ", Span(one, "ask")) for one in wrapped(title, max(8, width - 2))[:3]]
        title, room = "", width - 3
    head = f"{title}  " if title else ""
    cells = width - 2 - cell_len(head)
    return [*lines, *(line(" ", Span(head, "ask"), Span(end, style)) for end in typed_ends(typed, cells, rows))]


def typed_ends(typed: str, cells: int, rows: int) -> list[str]:
    """What was typed so far, in so many rows of so many cells: its end, where it is longer."""
    if rows > 1:
        ends = typed_rows(_end(typed, cells, rows), cells)[-rows:]
        return [fit(one, cells) for one in (*ends, *[""] * (rows - len(ends)))]
    end = f"{shown(typed)}_"
    while cell_len(end) > max(2, cells):
        end = "…" + end[2 if end.startswith("…") else 1 :]
    return [fit(end, cells)]


def _end(typed: str, cells: int, rows: int) -> str:
    """The end of a long text, from a blank on: enough for so many rows."""
    most = (rows + 1) * max(2, cells)
    if len(typed) <= 2 * most:
        return typed
    at = max(typed.find(" ", len(typed) - 2 * most, len(typed) - most), typed.find("\n", len(typed) - 2 * most))
    return typed[at + 1 if at >= 0 else len(typed) - most :]


def rows_of(typed: str, cells: int, most: int) -> int:
    """How many rows the text typed so far takes; so many at most, that a long one need not be gone through."""
    return min(most, len(typed_rows(typed[: (most + 1) * max(2, cells)], cells)))


def typed_rows(typed: str, cells: int) -> list[str]:
    """A text of several lines in rows of so many cells, a mark where the next letter goes."""
    return [row for one in f"{typed}_".split("\n") for row in wrapped(shown(one), max(2, cells - 1))]


def fitting(one: Line, width: int) -> Line:
    """The line in at most so many cells, cut with …; what a terminal would obey is made visible."""
    safe = [span if (text := shown(span.text)) is span.text else span._replace(text=text) for span in one]
    if sum(cell_len(span.text) for span in safe) <= width:
        return tuple(safe)
    kept: list[Span] = []
    room = width
    for span in safe:
        cells = cell_len(span.text)
        if cells > room or (cells == room and span is not safe[-1]):
            kept.append(span._replace(text=set_cell_size(span.text, max(0, room - 1)).rstrip() + "…"))
            break
        kept.append(span)
        room -= cells
    return tuple(kept)


class Board(Widget):
    """Lines on the screen. The screen that owns it says what stands on them and takes its keys.

    What is dragged over with the mouse can be copied; a click presses the keys that the words stand for.
    """

    STYLES: ClassVar[tuple[str, ...]] = (
        "name",
        "title",
        "quiet",
        "key",
        "watch",
        "today",
        "vet",
        "vet-now",
        "done",
        "cursor",
        "ask",
        "field",
        "good",
        "selected",
    )
    COMPONENT_CLASSES: ClassVar[set[str]] = {f"board--{style}" for style in STYLES}
    DEFAULT_CSS = """
    Board {
        width: 1fr; height: 1fr;
        & > .board--name { text-style: bold; }
        & > .board--title { text-style: bold; color: $text; }
        & > .board--quiet { color: $text-muted; }
        & > .board--key { text-style: bold; color: $text-accent; }
        & > .board--watch { color: $watch; }
        & > .board--today { text-style: bold; color: $today; }
        & > .board--vet { text-style: bold; color: $vet; }
        & > .board--vet-now { text-style: bold reverse; color: $vet; }
        & > .board--done { color: $done; }
        & > .board--cursor { text-style: bold underline; }
        & > .board--ask, & > .board--field { text-style: bold; color: $text; background: $panel; }
        & > .board--good { color: $done; text-style: bold; }
        & > .board--selected { text-style: reverse; }
    }
    """

    def __init__(
        self, lay_out: Callable[[], None], ways_to: Callable[[str], tuple[str, ...]], *, id: str | None = None
    ) -> None:
        super().__init__(id=id)
        #: The keys that lead to a subject now.
        self._ways_to = ways_to
        #: Lays the lines out again for more or less room.
        self._lay_out = lay_out
        self._lines: Sequence[Line] = ()
        self._styles: dict[str, Style] = {}
        #: The words last clicked on, the keys they stand for, and when that was, in s.
        self._clicked: tuple[str, tuple[str, ...], float] = ("", (), 0.0)

    def show(self, lines: Sequence[Line]) -> None:
        """Put these lines on the board. Whatever stands in them, none is wider or obeyed by a terminal."""
        width = self.size.width
        before, self._lines = self._lines, [_at_most(one, width) for one in lines]
        if self.text_selection is not None and self._lines != before:
            self.screen.clear_selection()  # it was of other words
        rows = range(max(len(before), len(self._lines)))
        changed = [Region(0, y, width, 1) for y in rows if _differ(before[y : y + 1], self._lines[y : y + 1])]
        if changed:  # over a slow line a row is soon there and a screen is not
            self.refresh(*changed)

    @property
    def text(self) -> str:
        """What stands on the board, as text."""
        return "\n".join(_plain(one) for one in self._lines)

    @property
    def field(self) -> Region | None:
        """Where the text field lies; None where none is asked for."""
        first: Region | None = None
        for y, one in enumerate(self._lines):
            if not any(span.style == "field" for span in one):
                continue
            x = 0
            for span in one:
                cells = cell_len(span.text)
                if span.style == "field":
                    first = Region(x, y, cells, 1) if first is None else first.grow((0, 0, y + 1 - first.bottom, 0))
                x += cells
        return first

    def notify_style_update(self) -> None:
        """Colours may have changed with the theme."""
        super().notify_style_update()
        self._styles.clear()

    def _style(self, word: str) -> Style:
        style = self._styles.get(word)
        if style is None:
            style = self.get_component_rich_style(f"board--{word}") if word else self.rich_style
            self._styles[word] = style
        return style

    def render_line(self, y: int) -> Strip:
        width = self.size.width
        if y >= len(self._lines):
            return Strip.blank(width, self._style(""))
        strip = Strip(self._segments(self._lines[y])).adjust_cell_length(width, self._style(""))
        selection = self.text_selection
        marked = selection.get_span(y) if selection is not None else None
        if marked is None:
            return strip
        start, end = marked[0], width if marked[1] < 0 else marked[1]
        reverse = self._style("selected")
        inside = Strip([Segment(text, (style or Style()) + reverse) for text, style, _ in strip.crop(start, end)])
        return Strip.join([strip.crop(0, start), inside, strip.crop(end, width)])

    def _segments(self, one: Line) -> list[Segment]:
        """The words of a line; neighbours of one style are drawn as one."""
        found: list[Segment] = []
        text, before = "", ""
        for span in one:
            if span.style != before and text:
                found.append(Segment(text, self._style(before)))
                text = ""
            before = span.style
            text += span.text
        if text:
            found.append(Segment(text, self._style(before)))
        return found

    # Selecting and clicking

    def selection_updated(self, selection: Selection | None) -> None:
        """Mark what is selected."""
        self.refresh()

    def get_selection(self, selection: Selection) -> tuple[str, str]:
        """The words selected, line by line, without the blanks behind them."""
        told: list[str] = []
        for y, one in enumerate(self._lines):
            marked = selection.get_span(y)
            if marked is not None:
                text = _plain(one)
                start, end = marked[0], cell_len(text) if marked[1] < 0 else marked[1]
                told.append(_cells(text, start, end).rstrip())
        return "\n".join(told), "\n"

    def keys_at(self, x: int, y: int) -> tuple[str, ...]:
        """The keys that a click there presses; behind the words of a line, those of all its words."""
        keys = self._keys_at(x, y)
        return self._ways_to(keys[0].removeprefix(TO)) if keys and keys[0].startswith(TO) else keys

    def _keys_at(self, x: int, y: int) -> tuple[str, ...]:
        if y >= len(self._lines):
            return ()
        one, end = self._lines[y], 0
        for span in one:
            end += cell_len(span.text)
            if x < end:
                return span.keys
        every = {span.keys for span in one}
        return every.pop() if len(every) == 1 else ()

    def on_click(self, event: Click) -> None:
        """A click does what the key does; where words were dragged over it does nothing."""
        event.prevent_default()  # Textual would select the whole board by two clicks
        if event.button == 1 and not self.screen.get_selected_text():
            keys = self.keys_at(event.x, event.y)
            words = _plain(self._lines[event.y]).strip("> ") if event.y < len(self._lines) else ""
            before, self._clicked = self._clicked, (words, keys, event.time)
            if event.chain > 1 and not _goes_on(before, self._clicked):
                return
            for key in keys:
                self.app.post_message(Key(key, key_to_character(key)))

    def on_resize(self) -> None:
        """More or less room: the screen lays out its lines again."""
        self._lay_out()


def _at_most(one: Line, width: int) -> Line:
    return one if type(one) is Fitted and one.width <= width else fitting(one, width)


def _differ(before: Sequence[Line], now: Sequence[Line]) -> bool:
    """Whether a row looks different: what a click on it presses is not seen."""
    if before == now:
        return False
    if not before or not now or len(before[0]) != len(now[0]):
        return True
    return any(one.text != two.text or one.style != two.style for one, two in zip(before[0], now[0], strict=True))


def _goes_on(first: tuple[str, tuple[str, ...], float], second: tuple[str, tuple[str, ...], float]) -> bool:
    """Whether the second of two quick clicks means more than the first: a line that was selected is opened.

    The same key twice, or what has come under the pointer meanwhile, is no one's wish: it was not looked at.
    """
    return first[0] == second[0] and first[1] != second[1] and second[2] - first[2] < 1


def _plain(one: Line) -> str:
    return "".join(span.text for span in one)


def _cells(text: str, start: int, end: int) -> str:
    """What stands between two columns; a wide letter belongs to the column it begins in."""
    kept, at = "", 0
    for letter in text:
        if start <= at < end:
            kept += letter
        at += cell_len(letter)
    return kept
