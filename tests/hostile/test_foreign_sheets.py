"""A sheet from elsewhere whose every line is well formed, and whose every value is at the edge of what may be."""

from __future__ import annotations

import io
import random
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import msgspec
import pytest
from msgspec import inspect

from rounds.cli import main
from rounds.desk.colony_file import write_new
from rounds.desk.shift import Shift
from rounds.desk.validation import judged
from rounds.due.round import part_of
from rounds.logbook import rows
from rounds.logbook.entries import KINDS, AnyEntry, Entry, PutTogether
from rounds.rules.default import default_house
from tests.conftest import RecordFigure
from tests.desks.laptops import Clock, laptop, note
from tests.hostile.hostile import safe
from tests.hostile.test_fuzz import fitting, some_moment, some_text
from tests.notation import at, standing
from tests.screens.rack import opened

NOW = at("2026-04-12 18:00")
ANIMALS = ("animal/wattle", "animal/karri", "animal/sedge")
SUBJECTS = {
    "animal": ANIMALS,
    "group": ("group/young",),
    "enclosure": ("enclosure/b3", "enclosure/b4"),
    "clutch": ("clutch/w-1",),
    "supply": ("supply/locusts",),
    "room": ("room",),
}
COMMANDS = (
    ("today",),
    ("matters", "--all"),
    ("hand-over",),
    ("supplies",),
    ("fortnight",),
    ("check",),
    ("show", "animal/wattle"),
    ("show", "animal/wattle", "--referral"),
    ("show", "enclosure/b3"),
    ("show", "clutch/w-1"),
    ("show", "supply/locusts"),
    ("show", "room"),
    ("today", "--on", "2026-03-01"),
    ("matters", "--json"),
    ("room",),
    ("season",),
    ("season", "--weeks", "104", "--from", "2025-01-01"),
    ("referral", "animal/wattle"),
    ("referral", "animal/karri", "--html", "-"),
    ("young",),
    ("stock", "--year", "2026"),
    ("record", "animal/wattle"),
    ("record", "group/young"),
    ("pairing",),
    ("pairing", "--json"),
)


def some_entry(rng: random.Random, number: int) -> Entry:
    """An entry of any kind, each member of it possible and few of them likely."""
    kind = rng.choice(list(KINDS.values()))
    sorts = rows.subject_sorts(kind)
    fields: dict[str, Any] = {
        "kind": kind.__struct_config__.tag,
        "id": f"{number:04}",
        "by": rng.choice(["AK", "EM", "\x1b[1m"]),
    }
    spec = inspect.type_info(kind)
    assert isinstance(spec, inspect.StructType)
    for field in spec.fields:
        if field.name in fields or (not field.required and rng.random() < 0.4):
            continue
        if field.name in ("at", "written"):
            fields[field.name] = some_moment(rng).isoformat()
        elif field.name == "about":
            fields["about"] = rng.choice(SUBJECTS[rng.choice(kind.of)])
        elif field.name in sorts:
            subject = rng.choice(SUBJECTS[sorts[field.name] or "animal"])
            fields[field.name] = [subject] if field.name in rows.list_fields(kind) else subject
        elif field.name == "replaces":
            fields["replaces"] = f"{rng.randrange(number + 1):04}"
        else:
            fields[field.name] = fitting(field.type, rng)
    entry: Entry = msgspec.convert(fields, AnyEntry)
    return rows.validated(entry)


def foreign(folder: Path, rng: random.Random) -> Path:
    """A colony whose sheet came from elsewhere."""
    write_new(folder, "Shed", "Europe/Vienna")
    sheets = folder / "sheets/2026"
    sheets.mkdir(parents=True)
    entries = [some_entry(rng, number) for number in range(rng.randint(20, 90))]
    opening = [
        f'{{"kind":"enclosure_set_up","id":"s{place[-2:]}","at":"2026-01-02T08:00:00+01:00","by":"AK","about":"{place}","name":"{some_name(rng)}"}}'
        for place in SUBJECTS["enclosure"]
    ]
    lines = [rows.line_of(rows.entry_of(text)) for text in opening] + [rows.line_of(entry) for entry in entries]
    (sheets / "2026-04-12.elsewhere.jsonl").write_bytes(b"\n".join(lines) + b"\n")
    return folder


def some_name(rng: random.Random) -> str:
    """A name for a tub."""
    text = msgspec.json.encode((some_text(rng) or "x")[:60]).decode()
    return text[1:-1]


def test_nothing_well_formed_on_a_foreign_sheet_makes_any_command_fall_over(
    tmp_path: Path, record_figure: RecordFigure
) -> None:
    rng, colonies, said = random.Random(2026), 40, 0
    for number in range(colonies):
        folder = foreign(tmp_path / f"colony-{number}", rng)
        for words in (rng.choice(COMMANDS), rng.choice(COMMANDS), *COMMANDS[:3]):
            out, err = io.StringIO(), io.StringIO()
            code = main(
                words,
                clock=lambda: NOW,
                environment={"ROUNDS_COLONY": str(folder), "XDG_STATE_HOME": str(tmp_path / "state")},
                stdin=io.BytesIO(),
                out=out,
                err=err,
            )
            reports = list((tmp_path / "state").rglob("rounds-*.txt"))
            assert not reports, f"colony {number}, {words}: {reports[0].read_text()}"
            assert code in (0, 1, 5), err.getvalue()
            safe(out.getvalue(), columns=None if {"--json", "--html"} & {*words} else 80)
            safe(err.getvalue(), columns=None)
            said += 1
    record_figure("fuzzed foreign sheets, well formed", f"{colonies} colonies, {said} commands, none fell over")


def test_a_shift_over_a_foreign_sheet_goes_on(tmp_path: Path) -> None:
    rng = random.Random(2027)
    for number in range(25):
        folder = foreign(tmp_path / f"colony-{number}", rng)
        clock = Clock(NOW)
        desk = laptop(folder, clock)
        shift = Shift(desk)
        shift.reckon_now()
        for stop in shift.walk().order:
            shift.lines(stop)
        shift.record(note("and on it goes"))
        shift.take_back()
        clock.forward(hours=7)
        shift.news()
        assert desk.clock_doubt() is not None
        again = laptop(folder, clock)
        assert again.standing.digest() == desk.standing.digest()
        assert {one.id for one in again.ahead} == {one.id for one in desk.ahead}


@pytest.mark.parametrize("moment", ["0001-01-01T00:00:00+14:00", "9999-12-31T23:59:59-12:00"])
@pytest.mark.parametrize("zone", ["Pacific/Kiritimati", "Etc/GMT+12"])
def test_a_pairing_at_the_ends_of_the_calendar_is_judged_as_any(moment: str, zone: str) -> None:
    """As when it is corrected: what was seen of her until then may need the walk of that moment."""
    page = standing(
        "2026-01-02 AK\n08:00 b3 enclosure_set_up name=B3\n"
        "08:01 wattle arrived name=Wattle sex=F hatched=2023-01-01 place=b3\n"
        "08:02 karri arrived name=Karri sex=M hatched=2022-01-01 place=b3\n"
        "08:03 wattle behaviour_seen behaviour='nest digging'\n08:04 wattle eggs_laid clutch=w-1 count=9\n"
    )
    pair = PutTogether(
        id="p", at=datetime.fromisoformat(moment), by="AK", about="animal/wattle", mate="animal/karri"
    )
    found = judged(page, default_house(ZoneInfo(zone)), pair)
    assert not found.refused
    assert part_of(pair.at, default_house(ZoneInfo(zone))) in ("morning", "evening")


async def test_the_screens_show_a_foreign_sheet(tmp_path: Path) -> None:
    rng = random.Random(2028)
    for number in range(3):
        folder = foreign(tmp_path / f"colony-{number}", rng)
        async with opened(folder, "2026-04-12 18:00", keeper="AK") as rack:
            for subject in (
                None,
                *rack.app.shift.walk().order,
                *ANIMALS,
                "group/young",
                "clutch/w-1",
                "supply/locusts",
                "room",
            ):
                if subject is not None:
                    rack.app.open_subject(subject)
                await rack.press("down")
                assert rack.app._exception is None
            for view in ("u", "f"):
                await rack.press("v", view, "down", "pagedown", "backspace")
                assert rack.app._exception is None
            rack.app.action_walk()
            await rack.press("a", "enter", "backspace", "backspace", "h", "pagedown", "backspace", "enter", "enter")
            assert rack.app._exception is None


@pytest.mark.parametrize("moment", ["1970-01-01T00:00:00+00:00", "9998-12-31T22:59:59+00:00"])
def test_a_clock_at_its_beginning_or_at_the_end_of_the_calendar_is_answered(moment: str, tmp_path: Path) -> None:
    folder = foreign(tmp_path / "colony", random.Random(1))
    now = datetime.fromisoformat(moment) + timedelta(0)
    for words in (("today",), ("matters",), ("hand-over",)):
        err = io.StringIO()
        code = main(
            words,
            clock=lambda: now,
            environment={"ROUNDS_COLONY": str(folder), "XDG_STATE_HOME": str(tmp_path / "state")},
            stdin=io.BytesIO(),
            out=io.StringIO(),
            err=err,
        )
        assert code in (0, 1), err.getvalue()
