"""A state folder that was put back or moved is noticed; what backups and other programs do to one in use is not."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from rounds.desk.restored import leave_canary, was_put_there


@pytest.fixture
def state(tmp_path: Path) -> Path:
    """The state folder of a machine that has started twice."""
    folder = tmp_path / "state"
    for _ in range(2):
        leave_canary(folder, "shed")
    return folder


def canaries(state: Path) -> list[Path]:
    """The canaries that lie there."""
    return [path for path in (state / "canary-shed").iterdir() if path.name != "noted"]


def go_on(state: Path) -> None:
    """Let the time go on by which the disk tells changes apart: it has some thousandths of a second."""
    canary, other = canaries(state)[0].stat(), state.with_name("other")
    other.touch()
    while other.stat().st_ctime_ns == canary.st_ctime_ns:
        other.touch()


def backup_of(state: Path) -> Path:
    """A backup of the state folder."""
    copy = state.with_name("backup")
    go_on(state)
    shutil.copytree(state, copy)
    return copy


def test_a_folder_that_stays_where_it_is_was_not_put_there(tmp_path: Path) -> None:
    state = tmp_path / "state"
    assert not was_put_there(state, "shed"), "there is none yet"
    for _ in range(5):
        leave_canary(state, "shed")
        assert not was_put_there(state, "shed")
        assert len(canaries(state)) == 1
    assert not was_put_there(state, "house"), "another machine has its own"


def test_a_folder_put_back_from_a_backup_is_noticed_once(state: Path) -> None:
    backup = backup_of(state)
    leave_canary(state, "shed")
    before = state.rename(state.with_name("before"))  # so that its inodes are not given out again
    shutil.copytree(backup, state)
    shutil.rmtree(before)
    assert was_put_there(state, "shed")
    leave_canary(state, "shed")
    assert not was_put_there(state, "shed")


def test_a_folder_that_was_moved_to_another_disk_is_noticed(state: Path) -> None:
    assert was_put_there(backup_of(state), "shed")


def test_a_backup_copied_over_the_folder_is_noticed_though_its_files_keep_their_inodes(state: Path) -> None:
    backup = backup_of(state)
    leave_canary(state, "shed")
    shutil.copytree(backup, state, dirs_exist_ok=True)
    assert was_put_there(state, "shed")


def test_a_folder_renamed_is_not_noticed_for_nothing_in_it_was_copied(state: Path) -> None:
    assert not was_put_there(state.rename(state.with_name("elsewhere")), "shed")


@pytest.mark.parametrize("touch", ["rights", "links", "times"])
def test_what_backups_and_other_programs_do_to_every_file_says_nothing(state: Path, touch: str) -> None:
    (canary,) = canaries(state)
    before = canary.stat().st_ctime_ns
    go_on(state)
    for path in (state / "canary-shed").iterdir():
        if touch == "rights":
            path.chmod(0o600)
        elif touch == "times":
            os.utime(path, (1, 1))
        else:
            state.with_name(f"link-{path.name}").hardlink_to(path)
    assert canary.stat().st_ctime_ns != before
    assert not was_put_there(state, "shed")


@pytest.mark.parametrize(
    "noted", [b"", b"\0" * 40, b"a 1", b"a b c d", b"\xff 1 1 1", b"../state 1 1 1", b"x" * 300]
)
def test_a_note_that_cannot_be_read_says_nothing_and_the_next_one_is_sound(state: Path, noted: bytes) -> None:
    (state / "canary-shed" / "noted").write_bytes(noted)
    assert not was_put_there(state, "shed")
    leave_canary(state, "shed")
    assert not was_put_there(state, "shed")
    assert len(canaries(state)) == 1


def test_a_canary_that_a_power_cut_took_says_nothing(state: Path) -> None:
    for canary in canaries(state):
        canary.unlink()
    assert not was_put_there(state, "shed")


def test_where_nothing_can_be_written_nothing_is_noted_and_nothing_fails(tmp_path: Path) -> None:
    state = tmp_path / "state"
    state.write_bytes(b"a file in its place")
    leave_canary(state, "shed")
    assert not was_put_there(state, "shed")
