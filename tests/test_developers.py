"""DEVELOPERS.md names files and functions that are there."""

from __future__ import annotations

import re
from pathlib import Path

PROJECT = Path(__file__).parents[1]
PAGE = (PROJECT / "DEVELOPERS.md").read_text(encoding="utf-8")
#: A room or a file, as it stands in the text or behind a command.
PATHS = sorted(set(re.findall(r"\b(?:rounds|tests|demo_colony|docs)/[\w/.-]*\w", PAGE)))
#: `Shift.record` (`rounds/desk/shift.py`)
NAMED = re.findall(r"`([A-Za-z_.]+)`\s+\(`([\w/]+\.py)`\)", PAGE)


def test_every_file_and_folder_it_names_is_there() -> None:
    assert len(PATHS) > 40
    assert [path for path in PATHS if not (PROJECT / path).exists()] == []


def test_every_name_stands_in_the_file_it_is_said_to_stand_in() -> None:
    assert len(NAMED) > 15
    for name, path in NAMED:
        text = (PROJECT / path).read_text(encoding="utf-8")
        for part in name.split("."):
            assert re.search(rf"^\s*(?:class|def|async def) {part}\b|^{part}\b.* = ", text, re.MULTILINE), (
                name,
                path,
            )


def test_every_module_it_runs_is_there() -> None:
    for module in re.findall(r"python -m (tests[\w.]*|demo_colony[\w.]*)", PAGE):
        path = PROJECT / module.replace(".", "/")
        assert path.with_suffix(".py").is_file() or (path / "__main__.py").is_file(), module


def test_every_room_stands_on_the_map_and_no_other() -> None:
    rooms = {path.parent.name for path in (PROJECT / "rounds").glob("*/__init__.py")}
    rooms |= {f"{path.parent.name}" for path in (PROJECT / "rounds" / "screens").glob("*/__init__.py")}
    drawn = PAGE.partition("```\nrounds/\n")[2].partition("demo_colony/")[0]
    assert set(re.findall(r"(?<!\S)(\w+)/\s", drawn)) == rooms
