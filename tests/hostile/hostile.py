"""Texts that a terminal, a spreadsheet, a page or a folder would act on, and colonies full of them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from datetime import timedelta
from pathlib import Path
from typing import Any, Final

import msgspec
from msgspec import inspect
from rich.cells import cell_len

from rounds.desk.colony_file import write_new
from rounds.logbook import rows
from rounds.logbook.entries import KINDS, AnyEntry, Arrived, Died, EnclosureSetUp, EnclosureTakenDown, Entry, Left
from rounds.sheets.store import Sheets
from tests.notation import at

#: One text of each sort. What they would do is in the name.
HOSTILE: Final[dict[str, str]] = {
    "styles the screen": "[bold red]red[/] [link=file:///etc/passwd]here[/link] [@click=app.exit]go[/] {0} %s ${x}",
    "moves the cursor": "a\x1b[2J\x1b[H\x1b[31m\x1b]0;title\x07\x1b]8;;http://x.example\x1b\\b\x9b31m\x90q\x9c",
    "turns the line round": "a\u202egnp.exe\u202c \u2066x\u2069 \u200fy\u200e \u061c",
    "rings and backspaces": "".join(map(chr, [*range(1, 32), 127, *range(0x80, 0xA0)])),
    "breaks the line": "one\ntwo\r\nthree\rfour\u2028five\u2029six\x0bseven\x0ceight\x85nine",
    "ends the string": "before\0after",
    "towers over the lines above": "Z" + "\u0334\u0301\u0489" * 60 + "algo",
    "is wider than it is long": "漢字かな" * 12 + "👩‍👩‍👧‍👦🏳️‍🌈🧪" * 5 + "ｆｕｌｌ" + "\u2630\u4dc0" * 12,
    "shows nothing": "\u200b\u200d\ufeff\u00ad\u3164\u115f\u2800\U000e0041\ufff9\u034f\ufe0f",
    "runs a formula": "=1+2;@SUM(A1)|cmd'/c calc'!A0",
    "breaks a page": "</pre><script>alert('x')</script>&amp;\"><img src=x onerror=y>",
    "runs a command": "$(touch /tmp/owned) `id` ; rm -rf ~ && | > x",
    "leaves the folder": "../../../etc/passwd",
    "leaves it another way": "..\\..\\C:\\x /dev/null ~/.ssh/id",
    "never ends": "x" * 10_000,
    "never ends, in words": ("wattle digs " * 1_000)[:10_000],
}
#: Where people, rooms and things have names; these may have 200 letters.
NAMES: Final = tuple(text[:200] for text in HOSTILE.values())
LAST: Final = len(NAMES) - 1
_ENDING: Final = (Died, Left, EnclosureTakenDown)


def unfit(text: str) -> list[str]:
    """Characters that no keeper's text may bring to a terminal, each with its number; a line end is fit."""
    return [
        f"U+{ord(letter):04X}"
        for letter in text
        if letter != "\n" and unicodedata.category(letter) in ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")
    ]


def too_wide(text: str, columns: int = 80) -> list[str]:
    """Lines that need more columns than there are, as a terminal's own tables count them."""
    return [line for line in text.split("\n") if cell_len(line) > columns]


def safe(text: str, columns: int | None = 80) -> None:
    """Assert that the text is plain: nothing in it acts on a terminal, and no line overflows."""
    assert unfit(text) == []
    towers = [line for line in text.split("\n") if _tallest(line) > 3]
    assert towers == [], "a letter carries three marks at most"
    if columns is not None:
        assert too_wide(text, columns) == []


def _tallest(line: str) -> int:
    tallest = marks = 0
    for letter in line:
        marks = marks + 1 if unicodedata.category(letter) in ("Mn", "Me") else 0
        tallest = max(tallest, marks)
    return tallest


def cast() -> list[Entry]:
    """Enclosures, animals and a group, each called by one of the hostile names and tagged with it."""
    moment = at("2026-03-01 08:00")
    found: list[Entry] = []
    for number, name in enumerate(NAMES):
        text = list(HOSTILE.values())[number]
        shared: dict[str, Any] = {"at": moment, "by": name[:40], "tag": text[:10_000], "note": text[:10_000]}
        found.append(
            EnclosureSetUp(
                id=f"e{number:03}", about=f"enclosure/e{number}", name=name, where=text, rack=text[:9], **shared
            )
        )
        found.append(
            Arrived(
                id=f"a{number:03}",
                about=f"animal/a{number}",
                name=name,
                place=f"enclosure/e{number % 6}",
                sex="FM"[number % 4 == 3],  # type: ignore[arg-type]
                hatched=moment.date() - timedelta(days=900),
                origin=text,
                traits=(text,),
                **shared,
            )
        )
    found.append(
        Arrived(id="g000", about="group/g0", name=NAMES[1], place="enclosure/e0", count=12, at=moment, by="AK")
    )
    return found


def every_kind() -> list[Entry]:
    """An entry of each kind for each hostile text, with that text wherever a kind takes one."""
    found: list[Entry] = []
    for place, text in enumerate(HOSTILE.values()):
        for number, kind in enumerate(KINDS.values()):
            moment = at("2026-04-01 06:00") + timedelta(days=place % 12, minutes=number)
            found.append(filled(kind, text, place, f"{place:02}-{number:03}", moment.isoformat()))
    return found


def filled(kind: type[Entry], text: str, number: int, id: str, moment: str) -> Entry:
    """An entry of a kind with the text in each member that takes one, and something fitting in the others."""
    sorts = rows.subject_sorts(kind)
    fields: dict[str, Any] = {"kind": kind.__struct_config__.tag, "id": id, "at": moment, "by": text[:40] or "AK"}
    spec = inspect.type_info(kind)
    assert isinstance(spec, inspect.StructType)
    for field in spec.fields:
        if field.name in fields or field.name == "written":
            continue
        if field.name == "about":
            # Only the last of each sort is dead, sold or taken down, so that there is a room to walk.
            fields["about"] = _subject(kind.of[number % len(kind.of)], LAST if kind in _ENDING else number)
        elif field.name in sorts:
            subject = _subject(sorts[field.name] or "animal", number + 1)
            fields[field.name] = [subject] if field.name in rows.list_fields(kind) else subject
        else:
            fields[field.name] = _value(field.type, text)
    entry: Entry = msgspec.convert(fields, AnyEntry)
    return rows.validated(entry)


def _subject(sort: str, number: int) -> str:
    if sort == "room":
        return "room"
    place = number if number == LAST else number % 6
    return {"animal": f"animal/a{number % len(NAMES)}", "enclosure": f"enclosure/e{place}"}.get(
        sort, f"{sort}/{sort[0]}{number // LAST}"
    )


def _value(wanted: inspect.Type, text: str) -> Any:
    if isinstance(wanted, inspect.Metadata):
        return _value(wanted.type, text)
    if isinstance(wanted, inspect.StrType) and wanted.pattern:
        return next(one for one in ("AUD", "10:30") if re.search(wanted.pattern, one))
    if isinstance(wanted, inspect.StrType):
        return text[: wanted.max_length or 10_000]
    if isinstance(wanted, inspect.VarTupleType):
        return [_value(wanted.item_type, text)]
    if isinstance(wanted, inspect.LiteralType):
        return wanted.values[len(text) % len(wanted.values)]
    if isinstance(wanted, inspect.UnionType):
        return _value(next(one for one in wanted.types if not isinstance(one, inspect.NoneType)), text)
    if isinstance(wanted, inspect.BoolType):
        return len(text) % 2 == 0
    if isinstance(wanted, inspect.IntType | inspect.FloatType):
        return 3
    if isinstance(wanted, inspect.DateType):
        return "2026-04-20"
    raise AssertionError(f"nothing fits {wanted}")


def hostile_colony(folder: Path, entries: Iterable[Entry] = ()) -> Path:
    """A colony whose every name, note, tag and initial is hostile; its sheets came from elsewhere."""
    write_new(folder, HOSTILE["moves the cursor"], "Europe/Vienna")
    sheets = Sheets(folder, "elsewhere")
    sheets.append([*cast(), *every_kind(), *entries], at("2026-04-12").date())
    sheets.close()
    return folder
