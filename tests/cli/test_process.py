"""`rounds` as a real process: what it loads, what it says when it is cut off, and that no traceback reaches a "
"keeper."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from textwrap import dedent

import pytest

from tests.cli.conftest import Door

#: Runs one command line and then tells on its last line of output which of the heavy packages were loaded.
LOADED = """
import json, sys
from rounds.cli import main
code = main(sys.argv[1:])
heavy = ("textual", "rich", "tinydb", "dateutil", "asyncio", "pytest", "inspect")
print(json.dumps([name for name in heavy if name in sys.modules]))
sys.exit(code)
"""


@pytest.fixture
def environment(room: Door, tmp_path: Path) -> dict[str, str]:
    """The environment of a process at the colony of the room, in which something was noted just now."""
    room.now = datetime.now(UTC)
    room.well("log", "noted", "room", "note=so that no clock is doubted")
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("ROUNDS_", "XDG_", "PYTHON"))}
    return {
        **kept,
        "ROUNDS_COLONY": str(room.folder),
        "ROUNDS_KEEPER": "AK",
        "XDG_STATE_HOME": str(tmp_path / "state"),
        "XDG_DATA_HOME": str(tmp_path / "data"),
        "PYTHONPATH": str(Path(__file__).parents[2]),
    }


def run(
    environment: dict[str, str], *words: str, code: str | None = None, stdin: bytes = b"", **changed: str
) -> subprocess.CompletedProcess[bytes]:
    """Run `python -m rounds`, or `code` with these words, and wait for it."""
    program = ["-m", "rounds"] if code is None else ["-c", dedent(code)]
    return subprocess.run(
        [sys.executable, *program, *words],
        env={**environment, **changed},
        input=stdin,
        capture_output=True,
        timeout=60,
    )


@pytest.mark.parametrize(
    "words",
    [
        ("today",),
        ("matters", "--json"),
        ("show", "wattle"),
        ("show", "wattle", "--referral"),
        ("check",),
        ("hand-over",),
        ("log", "weighed", "wattle", "grams=452", "--dry-run"),
        ("help", "log"),
    ],
)
def test_commands_that_only_look_load_neither_textual_nor_tinydb(
    environment: dict[str, str], words: tuple[str, ...]
) -> None:
    done = run(environment, *words, code=LOADED)
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout.splitlines()[-1]) == []


@pytest.mark.parametrize(
    "words", [("log", "weighed", "wattle", "grams=452"), ("hand-over", "--sign"), ("new", "second")]
)
def test_commands_that_write_load_neither_textual_nor_tinydb(
    environment: dict[str, str], words: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    run(environment, "log", "taken_over", "room")
    done = run(environment, *words, code=LOADED, TZ="Europe/Vienna")
    assert done.returncode == 0, done.stderr
    assert not {"textual", "rich", "tinydb"} & set(json.loads(done.stdout.splitlines()[-1]))


def test_whoever_stops_reading_is_not_told_off(environment: dict[str, str]) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    done = subprocess.run(
        [sys.executable, "-m", "rounds", "today"],
        env=environment,
        stdout=writing,
        stderr=subprocess.PIPE,
        timeout=60,
    )
    os.close(writing)
    assert (done.returncode, done.stderr) == (141, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no /dev/full")
def test_an_output_that_takes_no_more_is_said(environment: dict[str, str]) -> None:
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "rounds", "today"],
            env=environment,
            stdout=full,
            stderr=subprocess.PIPE,
            timeout=60,
        )
    assert done.returncode == 74
    assert done.stderr.startswith(b"The output could not be written: ")


def test_a_closed_output_is_none(environment: dict[str, str]) -> None:
    done = subprocess.run(
        ["sh", "-c", '"$0" -m rounds today >&- 2>&-', sys.executable],
        env=environment,
        capture_output=True,
        timeout=60,
    )
    assert (done.returncode, done.stdout, done.stderr) == (0, b"", b"")


@pytest.fixture(params=[signal.default_int_handler, signal.SIG_IGN], ids=["in front", "in the background"])
def job(request: pytest.FixtureRequest) -> Iterator[None]:
    """The tests themselves as a job of a shell: one in the background has Ctrl-C ignored, and its children too."""
    before = signal.signal(signal.SIGINT, request.param)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.mark.usefixtures("job")
def test_ctrl_c_is_quiet_and_writes_nothing(environment: dict[str, str], room: Door) -> None:
    before = room.sheets()
    code = """
        import signal, sys
        from rounds.cli import main
        signal.signal(signal.SIGINT, signal.default_int_handler)  # it is a keeper's, at a terminal
        class Waiting:
            def __iter__(self):
                print("reading", flush=True)
                signal.pause()
        sys.exit(main(["log", "-"], stdin=Waiting()))
    """
    with subprocess.Popen(
        [sys.executable, "-c", dedent(code)], env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        try:
            assert process.stdout.readline() == b"reading\n"
            process.send_signal(signal.SIGINT)
            assert process.wait(timeout=60) == 130
            assert process.stderr.read() == b""
        finally:
            process.kill()  # one that did not hear must not be waited for
    assert room.sheets() == before


def test_names_are_utf8_whatever_the_locale_says(environment: dict[str, str], room: Door) -> None:
    room.well("log", "arrived", "gunther", "name=Günther 竜", "place=B4")
    done = run(
        environment,
        "show",
        "gunther",
        LC_ALL="C",
        LANG="C",
        PYTHONUTF8="0",
        PYTHONCOERCECLOCALE="0",
        PYTHONIOENCODING="",
    )
    assert done.returncode == 0, done.stderr
    assert "Günther 竜" in done.stdout.decode("utf-8")


def test_a_fault_of_the_program_is_one_sentence_and_a_report(environment: dict[str, str], tmp_path: Path) -> None:
    code = """
        import sys
        from rounds.cli import main
        from rounds.due import reckon
        def broken(*_):
            raise ZeroDivisionError("nobody thought of this")
        reckon.matters = broken
        sys.exit(main(["today"]))
    """
    done = run(environment, code=code)
    assert done.returncode == 70
    (sentence,) = done.stderr.decode().splitlines()
    assert sentence.startswith("Something went wrong that should not have (a fault of this program, not yours).")
    (report,) = (tmp_path / "state" / "rounds" / "reports").iterdir()
    assert sentence.endswith(str(report))
    told = report.read_text()
    assert "ZeroDivisionError: nobody thought of this" in told
    assert "command: 'today'" in told


def test_without_a_terminal_rounds_prints_the_round(environment: dict[str, str]) -> None:
    done = run(environment)
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith(b"Quandong shed   ")
    assert b"stops done." in done.stdout


def test_a_dumb_terminal_is_none(environment: dict[str, str]) -> None:
    main, other = os.openpty()
    try:
        done = subprocess.run(
            [sys.executable, "-m", "rounds"],
            env={**environment, "TERM": "dumb"},
            stdin=other,
            stdout=other,
            stderr=subprocess.PIPE,
            timeout=60,
        )
        assert done.returncode == 0, done.stderr
        assert os.read(main, 4096).startswith(b"Quandong shed   ")
    finally:
        os.close(main)
        os.close(other)


def test_the_demo_is_made_once_a_day_and_leaves_other_colonies_alone(
    environment: dict[str, str], tmp_path: Path, room: Door
) -> None:
    first = run(environment, "demo")
    assert first.returncode == 0, first.stderr
    assert b"stops done." in first.stdout
    (folder,) = (tmp_path / "data" / "rounds" / "demo").iterdir()
    sheets = {path: path.stat().st_mtime_ns for path in folder.rglob("*.jsonl")}
    assert len(sheets) > 100
    again = run(environment, "demo")
    assert again.returncode == 0, again.stderr
    assert again.stderr == b""
    assert {path: path.stat().st_mtime_ns for path in folder.rglob("*.jsonl")} == sheets
    kept = room.sheets()
    other = run(environment, "demo", "--fresh", "--folder", str(room.folder))
    assert other.returncode == 2
    assert b"is no demo colony" in other.stderr
    assert room.sheets() == kept
    made_anew = run(environment, "demo", "--fresh")
    assert made_anew.returncode == 0, made_anew.stderr
    assert {path: path.stat().st_mtime_ns for path in folder.rglob("*.jsonl")} != sheets


def test_the_package_and_the_command_are_one(environment: dict[str, str]) -> None:
    code = "import sys; from rounds.cli import main; sys.argv = ['rounds', 'help']; sys.exit(main())"
    assert run(environment, "help").stdout == run(environment, code=code).stdout


def test_a_round_that_may_lack_entries_says_so_where_it_is_printed(environment: dict[str, str], room: Door) -> None:
    for sheet in room.folder.rglob("*.jsonl"):
        sheet.write_bytes(sheet.read_bytes()[:-4] + b"#}\n")
    for command in ("today", "matters"):
        told = run(environment, "--colony", str(room.folder), command)
        assert told.stdout.startswith(b"NOT ALL OF THE SHEETS COULD BE READ"), told.stdout[:200]
