"""What stands twice on the sheets is told at each start, by a desk that is open, and by the check."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest

from rounds.logbook import rows
from rounds.sheets.store import Sheets
from rounds.sheets.watch import marks_of, sheet_path
from tests.desks.laptops import colony
from tests.desks.test_restore import rounds
from tests.sheets.saves import FIRST_DAY, SECOND_DAY, save

RACK = sheet_path(FIRST_DAY, "rack")
TWICE = f"{RACK}: 3 of its entries stand on the sheets twice; each counts once."
OTHER = "says something else in another sheet; that one counts."


def doubled(folder: Path) -> str:
    """Another program has put the sheet together with a copy of it."""
    sheet = folder / RACK
    sheet.write_bytes(2 * sheet.read_bytes())
    return TWICE


def contradicted(folder: Path) -> str:
    """Another desk's sheet holds an entry of the same id that says something else."""
    (one,) = save(0)
    Sheets(folder, "shelf").append([msgspec.structs.replace(one, note="no")], FIRST_DAY)
    return OTHER


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = colony(tmp_path / "colony", "")
    Sheets(made, "rack").append(save(0, 3), FIRST_DAY)
    Sheets(made, "rack").append(save(10), SECOND_DAY)
    return made


@pytest.mark.parametrize("harm", [doubled, contradicted])
def test_it_is_told_at_each_start_and_no_more_once_it_was_mended(folder: Path, harm: object) -> None:
    assert callable(harm)
    whole = {path: path.read_bytes() for path in folder.rglob("*.jsonl")}
    said = harm(folder)
    first = Sheets(folder, "reader")
    list(first.read_through())
    assert [said in trouble.what for trouble in first.troubles] == [True]
    for _ in range(3):
        later = Sheets(folder, "reader")
        later.restore(marks_of(first.marks()))
        assert later.verify()
        later.news()
        assert later.troubles == first.troubles
        first = later
    for path in folder.rglob("*.jsonl"):
        if path in whole:
            path.write_bytes(whole[path])
        else:
            path.unlink()
    mended = Sheets(folder, "reader")
    mended.restore(marks_of(first.marks()))
    if not mended.verify():
        list(mended.read_through())
    assert mended.troubles == []


@pytest.mark.parametrize("harm", [doubled, contradicted])
def test_a_desk_that_is_open_tells_it_and_so_does_the_next_start(folder: Path, harm: object) -> None:
    assert callable(harm)
    running = Sheets(folder, "reader")
    list(running.read_through())
    Sheets(folder, "rack").append([one for number in range(20, 50) for one in save(number)], FIRST_DAY)
    running.news()
    assert running.troubles == []
    said = harm(folder).replace("3 of", "33 of")
    running.news()
    assert [said in trouble.what for trouble in running.troubles] == [True]
    later = Sheets(folder, "reader")
    later.restore(marks_of(running.marks()))
    later.verify()
    assert later.troubles == running.troubles


@pytest.mark.parametrize("harm", [doubled, contradicted])
def test_the_check_tells_it_also_of_sheets_of_different_days(folder: Path, harm: object) -> None:
    assert callable(harm)
    said = harm(folder)
    code, page, _ = rounds(folder, "check")
    assert code == 1
    assert said in " ".join(page.split())


def test_the_check_tells_of_an_id_with_two_meanings_on_two_days(folder: Path) -> None:
    (one,) = save(0)
    other = rows.line_of(msgspec.structs.replace(one, note="no")) + b"\n"
    with (folder / sheet_path(SECOND_DAY, "rack")).open("ab") as out:
        out.write(other)
    code, page, _ = rounds(folder, "check")
    assert code == 1
    assert OTHER in " ".join(page.split())
