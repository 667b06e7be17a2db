"""Writes the demo colony: its entries for any day, and the folder a keeper can open."""

from __future__ import annotations

import os
from collections.abc import Iterator
from datetime import date, datetime
from itertools import groupby
from pathlib import Path
from random import Random
from typing import Final
from zoneinfo import ZoneInfo

from demo_colony.animals import OPENED
from demo_colony.book import Line, Written, written
from demo_colony.boxes import Boxes
from demo_colony.daily import Daily
from demo_colony.incubator import logged
from demo_colony.people import BENCH, KEEPERS, RACK_LAPTOP, ROOM_NAME, ZONE
from demo_colony.room import Homes, Timetable
from demo_colony.shifts import opening, shifts, walks
from demo_colony.story import Told, fields_of, kind_of, late_of, told
from demo_colony.supplies import stock
from demo_colony.weights import Weights
from rounds.errors import NotSaved, UsageError
from rounds.logbook import rows
from rounds.logbook.entries import Entry

SEED: Final = 2026


def entries(end: datetime, zone: ZoneInfo = ZONE, seed: int = SEED) -> list[Entry]:
    """The logbook of the 120 days before the day of `end`, in the order of its writing.

    Nothing is written on the day of `end` itself: its morning walk is ready to be walked. Same `end`,
    zone and seed give the same entries to the last byte. `end` needs an offset.
    """
    return [one.entry for one in logbook(end.astimezone(zone).date(), zone, seed)]


def logbook(end: date, zone: ZoneInfo = ZONE, seed: int = SEED) -> list[Written]:
    """The entries and the desks at which they were written, by the room's date of the last day."""
    rng = Random(seed)
    story = told()
    homes, times, weights = Homes(story), Timetable(rng), Weights(story, seed)
    daily = Daily(story, homes, times, weights, rng)
    everyday = list(daily.lines())
    lines = [
        *opening(end),
        *daily.lamps(),
        *walks(end, times),
        *_story(story, end, homes, times, weights),
        *everyday,
        *logged(),
        *stock(everyday, homes),
        *shifts(end),
    ]
    return written(lines, end, zone, rng)


def write(folder: Path, end: datetime, zone: ZoneInfo = ZONE, seed: int = SEED) -> None:
    """Write the colony into `folder`, all of it or nothing.

    Raises `UsageError` when there is something in the folder already, `NotSaved` when the disk does not
    take it.
    """
    there = os.path.lexists(folder)  # a name that is too long is not there
    if there and (folder.is_symlink() or not folder.is_dir() or any(folder.iterdir())):
        raise UsageError(f"{folder} holds something already; give the demo a folder of its own")
    draft = folder.with_name(f".{folder.name}.{os.getpid()}")
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        draft.mkdir()
        try:
            (draft / "colony.toml").write_bytes(settings(zone).encode())
            for name, content in sheets(logbook(end.astimezone(zone).date(), zone, seed), zone).items():
                path = draft / "sheets" / name
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(content)
            draft.replace(folder)
        except BaseException:
            _remove(draft)
            raise
    except FileExistsError as error:
        raise UsageError(f"{draft} is left over from an earlier try; remove it first") from error
    except OSError as error:
        raise NotSaved(f"The demo was not written to {folder} ({error.strerror}); nothing is left of it") from error


def sheets(logbook: list[Written], zone: ZoneInfo) -> dict[str, bytes]:
    """The day sheets by their names: one for each desk on each day it wrote."""
    content: dict[str, list[bytes]] = {}
    for (desk, moment), save in groupby(logbook, key=lambda one: (one.desk, one.entry.written or one.entry.at)):
        day = moment.astimezone(zone).date()
        together = list(save)
        content.setdefault(f"{day:%Y}/{day:%Y-%m-%d}.{desk}.jsonl", []).extend(
            rows.line_of(one.entry, more)
            for more, one in zip(range(len(together) - 1, -1, -1), together, strict=True)
        )
    return {name: b"\n".join(lines) + b"\n" for name, lines in content.items()}


def settings(zone: ZoneInfo) -> str:
    """The colony.toml of the room."""
    keepers = "\n".join(f'{initials} = "{name}"' for initials, name in KEEPERS.items())
    return f"""\
# The demo colony. Nobody and nothing in it exists.

name = "{ROOM_NAME}"
time_zone = "{zone.key}"
currency = "AUD"

# The desks that write in this colony.
desks = ["{RACK_LAPTOP}", "{BENCH}"]

[keepers]
{keepers}

# The vet who treats the room's animals.
[vet]
name = "Dr Quoll"
phone = "08 5550 1234"

[traits]
hypo = "recessive"
leatherback = "incomplete dominant, two copies scaleless"

# From left to right, each from the top down.
[racks]
A = ["A1", "A2", "A3", "A4", "A5", "A6", "A7"]
B = ["B1", "B2", "B3", "B4", "B5", "B6", "B7"]
C = ["C1", "C2", "C3", "C4", "C5", "C6", "C7"]
D = ["D1", "D2", "D3", "D4", "D5", "D6", "D7"]
E = ["E1", "E2", "E3", "E4", "E5", "E6", "E7"]
tubs = ["T1", "T2", "T3", "T4", "", "", "Q1"]
warm = ["L1", "L2", "L3", "L4", "Y1", "Y2", "Y3"]
incubator = [["S1", "S2"], ["K1", "K2"], ["K3", "K5"], ["K4", "K6"], ["", "K7"], ["", "K8"]]

# What a head gets at one feeding is the house rule, unless it stands here.
[supplies.roaches]
use = "insects"
hatchling = 0
young = 0

[supplies.crickets]
use = "insects"
hatchling = 0
young = 0

[supplies.small-crickets]
use = "insects"
adult = 0
older = 0

[supplies.locusts]
use = "insects"
hatchling = 0
young = 0
adult = 8

[supplies.calcium]
use = "dust"
unit = "g"

[supplies.vermiculite]
use = "medium"
unit = "g"
"""


def _story(story: list[Told], end: date, homes: Homes, times: Timetable, weights: Weights) -> Iterator[Line]:
    boxes = Boxes(story)
    for number, line in enumerate(story):
        fields = fields_of(line, end)
        if line.kind == "egg_box_weighed" and "loss" in line.telling:
            fields |= boxes.weighed(line.members.get("clutch", line.about), line.day)
        if line.kind == "weighed" and "grams" not in line.members:
            fields["grams"] = weights.grams(line.about, line.day)
        minute = line.minute
        second = minute * 60 if minute is not None else times.at(homes.stop(line), line.day, line.when)
        late = late_of(line) or ((OPENED, 12 * 3600 + 9 * number) if line.day < OPENED else None)
        ids = tuple((name, line.telling[name]) for name in ("replaces", "instead") if name in line.telling)
        desk = BENCH if minute is not None or line.day < OPENED else RACK_LAPTOP
        yield Line(line.day, second, kind_of(line), line.about, fields, late, desk, line.telling.get("as", ""), ids)


def _remove(folder: Path) -> None:
    import shutil

    shutil.rmtree(folder, ignore_errors=True)
