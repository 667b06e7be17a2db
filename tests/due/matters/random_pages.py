"""Random pages of a logbook for Hypothesis: lines that keepers might write, in any order, at any time."""

from __future__ import annotations

import shlex
from datetime import timedelta
from typing import Final

from hypothesis import strategies as st

from rounds.logbook import plain
from rounds.logbook.entries import Entry
from rounds.logbook.times import fixed
from rounds.logbook.words import BEHAVIOURS, EGG_LOOKS, SIGNS
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
    'k1 enclosure_set_up name=K1 what="egg box"',
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
    "rested",
    "rested for_good=true",
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
    "arrived name=Kin sire=karri dam=wattle",
    "arrived name=Kin clutch=one",
    "arrived name=Kin possible_sires=karri,pup dam=sedge traits='het leatherback'",
    "pedigree_noted sire=karri dam=wattle traits='66 % het leatherback'",
    "pedigree_noted name=Elsewhere possible_sires=karri,pup sex=M",
    "traits_settled shows=leatherback",
    "traits_settled possible=leatherback normal=leatherback",
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
    "eggs_laid clutch=two count=12 complete=true eggs_grams=40",
    "egg_check_done",
    'egg_check_done absent="digging,eggs felt"',
    "measured svl_mm=120",
    'noted note="as always"',
    "appointment_made on=2026-04-20 clock=10:30 whom=vet",
    "appointment_made on=2026-03-05 whom=buyer",
    "appointment_ended on=2026-04-20 how=kept",
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
    "s1 climate_read air_c=29 air_low_c=27 air_high_c=34",
    "s1 climate_logged minutes=0,60,120 air_c=29,33,29",
    "one eggs_seen signs=pipped count=1",
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
    "room appointment_made on=2026-05-02 whom=electrician",
    "supply/locusts stock_counted amount=900",
    "supply/locusts stock_counted amount=0",
    "supply/locusts stock_in amount=500",
    "supply/calcium stock_counted amount=80 unit=g",
    "supply/calcium stock_counted amount=95 unit=g",
    "enclosure/b4 fed what=locusts",
    "group/hatch left how=sold count=2 to=ann",
    "group/hatch counted count=7",
    "group/hatch counted count=9",
    "group/hatch count_settled count=6",
    "group/hatch split_off into=small count=4",
    "group/small arrived name=Small count=0 hatched=2026-02-20 place=b3 clutch=one",
    "group/small merged into=hatch count=4",
    "group/hatch merged into=small",
    "group/hatch singled_out animal=pup",
    "group/hatch weighed grams=5 number=8 smallest=2",
    "group/hatch reserved whom=ann count=2",
    "group/hatch held_back",
    "group/hatch vet_seen treatment=drops under_treatment_until=2026-05-20",
    "pup arrived name=Pup place=b3 clutch=one hatched=2026-02-20",
    "pup reserved whom=ann deposit=20 currency=AUD",
    "pup held_back why=small",
    "pup released",
    "pup left how=sold to=bo",
    "pup sex_settled sex=F certainty=likely",
    "one eggs_boxed count=12 place=s1",
    "one eggs_lost count=3",
    "one hatched count=5 into=hatch",
    *(
        f"{eggs} eggs_boxed count={count} place={place}"
        for eggs in ("one", "two")
        for count in (4, 8)
        for place in ("k1", "s1")
    ),
    "one eggs_boxed count=6 place=s1 box_grams=300 eggs_grams=20 up_marked=true",
    "one eggs_boxed count=4 place=s1 out_of=k1",
    "one eggs_lost count=2 how=failed place=k1",
    "one eggs_lost count=1 place=s1 grams=3.5",
    "one hatched count=3 place=k1",
    "k1 egg_box_made_up medium=vermiculite tare_grams=90 dry_grams=100 ratio=1 shelf=s1",
    "k1 egg_box_made_up medium=perlite target_grams=300",
    "k1 egg_box_shelved shelf=s1",
    *(f"k1 egg_box_weighed grams={grams}" for grams in (250, 300, 310, 320)),
    "k1 egg_box_weighed grams=300 added_grams=20",
    "s1 egg_box_weighed grams=290",
    "s1 egg_box_weighed grams=270 added_grams=10 clutch=one",
    *(f"{eggs} candled fertile=8 unclear=1 clear=3" for eggs in ("one", "two")),
    "one candled fertile=4 place=k1",
    "one candled up_marked=true place=s1",
    *(f"one eggs_seen signs={sign} count=2" for sign in EGG_LOOKS),
    *(f"one eggs_seen signs={sign} place=k1" for sign in EGG_LOOKS),
    "one eggs_seen",
    "one eggs_seen place=k1",
)


def entry_of(number: int, line: str, minutes: int) -> Entry:
    """The entry of a line, written so many minutes after the start."""
    about, kind, *words = shlex.split(line)
    moment = fixed(START + timedelta(minutes=minutes), VIENNA)
    return plain.entry(kind, about, words, id=f"{number:05d}", at=moment, by="AK")


@st.composite
def pages(draw: st.DrawFn, lines: tuple[str, ...] = LINES) -> list[Entry]:
    """A random page of these lines, its opening mostly there."""
    opening = [line for line in OPENING if draw(st.integers(0, 9)) or line.startswith("b3")]
    body = draw(st.lists(st.tuples(st.sampled_from(lines), st.integers(0, DAYS * 24 * 60)), max_size=45))
    whole = [*((line, 0) for line in opening), *body]
    return [entry_of(number, line, minutes) for number, (line, minutes) in enumerate(whole)]


moments = st.integers(0, DAYS * 24 * 60).map(lambda minutes: fixed(START + timedelta(minutes=minutes), VIENNA))
