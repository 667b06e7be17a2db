"""Begin a colony from nothing: its name and its room's time zone."""

from __future__ import annotations

from pathlib import Path
from typing import cast

from rounds.desk.colony_file import write_new
from rounds.errors import RoundsError
from rounds.rules.settings import zone_of
from rounds.screens.board.board import BLANK, Line, Span, line, wrap
from rounds.screens.board.colours import register_themes
from rounds.screens.keys.dispatch import KeyedApp
from rounds.screens.prompts.asks import Talk
from rounds.screens.prompts.choices import Confirm
from rounds.screens.prompts.words import Words
from rounds.screens.screen import RoundScreen


class BeginScreen(RoundScreen):
    """Asks for what a new colony needs, and writes its colony.toml."""

    def __init__(self, folder: Path, zone: str) -> None:
        super().__init__()
        self.folder = folder
        self.zone = zone
        #: The name as answered: kept when the next question is broken off.
        self.name_typed = ""

    def on_mount(self) -> None:
        """There is nothing to see first: ask."""
        self.call_after_refresh(lambda: self.converse(self._beginning()))

    def broken_off(self) -> None:
        """Nothing was begun: ask from the beginning, where it can be left."""
        self.converse(self._beginning())

    def label_scanned(self, text: str) -> None:
        """There is nothing yet that could have a label."""

    def body(self, width: int, height: int) -> list[Line]:
        welcome = (
            f"There is no colony in {self.folder} yet. Two answers begin one; after that F2 sets up enclosures "
            "and registers animals, and house rules stand in colony.toml, each with its source."
        )
        return [
            line(" ", Span("A new colony", "title")),
            BLANK,
            *(line(" ", one) for one in wrap(welcome, width - 2)),
        ]

    def _beginning(self) -> Talk:
        yes = yield Confirm([f"Begin a colony in {self.folder}?"], yes="begin", no="leave", by_backspace=False)
        if not yes:
            self.app.exit(None)
            return
        name = yield Words("What is the colony or its room called", typed=self.name_typed, most=120)
        self.name_typed = name
        zone = yield Words("Time zone of the room", offered=self.zone, most=60, check=_wrong_zone)
        try:
            write_new(self.folder, name, zone)
        except RoundsError as error:
            yield Confirm([str(error)], yes="leave", no="leave", style="vet")
            self.app.exit(None)
            return
        beginning = cast("BeginApp", self.app)
        beginning.exit(self.folder)


class BeginApp(KeyedApp[Path | None]):
    """The little app before the first colony. Returns its folder, or None when none was begun."""

    def __init__(self, folder: Path, zone: str) -> None:
        super().__init__()
        self._folder = folder
        self._zone = zone

    def on_mount(self) -> None:
        """Ask."""
        register_themes(self)
        self.push_screen(BeginScreen(self._folder, self._zone))


def _wrong_zone(text: str) -> str:
    try:
        zone_of(text)
    except RoundsError as error:
        return str(error).removeprefix("colony.toml, time_zone: ")
    return ""
