"""A long reading says how far it is, on a terminal only, and leaves nothing behind."""

from __future__ import annotations

import io
import time

import pytest

from rounds.desk.progress import Telling


class Terminal(io.StringIO):
    """A terminal, or what a program's words are sent to instead."""

    def __init__(self, *, is_one: bool = True) -> None:
        super().__init__()
        self.is_one = is_one

    def isatty(self) -> bool:
        return self.is_one


def told(out: Terminal, seconds_a_sheet: float, monkeypatch: pytest.MonkeyPatch) -> str:
    clock = [0.0]
    monkeypatch.setattr(time, "monotonic", lambda: clock[0])
    telling = Telling(out)
    for done in range(1, 11):
        clock[0] += seconds_a_sheet
        telling(done, 10)
    telling.end()
    return out.getvalue()


def test_a_long_reading_says_how_far_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    said = told(Terminal(), 0.3, monkeypatch)
    assert "20 %" in said
    assert "90 %" in said
    assert said.endswith(" \r"), "the line is taken away again"


def test_a_short_one_says_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    assert told(Terminal(), 0.01, monkeypatch) == ""


def test_words_that_go_to_a_file_hold_no_progress(monkeypatch: pytest.MonkeyPatch) -> None:
    assert told(Terminal(is_one=False), 0.3, monkeypatch) == ""
