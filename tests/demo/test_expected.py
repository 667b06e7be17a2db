"""What the program says of the demo on the fixed morning is what was read and found right."""

from __future__ import annotations

import difflib
from pathlib import Path

import pytest

from demo_colony import expected


@pytest.fixture(scope="module")
def sheets() -> dict[str, str]:
    return expected.sheets()


@pytest.mark.parametrize("name", ["due.txt", "matters.txt", "hand-over.txt"])
def test_it_says_what_stands_in_the_expected_sheet(sheets: dict[str, str], name: str) -> None:
    kept = (expected.FOLDER / name).read_text(encoding="utf-8")
    differs = list(
        difflib.unified_diff(kept.splitlines(), sheets[name].splitlines(), "expected", "now", lineterm="")
    )
    assert differs == [], "read what differs; if it is right: python -m demo_colony.expected --write"


def test_the_command_tells_a_sheet_that_is_out_of_date(
    sheets: dict[str, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from demo_colony.expected import __main__ as command

    monkeypatch.setattr(command, "FOLDER", tmp_path)
    monkeypatch.setattr(command, "sheets", lambda: sheets)
    assert command.main([]) == 1
    assert "+VET NOW" in capsys.readouterr().out
    assert command.main(["--write"]) == 0
    assert command.main([]) == 0
    assert command.main(["--wirte"]) == 2
