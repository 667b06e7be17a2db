"""A sheet, a colony.toml or a link from elsewhere makes the program read and write nothing outside the colony."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from rounds.desk.colony_file import load
from rounds.desk.desk import Desk
from rounds.errors import BadEntry, BadRule, NotSaved
from rounds.logbook.drafts import draft
from rounds.logbook.entries import Moved, Noted, Weighed
from rounds.logbook.rows import line_of
from rounds.rules.settings import zone_of
from rounds.sheets.repair import repair
from rounds.sheets.store import Sheets
from tests.desks.laptops import Clock, colony, laptop, note
from tests.desks.test_restore import rounds
from tests.hostile.hostile import HOSTILE, safe
from tests.notation import at

NOW = "2026-04-12 18:00"
SECRET = b"this is not for you\n"
WAYS_OUT = (
    "..",
    "../outside",
    "../../outside/secret",
    "/etc/passwd",
    "animal/../../outside",
    "animal/..",
    "animal/.",
    "animal/",
    "animal//x",
    "animal/a\0b",
    "animal/a\n",
    "animal/A",
    "animal/é",
    "animal/-x",
    "enclosure/~root",
    "room/",
    "room\n",
    "C:\\x",
    "file:///etc/passwd",
    "animal/" + "x" * 61,
)


class Outside:
    """What lies beside a colony: a secret file and a folder. It is to stay as it is."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder / "outside"
        self.folder.mkdir()
        self.secret = self.folder / "secret"
        self.secret.write_bytes(SECRET)
        self.colony = colony(folder / "colony")
        self._around = folder

    def is_as_it_was(self) -> None:
        """Assert that nothing outside was written, made or taken away."""
        assert [path.name for path in sorted(self.folder.rglob("*"))] == ["secret"]
        assert self.secret.read_bytes() == SECRET
        assert self.secret.stat().st_nlink in (1, 2)
        found = {path.name for path in self._around.iterdir()}
        assert found <= {"outside", "colony", "state", "home"}


@pytest.fixture
def outside(tmp_path: Path) -> Outside:
    """A colony, and what lies beside it."""
    return Outside(tmp_path)


# What an entry says


@pytest.mark.parametrize("subject", WAYS_OUT)
def test_a_subject_that_is_a_path_is_refused_and_on_a_foreign_sheet_does_not_count(
    subject: str, outside: Outside
) -> None:
    desk = laptop(outside.colony, NOW)
    with pytest.raises(BadEntry):
        desk.record(draft(Noted, subject, note="x"))
    with pytest.raises(BadEntry):
        desk.record(draft(Moved, "animal/wattle", to=subject))
    foreign = Weighed(id="foreign-1", at=at(NOW), by="AK", about=subject, grams=450)
    sheet = outside.colony / "sheets/2026/2026-04-12.elsewhere.jsonl"
    sheet.write_bytes(line_of(foreign) + b"\n")
    desk.news()
    assert subject not in desk.standing.pages
    assert any("no subject of ours" in one.what for one in desk.troubles)
    for one in desk.troubles:
        safe(one.sentence, columns=None)
    outside.is_as_it_was()


@pytest.mark.parametrize("name", ["..", "../x", "a/b", "", "A", "x" * 81, "a.jsonl", "a\0", "-a", "a b", "ä"])
def test_a_desk_whose_name_is_a_path_cannot_be(name: str, outside: Outside) -> None:
    with pytest.raises(ValueError, match="cannot name a sheet"):
        Sheets(outside.colony, name)


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_initials_and_names_never_name_a_file(text: str, outside: Outside) -> None:
    desk = laptop(outside.colony, NOW, keeper=text[:40])
    desk.record(draft(Noted, "room", note=text))
    names = {path.name for path in outside.colony.rglob("*")}
    assert names == {"colony.toml", "sheets", "2026", "2026-03-01.before.jsonl", "2026-04-12.rack.jsonl"}
    outside.is_as_it_was()


# What colony.toml says


def test_paths_in_colony_toml_are_names_and_nothing_more(outside: Outside) -> None:
    (outside.colony / "colony.toml").write_text(
        """
        name = "../../outside/secret"
        time_zone = "Europe/Vienna"
        walking_order = ["../../outside", "/etc/passwd", "~/x", "$(id)", "enclosure/../../outside"]
        desks = ["../../outside/secret", "/dev/sda"]
        [keepers]
        "../../x" = "/etc/passwd"
        """
    )
    for words in (("today",), ("matters",), ("hand-over",), ("check",), ("show", "room"), ("show", "--lines")):
        code, out, err = rounds(outside.colony, *words)
        assert code in (0, 1), err
        assert "not for you" not in out + err
    Desk.open(outside.colony, keeper="../../x").close()
    laptop(outside.colony, NOW, keeper="../../x").record(note("x"))
    outside.is_as_it_was()


@pytest.mark.parametrize(
    "zone", ["../../../etc/passwd", "/etc/localtime", "..", "Europe/../../x", "a\0b", "posixrules\n"]
)
def test_a_time_zone_that_is_a_path_is_refused(zone: str) -> None:
    with pytest.raises(BadRule, match="there is no time zone"):
        zone_of(zone)


@pytest.mark.parametrize("where", ["outside the colony", "nowhere", "itself"])
def test_a_colony_toml_that_is_a_link_out_is_not_read(where: str, outside: Outside) -> None:
    file = outside.colony / "colony.toml"
    target = {"outside the colony": outside.secret, "nowhere": outside.folder / "none", "itself": file}[where]
    file.unlink()
    file.symlink_to(target)
    with pytest.raises(BadRule, match="it is a link that leads"):
        load(outside.colony)
    outside.is_as_it_was()


# Links where sheets should be


def links(outside: Outside) -> dict[str, Callable[[], None]]:
    """Ways in which a link may stand where the program writes."""
    sheets = outside.colony / "sheets"

    def whole() -> None:
        shutil.rmtree(sheets)
        sheets.symlink_to(outside.folder)

    def year() -> None:
        shutil.rmtree(sheets / "2026")
        (sheets / "2026").symlink_to(outside.folder)

    return {
        "the folder of all sheets": whole,
        "the folder of the year": year,
        "the sheet of the day": lambda: (sheets / "2026/2026-04-12.rack.jsonl").symlink_to(outside.secret),
        "the sheet, to nowhere": lambda: (sheets / "2026/2026-04-12.rack.jsonl").symlink_to(outside.folder / "new"),
        "a second name of the secret": lambda: os.link(outside.secret, sheets / "2026/2026-04-12.rack.jsonl"),
    }


@pytest.mark.parametrize("which", range(5))
def test_a_link_where_a_sheet_should_be_is_never_written_through(which: int, outside: Outside) -> None:
    name, make = list(links(outside).items())[which]
    desk = laptop(outside.colony, NOW)
    make()
    if "folder" in name:
        with pytest.raises(NotSaved, match="links are not followed"):
            desk.record(note("x"))
    else:
        (entry,) = desk.record(note("x"))
        assert entry.id in {one.id for one in Sheets(outside.colony, "reader").read()}
    outside.is_as_it_was()


@pytest.mark.parametrize("which", range(5))
def test_a_link_where_a_sheet_should_be_is_never_read_through(which: int, outside: Outside) -> None:
    name, make = list(links(outside).items())[which]
    outside.secret.write_bytes(line_of(Noted(id="outside-1", at=at(NOW), by="AK", about="room")) + b"\n")
    make()
    reader = Sheets(outside.colony, "reader")
    found = {one.id for one in reader.read()}
    if "second name" not in name:
        assert "outside-1" not in found, name
        assert any("is a link" in one.what for one in reader.troubles), name
    code, out, _ = rounds(outside.colony, "show", "--lines")
    assert ("outside-1" in out) is ("outside-1" in found)
    assert code == 0


def test_a_repair_writes_nothing_through_a_link(outside: Outside) -> None:
    sheet = outside.colony / "sheets/2026/2026-03-01.before.jsonl"
    sheet.write_bytes(sheet.read_bytes() + b"damage\n")
    before = sheet.read_bytes()
    (outside.colony / "sheets/aside").symlink_to(outside.folder)
    (mended,) = repair(outside.colony, at(NOW).date())
    assert "could not be repaired" in mended.what
    assert sheet.read_bytes() == before
    outside.is_as_it_was()


def test_a_draft_of_a_repair_that_is_a_link_is_not_written_through(outside: Outside) -> None:
    sheet = outside.colony / "sheets/2026/2026-03-01.before.jsonl"
    sheet.write_bytes(sheet.read_bytes() + b"damage\n")
    sheet.with_name(f"{sheet.name}.mending").symlink_to(outside.secret)
    (mended,) = repair(outside.colony, at(NOW).date())
    assert mended.aside
    assert not sheet.is_symlink()
    outside.is_as_it_was()


@pytest.mark.parametrize("where", ["cache", "sheets/cache", ".cache"])
def test_a_cache_in_the_colony_that_is_a_link_is_neither_read_nor_written_through(
    where: str, outside: Outside
) -> None:
    link = outside.colony / where
    link.symlink_to(outside.folder)
    for _ in range(2):
        desk = Desk.open(outside.colony, clock=Clock(NOW), keeper="AK")
        desk.record(note("x"))
        desk.close()
    rounds(outside.colony, "today")
    assert link.is_symlink()
    outside.is_as_it_was()


def test_marks_kept_from_an_earlier_run_lead_to_no_file_outside(outside: Outside) -> None:
    sheets = Sheets(outside.colony, "reader")
    sheets.read()
    marks = sheets.marks()
    for path in ("../outside/secret", "/etc/passwd", "sheets/../../outside/secret"):
        status = outside.secret.stat()
        mark = [status.st_ino, status.st_size, status.st_mtime_ns, status.st_size, 1, 0, True]
        assert not Sheets(outside.colony, "reader").resume({**marks, path: mark})
    assert Sheets(outside.colony, "reader").resume(marks)


def test_a_pipe_or_a_device_among_the_sheets_keeps_nobody_waiting(outside: Outside) -> None:
    os.mkfifo(outside.colony / "sheets/2026/2026-04-12.pipe.jsonl")
    os.mkfifo(outside.colony / "sheets/2026/2026-04-12.rack.jsonl")
    desk = laptop(outside.colony, NOW)
    assert sum("is no file" in one.what for one in desk.troubles) == 2
    (entry,) = desk.record(note("x"))
    assert entry.id in {one.id for one in Sheets(outside.colony, "reader").read()}
