"""What a terminal sends, byte by byte: a paste is never a key, and no byte ends the reading."""

from __future__ import annotations

import random
from collections.abc import Iterable

import pytest
from textual import events
from textual._xterm_parser import XTermParser
from textual.geometry import Size
from textual.message import Message

from rounds.screens.keys.reading import ALONE, LONGEST, MOST, OPEN, SETTLED, PasteOpen, Reading, believed

START, END = b"\x1b[200~", b"\x1b[201~"
MOMENT = 0.001


class Line:
    """A line from a terminal, with a clock that is put on by hand."""

    def __init__(self) -> None:
        self.reading = Reading()
        self.now = 100.0
        self.came: list[Message] = []

    def send(self, *parts: bytes) -> Line:
        """Bytes, as they arrive one part after the other in a moment."""
        for part in parts:
            self.now += MOMENT
            self.came += [*self.reading.take(part, self.now), *self.reading.tick(self.now)]
        return self

    def wait(self, seconds: float = LONGEST) -> Line:
        """Nothing comes for so long."""
        self.now += seconds
        self.came += self.reading.tick(self.now)
        return self

    @property
    def said(self) -> list[str]:
        """What came since this was last asked, in words."""
        came, self.came = self.came, []
        return list(_words(came))


def _words(came: Iterable[Message]) -> Iterable[str]:
    for one in came:
        if isinstance(one, events.Paste):
            yield f"paste {one.text}"
        elif isinstance(one, events.Key):
            yield one.key
        elif isinstance(one, PasteOpen):
            yield "open"


SENT = {
    "an arrow": b"\x1b[A",
    "a click": b"\x1b[<0;3;3M",
    "a key of the kitty protocol": b"\x1b[13u",
    "its own beginning": START,
    "a lone escape": b"\x1b",
    "alt and a letter": b"\x1bq",
    "a function key": b"\x1bOP",
    "a window's title": b"\x1b]0;title\x07",
    "a new size of the window": b"\x1b[48;99;99;99;99t",
    "control characters": b"\x00\x01\x03\x11\x1a\x7f",
    "Enter": b"\r",
}


@pytest.mark.parametrize("sent", SENT)
def test_nothing_of_a_paste_is_a_key_wherever_the_line_parts_it(sent: str) -> None:
    whole = START + b"two eggs" + SENT[sent] + b"seen" + END
    for cut in range(len(whole) + 1):
        (said,) = Line().send(whole[:cut], whole[cut:]).wait().said
        assert said.startswith("paste two eggs")
        assert said.endswith("seen")
        assert "\x1b" not in said


def test_escape_sequences_in_a_paste_leave_no_rubbish() -> None:
    line = Line().send(START + b"\x1b[1;31mred\x1b[0m \x1b]8;;x\x1b\\link\x1b]8;;\x1b\\" + END).wait()
    assert line.said == ["paste red link"]


def test_a_paste_that_holds_its_own_end_ends_at_the_last_one() -> None:
    line = Line().send(START + b"harmless" + END + b"q\r\x1b[A" + END).wait()
    assert line.said == ["paste harmlessq\r"]
    line.send(START + b"harmless" + END + b"q", b"qq", b"\r" + END).wait()
    assert line.said == ["paste harmlessqqq\r"]


def test_keys_behind_a_paste_are_keys_and_come_after_it() -> None:
    line = Line().send(START + b"B1\r" + END + b"\r\x1b[A").wait(2 * SETTLED)
    assert line.said == ["paste B1\r", "enter", "up"]
    assert line.send(START + b"B2" + END + START + b"B3" + END).wait().said == ["paste B2", "paste B3"]


def test_keys_behind_a_paste_that_never_stop_wait_no_longer_than_a_moment() -> None:
    line = Line().send(START + b"B1" + END)
    held = int(LONGEST / MOMENT) + 2
    assert line.send(*[b"x"] * held).said == ["paste B1", *["x"] * held]


def test_escape_pressed_just_before_a_paste_is_escape() -> None:
    assert Line().send(b"\x1b" + START + b"B1" + END).wait().said == ["escape", "paste B1"]


def test_the_mark_of_a_paste_that_comes_in_two_parts_after_a_while_is_a_paste() -> None:
    line = Line().send(START[:3]).wait(1.0).send(START[3:] + b"q\r" + END).wait()
    assert line.said[-1] == "paste q\r"


def test_a_paste_that_never_ends_is_said_and_escape_ends_it() -> None:
    line = Line().send(START + b"dull since ").wait(OPEN / 2)
    assert line.said == []
    assert line.wait(OPEN).wait(OPEN).said == ["open"]
    assert line.send(b"noon", b"\x1b[A").wait(OPEN).said == []
    assert line.send(b"\x1b").wait(2 * ALONE).said == ["paste dull since noon"]
    assert line.send(b"q").said == ["q"]


def test_a_paste_on_a_slow_line_is_no_key_however_long_it_stops() -> None:
    line = Line().send(START + b"one").wait(60).send(b"q\r", END).wait()
    assert line.said == ["open", "paste oneq\r"]


def test_a_paste_without_end_takes_no_more_memory_than_it_may() -> None:
    line = Line().send(START, *[b"x" * 4096] * 200, END).wait()
    (said,) = line.said
    assert len(said) == MOST + len("paste ")


@pytest.mark.parametrize(
    "sequence",
    [
        b"\x1b[99999999999999999999u",
        b"\x1b[1114112u",
        b"\x1b[1:2;3u",
        b"\x1b[:;:u",
        b"\x1b[55296u",
        b"\x1b[97;1;56320u",
        b"\x1b[1;99999999999999999R",
        b"\x1b[<99999999999999;1;1M",
        b"\x1b[<0;" + b"9" * 400 + b";1M",
        b"\x1b[?2048;1$y\x1b[?1016;1$y\x1b[48;24;80;0;0t\x1b[<0;1;1M",
    ],
)
def test_a_sequence_that_names_no_letter_is_no_key_and_what_follows_is(sequence: bytes) -> None:
    assert Line().send(sequence).wait(1.0).send(b"z").wait().said[-1:] == ["z"]
    assert all(letter < "\ud800" for said in Line().send(sequence).wait().said for letter in said)


def test_a_letter_that_is_no_utf_8_is_seen_as_one_and_half_a_letter_waits_for_its_other_half() -> None:
    line = Line().send(b"\xfc").wait()
    assert [one.character for one in line.came if isinstance(one, events.Key)] == ["\ufffd"]
    line = Line().send(b"\xc3", b"\xbc").wait()
    assert [one.character for one in line.came if isinstance(one, events.Key)] == ["ü"]


@pytest.mark.parametrize("seed", range(4))
def test_whatever_noise_comes_the_next_key_is_read(seed: int) -> None:
    chance = random.Random(seed)
    line = Line()
    for _ in range(400):
        line.send(bytes(chance.choice((27, 91, 59, 117, chance.randrange(256))) for _ in range(64)))
        line.wait(chance.choice((0.0, 0.05, 0.2)))
    line.wait().send(END).wait().send(b"z").wait()
    assert line.said[-1] == "z"


def test_a_screen_of_a_million_cells_is_not_believed() -> None:
    for size, there in ((Size(80, 24), True), (Size(99_999, 24), False), (Size(80, 0), False)):
        assert believed(events.Resize(size, size)) is there


def test_a_parser_that_falls_over_drops_a_piece_of_the_line_and_no_more(monkeypatch: pytest.MonkeyPatch) -> None:
    line = Line()
    with monkeypatch.context() as broken:
        broken.setattr(XTermParser, "feed", lambda *_: 1 // 0)
        assert line.send(b"q").said == []
    assert line.send(b"z").said == ["z"]


def test_a_click_far_beside_the_screen_is_not_believed() -> None:
    (click,) = [one for one in Line().send(b"\x1b[<0;70000;1M").came if isinstance(one, events.MouseEvent)]
    assert not believed(click)
