"""What is written down by whoever it was reaches the plain commands' output as plain text and nothing else."""

from __future__ import annotations

import io
import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from rounds.cli import main
from rounds.cli.parser import COMMANDS
from tests.conftest import RecordFigure
from tests.hostile.hostile import HOSTILE, NAMES, hostile_colony, safe, unfit
from tests.notation import at

NOW = "2026-04-12 18:00"
COMMANDS_ABOUT_ALL: Sequence[Sequence[str]] = (
    ("today",),
    ("today", "--walk", "morning"),
    ("matters",),
    ("matters", "--all"),
    ("hand-over",),
    ("supplies",),
    ("fortnight",),
    ("pairing",),
    ("pairing", "animal/a0"),
    ("females",),
    ("fit",),
    ("boxes",),
    ("incubator",),
    ("room",),
    ("season",),
    ("young",),
    ("record", "group/g0"),
    ("stock",),
    ("check",),
    ("open",),
    ("show", "room"),
    ("show", "enclosure/e0"),
    ("show", "group/g0"),
    ("show", "clutch/c0"),
    ("show", "supply/s0"),
)
SUBJECTS = [f"{sort}/{sort[0]}{number}" for sort in ("animal", "enclosure") for number in range(len(NAMES))]


class Said(NamedTuple):
    """Exit code, data, words."""

    code: int
    out: str
    err: str


class Door:
    """`rounds` in a hostile colony."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.calls = 0

    def __call__(self, *words: str, stdin: bytes = b"", by: str = "AK", colony: str = "") -> Said:
        self.calls += 1
        out, err = io.StringIO(), io.StringIO()
        code = main(
            words,
            clock=lambda: at(NOW),
            environment={
                "ROUNDS_COLONY": colony or str(self.folder),
                "ROUNDS_KEEPER": by,
                "XDG_STATE_HOME": str(self.folder.parent / "state"),
            },
            stdin=io.BytesIO(stdin),
            out=out,
            err=err,
        )
        assert code != 70, err.getvalue()
        return Said(code, out.getvalue(), err.getvalue())


@pytest.fixture(scope="module")
def door(tmp_path_factory: pytest.TempPathFactory) -> Door:
    """The plain door of a colony whose every text is hostile."""
    return Door(hostile_colony(tmp_path_factory.mktemp("hostile") / "colony"))


@pytest.mark.parametrize("words", COMMANDS_ABOUT_ALL, ids=" ".join)
def test_every_paper_is_plain_text_that_fits_80_columns(words: Sequence[str], door: Door) -> None:
    said = door(*words)
    assert said.code in (0, 1)
    assert len(said.out) > 200
    safe(said.out)
    safe(said.err, columns=None)


@pytest.mark.parametrize("words", COMMANDS_ABOUT_ALL, ids=" ".join)
def test_every_figure_for_machines_is_ascii_and_holds_the_text_as_it_was_written(
    words: Sequence[str], door: Door
) -> None:
    said = door(*words, "--json")
    assert said.out.isascii()
    assert unfit(said.out) == []
    texts = set(strings(json.loads(said.out)))
    assert texts & {*NAMES, *HOSTILE.values()} or words[0] in ("check", "show", "open")


def strings(value: Any) -> list[str]:
    """Every text in a JSON document."""
    if isinstance(value, str):
        return [value]
    if isinstance(value, dict):
        return [text for one in value.values() for text in strings(one)]
    if isinstance(value, list):
        return [text for one in value for text in strings(one)]
    return []


def test_every_page_of_a_subject_is_plain_text_that_fits(door: Door, record_figure: RecordFigure) -> None:
    pages = 0
    for subject in SUBJECTS:
        for more in ((), ("--referral",)) if subject.startswith("animal") else ((),):
            said = door("show", subject, *more)
            assert said.code == 0, said.err
            safe(said.out)
            pages += 1
    record_figure("hostile texts on subjects' pages", f"{pages} pages, {len(HOSTILE)} sorts of text, all plain")


def test_entries_as_lines_are_ascii_one_a_line(door: Door) -> None:
    said = door("show", "--lines")
    assert said.out.isascii()
    assert unfit(said.out) == []
    lines = said.out.splitlines()
    assert lines
    assert {name for line in lines if (name := json.loads(line).get("name"))} == set(NAMES)


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_a_hostile_word_on_the_command_line_is_answered_in_plain_text(text: str, door: Door) -> None:
    word = text.replace("\0", "")[:4_000]  # a command line cannot hold a NUL
    for words in (
        ("show", word),
        ("matters", "--about", word),
        ("log", word, word),
        ("log", "noted", word, f"note={word}"),
        ("log", "weighed", "animal/a0", f"grams={word}"),
        ("log", "weighed", "animal/a0", f"{word}=4"),
        ("log", "weighed", "animal/a0", "grams=4", "--at", word),
        ("log", "noted", "room", "--note", word, "--dry-run"),
        ("log", "noted", "room", "--note", "x", "--by", word[:40], "--dry-run"),
        ("hand-over", "--to", word, "--note", word),
        ("help", word),
        (word,),
        ("today", "--on", word),
        ("today", word),
    ):
        said = door(*words)
        # `log` tells what it wrote one entry a line, however long the entry is.
        safe(said.out, columns=None if words[0] == "log" else 80)
        safe(said.err, columns=None)
        assert said.out or said.err
    said = door("today", colony=f"/nowhere/{word[:200]}")
    assert said.code == 3
    safe(said.err, columns=None)


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_a_hostile_line_on_standard_input_is_answered_in_plain_text(text: str, door: Door) -> None:
    lines: list[dict[str, object]] = [
        {"kind": "noted", "about": "room", "note": text, "by": text[:40]},
        {"kind": text, "about": "room"},
        {"kind": "noted", "about": text},
        {"kind": "noted", "about": "room", text: 1},
        {"kind": "arrived", "about": text, "name": text},
        {"kind": "moved", "about": "animal/a0", "to": text},
        {"kind": "corrected", "replaces": text},
        {"kind": "weighed", "about": "animal/a0", "grams": text},
        {"kind": "weighed", "about": "animal/a0", "grams": 4, "at": text},
        {"kind": "noted", "about": "room", "id": text[:40], "note": "own id"},
    ]
    for line in lines:
        said = door("log", "-", "--dry-run", stdin=json.dumps(line).encode())
        safe(said.out, columns=None)
        safe(said.err, columns=None)
        assert said.err


def test_what_was_saved_is_told_in_plain_text_and_read_back_as_it_was_written(tmp_path: Path) -> None:
    door = Door(hostile_colony(tmp_path / "colony"))
    for text in HOSTILE.values():
        line = {"kind": "noted", "about": "room", "note": text, "by": "AK"}
        said = door("log", "-", stdin=json.dumps(line).encode())
        assert said.code == 0, said.err
        safe(said.out, columns=None)
        safe(said.err, columns=None)
    found = [json.loads(line).get("note") for line in door("show", "room", "--lines").out.splitlines()]
    assert [note for note in found if note in HOSTILE.values()][-len(HOSTILE) :] == list(HOSTILE.values())


def test_signing_a_sheet_of_hostile_texts_writes_a_plain_one(tmp_path: Path) -> None:
    door = Door(hostile_colony(tmp_path / "colony"))
    text = HOSTILE["moves the cursor"] + HOSTILE["breaks the line"]
    door("log", "taken_over", "room", by=text[:40])
    said = door("hand-over", "--sign", "--note", text, "--to", text, by=text[:40])
    if said.code == 7:  # somebody is in danger: each such matter has to be read first
        matters = json.loads(door("matters", "--json").out)["matters"]
        for one in matters:
            if one["level"] == "vet now":
                read = {"kind": "acknowledged", "about": one["about"], "matter": one["key"], "level": "vet now"}
                assert door("log", "-", stdin=json.dumps(read).encode()).code == 0
        door("log", "taken_over", "room", by=text[:40])
        said = door("hand-over", "--sign", "--note", text, "--to", text, by=text[:40])
    assert said.code == 0, said.err
    safe(said.out)
    safe(said.err, columns=None)
    lines = [json.loads(line) for line in door("show", "room", "--lines").out.splitlines()]
    signed = [line for line in lines if line["kind"] == "handed_over"][-1]
    safe(signed["sheet"])
    assert signed["note"] == text, "the note itself stands as it was written"


def test_the_help_and_every_command_can_be_asked_for_in_plain_text(door: Door) -> None:
    for command in COMMANDS:
        said = door("help", command)
        assert said.code == 0
        safe(said.out)
