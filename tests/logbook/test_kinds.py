"""An entry kind names itself where it is defined, and nowhere else."""

from __future__ import annotations

import inspect
import pkgutil
from importlib import import_module

import msgspec
import pytest

from rounds.logbook import entries, rows
from rounds.logbook.entries import KINDS, Entry
from rounds.logbook.entries.base import kind_of_name
from rounds.logbook.members import members
from rounds.paper.entry_kinds import kind_page

MODULES = [
    import_module(f"{entries.__name__}.{one.name}")
    for one in pkgutil.iter_modules(entries.__path__)
    if one.name != "base"
]
KINDS_IN_MODULES = {
    name: found
    for module in MODULES
    for name, found in inspect.getmembers(module, inspect.isclass)
    if issubclass(found, Entry) and found.__module__ == module.__name__
}


def test_every_record_of_every_module_is_a_kind_reached_from_the_package() -> None:
    assert {kind_of_name(name): kind for name, kind in KINDS_IN_MODULES.items()} == KINDS
    for name, kind in KINDS_IN_MODULES.items():
        assert getattr(entries, name) is kind


@pytest.mark.parametrize("word", sorted(KINDS))
def test_a_kind_says_of_itself_only_what_every_kind_may_say(word: str) -> None:
    """A fact spelled wrongly, or a member without its type, would be there and never be read."""
    kind = KINDS[word]
    known = {*vars(Entry), *kind.__struct_fields__, *Entry.__annotations__}
    reckoned = {name for name, value in vars(kind).items() if isinstance(value, property) or callable(value)}
    assert {name for name in vars(kind) if not name.startswith("_")} <= known | reckoned


@pytest.mark.parametrize("word", sorted(KINDS))
def test_the_mentions_of_a_kind_are_members_that_name_subjects(word: str) -> None:
    kind = KINDS[word]
    assert set(kind.mentions) <= set(rows.subject_sorts(kind))
    assert set(kind.of) <= {"animal", "group", "enclosure", "clutch", "supply", "room"}


def test_a_line_reads_back_as_the_kind_it_names_and_the_bare_entry_is_none() -> None:
    line = b'{"kind":"%s","id":"1","at":"2026-04-12T07:15:00Z","by":"AK","about":"room"}'
    assert type(rows.entry_of(line % b"fed")) is KINDS["fed"]
    with pytest.raises(msgspec.ValidationError):
        rows.entry_of(line % b"entry")


def test_a_member_is_described_as_its_type_has_it() -> None:
    grams = members(KINDS["weighed"])["grams"]
    assert (grams.sort, grams.unit, grams.above, grams.most, grams.needed) == ("figure", "g", 0, 5_000, True)
    box = members(KINDS["lay_box_in"])["box"]
    assert (box.sort, box.names, box.needed, box.default) == ("subject", "enclosure", False, None)
    signs = members(KINDS["egg_check_done"])["present"]
    assert (signs.sort, signs.many, signs.words[0], signs.default) == ("word", True, "lethargy", ())
    again = members(KINDS["vet_seen"])["weigh_days"]
    assert (again.sort, again.unit, again.least, again.most) == ("whole", "days", 1, 60)


def test_gravid_is_the_word_wherever_a_member_of_another_name_is_read() -> None:
    assert "`carrying`: gravid, as the vet found, true or false" in " ".join(kind_page("vet_seen").split())
    spoken = {
        name: one.says for kind in KINDS.values() for name, one in members(kind).items() if "carrying" in name
    }
    assert spoken == {"carrying": "gravid, as the vet found"}
