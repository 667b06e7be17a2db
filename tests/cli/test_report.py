"""A fault of the program is told of, whatever else fails: the reporter itself never does."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from textwrap import dedent

import pytest

from rounds import system
from rounds.cli.report import unexpected

BEGINS = "Something went wrong that should not have (a fault of this program, not yours)."


class Unspeakable(Exception):
    def __str__(self) -> str:
        raise ValueError("no words")

    __repr__ = __str__


def raised(make: Callable[[], BaseException]) -> BaseException:
    """A fault as it is caught, with where it came from."""
    try:
        raise make()
    except BaseException as error:
        return error


def deep() -> BaseException:
    def down() -> None:
        down()

    try:
        down()
    except RecursionError as error:
        return error
    raise AssertionError


def chained() -> BaseException:
    error = raised(Unspeakable)
    for number in range(2_000):
        later = ZeroDivisionError(str(number))
        later.__cause__, error = error, later
    return error


FAULTS: dict[str, Callable[[], BaseException]] = {
    "a plain one": lambda: raised(lambda: ZeroDivisionError("nobody thought of this")),
    "one whose words cannot be had": lambda: raised(Unspeakable),
    "one that came too deep": deep,
    "one of memory": lambda: raised(MemoryError),
    "one of two thousand others": chained,
    "one with half a letter in it": lambda: raised(lambda: ValueError("\ud800 \x1b[2J")),
    "one as long as a book": lambda: raised(lambda: ValueError("x" * 10_000_000)),
    "Ctrl-C": lambda: raised(KeyboardInterrupt),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_whatever_the_fault_its_report_is_written_and_its_place_told(fault: str, tmp_path: Path) -> None:
    error = FAULTS[fault]()
    told = unexpected(error, ["today"], {"XDG_STATE_HOME": str(tmp_path)})
    assert told.startswith(BEGINS)
    (report,) = (tmp_path / "rounds" / "reports").iterdir()
    assert told.endswith(f" lies in {report}")
    text = report.read_text()
    assert type(error).__name__ in text
    assert len(text) < 1_000_000


def test_a_report_that_cannot_lie_in_its_folder_lies_among_the_temporary_files(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "taken").touch()
    (tmp_path / "brief").mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "brief"))
    told = unexpected(ZeroDivisionError("x"), ["today"], {"XDG_STATE_HOME": str(tmp_path / "taken")})
    (report,) = (tmp_path / "brief").iterdir()
    assert told.endswith(f" lies in {report}")


@pytest.mark.parametrize("words", ["nobody thought of this", None], ids=["told", "that cannot be told"])
def test_where_nothing_can_be_written_the_fault_is_named(
    words: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> Path:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(system, "write_new_file", full)
    told = unexpected(Unspeakable() if words is None else ZeroDivisionError(words), ["today"], {})
    assert told.startswith(BEGINS)
    assert told.endswith("Unspeakable" if words is None else f"ZeroDivisionError: {words}")


def test_without_a_place_for_temporary_files_and_without_a_home_the_fault_is_named(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def nowhere() -> str:
        raise FileNotFoundError(2, "No usable temporary directory found")

    def nobody() -> Path:
        raise RuntimeError("no entry")

    monkeypatch.setattr(tempfile, "gettempdir", nowhere)
    monkeypatch.setattr(Path, "home", nobody)
    assert unexpected(ZeroDivisionError("x"), ["today"], {}).endswith("ZeroDivisionError: x")


@pytest.mark.parametrize(
    ("heard", "code"),
    [("2>&-", 70), ("2>/dev/full", 70), (">/dev/full", 70), ("2>&1 | true", 0), (">&- 2>&-", 70)],
)
def test_where_nobody_hears_of_it_the_exit_code_still_says_it(heard: str, code: int, tmp_path: Path) -> None:
    program = tmp_path / "program.py"
    program.write_text(
        dedent("""
        import sys
        from rounds.cli import main
        from rounds.cli.commands import help
        def broken(*_):
            raise ZeroDivisionError("nobody thought of this")
        help.run = broken
        sys.exit(main(["help"]))
        """)
    )
    done = subprocess.run(
        ["sh", "-c", f'"$0" "$1" {heard}', sys.executable, str(program)],
        env={**os.environ, "XDG_STATE_HOME": str(tmp_path / "state")},
        capture_output=True,
        timeout=60,
    )
    assert done.returncode == code
    assert b"Traceback" not in done.stdout + done.stderr
    assert len(list((tmp_path / "state" / "rounds" / "reports").iterdir())) == 1


def test_a_fault_in_the_telling_itself_is_no_traceback(tmp_path: Path) -> None:
    program = tmp_path / "program.py"
    program.write_text(
        dedent("""
        import sys
        from rounds.cli import main, report
        from rounds.cli.commands import help
        def broken(*_):
            raise ZeroDivisionError("nobody thought of this")
        help.run = broken
        def interrupted(*_):
            raise KeyboardInterrupt
        report.unexpected = broken if sys.argv[1] == "fault" else interrupted
        sys.exit(main(["help"]))
        """)
    )
    for what, code in (("fault", 70), ("Ctrl-C", 130)):
        done = subprocess.run([sys.executable, str(program), what], capture_output=True, timeout=60)
        assert (done.returncode, done.stdout, done.stderr) == (code, b"", b"")
