"""What is kept aside lies under a name of its own, for its keeper alone, and is never written over."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from rounds.sheets.aside import keep_aside, make_folders
from rounds.sheets.disk import Disk
from tests.sheets.memory_disk import HookedDisk, MemoryDisk

TORN = b'{"kind":"wa'


@pytest.fixture
def disk(tmp_path: Path) -> Disk:
    return Disk(str(tmp_path))


def test_what_is_kept_aside_is_for_its_keeper_alone(tmp_path: Path, disk: Disk) -> None:
    path = keep_aside(disk, "torn", TORN)
    assert path == "sheets/aside/torn"
    assert (tmp_path / path).read_bytes() == TORN
    assert (tmp_path / path).stat().st_mode & 0o777 == 0o600


def test_each_content_has_a_name_of_its_own_and_the_same_again_needs_none(tmp_path: Path, disk: Disk) -> None:
    kept = [keep_aside(disk, "torn", content) for content in (TORN, TORN[:-1], TORN + b"t", TORN[:-1], TORN)]
    names = ["torn", "torn-2", "torn-3", "torn-2", "torn"]
    assert kept == [f"sheets/aside/{name}" for name in names]
    assert sorted(path.name for path in (tmp_path / "sheets/aside").iterdir()) == sorted(set(names))


@pytest.mark.parametrize("call", ["open", "read", "sync"])
def test_what_lies_there_and_cannot_be_read_or_made_sure_of_is_not_relied_on(tmp_path: Path, call: str) -> None:
    keep_aside(Disk(str(tmp_path)), "torn", TORN)
    failed: list[str] = []

    def fail_once(name: str, _: str) -> None:
        if name == call and not failed:
            failed.append(name)
            raise OSError(errno.EIO, "I/O error")

    assert keep_aside(HookedDisk(str(tmp_path), fail_once), "torn", TORN) == "sheets/aside/torn-2"
    assert failed == [call]
    assert (tmp_path / "sheets/aside/torn-2").read_bytes() == TORN


@pytest.mark.parametrize("call", ["write", "sync", "sync_folder"])
def test_what_could_not_be_put_on_disk_is_not_said_to_be_kept(call: str) -> None:
    def fail(name: str, _: str) -> None:
        if name == call:
            raise OSError(errno.ENOSPC, "No space left on device")

    disk = MemoryDisk(fail)
    with pytest.raises(OSError, match="No space left"):
        keep_aside(disk, "torn", TORN)
    assert disk._open == {}, "no file is left open"


def test_the_file_is_on_disk_before_its_name_and_each_name_before_the_folder_around_it() -> None:
    calls: list[tuple[str, str]] = []
    disk = MemoryDisk(lambda name, path: calls.append((name, path)))
    keep_aside(disk, "torn", TORN)
    assert [call for call in calls if call[0].startswith("sync")] == [
        ("sync", ""),
        ("sync_folder", "sheets/aside"),
        ("sync_folder", "sheets"),
        ("sync_folder", ""),
    ]
    assert disk._open == {}


def test_a_folder_that_another_desk_makes_in_that_moment_is_used(tmp_path: Path) -> None:
    def another(name: str, path: str) -> None:
        if name == "make_folder":
            (tmp_path / path).mkdir()

    assert make_folders(HookedDisk(str(tmp_path), another), "sheets/2026") == ["", "sheets", "sheets/2026"]


def _a_link(place: Path) -> None:
    place.symlink_to("elsewhere")


def _a_file(place: Path) -> None:
    place.write_text("in the way")


@pytest.mark.parametrize(("put", "error"), [(_a_link, errno.ELOOP), (_a_file, errno.ENOTDIR)])
def test_a_link_or_a_file_in_place_of_a_folder_is_refused(
    tmp_path: Path, disk: Disk, put: Callable[[Path], None], error: int
) -> None:
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "sheets").mkdir()
    put(tmp_path / "sheets/aside")
    with pytest.raises(OSError, match="sheets/aside") as refused:
        keep_aside(disk, "torn", TORN)
    assert refused.value.errno == error
    assert list((tmp_path / "elsewhere").iterdir()) == []


@pytest.mark.parametrize(("own", "made"), [(0o700, 0o700), (0o750, 0o750), (0o775, 0o775), (0o777, 0o775)])
def test_folders_let_in_whom_the_colonys_folder_lets_in(tmp_path: Path, disk: Disk, own: int, made: int) -> None:
    tmp_path.chmod(own)
    before = os.umask(0)
    try:
        make_folders(disk, "sheets/2026")
    finally:
        os.umask(before)
    assert {(tmp_path / path).stat().st_mode & 0o777 for path in ("sheets", "sheets/2026")} == {made}
