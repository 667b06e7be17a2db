"""Whole commands that look or try: each ends with one of the exit codes that the docs list, and plain text."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Final

from tests.cli.conftest import Door
from tests.cli.test_fuzz import ANSWERED
from tests.desks.laptops import colony
from tests.fuzzing.feed import Feed
from tests.fuzzing.targets import Taker
from tests.fuzzing.targets.command_lines import OPTIONS, some_words
from tests.fuzzing.targets.values import DAYS, KIND_NAMES, MOMENTS, SUBJECTS

#: What a command is begun with: none of them writes into the colony.
_BEGUN: Final = (
    ("today",),
    ("matters",),
    ("hand-over",),
    ("log", "--dry-run"),
    ("log", "-", "--dry-run"),
    ("show",),
    ("find",),
    ("check",),
    ("help",),
    (),
)
_WORDS: Final = (*OPTIONS, "weighed", *SUBJECTS, *DAYS, *MOMENTS, *KIND_NAMES, "grams=452", "morning", "since")
#: What would write, or look into a folder that is not the colony's, or open the app.
_NOT_HERE: Final = ("--c", "--re", "--si", "-h", "--he", "open", "demo", "new")


def prepared(folder: Path) -> Taker:
    """Takes the words behind `rounds` and what stands on standard input."""
    state = {"XDG_STATE_HOME": str(folder / "state"), "XDG_DATA_HOME": str(folder / "data")}
    door = Door(colony(folder / "colony"), {"ROUNDS_COLONY": str(folder / "colony"), **state})
    before = door.sheets()

    def take(content: bytes) -> None:
        feed = Feed(content)
        begun = feed.pick(_BEGUN)
        given = feed.some(80)
        words = [word for word in some_words(feed, _WORDS) if not word.startswith(_NOT_HERE)]
        if not begun and (not words or words[0].startswith("log")):
            return
        said = door(*begun, *words, stdin=given)
        assert said.code in ANSWERED, said.err
        assert "\x1b" not in said.out + said.err
        assert said.code == 0 or said.err or "check" in begun
        if "--json" in words and said.code == 0 and said.out.startswith("{"):
            json.loads(said.out)
        assert door.sheets() == before

    return take
