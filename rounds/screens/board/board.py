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
from textual.strip import Strip
from textual.widget import Widget

from rounds.paper.plain_text import padded, shown, wrapped


class Span(NamedTuple):
    """Words in one style: "" plain, or a style word of the board (`vet`, `today`, `quiet`, `key` …)."""

    text: str
    style: str = ""


Line = tuple[Span, ...]
BLANK: Line = ()


def line(*parts: str | Span) -> Line:
    """A line of words, plain unless they bring their style."""
    return tuple(part if isinstance(part, Span) else Span(part) for part in parts)


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


def asked(title: str, typed: str, width: int) -> list[Line]:
    """A question and what was typed so far, the end of which is always in sight."""
    title = shown(title)
    room = width - 2 - cell_len(title) - 3
    lines: list[Line] = []
    if room < min(12, cell_len(typed) + 2):  # the title has lines of its own
        lines = [line(" ", Span(one, "ask")) for one in wrapped(title, max(8, width - 2))[:3]]
        title, room = "", width - 3
    rest = shown(typed)
    while cell_len(rest) > max(1, room - 1):
        rest = "…" + rest[2 if rest.startswith("…") else 1 :]
    text = f"{title}  {rest}_" if title else f"{rest}_"
    return [*lines, line(" ", Span(fit(text, width - 2), "ask"))]


def _fitting(one: Line, width: int) -> Line:
    safe = [Span(shown(span.text), span.style) for span in one]
    if sum(cell_len(span.text) for span in safe) <= width:
        return tuple(safe)
    kept: list[Span] = []
    room = width
    for span in safe:
        cells = cell_len(span.text)
        if cells > room or (cells == room and span is not safe[-1]):
            kept.append(Span(set_cell_size(span.text, max(0, room - 1)).rstrip() + "…", span.style))
            break
        kept.append(span)
        room -= cells
    return tuple(kept)


class Board(Widget, can_focus=True):
    """Lines on the screen. The screen that owns it says what stands on them and takes its keys."""

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
        "good",
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
        & > .board--ask { text-style: bold; color: $text; background: $panel; }
        & > .board--good { color: $done; text-style: bold; }
    }
    """

    def __init__(self, lay_out: Callable[[], None], *, id: str | None = None) -> None:
        super().__init__(id=id)
        #: Lays the lines out again for more or less room.
        self._lay_out = lay_out
        self._lines: Sequence[Line] = ()
        self._styles: dict[str, Style] = {}

    def show(self, lines: Sequence[Line]) -> None:
        """Put these lines on the board. Whatever stands in them, none is wider or obeyed by a terminal."""
        width = self.size.width
        self._lines = [_fitting(one, width) for one in lines]
        self.refresh()

    @property
    def text(self) -> str:
        """What stands on the board, as text."""
        return "\n".join("".join(span.text for span in one) for one in self._lines)

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
        segments = [Segment(span.text, self._style(span.style)) for span in self._lines[y] if span.text]
        return Strip(segments).adjust_cell_length(width, self._style(""))

    def on_resize(self) -> None:
        """More or less room: the screen lays out its lines again."""
        self._lay_out()
