"""What the fuzzer found once is tried each time, without the fuzzer; and a fault is known apart, short and kept."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.conftest import RecordFigure
from tests.fuzzing import corpus
from tests.fuzzing.faults import fault_of, shortened
from tests.fuzzing.feed import Feed
from tests.fuzzing.run import own_folder
from tests.fuzzing.targets import TARGETS, taker

_ENVIRONMENT = ("XDG_STATE_HOME", "XDG_CACHE_HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME")


@pytest.mark.parametrize("name", TARGETS)
def test_every_kept_input_is_read_as_promised(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for variable in _ENVIRONMENT:
        monkeypatch.setenv(variable, "")
    take = taker(name, own_folder(tmp_path))
    inputs = corpus.kept(name)
    assert inputs, "python -m tests.fuzzing --keep"
    for content in inputs:
        take(content)


def test_what_is_kept_is_small_and_each_file_has_its_reader(record_figure: RecordFigure) -> None:
    files = sorted(corpus.KEPT.iterdir())
    assert [file.stem for file in files] == sorted(TARGETS)
    assert sum(file.stat().st_size for file in files) < 300_000
    many = sum(len(corpus.kept(name)) for name in TARGETS)
    record_figure("inputs kept by the fuzzer", f"{many}, for {len(TARGETS)} readers")


def test_the_shares_of_the_readers_are_a_thousand() -> None:
    assert sum(target.share for target in TARGETS.values()) == 1_000


def _falls_over(content: bytes) -> None:
    if content.startswith(b"{"):
        raise KeyError(content)
    if b"boom" in content:
        raise ValueError("it falls over\nand says so at length")


def test_a_fault_is_known_by_its_error_and_its_line() -> None:
    assert fault_of(_falls_over, b"fine") is None
    one, other = fault_of(_falls_over, b"a boom"), fault_of(_falls_over, b"another boom")
    assert one is not None
    assert one == other
    assert one.where.startswith("ValueError at tests/fuzzing/test_corpus.py:")
    assert one.where.endswith("in _falls_over")
    assert one.says == "it falls over"
    different = fault_of(_falls_over, b"{")
    assert different is not None
    assert different.where != one.where


def test_a_fault_is_told_by_the_shortest_input_that_has_it() -> None:
    long = bytes(range(1, 98)) + b"b" + b"boom" * 3 + bytes(range(1, 200))
    assert shortened(long, lambda content: fault_of(_falls_over, content) is not None) in (b"boom", b"{")
    assert shortened(b"abcdef", lambda content: content[3:4] == b"d") == b"\0\0\0d"


def test_kept_inputs_come_back_shortest_first_and_as_many_as_find_room(tmp_path: Path) -> None:
    inputs = [b"\n\xff'\"", b"", b"\r\n" * 40, b"line\n"]
    assert corpus.keep("some", inputs, tmp_path) == 4
    assert corpus.kept("some", tmp_path) == [b"", b"\n\xff'\"", b"line\n", b"\r\n" * 40]
    assert corpus.keep("some", inputs, tmp_path, most=40) == 3
    corpus.add("some", b"x" * 90, tmp_path)
    assert corpus.kept("some", tmp_path)[-1] == b"x" * 90
    assert corpus.kept("other", tmp_path) == []


def test_choices_end_with_the_input_and_then_the_first_is_taken() -> None:
    feed = Feed(b"\x02\x01\x00\x03abcdef")
    assert feed.pick("xyz") == "z"
    assert feed.number(999) == 256
    assert feed.some() == b"abc"
    assert (feed.text(2), feed.is_used_up) == ("e", False)
    assert feed.rest() == b"f"
    assert feed.is_used_up
    assert (feed.number(65_535), feed.pick("xyz"), feed.some(), feed.is_one_in(2)) == (0, "x", b"", False)
