"""Sheets may arrive shuffled, late, cut short and doubled: the standing and the matters come out the same."""

from __future__ import annotations

import random
import tempfile
from collections import defaultdict
from datetime import timedelta
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rounds.due import reckon
from rounds.logbook.entries import Entry
from rounds.sheets.store import Sheets
from tests.any_entries import START, entries
from tests.conftest import examples
from tests.desks.laptops import Clock, colony, laptop

NOW = START + timedelta(days=61)
DESKS = ("rack", "office", "shed-k3x9-2")


def written(folder: Path, found: list[Entry], chance: random.Random) -> list[Path]:
    """The entries on the sheets of some desks, in saves of one to four; the sheets."""
    saves: dict[tuple[str, int], list[list[Entry]]] = defaultdict(list)
    waiting = list(found)
    while waiting:
        many = chance.choice([1, 1, 2, 4])
        save, waiting = waiting[:many], waiting[many:]
        saves[chance.choice(DESKS), chance.randrange(4)].append(save)
    for desk in DESKS:
        sheets = Sheets(folder, desk)
        for (name, day), lines in saves.items():
            if name == desk:
                for save in lines:
                    sheets.append(save, (START + timedelta(days=day)).date())
        sheets.close()
    return sorted(folder.glob("sheets/*/*.jsonl"))


def arrivals(sheets: list[Path], chance: random.Random) -> list[tuple[Path, bytes, bool]]:
    """How the sheets come to another folder: which, how much of it, and whether under another name besides."""
    found: list[tuple[Path, bytes, bool]] = []
    for sheet in sheets:
        content = sheet.read_bytes()
        cuts = sorted(chance.randrange(len(content)) for _ in range(chance.choice([0, 0, 1, 2])))
        found += [(sheet, content[:cut], chance.random() < 0.2) for cut in cuts]
        found.append((sheet, content, chance.random() < 0.2))
    order = [sheet for sheet, _, _ in found]
    chance.shuffle(order)
    # In any order, but of one sheet the longer after the shorter: a sync program ends with the newest.
    of: dict[Path, list[tuple[Path, bytes, bool]]] = defaultdict(list)
    for arrival in found:
        of[arrival[0]].append(arrival)
    return [of[sheet].pop(0) for sheet in order]


@given(entries(), st.randoms(use_true_random=False))
@settings(
    max_examples=examples(25),
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
def test_sheets_that_arrive_shuffled_late_cut_and_doubled_give_the_same_standing_and_the_same_matters(
    found: list[Entry], chance: random.Random
) -> None:
    with tempfile.TemporaryDirectory() as place:
        here, there = colony(Path(place) / "here", ""), colony(Path(place) / "there", "")
        clock = Clock(NOW)
        sheets = written(here, found, chance)
        expected = laptop(here, clock)
        listener = laptop(there, clock, "listener")
        for number, (sheet, content, doubled) in enumerate(arrivals(sheets, chance)):
            target = there / sheet.relative_to(here)
            target.parent.mkdir(parents=True, exist_ok=True)
            draft = target.with_name(f".arriving-{number}")
            draft.write_bytes(content)
            draft.rename(target)
            if doubled:
                target.with_name(f"{target.stem} ({number}).jsonl").write_bytes(content)
            if chance.random() < 0.7:
                listener.news()
        listener.news()
        anew = laptop(there, clock, "anew")
        for desk in (listener, anew):
            assert desk.standing == expected.standing
            assert desk.standing.digest() == expected.standing.digest()
            assert dict(desk.standing.places) == dict(expected.standing.places)
            assert reckon.matters(desk.standing, desk.house, NOW) == reckon.matters(
                expected.standing, expected.house, NOW
            )
        read = [entry.id for entry in anew.sheets.read()]
        assert sorted(read) == sorted(entry.id for entry in found), "each once, and none lost"
