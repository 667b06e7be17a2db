"""Random pages of a logbook for Hypothesis: lines that keepers might write, in any order, at any time."""

from __future__ import annotations

import shlex
from datetime import timedelta
from typing import Final

from hypothesis import strategies as st

from rounds.logbook import plain
from rounds.logbook.entries import Entry
from rounds.logbook.times import fixed
from rounds.logbook.words import BEHAVIOURS, SIGNS
from tests.notation import VIENNA, at

#: The first moment of a random page; what follows lies within the days after it.
START: Final = at("2026-03-01 00:00")
DAYS: Final = 150

#: Everybody may be anybody: sexes and ages known, wrong, or left open.
OPENING: Final = (
    "b3 enclosure_set_up name=B3",
    "b4 enclosure_set_up name=B4",
    'l1 enclosure_set_up name=L1 what="lay box"',
    's1 enclosure_set_up name=S1 what="incubator shelf"',
    "wattle arrived name=Wattle sex=F hatched=2023-03-01 place=b3 traits=leatherback",
    "sedge arrived name=Sedge sex=F place=b3",
    "karri arrived name=Karri sex=M hatched=2022-03-01 place=b4 traits=leatherback",
    "pup arrived name=Pup place=b3",
    "group/hatch arrived name=Hatch count=9 hatched=2026-02-20 place=b4",
)
_WHO: Final = ("wattle", "sedge", "karri", "pup")
_EACH: Final = (
    "weighed grams=300",
    "weighed grams=350",
    "weighed grams=400",
    "weighed grams=420",
    "weighed grams=480",
    "ate how=refused",
    "ate how=well",
    "fed",
    "condition_seen look=dull",
    "condition_seen look=bright",
    "condition_seen body=thin",
    "condition_seen body=heavy",
    "droppings_seen",
    'droppings_seen look="none found"',
    'droppings_seen look="blood or mucus"',
    "shed_seen state=stuck",
    "shed_seen state=clean",
    "brumation_began",
    "warm_up_began",
    "brumation_ended",
    "condition_seen body=good",
    "traits_settled shows=leatherback how=seen",
    "traits_settled possible=leatherback",
    "referred to=vet why=eggs appointment=2026-04-20",
    "vet_seen instructions=rest under_treatment_until=2026-05-20",
    "vet_seen carrying=false",
    "vet_seen carrying=true",
    "treatment_given what=drops",
    "treatment_ended",
    "vet_called said=wait again=2026-05-02",
    'tested what="faecal test" clear=true',
    "quarantine_ended",
    "moved to=b3",
    "moved to=b4",
    "moved to=l1",
    "moved to=nowhere",
    "left how=lent",
    "died",
    "arrived name=Back place=b4 quarantine=true",
    "sex_settled sex=F",
    "sex_settled sex=M",
    "sex_settled sex=?",
    "mating_seen",
    "mating_seen sire=karri",
    "put_together mate=karri",
    "parted",
    "felt_for_eggs found=eggs",
    "felt_for_eggs found=none",
    "felt_for_eggs found=unsure",
    "lay_box_in depth_cm=8",
    "lay_box_in box=l1",
    "lay_box_out",
    "eggs_laid clutch=one count=4",
    "eggs_laid clutch=one count=12 complete=true",
    "eggs_laid clutch=two count=15 slugs=15 complete=true",
    "eggs_laid clutch=two count=2",
    "egg_check_done",
    'egg_check_done absent="digging,eggs felt"',
    "measured svl_mm=120",
    'noted note="as always"',
)
LINES: Final = (
    *(f"{who} {line}" for who in _WHO for line in _EACH),
    *(f'{who} behaviour_seen behaviour="{word}"' for who in _WHO for word in BEHAVIOURS),
    *(f'{who} egg_check_done present="{sign}"' for who in _WHO for sign in SIGNS),
    *(f'{who} egg_check_done absent="{sign}"' for who in _WHO for sign in SIGNS),
    *(f'{who} condition_seen signs="{sign}"' for who in (*_WHO, "group/hatch") for sign in SIGNS),
    'enclosure/b3 behaviour_seen behaviour="nest digging"',
    'enclosure/b4 behaviour_seen behaviour="trial nest"',
    "enclosure/b3 behaviour_seen behaviour=biting",
    "enclosure/b3 lay_box_in depth_cm=20",
    "enclosure/b3 lay_box_out",
    "b3 climate_read basking_c=33 cool_c=31 night_low_c=12 uv_index=9",
    "b3 climate_read basking_c=40 cool_c=24",
    "s1 climate_read air_c=33",
    "b3 lamp_changed",
    "b4 enclosure_taken_down",
    "b4 enclosure_set_up name=B4",
    "enclosure/b3 droppings_seen",
    "enclosure/b3 fed",
    "group/hatch weighed grams=4",
    "group/hatch weighed grams=5",
    "group/hatch died count=1",
    "group/hatch died count=8",
    "group/hatch left how=sold",
    "group/hatch ate how=refused",
    "one eggs_boxed count=12 place=s1",
    "one eggs_lost count=3",
    "one hatched count=5 into=hatch",
)


def entry_of(number: int, line: str, minutes: int) -> Entry:
    """The entry of a line, written so many minutes after the start."""
    about, kind, *words = shlex.split(line)
    moment = fixed(START + timedelta(minutes=minutes), VIENNA)
    return plain.entry(kind, about, words, id=f"{number:05d}", at=moment, by="AK")


@st.composite
def pages(draw: st.DrawFn) -> list[Entry]:
    """A random page, its opening mostly there."""
    opening = [line for line in OPENING if draw(st.integers(0, 9)) or line.startswith("b3")]
    body = draw(st.lists(st.tuples(st.sampled_from(LINES), st.integers(0, DAYS * 24 * 60)), max_size=45))
    lines = [*((line, 0) for line in opening), *body]
    return [entry_of(number, line, minutes) for number, (line, minutes) in enumerate(lines)]


moments = st.integers(0, DAYS * 24 * 60).map(lambda minutes: fixed(START + timedelta(minutes=minutes), VIENNA))
