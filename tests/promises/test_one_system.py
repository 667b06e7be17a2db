"""What one operating system has and another has not is asked for in rounds/system.py, and nowhere else."""

from __future__ import annotations

import ast
import inspect
import os
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from rounds import system
from rounds.errors import RoundsError

ROUNDS = Path(system.__file__).parent
MODULES = {"fcntl", "grp", "msvcrt", "pty", "pwd", "resource", "select", "signal", "termios", "tty", "winreg"}
#: Of `os`, `sys` and `Path`: what Windows has not, does otherwise, or is asked for which system this is.
ATTRIBUTES = {
    *("O_NOFOLLOW", "O_NONBLOCK", "O_CLOEXEC", "O_DIRECTORY", "O_SYNC", "O_BINARY"),
    *(
        "fdatasync",
        "fsync",
        "F_FULLFSYNC",
        "pread",
        "pwrite",
        "link",
        "hardlink_to",
        "symlink",
        "symlink_to",
        "mkfifo",
    ),
    *("getuid", "geteuid", "getgid", "getegid", "chmod", "fchmod", "lchmod", "chown", "umask", "st_uid", "st_gid"),
    *("fork", "forkpty", "waitpid", "kill", "killpg", "sched_getaffinity", "tcgetpgrp", "openpty"),
    *("uname", "getpwuid"),
}


def asked(path: Path) -> Iterator[str]:
    """What a file asks the system for, with the line."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        names: list[str] = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names if alias.name in MODULES]
        elif isinstance(node, ast.ImportFrom):
            names = [node.module] if node.module in MODULES else []
            names += [alias.name for alias in node.names if node.module == "os" and alias.name in ATTRIBUTES]
        elif isinstance(node, ast.Attribute):
            owner = node.value.id if isinstance(node.value, ast.Name) else ""
            if (owner, node.attr) in (("sys", "platform"), ("os", "name")):
                names = [f"{owner}.{node.attr}"]
            elif node.attr in ATTRIBUTES and owner not in ("self", "system"):
                names = [node.attr]
        elif isinstance(node, ast.keyword) and node.arg in ("dir_fd", "src_dir_fd"):
            names = [node.arg]
        for name in names:
            yield f"{path.name}:{getattr(node, 'lineno', 0)} {name}"


def test_no_other_file_asks_for_what_only_some_systems_have() -> None:
    files = {path.relative_to(ROUNDS).as_posix(): path for path in sorted(ROUNDS.rglob("*.py"))}
    assert {name: found for name, path in files.items() if (found := list(asked(path)))}.keys() == {"system.py"}


def test_what_is_asked_is_seen(tmp_path: Path) -> None:
    file = tmp_path / "room.py"
    file.write_text(
        "import os, sys\nfrom fcntl import flock\nfrom os import fsync\nos.open('x', os.O_NOFOLLOW, dir_fd=3)\n"
        "sys.platform == 'win32'\nos.replace('a', 'b')\nself.lock\n"
    )
    assert sorted(line.partition(" ")[2] for line in asked(file)) == [
        *("O_NOFOLLOW", "dir_fd", "fcntl", "fsync", "sys.platform")
    ]


def refusing() -> Iterator[tuple[str, Callable[..., object]]]:
    """The functions of the module that say of themselves that they have no body on Windows."""
    for name, function in inspect.getmembers(system, inspect.isfunction):
        if function.__module__ == system.__name__ and f'_lacking("{name}")' in inspect.getsource(function):
            yield name, function


def test_all_that_windows_lacks_is_listed() -> None:
    assert {name for name, _ in refusing()} == set(system.LACKING_ON_WINDOWS)


@pytest.mark.parametrize(("name", "function"), list(refusing()))
def test_what_windows_lacks_is_said_there_in_one_sentence(
    name: str, function: Callable[..., object], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "platform", "win32")
    needed = [one for one in inspect.signature(function).parameters.values() if one.default is one.empty]
    with pytest.raises(RoundsError, match=system.LACKING_ON_WINDOWS[name]):
        function(*(0 for _ in needed))


def test_a_command_on_windows_says_so_without_a_traceback(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from rounds.cli import main

    monkeypatch.setattr(sys, "platform", "win32")
    assert main(["today"]) == 1
    told = capsys.readouterr()
    assert (told.out, told.err.count("\n")) == ("", 1)
    assert told.err.startswith("rounds does not run on Windows yet: ")


def test_a_lock_is_held_by_one_and_let_go_when_closed(tmp_path: Path) -> None:
    first, second = (system.open_file(tmp_path / "lock", os.O_RDWR | os.O_CREAT) for _ in range(2))
    assert system.lock(first)
    assert not system.lock(second)
    os.close(first)
    assert system.lock(second)
    os.close(second)


def test_a_link_is_opened_only_where_that_is_meant(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"there")
    (tmp_path / "link").symlink_to(tmp_path / "file")
    with pytest.raises(OSError, match="symbolic link"):
        system.open_file(tmp_path / "link", os.O_RDONLY)
    handle = system.open_file(tmp_path / "link", os.O_RDONLY, follow_links=True)
    assert system.read_at(handle, 10, 2) == b"ere"
    os.close(handle)


def test_a_pipe_keeps_no_one_waiting(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    os.close(system.open_file(tmp_path / "pipe", os.O_RDONLY))


def test_only_what_no_one_else_may_write_is_ours(tmp_path: Path) -> None:
    file = tmp_path / "file"
    file.touch(0o600)
    assert system.is_ours(file.stat())
    file.chmod(0o620)
    assert not system.is_ours(file.stat())
