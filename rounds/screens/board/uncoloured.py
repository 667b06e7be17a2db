"""NO_COLOR: no colour at all is written, neither of letters nor of the ground; words, bold and reverse stay.

Textual answers NO_COLOR with greys, which are colours to the terminal (https://no-color.org: no ANSI colour).
"""

from __future__ import annotations

from functools import lru_cache

from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.filter import LineFilter


class Uncoloured(LineFilter):
    """Takes every colour away and leaves the rest of a style as it is."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """The same letters without colour."""
        return [
            Segment(text, plain(style) if style is not None else None, control) for text, style, control in segments
        ]


@lru_cache(maxsize=1024)
def plain(style: Style) -> Style:
    """A style without its colours."""
    return Style(
        bold=style.bold,
        italic=style.italic,
        underline=style.underline,
        reverse=style.reverse,
        strike=style.strike,
        meta=style.meta or None,
    )
