"""Every running writer has a name of its own, that ends with it however it ends."""

from __future__ import annotations

import os
import signal
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from rounds import system
from rounds.desk import writer_lock
from rounds.errors import RoundsError
from rounds.sheets.watch import DESK

HOLDER = """
import sys, time
from pathlib import Path
from rounds import system
from rounds.desk import writer_lock
from rounds.errors import RoundsError
lock = writer_lock.acquire(Path(sys.argv[1]), Path("/colony"), "shed-k3x9")
print(lock.name, flush=True)
time.sleep(600)
"""


def holder(state: Path) -> tuple[subprocess.Popen[str], str]:
    """A process that holds a writer lock, and its name."""
    process = subprocess.Popen([sys.executable, "-c", HOLDER, str(state)], stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    return process, process.stdout.readline().strip()


def test_each_desk_takes_the_first_free_name_and_gives_it_back(tmp_path: Path) -> None:
    first = writer_lock.acquire(tmp_path, Path("/colony"), "shed-k3x9")
    second = writer_lock.acquire(tmp_path, Path("/colony"), "shed-k3x9")
    third = writer_lock.acquire(tmp_path, Path("/other"), "shed-k3x9")
    assert [first.name, second.name, third.name] == ["shed-k3x9", "shed-k3x9-2", "shed-k3x9-3"]
    second.close()
    second.close()
    with writer_lock.acquire(tmp_path, Path("/colony"), "shed-k3x9") as again:
        assert again.name == "shed-k3x9-2"
    for lock in (first, third):
        lock.close()


def test_a_name_is_free_again_when_its_process_is_killed(tmp_path: Path) -> None:
    one, name = holder(tmp_path)
    other, other_name = holder(tmp_path)
    try:
        assert (name, other_name) == ("shed-k3x9", "shed-k3x9-2")
        with writer_lock.acquire(tmp_path, Path("/colony"), "shed-k3x9") as lock:
            assert lock.name == "shed-k3x9-3"
        one.send_signal(signal.SIGKILL)
        one.wait(10)
        with writer_lock.acquire(tmp_path, Path("/colony"), "shed-k3x9") as lock:
            assert lock.name == "shed-k3x9"
    finally:
        for process in (one, other):
            process.kill()
            process.wait(10)
            assert process.stdout is not None
            process.stdout.close()


def test_a_stale_lock_file_holds_nothing_up(tmp_path: Path) -> None:
    (tmp_path / "desks").mkdir()
    (tmp_path / "desks/shed-k3x9.lock").write_text("1\n/colony\n")  # process 1 runs on every machine
    with writer_lock.acquire(tmp_path, Path("/colony"), "shed-k3x9") as lock:
        assert lock.name == "shed-k3x9"


def test_the_lock_says_which_process_holds_the_name_for_which_colony(tmp_path: Path) -> None:
    with writer_lock.acquire(tmp_path, Path("/colony"), "shed-k3x9"):
        assert (tmp_path / "desks/shed-k3x9.lock").read_text() == f"{os.getpid()}\n/colony\n"


def test_without_a_state_folder_a_name_is_drawn(tmp_path: Path) -> None:
    (tmp_path / "state").write_text("no folder")
    names = {writer_lock.acquire(tmp_path / "state", Path("/colony"), "shed-k3x9").name for _ in range(20)}
    assert len(names) == 20
    assert all(name.startswith("shed-k3x9-") and DESK.fullmatch(name) for name in names)
    assert DESK.fullmatch(writer_lock.installation(tmp_path / "state"))


def test_folders_of_the_users_own_let_nobody_else_in(tmp_path: Path) -> None:
    writer_lock.installation(tmp_path / "state")
    writer_lock.acquire(tmp_path / "state", Path("/colony"), "shed-k3x9").close()
    for folder in (tmp_path / "state", tmp_path / "state/desks"):
        assert stat.S_IMODE(folder.stat().st_mode) == 0o700


def test_an_installation_is_named_once(tmp_path: Path) -> None:
    name = writer_lock.installation(tmp_path)
    assert DESK.fullmatch(name)
    assert writer_lock.installation(tmp_path) == name
    (file,) = tmp_path.iterdir()
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    file.write_text("../../etc/passwd\n")
    assert DESK.fullmatch(writer_lock.installation(tmp_path))
    assert writer_lock.installation(tmp_path) == writer_lock.installation(tmp_path)


def test_a_home_folder_on_another_machine_gets_a_name_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    identity = tmp_path / "machine-id"
    monkeypatch.setattr(system, "_MACHINE_ID", (identity,))
    identity.write_text("a" * 32)
    here = writer_lock.installation(tmp_path / "state")
    identity.write_text("b" * 32)
    there = writer_lock.installation(tmp_path / "state")
    assert here != there
    identity.write_text("a" * 32)
    assert writer_lock.installation(tmp_path / "state") == here
    identity.unlink()
    assert DESK.fullmatch(writer_lock.installation(tmp_path / "state")), "a machine without an id has its host name"


@pytest.mark.parametrize(
    ("host", "start"),
    [
        ("Shed-PC.example", "shed-pc-"),
        ("", "desk-"),
        ("Löwenzahn_7", "lowenzahn-7-"),
        ("-" * 90, "desk-"),
        ("x" * 90, "x" * 35),
        ("../etc", "desk-"),
    ],
)
def test_any_host_name_makes_a_safe_file_name(
    host: str, start: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("socket.gethostname", lambda: host)
    name = writer_lock.installation(tmp_path)
    assert name.startswith(start)
    assert DESK.fullmatch(name)
    assert writer_lock.installation(tmp_path) == name


def test_a_new_name_is_drawn_for_the_installation_and_remembered(tmp_path: Path) -> None:
    first = writer_lock.acquire(tmp_path, Path("/colony"), writer_lock.installation(tmp_path))
    second = writer_lock.acquire(tmp_path, Path("/colony"), writer_lock.installation(tmp_path))
    before = first.name
    assert first.renew() == first.name == writer_lock.installation(tmp_path) != before
    assert second.name == f"{before}-2", "the other window keeps its name until it finds a reason of its own"
    assert second.renew() == f"{first.name}-2"
    with writer_lock.acquire(tmp_path, Path("/colony"), before) as again:
        assert again.name == before, "the old name is nobody's"
    again_new = first.renew()
    assert DESK.fullmatch(again_new)
    assert len({before, second.name, again_new}) == 3
    first.close()
    second.close()
    assert not [path for path in tmp_path.iterdir() if path.name.count(".")], "no draft is left behind"


def test_a_new_name_that_cannot_be_remembered_holds_for_this_run(tmp_path: Path) -> None:
    (tmp_path / "state").write_text("no folder")
    lock = writer_lock.acquire(tmp_path / "state", Path("/colony"), "shed-k3x9")
    before = lock.name
    assert DESK.fullmatch(lock.renew())
    assert lock.name != before


def test_a_name_is_lent_only_while_no_desk_has_it(tmp_path: Path) -> None:
    first = writer_lock.acquire(tmp_path, Path("/colony"), "shed-k3x9")
    second = writer_lock.acquire(tmp_path, Path("/colony"), "shed-k3x9")
    with first.borrow(second.name) as is_free:
        assert not is_free
    second.close()
    with first.borrow("shed-k3x9-2") as is_free:
        assert is_free
        with writer_lock.acquire(tmp_path, Path("/colony"), "shed-k3x9") as third:
            assert third.name == "shed-k3x9-3", "nobody takes it meanwhile"
    with writer_lock.acquire(tmp_path, Path("/colony"), "shed-k3x9") as third:
        assert third.name == "shed-k3x9-2"
    first.close()


def test_where_all_names_are_held_that_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(writer_lock, "_MOST_DESKS", 1)
    with (
        writer_lock.acquire(tmp_path, Path("/colony"), "shed-k3x9"),
        pytest.raises(RoundsError, match="1 desks of this user are open"),
    ):
        writer_lock.acquire(tmp_path, Path("/other"), "shed-k3x9")


def test_a_lock_file_taken_away_while_it_is_locked_is_made_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    lock = system.lock
    taken_away: list[int] = []

    def after_it_went(handle: int) -> bool:
        if not taken_away:
            taken_away.append(handle)
            (tmp_path / "desks/shed-k3x9.lock").unlink()
        return lock(handle)

    monkeypatch.setattr(system, "lock", after_it_went)
    with writer_lock.acquire(tmp_path, Path("/colony"), "shed-k3x9"):
        assert (tmp_path / "desks/shed-k3x9.lock").exists()
        with writer_lock.acquire(tmp_path, Path("/colony"), "shed-k3x9") as second:
            assert second.name == "shed-k3x9-2", "the lock is one on the file that is there"


def test_a_name_that_the_folder_does_not_keep_holds_for_this_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(writer_lock, "_remember", lambda *_: None)
    assert DESK.fullmatch(writer_lock.installation(tmp_path))
    assert list(tmp_path.iterdir()) == []
