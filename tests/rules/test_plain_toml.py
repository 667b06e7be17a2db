"""A plain colony.toml is read without a TOML parser, and says the same as with one."""

from __future__ import annotations

import tomllib
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from demo_colony.write import settings
from rounds.rules.plain_toml import plain_toml

DEMO = settings(ZoneInfo("Australia/Adelaide"))
LINES = st.sampled_from(
    [
        "",
        "# a note",
        "# a bell \x07",
        'name = "Quandong shed"',
        'name = "a" # a note',
        'name = "a\\tb"',
        "name = 'a'",
        'name="Zoë"',
        "least = 3",
        "least = 03",
        "least = -0",
        "least = 2.50",
        "least = 1e3",
        "least = 99999999999999999999",
        "least = null",
        "held = true",
        'racks = ["A1", "A2"]',
        'racks = [["A1"], "A2"]',
        "racks = [1, 2]",
        "racks = [null]",
        'racks = ["A1",]',
        'racks = ["A1"',
        "[racks]",
        "[racks.held]",
        "[racks.held.least]",
        "[ racks ]",
        "[[racks]]",
        '["racks"]',
        "racks.held = 1",
        " ",
        "held = {a = 1}",
        'name = """a"""',
        "day = 2026-04-12",
        "\r",
        "\u2028",
        'name = "\u2028"',
    ]
)


def test_the_demo_is_plain_and_says_what_the_parser_says() -> None:
    assert plain_toml(DEMO) == tomllib.loads(DEMO)


@given(st.lists(LINES, max_size=7), st.sampled_from(["\n", "\r\n"]))
def test_what_is_taken_for_plain_says_what_the_parser_says(lines: list[str], end: str) -> None:
    text = end.join(lines)
    found = plain_toml(text)
    if found is not None:
        read = tomllib.loads(text)
        assert found == read
        assert repr(found) == repr(read)  # 1 is not 1.0, nor true


@given(st.text(st.sampled_from('ab1.-"[]=# ,\n\r\\\x0b'), max_size=24))
def test_no_letters_are_taken_for_plain_that_the_parser_refuses(text: str) -> None:
    found = plain_toml(text)
    if found is not None:
        assert repr(found) == repr(tomllib.loads(text))


@pytest.mark.parametrize("text", ["[a]\n[a]", 'a = "b"\n[a]', "a = 1\na = 2", "[a.b]\n[a]\nb = 1", 'a = "b'])
def test_what_is_wrong_is_left_to_the_parser_to_say(text: str) -> None:
    assert plain_toml(text) is None
