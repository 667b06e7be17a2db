"""Every reader is given what nobody would write: it answers with a sentence or with entries, and never falls over.

Seeds are fixed, so that what fails fails again. Sheets as bytes are in `tests/sheets/test_fuzz.py`, whole
runs of keys in `tests/screens/test_any_keys.py`; the numbers of inputs are printed under `figures`.
"""

from __future__ import annotations

import json
import random
import re
from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, Final

import pytest
from msgspec import inspect

from rounds.cli.given import Line, json_lines
from rounds.cli.intake import Intake
from rounds.cli.moments import reckoning_moment
from rounds.cli.parser import parsed
from rounds.desk.subjects import Names
from rounds.errors import BadEntry, BadRule, RoundsError
from rounds.logbook import plain, rows
from rounds.logbook.entries import KINDS, Entry
from rounds.logbook.entries.base import SUBJECT
from rounds.logbook.words import SIGNS
from rounds.logbook.written_times import read_day, read_moment
from rounds.paper.plain_text import shown
from rounds.rules.default import default_rules
from rounds.rules.settings import Settings, settings_of
from rounds.screens.board.board import Line as BoardLine
from rounds.screens.board.board import Span
from rounds.screens.keys import key_map
from rounds.screens.keys.screens import BY_ID
from rounds.screens.prompts.asks import BROKEN_OFF, OPEN, TO_FIELD, Ask, Figure, Found, Search
from rounds.screens.prompts.choices import Choice, Confirm, Option, Read, Ticks
from rounds.screens.prompts.finding import find, finder
from rounds.screens.prompts.form import Clockwork, Form
from rounds.screens.prompts.scale import Count, TopUp
from rounds.screens.prompts.words import Words
from rounds.screens.record.forms import FORMS
from rounds.screens.record.kind_form import drafts_of, with_finders
from tests.conftest import RecordFigure
from tests.desks.laptops import ROOM, Clock, colony, laptop
from tests.hostile.hostile import HOSTILE, cast, safe, too_wide, unfit
from tests.notation import VIENNA, at

NOW = at("2026-04-12 18:00")
SIGNS_OF_TOML = [
    '"',
    "'",
    '"""',
    "[",
    "]",
    "{",
    "}",
    "=",
    ".",
    ",",
    "#",
    "\n",
    "\\",
    "\\u0000",
    "\\x",
    "[[",
    "]]",
    "\0",
]
VALUES: Final = (
    *HOSTILE.values(),
    "",
    " ",
    "wattle",
    "animal/wattle",
    "@b3",
    "+x",
    "%x",
    "room",
    "FREQ=DAILY;COUNT=999999999",
    "FREQ=SECONDLY",
    "9999-12-31",
    "0001-01-01",
    "2026-02-30",
    "24:00",
    "2026-03-29T02:30",
    "2026-10-25T02:30+99:99",
    "yesterday 25:61",
    "٣٤٥",
    "²",
    "1e309",
    "-0",
    "NaN",
)


def some_text(rng: random.Random) -> str:
    """A text: hostile, or odd, or of any characters at all."""
    chance = rng.random()
    if chance < 0.5:
        return rng.choice(VALUES)[: rng.choice([3, 40, 400])]
    if chance < 0.7:
        return "".join(
            chr(rng.choice([rng.randrange(32, 127), rng.randrange(0xD800)])) for _ in range(rng.randrange(12))
        )
    return "".join(
        chr(code) for _ in range(rng.randrange(6)) if not 0xD800 <= (code := rng.randrange(0x110000)) < 0xE000
    )


def mutated(text: str, rng: random.Random, pieces: Sequence[str]) -> str:
    """A text with one to five changes."""
    for _ in range(rng.randint(1, 5)):
        place = rng.randrange(len(text) + 1)
        stop = min(len(text), place + rng.choice((0, 1, 2, 9, 60)))
        change = rng.randrange(5)
        if change == 0:
            text = text[:place] + text[stop:]
        elif change == 1:
            text = text[:place] + rng.choice(pieces) + text[stop:]
        elif change == 2:
            text = text[:place] + text[place:stop] * rng.choice((2, 30)) + text[stop:]
        elif change == 3:
            text = text[:place] + some_text(rng) + text[stop:]
        else:
            other = rng.randrange(len(text) + 1)
            text = text[:place] + text[other : other + 30] + text[place:]
    return text


def answered(error: RoundsError) -> None:
    """A refusal is a sentence, and plain when it is shown."""
    assert str(error).strip()
    safe(shown(str(error), lines=True), columns=None)


TOML = """
name = "Quandong shed"
time_zone = "Europe/Vienna"
units = "metric"
evening_from = "14:00"
walking_order = ["B3", "B4"]
desks = ["rack laptop"]
[keepers]
AK = "Anna K."
[house_rules]
feeding.insects_adult_days = 3
breeding.window_closes = { value = 40, source = "our vet, 2026" }
cleaning.full_days = "FREQ=MONTHLY;BYDAY=1SA"
"""


def test_any_colony_toml_is_read_or_refused_with_a_sentence(record_figure: RecordFigure) -> None:
    rng, inputs, read = random.Random(1), 2_500, 0
    keys = list(default_rules())
    for _ in range(inputs):
        if rng.random() < 0.5:
            text = mutated(TOML, rng, SIGNS_OF_TOML)
        else:
            value = rng.choice(
                [json.dumps(some_text(rng)), str(rng.randrange(-(10**20), 10**20)), "[]", "{}", "nan", "1.5"]
            )
            text = f"{TOML.split('[house_rules]')[0]}[house_rules]\n{rng.choice(keys)} = {value}\n"
        try:
            found = settings_of(text, default_rules())
        except BadRule as error:
            answered(error)
        else:
            assert isinstance(found, Settings)
            read += 1
    record_figure("fuzzed colony.toml", f"{inputs} inputs, {read} read, the others refused with a sentence")


def test_any_colony_toml_as_bytes_is_read_or_refused(tmp_path: Path, record_figure: RecordFigure) -> None:
    from rounds.desk.colony_file import load

    rng, inputs = random.Random(2), 400
    for _ in range(inputs):
        content = bytearray(TOML.encode())
        for _ in range(rng.randint(1, 4)):
            place = rng.randrange(len(content))
            content[place : place + rng.choice((0, 1, 5))] = rng.randbytes(rng.choice((0, 1, 4)))
        (tmp_path / "colony.toml").write_bytes(bytes(content))
        try:
            load(tmp_path)
        except BadRule as error:
            answered(error)
    record_figure("fuzzed colony.toml, as bytes", f"{inputs} inputs")


def test_any_keys_toml_leaves_keys_that_work(tmp_path: Path, record_figure: RecordFigure) -> None:
    rng, inputs = random.Random(3), 1_500
    text = "\n".join(f'{id} = "f{number % 12 + 1}"' for number, id in enumerate(list(BY_ID)[:12]))
    file = tmp_path / "keys.toml"
    for number in range(inputs):
        content = mutated(text, rng, [*SIGNS_OF_TOML, *BY_ID, "escape", "space", "q"]).encode("utf-8", "replace")
        if number % 10 == 0:
            content = rng.randbytes(rng.randrange(200))
        file.write_bytes(content)
        found = key_map.read(file)
        assert found.changed.keys() <= BY_ID.keys()
        for told in found.mistakes:
            assert told.endswith((".", "…", "?")), told
        for id in found.changed:
            assert found.label(BY_ID[id]).isprintable()
    record_figure("fuzzed keys.toml", f"{inputs} inputs")


@pytest.fixture(scope="module")
def intake(tmp_path_factory: pytest.TempPathFactory) -> Callable[[Sequence[Line]], Any]:
    """Takes lines at a desk in a small room, without writing them."""
    desk = laptop(colony(tmp_path_factory.mktemp("intake") / "colony"), Clock(NOW))

    def taken(lines: Sequence[Line]) -> Any:
        return Intake(desk, lines, prefixes=True).taken()

    return taken


MEMBERS: Final = sorted({name for kind in KINDS.values() for name in kind.__struct_fields__})


def some_value(rng: random.Random, deep: int = 2) -> Any:
    """A JSON value."""
    chance = rng.random()
    if chance < 0.55 or deep == 0:
        return some_text(rng)
    if chance < 0.75:
        return rng.choice([0, -1, 1, 450, 1.5, 10**30, -(10**30), 1e308, True, False, None, 2**63, 0.1])
    if chance < 0.88:
        return [some_value(rng, deep - 1) for _ in range(rng.randrange(3))]
    return {some_text(rng): some_value(rng, deep - 1) for _ in range(rng.randrange(3))}


def test_any_json_lines_are_taken_or_refused_with_a_sentence(
    intake: Callable[[Sequence[Line]], Any], record_figure: RecordFigure
) -> None:
    rng, inputs, written = random.Random(4), 1_800, 0
    for _ in range(inputs):
        lines: list[str] = []
        for _ in range(rng.choice([1, 1, 3])):
            kind = rng.choice(list(KINDS))
            members: dict[str, Any] = {"kind": kind}
            odd = rng.choice([0.0, 0.1, 0.5])
            for field in KINDS[kind].__struct_fields__:
                if rng.random() < 0.6:
                    members[field] = some_value(rng) if rng.random() < odd else good_value(kind, field, rng)
            if rng.random() < 0.3:
                members[rng.choice(MEMBERS)] = some_value(rng)
            lines.append(json.dumps(members))
        content = "\n".join(lines)
        raw = content.encode("utf-8", "surrogatepass")
        if rng.random() < 0.3:
            raw = mutated(
                content, rng, ["\n", "{", "}", '"', "\\ud800", "\0", "[", ",", '"crc":"00000000"']
            ).encode("utf-8", "surrogatepass")
        try:
            written += len(intake(list(json_lines(raw))).entries)
        except RoundsError as error:
            answered(error)
    assert written > inputs / 50, "some of it can be written"
    record_figure("fuzzed JSON lines for `rounds log -`", f"{inputs} inputs, {written} entries could be written")


def good_value(kind: str, field: str, rng: random.Random) -> Any:
    """A value that may be right for a member."""
    if field in ("at", "written"):
        return rng.choice(["2026-04-12T08:00:00+02:00", "2026-04-12T08:00", "08:00"])
    if field == "id":
        return f"own-{rng.randrange(50)}"
    sorts = rows.subject_sorts(KINDS[kind])
    if field in sorts:
        subject = rng.choice(
            [
                "animal/wattle",
                "animal/karri",
                "enclosure/b3",
                "clutch/w-1",
                "group/young",
                "supply/locusts",
                "room",
                "wattle",
            ]
        )
        return [subject] if field in rows.list_fields(KINDS[kind]) else subject
    spec = inspect.type_info(KINDS[kind])
    assert isinstance(spec, inspect.StructType)
    wanted = next(one.type for one in spec.fields if one.name == field)
    return fitting(wanted, rng)


#: One of these is what a text with a pattern may be: a currency, an hour.
PATTERNED: Final = ("", "AUD", "EUR", "00:00", "23:59")


def fitting(wanted: inspect.Type, rng: random.Random) -> Any:
    """A value of a type, at the edge of what it takes now and then."""
    if isinstance(wanted, inspect.Metadata):
        return fitting(wanted.type, rng)
    if isinstance(wanted, inspect.UnionType):
        return fitting(rng.choice([one for one in wanted.types if not isinstance(one, inspect.NoneType)]), rng)
    if isinstance(wanted, inspect.LiteralType):
        return rng.choice(wanted.values)
    if isinstance(wanted, inspect.VarTupleType):
        return [fitting(wanted.item_type, rng) for _ in range(rng.randrange(3))]
    if isinstance(wanted, inspect.BoolType):
        return rng.random() < 0.5
    if isinstance(wanted, inspect.IntType | inspect.FloatType):
        low = wanted.ge if wanted.ge is not None else (wanted.gt + 0.01 if wanted.gt is not None else -1e9)
        high = wanted.le if wanted.le is not None else 1e9
        value = rng.choice([low, high, (low + high) / 2, 3])
        return int(value) if isinstance(wanted, inspect.IntType) else float(value)
    if isinstance(wanted, inspect.DateType):
        return rng.choice(["0001-01-01", "9999-12-31", "2026-02-28", "2024-02-29", "2026-04-12", "2023-05-01"])
    if isinstance(wanted, inspect.DateTimeType):
        return some_moment(rng).isoformat()
    if isinstance(wanted, inspect.StrType) and wanted.pattern:
        return rng.choice([one for one in PATTERNED if re.search(wanted.pattern, one)])
    text = some_text(rng) or "x"
    return text[: getattr(wanted, "max_length", None) or 10_000]


def some_moment(rng: random.Random) -> datetime:
    """A moment: mostly of these weeks, now and then at the ends of the calendar."""
    if rng.random() < 0.85:
        return NOW - timedelta(minutes=rng.randrange(60 * 24 * 70))
    text = rng.choice(
        [
            "0001-01-01T00:00:00+14:00",
            "0001-01-01T00:00:00-12:00",
            "9999-12-31T23:59:59-12:00",
            "9999-12-31T23:59:59+14:00",
            "1969-12-31T23:59:59+00:00",
            "2026-10-25T02:30:00+01:00",
            "2026-04-12T17:59:59.999999+02:00",
        ]
    )
    return datetime.fromisoformat(text)


def test_any_words_for_log_are_taken_or_refused_with_a_sentence(
    intake: Callable[[Sequence[Line]], Any], record_figure: RecordFigure
) -> None:
    rng, inputs, written = random.Random(5), 3_000, 0
    for _ in range(inputs):
        kind = rng.choice(list(KINDS)) if rng.random() < 0.9 else some_text(rng)
        fields = KINDS[kind].__struct_fields__ if kind in KINDS else ("x",)
        words = []
        for _ in range(rng.randrange(4)):
            field = rng.choice(fields)
            value = some_text(rng) if rng.random() < 0.5 or kind not in KINDS else good_value(kind, field, rng)
            words.append(f"{field}={value}" if rng.random() < 0.9 else some_text(rng))
        about = rng.choice(["wattle", "@b3", "room", "animal/karri", some_text(rng)])
        try:
            members = plain.members(kind, words, subject=plain.as_written)
            members["about"] = about
            if rng.random() < 0.3:
                members["at"] = read_moment(some_text(rng), NOW, VIENNA).moment.isoformat()
            written += len(intake([Line(0, members, lenient=True)]).entries)
        except RoundsError as error:
            answered(error)
    assert written > inputs / 50
    record_figure("fuzzed words for `rounds log`", f"{inputs} inputs, {written} entries could be written")


def test_any_command_line_and_any_moment_is_understood_or_refused(record_figure: RecordFigure) -> None:
    rng, inputs = random.Random(6), 600
    options = ["--on", "--json", "--colony", "--by", "--at", "--walk", "--lines", "--sign", "--note", "--", "-"]
    commands = ["today", "matters", "hand-over", "log", "show", "check", "new", "demo", "open", "help"]
    for _ in range(inputs):
        words = [rng.choice([*options, *commands, *KINDS, some_text(rng)]) for _ in range(rng.randrange(5))]
        try:
            parsed([word for word in words if word not in ("-h", "--help")])
        except RoundsError as error:
            answered(error)
        for read in (
            lambda text: read_moment(text, NOW, VIENNA),
            lambda text: read_day(text, NOW.date()),
            lambda text: reckoning_moment(text, VIENNA, NOW),
        ):
            try:
                read(rng.choice([some_text(rng), fitting(inspect.DateType(), rng), some_moment(rng).isoformat()]))
            except RoundsError as error:
                answered(error)
    record_figure("fuzzed command lines and moments", f"{inputs} command lines, {2 * inputs} moments")


def test_any_label_and_any_letters_find_subjects_or_nothing(tmp_path: Path, record_figure: RecordFigure) -> None:
    rng, inputs = random.Random(7), 1_500
    folder = colony(tmp_path / "colony", ROOM)
    desk = laptop(folder, Clock(NOW))
    desk.record(*cast())
    standing, names = desk.standing, Names(desk.standing)
    tags = [entry.tag for entry in cast() if hasattr(entry, "tag") and entry.tag]
    for _ in range(inputs):
        text = (
            some_text(rng) if rng.random() < 0.7 else mutated(rng.choice(tags)[:80], rng, ["\r", "\n", "\t", " "])
        )
        for found in find(standing, text):
            assert SUBJECT.fullmatch(found.value)
            assert found.value in standing.pages
        try:
            assert SUBJECT.fullmatch(names.find(text))
        except BadEntry as error:
            answered(error)
    for tag in tags:
        assert find(standing, tag), "and a label that is known is found, whatever it says"
    record_figure(
        "fuzzed labels and letters looked for", f"{inputs} inputs, {len(tags)} hostile labels found again"
    )


# What screens ask

KEYS: Final = (
    *"abcdefghijklmnopqrstuvwxyz0123456789.,+-*/ ?!äß漢٣²🦎",
    "enter",
    "backspace",
    "escape",
    "up",
    "down",
    "left",
    "right",
    "tab",
    "shift+tab",
    "pageup",
    "pagedown",
    "home",
    "ctrl+u",
    "f1",
    "f2",
    "add",
    "decimal",
    "full_stop",
    "multiply",
    "\x1b",
    "\0",
    "\u202e",
    "\u0301",
)


def asks(rng: random.Random, find_in: Callable[[str], Sequence[Found]], fields: Any) -> list[Ask]:
    """One ask of each sort, with hostile titles and answers."""
    title = some_text(rng)
    many = [Option(chr(97 + n), some_text(rng), n) for n in range(rng.randint(1, 12))]
    form = rng.choice(FORMS)
    return [
        Choice(title, many, hint="one of these", start=rng.choice([None, 0])),
        Figure(title, unit="g", optional=rng.random() < 0.5, whole_number=rng.random() < 0.5),
        TopUp(title, 7.0, hint=some_text(rng), stays=some_text(rng)),
        Count(title, optional=rng.random() < 0.5, others=many, digit=some_text(rng)),
        Words(title, ready=[some_text(rng) for _ in range(3)], optional=rng.random() < 0.5),
        Search(title, find_in, optional=rng.random() < 0.5),
        Confirm([some_text(rng)]),
        Read(title, lambda width: [(Span("x" * width),)] * 30, yes="read", no="leave"),
        Ticks(title, SIGNS, below=some_text(rng)),
        Form(title, with_finders(form.kind, form.fields, fields), Clockwork(NOW, VIENNA), told=form.told),
    ]


def pressed(ask: Ask, key: str, character: str | None) -> object:
    """One key, where a text field holds what is typed and any letter goes to its end."""
    answer = ask.takes(key, character)
    if answer is not TO_FIELD:
        return answer
    ask.before_typing()
    ask.edited((ask.in_field or "") + (character or ""))
    return OPEN


def test_any_keys_answer_or_leave_open_whatever_is_asked(tmp_path: Path, record_figure: RecordFigure) -> None:
    rng, keys, answered = random.Random(9), 0, 0
    folder = colony(tmp_path / "colony", ROOM)
    standing = laptop(folder, Clock(NOW)).standing
    look_up = finder(standing)
    while keys < 12_000:
        for ask in asks(rng, lambda typed: find(standing, typed), look_up):
            for _ in range(40):
                keys += 1
                key = rng.choice(KEYS)
                character = key if len(key) == 1 else {"enter": "\r", "tab": "\t", "add": "+"}.get(key)
                pasted = ask.in_field is None and rng.random() < 0.05
                answer = ask.pasted(some_text(rng)) if pasted else pressed(ask, key, character)
                if answer is not OPEN:
                    answered += answer is not BROKEN_OFF
                    break
                if rng.random() < 0.15:
                    drawn(ask.lines(rng.choice([40, 80, 132]), 12))
            drawn(ask.lines(80, 20))
    assert answered > 100
    record_figure("fuzzed keys for what screens ask", f"{keys} keys, {answered} answers, every line plain")


def drawn(lines: Sequence[BoardLine]) -> None:
    """What stands on the lines of an ask is plain text."""
    text = "\n".join("".join(span.text for span in line) for line in lines)
    assert unfit(text) == []


def test_any_filled_form_gives_an_entry_or_says_which_field_cannot_be_read(
    tmp_path: Path, record_figure: RecordFigure
) -> None:
    rng, inputs, written = random.Random(10), 1_500, 0
    desk = laptop(colony(tmp_path / "colony", ROOM), Clock(NOW))
    look_up = finder(desk.standing)
    for _ in range(inputs):
        form = rng.choice(FORMS)
        ask = Form(
            form.label, with_finders(form.kind, form.fields, look_up), Clockwork(NOW, VIENNA), told=form.told
        )
        for field in form.fields:
            text = "yesterday 18:00" if field.sort == "when" and rng.random() < 0.5 else some_text(rng)
            text = rng.choice([text, "12", "2026-04-01", "wattle", "b3", "1", ""])
            for letter in text.replace("\n", "")[:40]:
                pressed(ask, letter, letter)
            ask.takes("down", None)
        answer = ask.takes("f2", None)
        if answer in (OPEN, BROKEN_OFF):
            assert ask.wrong or answer is BROKEN_OFF
            drawn(ask.lines(80, 20))
            continue
        about = {
            "animal": "animal/wattle",
            "enclosure": "enclosure/b3",
            "clutch": "clutch/w-1",
            "supply": "supply/x",
            "room": "room",
        }
        for one in drafts_of(form, about.get(form.kind.of[0], "group/x"), answer, lambda: "clutch/w-1"):
            try:
                entry: Entry = rows.validated(one.entry("id", NOW, "AK"))
            except BadEntry as error:
                answered(error)
            else:
                written += 1
                assert entry.at <= NOW + timedelta(days=1)
    assert written > 50
    record_figure("fuzzed forms", f"{inputs} forms, {written} entries")


def test_widths_of_a_hostile_line_are_those_of_a_terminal() -> None:
    rng = random.Random(11)
    from rounds.paper.plain_text import padded, wrapped

    for _ in range(600):
        text = shown(some_text(rng) + some_text(rng))
        columns = rng.randrange(2, 60)
        assert too_wide(padded(text, columns), columns) == []
        for line in wrapped(text, max(4, columns)):
            assert too_wide(line, max(4, columns)) == []
