"""The floor for the full-screen figures: a bare Textual app with one line-API widget, as many as the walk has.

A key repaints its lines without layout, with the key's number on each, as a screen of the round does.
"""

from __future__ import annotations

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.app import App, ComposeResult
from textual.screen import Screen
from textual.strip import Strip
from textual.widget import Widget


class Lines(Widget, can_focus=True):
    """Lines of plain words."""

    DEFAULT_CSS = "Lines { width: 1fr; height: 1fr; }"
    count = 0

    def render_line(self, y: int) -> Strip:
        """One line."""
        bold = Style(bold=True)
        return Strip(
            [Segment(f" {y:2d} ", bold), Segment(f"bare line after {self.count} keys, no layout")]
        ).adjust_cell_length(self.size.width)

    def on_key(self, event: events.Key) -> None:
        """Any key but q repaints."""
        if event.key != "q":
            self.count += 1
            self.refresh()


class OneWidget(Screen[None]):
    """The screen with the one widget."""

    AUTO_FOCUS = "Lines"

    def compose(self) -> ComposeResult:
        """The widget."""
        yield Lines()


class Bare(App[None]):
    """The app."""

    BINDINGS = [("q", "quit", "Quit")]  # noqa: RUF012

    def on_mount(self) -> None:
        """Show it."""
        self.push_screen(OneWidget())


if __name__ == "__main__":
    Bare().run()
