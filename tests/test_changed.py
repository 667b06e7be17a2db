"""A change is held against the tests that know it."""

from __future__ import annotations

from tests.changed import TOP, known_by, rooms_that_import, without_inner
from tests.rooms import ROOMS


def picked(*files: str) -> list[str]:
    return without_inner(known_by(files))


def test_every_room_has_tests_of_its_own_that_are_there() -> None:
    rooms = {path.parent.name for path in (TOP / "rounds").glob("*/__init__.py")}
    assert set(ROOMS) == rooms
    every = [test for room in ROOMS.values() for test in (*room.own, *room.also)]
    assert [test for test in every if not (TOP / test).exists()] == []


def test_a_change_in_a_room_is_held_against_that_rooms_tests_and_those_that_import_the_file() -> None:
    found = picked("rounds/due/reckon.py")
    assert "tests/due" in found
    assert "tests/desks/test_two_desks.py" in found
    assert "tests/cli" not in found


def test_a_page_of_tests_is_held_against_itself_and_what_stands_beside_tests_against_all_that_use_it() -> None:
    assert picked("tests/due/test_walk.py") == ["tests/due/test_walk.py"]
    found = picked("tests/due/stops.py")
    assert "tests/due/test_lines_feeding.py" in found
    assert "tests/paper/test_said.py" not in found
    by_way_of_laptops = picked("tests/desks/laptops.py")
    assert "tests/desks/test_clock.py" in by_way_of_laptops


def test_a_page_of_the_docs_is_held_against_the_tests_that_name_it() -> None:
    assert "tests/desks/test_trust_page.py" in picked("docs/trust.md")


def test_rooms_further_on_that_import_it_are_named() -> None:
    assert rooms_that_import(["rounds/paper/hand_over.py"]) == ["desk", "cli"]
    assert rooms_that_import(["rounds/screens/walk.py"]) == []


def test_what_a_package_hands_on_is_imported_by_those_that_import_the_package() -> None:
    rooms = rooms_that_import(["rounds/logbook/entries/care.py"])
    assert {"audit", "standing", "due", "cli", "screens"} <= set(rooms)
