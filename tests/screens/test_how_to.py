"""docs/how-to.md tells of keys, commands and words that are there."""

from __future__ import annotations

import re
from pathlib import Path

from rounds.cli.parser import COMMANDS
from rounds.screens.keys.register import shown_key
from rounds.screens.keys.screens import BY_ID

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "how-to.md").read_text(encoding="utf-8")


def test_every_command_it_names_is_one() -> None:
    named = set(re.findall(r"`rounds ([a-z-]+)", PAGE)) - {"--colony"}
    assert named <= set(COMMANDS)
    assert {"demo", "log"} <= named


def test_every_page_it_leads_to_is_there() -> None:
    for page in re.findall(r"\]\(([a-z-]+\.md)\)", PAGE):
        assert (ROOT / "docs" / page).is_file(), page


def test_what_the_program_is_said_to_say_it_says() -> None:
    source = "\n".join(
        path.read_text(encoding="utf-8")
        for folder in ("screens", "due", "paper", "logbook", "standing")
        for path in (ROOT / "rounds" / folder).rglob("*.py")
    )
    source = re.sub(r'"\s*\n\s*f?"', "", source)
    for words in re.findall(r"“([^”]+)”", PAGE):
        assert " ".join(words.split()) in source, words


def test_single_keys_it_names_are_keys_or_answers() -> None:
    keys = {shown_key(name) for key in BY_ID.values() for name in key.keys.split(",")}
    answers = {"u", "d", "r", "v", "t", "c", "y", "n", "g", "e", "b", "i", "f", "a"}
    for named in re.findall(r"`([a-zA-Z0-9↑↓→←/?]|F\d)`", PAGE):
        assert named in keys | answers, named
