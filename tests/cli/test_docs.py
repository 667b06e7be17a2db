"""The docs name every command, option, exit code, entry kind and JSON member, and none that is not there."""

from __future__ import annotations

import argparse
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from rounds import cli, errors, folders
from rounds.cli.parser import COMMANDS, parser
from rounds.desk.missing import Missing
from rounds.logbook.entries import KINDS, Noted
from rounds.paper.entry_kinds import SHARED, entries_page, own_members
from rounds.paper.season import BEFORE, WEEKS
from tests.cli.conftest import Door
from tests.notation import at

DOCS = Path(__file__).parents[2] / "docs"
COMMANDS_PAGE = (DOCS / "commands.md").read_text(encoding="utf-8")
LOGGER = str(Path(__file__).with_name("logger.csv"))
JSON_PAGE = (DOCS / "json.md").read_text(encoding="utf-8")


def part(page: str, heading: str) -> str:
    """What stands under a heading."""
    return page.partition(f"\n## {heading}\n")[2].partition("\n## ")[0]


def options(command: argparse.ArgumentParser) -> set[str]:
    """The long options of a command."""
    return {
        name
        for action in command._actions
        for name in action.option_strings
        if name.startswith("--") and name != "--help"
    }


def test_every_command_and_option_is_told_and_no_other() -> None:
    top, each = parser()
    shared = set(re.findall(r"^- `(--[a-z-]+)", part(COMMANDS_PAGE, "For every command"), re.MULTILINE)) - {
        "--help"
    }
    assert options(top) == shared | {"--version"}
    for name, command in each.items():
        told = part(COMMANDS_PAGE, name)
        assert told, f"docs/commands.md has no part “## {name}”"
        assert set(re.findall(r"^- `(--[a-z-]+)", told, re.MULTILINE)) == options(command) - shared, name
    assert re.findall(r"^## ([a-z-]+)$", COMMANDS_PAGE, re.MULTILINE) == list(COMMANDS)


def test_the_weeks_that_a_season_has_where_none_are_asked_for_are_those_told() -> None:
    helps = {one.dest: str(one.help) for one in parser()[1]["season"]._actions}
    told = part(COMMANDS_PAGE, "season")
    assert f"(else {WEEKS};" in helps["weeks"]
    assert f"(else {WEEKS})" in told
    assert f"(else {BEFORE} weeks ago)" in helps["begins"]
    assert f"(else {BEFORE} weeks ago)" in told


@pytest.mark.parametrize("name", ["how-to", "json", "commands", "sheets", "trust"])
def test_no_page_written_by_hand_says_a_thing_twice_in_one_part(name: str) -> None:
    for told in (DOCS / f"{name}.md").read_text(encoding="utf-8").split("\n## "):
        beginnings = [line[:40] for line in told.splitlines() if len(line) >= 40 and line[0] not in "|#"]
        assert [one for one in set(beginnings) if beginnings.count(one) > 1] == []


def test_every_exit_code_is_told() -> None:
    told = {int(code) for code in re.findall(r"^\| (\d+) \|", COMMANDS_PAGE, re.MULTILINE)}
    raised = {
        one.exit_code
        for one in vars(errors).values()
        if isinstance(one, type) and issubclass(one, errors.RoundsError)
    }
    assert told == {0, *raised, cli.FOUND, cli.UNEXPECTED, cli.NO_OUTPUT, cli.INTERRUPTED, cli.BROKEN_PIPE}


def test_every_kind_and_member_stands_on_the_page_of_the_entries() -> None:
    page = entries_page()
    for name, kind in KINDS.items():
        told = " ".join(part(page, name).split())
        assert told, name
        for one in own_members(kind):
            assert f" - `{one.name}`: " in told
            assert all(word in told for word in one.words)
    for member in SHARED:
        assert f"\n- `{member}`: " in page


LEVELS = ("watch", "today", "vet", "vet now")


def names(value: Any) -> Iterator[str]:
    """Every member name in a JSON document, entries left out: they have a page of their own."""
    if isinstance(value, list):
        for one in value:
            yield from names(one)
    elif isinstance(value, dict) and "kind" not in value:
        for name, inner in value.items():
            if not (name in LEVELS and isinstance(inner, int)):  # how many of each level
                yield name
            yield from names(inner)


CALLS: dict[str, list[tuple[str, ...]]] = {
    "today": [("today",)],
    "matters": [("matters", "--all")],
    "females": [("females",), ("females", "--about", "wattle")],
    "pairing": [("pairing",), ("pairing", "wattle"), ("pairing", "nell", "karri")],
    "boxes": [("boxes",), ("boxes", "K1"), ("boxes", "--dry", "120", "--scale", "183.4")],
    "room": [("room",)],
    "season": [("season", "--weeks", "30")],
    "young": [("young",)],
    "record": [("record", "young", "--count", "2"), ("record", "sedge")],
    "stock": [("stock",)],
    "hand-over": [("hand-over",)],
    "supplies": [("supplies",)],
    "fortnight": [("fortnight",)],
    "log": [("log", "weighed", "wattle", "grams=452", "--dry-run")],
    "logger": [("logger", "B4", LOGGER)],
    "incubator": [("incubator",)],
    "show": [
        ("show", "wattle"),
        ("show", "sedge"),
        ("show", "B3"),
        ("show", "K1"),
        ("show", "wattle-2026-1"),
        ("show", "young"),
        ("show", "locusts"),
        ("show", "room"),
    ],
    "fit": [("fit",), ("fit", "wattle")],
    "referral": [("referral", "wattle")],
    "find": [("find", "weighed", "grams<600", "by", "AK", "since", "yesterday"), ("find", "B3", "note", "dusty")],
    "check": [("check",), ("check", "--repair")],
}
#: Commands that show nothing of a colony.
SHOWING_NOTHING = {"open", "demo", "new", "help"}


def test_a_call_of_every_command_that_shows_something_is_held_against_the_page_of_the_json() -> None:
    assert set(COMMANDS) - SHOWING_NOTHING == set(CALLS), "a new command wants a call of it in CALLS"


@pytest.fixture
def busy(room: Door) -> Door:
    """A room in which something of everything has happened."""
    for words in (
        ("mating_seen", "wattle", "sire=karri", "--at", "2026-03-10T09:00"),
        ("behaviour_seen", "wattle", "behaviour=nest digging"),
        ("weighed", "wattle", "grams=470"),
        ("egg_check_done", "wattle", "present=digging", "absent=tremor"),
        ("ate", "wattle", "how=well"),
        ("condition_seen", "wattle", "look=bright"),
        ("referred", "wattle"),
        ("eggs_laid", "wattle", "count=4"),
        ("enclosure_set_up", "K1", "what=egg box"),
        ("egg_box_made_up", "K1", "medium=vermiculite", "tare_grams=90", "dry_grams=100", "ratio=1"),
        ("eggs_boxed", "wattle-2026-1", "count=2", "place=K1"),
        ("eggs_boxed", "wattle-2026-1", "count=2", "place=B4", "--sure"),
        ("egg_box_weighed", "K1", "grams=280"),
        ("arrived", "young", "name=Young", "count=4", "place=B4"),
        ("eggs_boxed", "wattle-2026-1", "count=4", "place=B4", "--sure"),
        ("arrived", "young", "name=Young", "count=4", "place=B4", "hatched=2026-02-01", "origin=Dubbo"),
        ("weighed", "young", "grams=3", "--at", "2026-04-02", "--sure"),
        ("weighed", "young", "grams=3.4", "--at", "2026-04-10", "--sure"),
        ("fed", "young"),
        ("ate", "young", "how=well"),
        ("measured", "young", "svl_mm=50"),
        ("shed_seen", "young", "state=clean"),
        ("tested", "young", "what=faecal test", "clear=true"),
        ("vet_seen", "young", "treatment=drops"),
        ("left", "sedge", "how=lent"),
        ("arrived", "sedge", "name=Sedge", "place=B3"),
        ("climate_read", "B3", "basking_c=47", "cool_c=24"),
        ("climate_read", "B3", "basking_c=46", "cool_c=24"),
        ("climate_read", "B4", "air_c=29", "humidity=80"),
        ("enclosure_set_up", "S1", "what=incubator shelf"),
        ("egg_box_shelved", "K1", "shelf=S1"),
        ("climate_read", "K1", "air_c=29"),
        ("cleaned", "B3"),
        ("fed", "B3", "dusted=calcium"),
        ("lamp_changed", "B3"),
        ("measured", "wattle", "svl_mm=195"),
        ("vet_called", "wattle"),
        ("treatment_given", "wattle"),
        ("stop_walked", "B3", "walk=evening", "day=2026-04-12"),
        ("left_out", "sedge", "care=weigh", "reason=shedding"),
        ("arrived", "mulga", "name=Mulga"),
        ("arrived", "nell", "name=Nell", "sex=F", "sire=karri", "traits=leatherback,rainbow"),
        ("stock_counted", "locusts", "amount=800", "--at", "2026-04-02T09:00"),
        ("stock_in", "locusts", "amount=100", "--at", "2026-04-03T09:00"),
        ("stock_counted", "locusts", "amount=10"),
        ("appointment_made", "wattle", "on=2026-04-12", "clock=10:30", "whom=the vet"),
        ("eggs_laid", "sedge", "count=20", "complete=true", "--sure"),
        ("put_together", "sedge", "mate=karri", "--sure"),
        ("condition_seen", "nell", "signs=prolapse"),
    ):
        room.well("log", *words)
    male = {
        "kind": "egg_check_done",
        "about": "animal/karri",
        "id": "k1",
        "by": "AK",
        "at": "2026-04-12T17:00:00+02:00",
    }
    room.well("log", "-", stdin=json.dumps(male))
    sheet = max(room.folder.rglob("*.jsonl"))
    sheet.with_name("2026-04-10.bench-aaaa.jsonl").write_bytes(b"not an entry\n")
    gone = Noted(id="n1", at=at("2026-04-12 17:00"), by="AK", about="room", note="on no sheet any more")
    Missing(folders.state(), room.folder).note([gone], {"sheets/2026/2026-04-12.bench-aaaa.jsonl": 1})
    return room


@pytest.mark.parametrize("command", CALLS)
def test_every_member_of_the_json_is_told_and_no_other(busy: Door, command: str) -> None:
    shared = part(JSON_PAGE, "Parts that several commands share")
    own = part(JSON_PAGE, command)
    told_here, told_shared = (set(re.findall(r"`([a-z_]+)`", text)) for text in (own, shared))
    found: set[str] = set()
    for words in CALLS[command]:
        said = busy(*words, "--json")
        assert said.code in (0, 1), said.err
        document = said.json
        assert document.pop("format") == 1
        found |= set(names(document))
    assert found - told_here - told_shared == set()
    assert told_here - found - {"wrong", "doubt", "said", "places"} == set()
