"""Whatever is put on the command line or on standard input is answered with a sentence, and written whole or "
"not."""

from __future__ import annotations

import json
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rounds.cli.parser import COMMANDS
from rounds.logbook.entries import KINDS
from rounds.logbook.words import SIGNS
from tests.cli.conftest import Door
from tests.conftest import examples

FAST = settings(
    max_examples=examples(60), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
#: Done, and every exit code that has a sentence of its own; never 70, a fault of the program.
ANSWERED = frozenset({0, 1, 2, 3, 4, 5, 6, 7})
MEMBERS = sorted({name for kind in KINDS.values() for name in kind.__struct_fields__})
SCALARS = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.floats(),
    st.text(max_size=12),
    st.sampled_from(
        ["wattle", "animal/sedge", "@b3", "room", "+x", "%x", "F", "2026-04-12", "2026-04-12T07:15", *SIGNS]
    ),
)
VALUES = st.recursive(
    SCALARS, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=2)
)
LINES = st.fixed_dictionaries(
    {"kind": st.sampled_from(sorted(KINDS)) | SCALARS},
    optional=dict.fromkeys(MEMBERS, VALUES),
)


@FAST
@given(st.lists(LINES, min_size=1, max_size=3))
def test_any_json_is_written_whole_or_refused(room: Door, lines: list[dict[str, Any]]) -> None:
    before = room.sheets()
    said = room("log", "-", "--dry-run", stdin="\n".join(map(json.dumps, lines)))
    assert said.code in ANSWERED, said.err
    assert said.err
    assert room.sheets() == before


@FAST
@given(st.binary(max_size=200))
def test_any_bytes_on_standard_input_are_answered(room: Door, given_bytes: bytes) -> None:
    before = room.sheets()
    said = room("log", "-", stdin=given_bytes)
    assert said.code in ANSWERED, said.err
    assert room.sheets() == before or said.code == 0


WORDS = st.one_of(
    st.sampled_from(sorted(KINDS)),
    st.sampled_from(
        ["wattle", "@b3", "B3", "room", "sedge", "-", "grams=452", "--on", "--json", "--by", "--at", "--all"]
    ),
    st.sampled_from(["2026-04-11", "--walk", "morning", "--about", "--lines", "--referral", "--dry-run", "--note"]),
    st.tuples(st.sampled_from(MEMBERS), st.text(max_size=8)).map("=".join),
    st.text(max_size=8),
)
LOOKING = sorted(set(COMMANDS) - {"open", "demo", "new"})


@FAST
@given(st.sampled_from(LOOKING), st.lists(WORDS, max_size=5))
def test_any_words_of_a_command_are_answered(room: Door, command: str, words: list[str]) -> None:
    if command == "check":
        words = [word for word in words if word != "--repair"]
    said = room(command, *words, stdin=b"")
    assert said.code in ANSWERED, (command, words, said.err)
    assert "\x1b" not in said.out + said.err
    assert said.code == 0 or said.err or command == "check"
