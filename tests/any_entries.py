"""Any entries about a small room, for promises that hold whatever was written."""

from __future__ import annotations

from datetime import timedelta
from typing import Any, Final

from hypothesis import strategies as st

from rounds.logbook.entries import KINDS, Entry
from rounds.logbook.members import Member
from rounds.logbook.members import members as described
from rounds.logbook.rows import validated
from rounds.logbook.words import BEHAVIOURS, CARES, SIGNS
from tests.notation import at

START = at("2026-01-01 00:00")
SUBJECTS: Final = {
    "animal": ("animal/wattle", "animal/karri", "animal/sedge"),
    "group": ("group/young",),
    "enclosure": ("enclosure/b3", "enclosure/c1", "enclosure/s1"),
    "clutch": ("clutch/w-1",),
    "supply": ("supply/locusts", "supply/roaches"),
    "room": ("room",),
}
_ANIMALS = st.sampled_from(SUBJECTS["animal"])
_PLACES = st.sampled_from(SUBJECTS["enclosure"])
_DAYS = st.dates(min_value=START.date() - timedelta(days=2000), max_value=START.date() + timedelta(days=60))
#: What each member of an entry may hold; members not named are left at their default.
_MEMBERS: Final[dict[str, st.SearchStrategy[Any]]] = {
    "name": st.just("Name"),
    "place": _PLACES,
    "to": _PLACES,
    "box": st.none() | _PLACES,
    "mate": _ANIMALS,
    "sire": st.none() | _ANIMALS,
    "toward": st.none() | _ANIMALS,
    "clutch": st.just("clutch/w-1"),
    "sex": st.sampled_from("FM?"),
    "hatched": st.none() | _DAYS,
    "count": st.integers(0, 30),
    "what": st.sampled_from(["tub", "lay box", "incubator shelf", "egg box"]),
    "food": st.sampled_from(["insects", "greens", "other"]),
    "dusted": st.sampled_from(["", "calcium"]),
    "extent": st.sampled_from(["spot", "full"]),
    "care": st.sampled_from(CARES),
    "reason": st.just("no time"),
    "behaviour": st.sampled_from(BEHAVIOURS),
    "grams": st.floats(1, 600),
    "look": st.none(),
    "body": st.sampled_from([None, "heavy", "thin"]),
    "found": st.sampled_from(["eggs", "none", "unsure"]),
    "present": st.lists(st.sampled_from(SIGNS), max_size=2).map(tuple),
    "complete": st.booleans(),
    "basking_c": st.none() | st.floats(10, 50),
    "cool_c": st.none() | st.floats(10, 50),
    "air_c": st.none() | st.floats(10, 50),
    "uv_index": st.none() | st.floats(0, 10),
    "under_treatment_until": st.none() | _DAYS,
    "carrying": st.sampled_from([None, True, False]),
    "until": _DAYS,
    "matter": st.just("x"),
    "state": st.just("clean"),
    "walk": st.sampled_from(["morning", "evening"]),
    "day": st.dates(min_value=START.date(), max_value=START.date() + timedelta(days=60)),
    "quarantine": st.booleans(),
    "again": st.none() | _DAYS,
    "weigh_days": st.none() | st.integers(1, 10),
    "weigh_until": st.none() | _DAYS,
    "scrubbed": st.booleans(),
}
_PER_KIND: Final[dict[str, dict[str, st.SearchStrategy[Any]]]] = {
    "left": {"how": st.just("lent"), "to": st.just("")},
    "fed": {"what": st.just("")},
    "lamp_changed": {"what": st.just("")},
    "treatment_given": {"what": st.just("")},
    "tested": {"what": st.sampled_from(["faecal test", "virus test"])},
    "sex_settled": {"how": st.just("")},
    "droppings_seen": {"look": st.just("normal")},
    "referred": {"to": st.just("")},
    "handed_over": {"to": st.just("")},
    "shed_seen": {"where": st.just("")},
    "acknowledged": {},
    "ate": {"how": st.sampled_from(["well", "refused"])},
    "climate_logged": {"air_c": st.lists(st.floats(10, 50), max_size=2).map(tuple)},
}

#: Members that are given below, each in its own way.
_GIVEN: Final = frozenset({"id", "at", "by", "about", "replaces"})


def _any_of(member: Member) -> st.SearchStrategy[Any]:
    """What a member may hold that has no values of its own above: a new kind needs no line here."""
    if member.sort == "word":
        return st.sampled_from(member.words)
    if member.sort == "subject":
        return st.sampled_from(SUBJECTS[member.names or "animal"])
    return {"day": _DAYS, "truth": st.booleans(), "whole": st.integers(1, 30), "figure": st.floats(1, 30)}.get(
        member.sort, st.just("some words")
    )


@st.composite
def entries(compose: st.DrawFn) -> list[Entry]:
    """Any entries about a small room in its first sixty days, in any order."""
    found: list[Entry] = []
    for number in range(compose(st.integers(0, 40))):
        kind = KINDS[compose(st.sampled_from(sorted(KINDS)))]
        about = compose(st.sampled_from([one for sort in kind.of for one in SUBJECTS[sort]]))
        needed = {name: _any_of(one) for name, one in described(kind).items() if one.needed and name not in _GIVEN}
        members = {**needed, **_MEMBERS, **_PER_KIND.get(_word(kind), {})}
        given_members = {name: compose(members[name]) for name in kind.__struct_fields__ if name in members}
        if "replaces" in kind.__struct_fields__:
            given_members["replaces"] = f"e{compose(st.integers(0, 40))}"
        moment = START + timedelta(minutes=compose(st.integers(0, 60 * 24 * 60)))
        found.append(validated(kind(id=f"e{number}", at=moment, by="AK", about=about, **given_members)))
    return found


def _word(kind: type[Entry]) -> str:
    return str(kind.__struct_config__.tag)
