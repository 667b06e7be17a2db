"""The room at a glance: of each enclosure the word that presses most."""

from __future__ import annotations

from rounds.due.lines import lines_at
from rounds.due.reckon import matters
from rounds.due.room import WORDS, Cell, cells, cells_before
from rounds.due.walk import Walk
from rounds.rules.default import default_house
from rounds.rules.settings import Settings
from tests.notation import VIENNA, at, standing

HOUSE = default_house(VIENNA)
SETTINGS = Settings(name="Shed", zone=VIENNA, house=HOUSE)
ROOM = """
    2026-03-01 AK
    08:00  a1      enclosure_set_up  name=A1
    08:00  a2      enclosure_set_up  name=A2
    08:00  a3      enclosure_set_up  name=A3
    08:00  a4      enclosure_set_up  name=A4
    08:10  wattle  arrived  name=Wattle sex=F place=a1 hatched=2023-02-01
    08:10  sedge   arrived  name=Sedge sex=F place=a2 hatched=2023-02-01
    08:10  karri   arrived  name=Karri sex=M place=a3 hatched=2022-02-01
    08:20  wattle  weighed  grams=450
    08:20  sedge   weighed  grams=450
    08:20  karri   weighed  grams=500
"""


def room(more: str, now: str) -> dict[str, Cell]:
    """The cells of the room, by the names on the enclosures."""
    here, moment = standing(ROOM + more), at(now)
    walk = Walk(here, SETTINGS, moment)
    found = cells(
        here, walk, lambda stop: lines_at(here, HOUSE, moment, stop, walk.part), matters(here, HOUSE, moment)
    )
    return {cell.name: cell for cell in found.values()}


def test_before_the_walk_what_is_due_is_said_and_who_is_nowhere_is_empty() -> None:
    found = room("", "2026-03-02 08:00")
    assert [cell.word for cell in found.values()][2:] == ["due", "empty"]
    assert not any(cell.walked for cell in found.values())


def test_a_danger_sign_is_vet_now_though_the_stop_was_walked() -> None:
    found = room(
        """
        08:30  wattle  mating_seen
        2026-03-20 AK
        08:00  wattle  egg_check_done  present=prolapse
        08:01  a1      stop_walked  walk=morning day=2026-03-20
        """,
        "2026-03-20 09:00",
    )
    assert (found["A1"].word, found["A1"].walked) == ("VET NOW", True)
    assert found["A1"].matters[0].danger


def test_a_stop_that_was_walked_is_done_unless_an_animal_waits_there_still() -> None:
    walked = """
        2026-03-02 AK
        08:00  a3      fed
        08:00  a3      watered scrubbed=true
        08:00  a3      cleaned
        08:01  a3      stop_walked  walk=morning day=2026-03-02
        """
    assert room(walked, "2026-03-02 09:00")["A3"].word == "done"
    still = """
        2026-03-10 AK
        08:00  wattle  mating_seen
        2026-03-30 AK
        08:01  a1      stop_walked  walk=morning day=2026-03-30
        """
    found = room(still, "2026-03-30 09:00")["A1"]
    assert found.walked
    assert found.word in ("look", "TODAY")
    assert any(line.care == "egg check" for line in found.looks) or found.matters


def test_what_was_put_off_presses_no_more() -> None:
    digs = """
        08:30  wattle  mating_seen
        2026-03-20 AK
        08:00  wattle  behaviour_seen  behaviour="nest digging"
        """
    before = room(digs, "2026-03-20 09:00")["A1"]
    assert before.word == "TODAY"
    off = "".join(
        f'08:30  {one.about}  put_off  matter="{one.key}" until=2026-03-22 reason=camera\n'
        for one in before.matters
    )
    after = room(digs + off, "2026-03-20 09:00")["A1"]
    assert after.word == "look"
    assert not after.matters


def test_before_all_is_reckoned_only_what_was_walked_is_said() -> None:
    here = standing(ROOM + "\n2026-03-02 AK\n08:01  a3  stop_walked  walk=morning day=2026-03-02\n")
    found = cells_before(here, Walk(here, SETTINGS, at("2026-03-02 09:00")))
    assert [cell.word for cell in found.values()] == ["", "", "done", ""]
    assert {cell.word for cell in found.values()} <= set(WORDS)


def test_a_shelf_is_not_empty_while_a_box_with_eggs_stands_on_it() -> None:
    shelf = """
        09:00  enclosure/s1  enclosure_set_up  name=S1 what="incubator shelf"
        09:00  enclosure/k1  enclosure_set_up  name=K1 what="egg box"
        09:01  enclosure/k1  egg_box_shelved  shelf=enclosure/s1
    """
    eggs = """
        09:02  wattle  eggs_laid  clutch=clutch/wattle-1 count=12 complete=true
        09:03  clutch/wattle-1  eggs_boxed  count=12 place=enclosure/k1
        09:04  enclosure/s1  climate_read  air_c=29 humidity=85
    """
    assert room(shelf, "2026-03-01 10:00")["S1"].word == "empty"
    assert room(shelf + eggs, "2026-03-01 10:00")["S1"].word == ""
