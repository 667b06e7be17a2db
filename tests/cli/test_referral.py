"""`rounds referral`: where the sheet goes."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Door


@pytest.fixture
def fern(room: Door) -> Door:
    room.well("log", "arrived", "fern", "name=Fern", "sex=F", "--at", "2026-04-01 08:00")
    return room


def test_a_hyphen_is_standard_output_for_the_text_too(
    fern: Door, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert fern("referral", "fern", "--text", "-").out.startswith("For the vet: Fern")
    assert fern("referral", "fern", "--html", "-").out.startswith("<!doctype html>")
    assert not (tmp_path / "-").exists()


def test_only_one_of_the_two_goes_to_standard_output(fern: Door) -> None:
    said = fern("referral", "fern", "--text", "-", "--html", "-")
    assert (said.code, said.out) == (2, "")
    assert said.err.startswith("Only one of --text and --html goes to standard output")


def test_one_goes_to_a_file_and_the_other_is_printed(fern: Door, tmp_path: Path) -> None:
    said = fern("referral", "fern", "--text", "-", "--html", str(tmp_path / "fern.html"))
    assert said.out.startswith("For the vet: Fern")
    assert (tmp_path / "fern.html").read_text().startswith("<!doctype html>")


def test_a_link_that_leads_nowhere_is_not_followed(fern: Door, tmp_path: Path) -> None:
    (tmp_path / "sheet.html").symlink_to(tmp_path / "elsewhere.html")
    said = fern("referral", "fern", "--html", str(tmp_path / "sheet.html"))
    assert (said.code, said.err) == (
        2,
        f"{tmp_path / 'sheet.html'} is there already and was left as it is; name another file\n",
    )
    assert not (tmp_path / "elsewhere.html").exists()
