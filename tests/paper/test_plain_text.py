"""Whatever a name or note holds, it is shown, and nothing more happens."""

from __future__ import annotations

import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from rounds.paper.plain_text import cell, cut, padded, shown, uncelled, width, wrapped

ANYTHING = st.text(alphabet=st.characters(), max_size=200)


def test_an_escape_sequence_in_a_name_is_written_out() -> None:
    assert shown("Wat\x1b[2Jtle\x07") == "Wat\\x1b[2Jtle\\x07"
    assert shown("\x9b31mred") == "\\x9b31mred"


def test_a_mark_of_direction_is_written_out() -> None:
    assert shown("Sedge\u202edeid") == "Sedge\\u202edeid"
    assert shown("a\u2066b\u2069\u200f\ufeff") == "a\\u2066b\\u2069\\u200f\\ufeff"


def test_letters_of_other_scripts_stay_as_they_are() -> None:
    for name in ("Günther", "Žofie", "Красавица", "竜", "क्षिप्रा", "ลูกเกด", "Quandong’s"):
        assert shown(name) == name


def test_a_note_of_several_lines_goes_on_one_or_stays_as_it_was_written() -> None:
    assert shown("dug\r\nall night") == "dug ⏎ all night"
    assert shown("dug\r\nall\x1b night", lines=True) == "dug\nall\\x1b night"


def test_a_tower_of_marks_cannot_run_over_the_lines_above() -> None:
    assert sum(unicodedata.combining(letter) > 0 for letter in shown("e" + "\u0301" * 10_000)) == 3


@given(ANYTHING)
def test_nothing_shown_is_a_control_or_invisible(text: str) -> None:
    for letter in shown(text):
        assert unicodedata.category(letter) not in ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")


@given(ANYTHING)
def test_shown_text_is_not_changed_by_showing_it_again(text: str) -> None:
    assert shown(shown(text)) == shown(text)


@given(ANYTHING, st.integers(min_value=2, max_value=80))
def test_a_cut_text_fits_its_column(text: str, columns: int) -> None:
    assert width(cut(shown(text), columns)) <= columns
    assert width(padded(shown(text), columns)) == columns


@given(ANYTHING, st.integers(min_value=4, max_value=80))
def test_wrapping_drops_nothing_and_fits(text: str, columns: int) -> None:
    plain = shown(text)
    lines = wrapped(plain, columns)
    assert all(width(line) <= columns for line in lines)
    assert "".join(lines).replace(" ", "") == plain.replace(" ", "")


def test_wrapped_lines_hang_under_the_first() -> None:
    assert wrapped("egg check and weigh her", 16, "due  ") == ["due  egg check", "     and weigh", "     her"]


def test_a_text_cell_never_starts_a_formula() -> None:
    # OWASP Application Security Verification Standard 1.2.10.
    for start in ("=1+1", "+1", "-3.5 g", "@sum", "\tx", "\rx"):
        assert cell(start) == "'" + start
    assert cell("Wattle") == "Wattle"


@given(ANYTHING)
def test_a_text_cell_comes_back_as_it_was(text: str) -> None:
    assert uncelled(cell(text)) == text
