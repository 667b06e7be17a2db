"""A text area that lays out, draws and repaints only the rows that a key has changed.

The stock one draws the whole paragraph again for each of its rows, and all of them for each letter: a letter of a
long note took many times as long as one of a short one.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Any, Self

from rich.segment import Segment
from rich.style import Style
from textual.document._document import Location, Selection
from textual.geometry import Region
from textual.strip import Strip
from textual.widgets import TextArea


class TextRows(TextArea):
    """Plain text in rows: no line numbers, no highlighting, no tabs, always wrapped."""

    def __init__(self, **words: Any) -> None:
        self._is_mending = False
        #: Whether a repaint was asked for while a key was carried out.
        self._wants_repaint = False
        #: Each row as it was drawn last.
        self._drawn: dict[int, object] = {}
        super().__init__(**words)

    def find_matching_bracket(self, bracket: str, search_from: Location) -> None:
        """None: no one looks for it, and to find it takes as long as the text is."""

    def refresh(
        self, *regions: Region, repaint: bool = True, layout: bool = False, recompose: bool = False
    ) -> Self:
        """While a key is carried out only what it changes is repainted, once it is known."""
        if self._is_mending and repaint and not regions and not layout and not recompose:
            self._wants_repaint = True
            return self
        return super().refresh(*regions, repaint=repaint, layout=layout, recompose=recompose)

    def begin_mending(self) -> None:
        """A key is going to be carried out."""
        self._is_mending, self._wants_repaint = True, False

    def end_mending(self) -> None:
        """It was: repaint the rows that look otherwise now."""
        self._is_mending = False
        if self._wants_repaint:
            self._line_cache.clear()
            width, height = self.size
            changed = [Region(0, y, width, 1) for y in range(height) if self._drawn.get(y) != self._row(y)]
            if changed:
                super().refresh(*changed)

    def _row(self, y: int) -> tuple[str, int, int, int]:
        """A row of the field: its text, the column of the cursor, and what is selected; -1 where neither is."""
        found = self.wrapped_document._offset_to_line_info
        at = y + self.scroll_offset.y
        if at >= len(found):
            return "", -1, -1, -1
        line, section = found[at]
        text, ends = self.document.get_line(line), self.wrapped_document.get_offsets(line)
        first = ends[section - 1] if section else 0
        is_last = section == len(ends)
        last = len(text) if is_last else ends[section]
        cursor = _column(self.selection.end, line, first, last + is_last) if self._draw_cursor else -1
        begins, stops = _selected(self.selection, line, first, last)
        return text[first:last], cursor, begins, stops

    def _render_line(self, y: int) -> Strip:
        """One row, drawn from its own letters."""
        theme = self._theme
        base = theme.base_style if theme is not None and theme.base_style is not None else self.rich_style
        row = self._row(y)
        self._drawn[y] = row
        text, cursor, begins, stops = row
        letters = text + " "
        marks = sorted(
            {0, len(letters), *(at for at in (cursor, cursor + 1, begins, stops) if 0 <= at <= len(letters))}
        )
        segments: list[Segment] = []
        for start, end in pairwise(marks):
            style = base
            if theme is not None and theme.selection_style is not None and begins <= start < stops:
                style += theme.selection_style
            if theme is not None and theme.cursor_style is not None and start == cursor:
                style += theme.cursor_style
            segments.append(Segment(letters[start:end], style))
        return Strip(segments).adjust_cell_length(self.size.width, base or Style())


def _column(at: Location, line: int, first: int, end: int) -> int:
    """The column of a place in a row, which holds the columns from `first` to before `end` of its line; else -1."""
    return at[1] - first if at[0] == line and first <= at[1] < end else -1


def _selected(selection: Selection, line: int, first: int, last: int) -> tuple[int, int]:
    """From which column to which a row is selected; -1 and -1 where nothing of it is."""
    top, bottom = sorted(selection)
    if first == last and top[0] <= line < bottom[0]:
        return 0, 1  # an empty line in it shows as one blank
    begins = max(first, top[1] if top[0] == line else first if top[0] < line else last)
    stops = min(last, bottom[1] if bottom[0] == line else last if bottom[0] > line else first)
    return (begins - first, stops - first) if begins < stops else (-1, -1)
