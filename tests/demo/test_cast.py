"""Who lives in the demo: every step between a mating and the vet is alive in somebody, on any day."""

from __future__ import annotations

from datetime import date, datetime, time
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from demo_colony import write
from demo_colony.people import ZONE
from rounds.desk.colony_file import load
from rounds.due.lines import lines_at
from rounds.due.matter import Matter
from rounds.due.reckon import matters
from rounds.due.walk import Walk
from rounds.logbook.times import on_wall
from rounds.rules.settings import Settings
from rounds.standing.enclosure import enclosure
from rounds.standing.female import female, females_here
from rounds.standing.fold import Standing, fold
from tests.conftest import examples

NO_HINDRANCE = ("climate", "lamp")
END = on_wall(date(2026, 4, 12), time(8), ZONE)

CAST = """
vet now  laying stopped          animal/pimelea
vet now  danger sign             animal/mulga
vet      laying stopped          animal/melaleuca
vet      digging without eggs    animal/kunzea
vet      digging without eggs    animal/hibbertia
vet      signs add up            animal/dianella
vet      heavy after laying      animal/saltbush
today    egg check overdue       animal/grevillea
today    digging without eggs    animal/lomandra
today    no lay box              animal/wattle
today    unknown digger          enclosure/t2
today    weight loss             animal/belah
today    refused food            animal/nardoo
today    should not be together  animal/fern
today    deaths in group         group/hatch-2
today    eggs left behind        clutch/emubush-2
today    eggs were too hot       enclosure/s2
today    egg box dries fast      enclosure/k4
watch    hatching late           clutch/clematis-2
watch    eggs left behind        clutch/senna-3
watch    eggs left behind        clutch/tussock-2
watch    eggs not boxed          clutch/tussock-3
watch    falls behind            group/hatch-1
watch    runs out                supply/locusts
watch    overdue to lay          animal/hakea
watch    digging without eggs    animal/hovea
watch    lay box not ready       animal/banksia
watch    lay box not ready       animal/correa
watch    lay box not ready       animal/hakea
watch    looks thin              animal/belah
watch    climate out of range    enclosure/d5
watch    climate not read        room
watch    lamp due                room
"""


@pytest.fixture(scope="module")
def room(tmp_path_factory: pytest.TempPathFactory) -> Settings:
    folder = tmp_path_factory.mktemp("room")
    (Path(folder) / "colony.toml").write_text(write.settings(ZONE))
    return load(folder)


@pytest.fixture(scope="module")
def standing() -> Standing:
    return fold(write.entries(END))


def told(found: tuple[Matter, ...]) -> set[tuple[str, str, str]]:
    return {(matter.level.word, matter.rule, matter.about) for matter in found}


def cast() -> set[tuple[str, str, str]]:
    rows = [line for line in CAST.splitlines() if line]
    return {(row[:9].strip(), row[9:33].strip(), row[33:].strip()) for row in rows}


@given(st.dates(date(2010, 1, 1), date(2060, 12, 31)))
@example(date(2024, 2, 29))
@example(date(2026, 4, 5))  # the clocks go back in Adelaide, and all hours since are one more
@example(date(2026, 10, 5))  # they went forward on the day before
@example(date(2027, 1, 1))
@settings(max_examples=examples(2), deadline=None)
def test_on_any_morning_the_promised_matters_stand_and_no_others(room: Settings, day: date) -> None:
    now = on_wall(day, time(8), ZONE)
    assert told(matters(fold(write.entries(now)), room.house, now)) == cast()


@pytest.mark.parametrize(
    ("clock", "pimelea", "melaleuca"),
    [("05:00", "vet", "vet"), ("06:36", "vet now", "vet"), ("23:41", "vet now", "vet now")],
)
def test_the_deadlines_run_while_the_day_goes_on(
    room: Settings, standing: Standing, clock: str, pimelea: str, melaleuca: str
) -> None:
    now = on_wall(END.date(), time.fromisoformat(clock), ZONE)
    found = {
        matter.about: matter for matter in matters(standing, room.house, now) if matter.rule == "laying stopped"
    }
    assert found["animal/pimelea"].level.word == pimelea
    assert found["animal/melaleuca"].level.word == melaleuca


def test_the_morning_keeper_finds_vet_matters_to_acknowledge_and_one_that_was(
    room: Settings, standing: Standing
) -> None:
    found = matters(standing, room.house, END)
    unread = {matter.about for matter in found if matter.needs_acknowledging}
    assert unread == {
        "animal/pimelea",
        "animal/melaleuca",
        "animal/kunzea",
        "animal/dianella",
        "animal/saltbush",
    }
    read = {matter.about: matter.acknowledged.by for matter in found if matter.acknowledged}
    assert read == {"animal/mulga": "EM", "animal/hibbertia": "AK"}


def test_one_matter_was_put_off_with_a_reason(room: Settings, standing: Standing) -> None:
    (matter,) = [one for one in matters(standing, room.house, END) if one.put_off]
    assert (matter.rule, matter.about) == ("looks thin", "animal/belah")
    assert matter.put_off is not None
    assert matter.put_off.until == date(2026, 4, 16)


def test_the_unknown_digger_may_be_any_of_three_the_likeliest_first(room: Settings, standing: Standing) -> None:
    assert set(standing.living_in("enclosure/t2")) == {"animal/boronia", "animal/correa", "animal/hakea"}
    (matter,) = [one for one in matters(standing, room.house, END) if one.rule == "unknown digger"]
    assert matter.says.index("Correa") < matter.says.index("Hakea") < matter.says.index("Boronia")


def test_one_tub_only_was_not_read(room: Settings, standing: Standing) -> None:
    (matter,) = [one for one in matters(standing, room.house, END) if one.rule == "climate not read"]
    assert {entry.about for entry in matter.entries} == {"enclosure/e4"}


def test_every_phase_of_the_breeding_year_is_there(room: Settings, standing: Standing) -> None:
    females = females_here(standing, room.house.breeding_days)
    phases = {her.subject.partition("/")[2]: her.phase(END) for her in females}
    told = {
        "zamia": "resting",
        "myrtle": "with male",
        "banksia": "mated",
        "correa": "gravid",
        "wattle": "nesting",
        "hovea": "in lay box",
        "melaleuca": "laying",
        "kurrajong": "laid",
    }
    assert {name: phases[name] for name in told} == told


def test_her_eggs_were_boxed_and_she_has_lost_the_weight_of_them(room: Settings, standing: Standing) -> None:
    kurrajong = female(standing, "animal/kurrajong", room.house.breeding_days)
    assert kurrajong.last_complete is not None
    assert (kurrajong.last_complete.count, kurrajong.last_complete.slugs) == (20, 1)
    assert kurrajong.last_complete.boxed is not None
    assert kurrajong.last_complete.boxed.place == "enclosure/s1"
    before, after = [entry.grams for entry in kurrajong.animal.weights][-2:]
    assert after < before * 0.9


def test_most_stops_of_the_morning_are_plain(room: Settings, standing: Standing) -> None:
    walk = Walk(standing, room, END, "morning")
    assert walk.progress == (0, 57)
    lived_in = [stop for stop in walk.order if enclosure(standing, stop).living]
    lines = {stop: lines_at(standing, room.house, END, stop, "morning") for stop in lived_in}
    # A climate or a lamp does not hold Enter up.
    held_up = {
        stop for stop in lived_in for line in lines[stop] if not line.plain and line.care not in NO_HINDRANCE
    }
    plain = [stop for stop in lived_in if stop not in held_up]
    assert len(plain) > len(lived_in) / 2
    assert not [stop for stop in lived_in if not lines[stop]]


def test_nobody_lives_outside_the_walk(room: Settings, standing: Standing) -> None:
    assert Walk(standing, room, END, "morning").no_place == ()


def test_the_evening_after_the_same_matters_are_open(room: Settings, standing: Standing) -> None:
    evening: datetime = on_wall(END.date(), time(18), ZONE)
    assert {about for _, _, about in told(matters(standing, room.house, evening))} == {
        about for _, _, about in cast()
    }
