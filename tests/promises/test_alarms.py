"""Promise 8: an alarm comes down only by what answers it.

A matter at vet or vet now comes down only by eggs of a believable number (not a danger sign), a vet's visit or
call, a correction of an entry, a death or a leaving. Routine keys, later days, weights, feeds, moves, referrals
and acknowledgements never bring one down, whatever they say and however late they are written.
"""

from __future__ import annotations

import shlex
from datetime import datetime, timedelta
from typing import Final

from hypothesis import example, given, settings
from hypothesis import strategies as st

from rounds.due.matter import Level, Matter
from rounds.due.reckon import matters
from rounds.logbook import plain
from rounds.logbook.entries import Entry
from rounds.logbook.times import fixed
from rounds.logbook.words import BEHAVIOURS, DANGER_SIGNS, HEALTH_SIGNS, SIGNS
from rounds.standing.fold import Standing, fold
from tests.conftest import examples
from tests.due.matters.found import HOUSE
from tests.notation import VIENNA, at

START: Final = at("2026-03-01 08:00")
#: Three who may be gravid, one of them in a tub of her own, and two males.
OPENING: Final = (
    "b3 enclosure_set_up name=B3",
    "b4 enclosure_set_up name=B4",
    'l1 enclosure_set_up name=L1 what="lay box"',
    "wattle arrived name=Wattle sex=F hatched=2023-03-01 place=b3 bred_here=true",
    "sedge arrived name=Sedge sex=F place=b3 bred_here=true",
    "fern arrived name=Fern sex=F hatched=2024-01-01 place=b4 bred_here=true",
    "karri arrived name=Karri sex=M hatched=2022-03-01 place=b4 bred_here=true",
    "pup arrived name=Pup hatched=2025-12-01 place=l1 bred_here=true",
)
_WHO: Final = ("wattle", "sedge", "fern", "karri", "pup")
_SHE: Final = ("wattle", "sedge", "fern")

#: What a keeper writes day by day. None of it is an answer.
ROUTINE: Final = (
    *(f"{who} {line}" for who in _SHE for line in (
        "egg_check_done",
        f'egg_check_done absent="{",".join(SIGNS[:10])}"',
        "felt_for_eggs found=none",
        "felt_for_eggs found=unsure",
        "mating_seen sire=karri",
        "put_together mate=karri",
        "parted",
        "lay_box_in depth_cm=20",
        "lay_box_out",
        "brumation_began",
        "brumation_ended",
        "eggs_laid clutch=CLUTCH count=COUNT",
        "eggs_laid clutch=CLUTCH count=COUNT complete=true",
    )),
    *(f"{who} {line}" for who in _WHO for line in (
        "condition_seen look=bright",
        "condition_seen look=bright body=good",
        "condition_seen look=quiet",
        "weighed grams=398",
        "weighed grams=402",
        "weighed grams=400",
        "ate how=well",
        "ate how=some",
        "fed",
        "droppings_seen",
        "referred to=vet appointment=2026-04-20",
        "referred to=vet",
        "treatment_given what=drops",
        "moved to=b3",
        "moved to=b4",
        "moved to=l1",
        "noted note=well",
        "shed_seen state=clean",
    )),
    "sedge pedigree_noted hatched=2026-01-10 sire=karri",
    "pup pedigree_noted sex=M",
    "enclosure/b3 fed",
    "enclosure/b3 watered",
    "b3 cleaned",
    "enclosure/b3 lay_box_in",
    "enclosure/b3 lay_box_out",
    "enclosure/b3 droppings_seen",
    "b3 stop_walked walk=morning day=2026-03-05",
    "b4 climate_read basking_c=40 cool_c=24",
)  # fmt: skip
#: What raises an alarm, or may.
ALARMING: Final = (
    *(f'{who} egg_check_done present="{sign}"' for who in _SHE for sign in (*SIGNS[:10],)),
    *(f'{who} condition_seen signs="{sign}"' for who in _WHO for sign in sorted(DANGER_SIGNS | HEALTH_SIGNS)),
    *(f"{who} condition_seen look=dull" for who in _WHO),
    *(f"{who} condition_seen body=heavy" for who in _SHE),
    *(
        f'{who} behaviour_seen behaviour="{what}"'
        for who in _SHE
        for what in ("nest digging", "trial nest", *BEHAVIOURS[:2])
    ),
    *(f"{who} felt_for_eggs found=eggs" for who in _SHE),
    *(f"{who} ate how=refused" for who in _WHO),
    *(f"{who} weighed grams={grams}" for who in _WHO for grams in (300, 330, 360, 445, 460, 480)),
    *(f'{who} droppings_seen look="{look}"' for who in _WHO for look in ("blood or mucus", "none found")),
    'enclosure/b3 behaviour_seen behaviour="nest digging"',
    'enclosure/b4 behaviour_seen behaviour="nest digging"',
)  # fmt: skip
ANSWERS: Final = (
    *(f"{who} vet_seen" for who in _WHO),
    *(f"{who} vet_called said=wait" for who in _WHO),
    *(f"{who} vet_seen carrying=false" for who in _SHE),
    *(f"{who} eggs_laid clutch=CLUTCH count=20 complete=true" for who in _SHE),
    "sedge left how=lent",
    "karri died",
)


class Step:
    """One line of the logbook: after how many hours, and how long before it was written it was seen."""

    def __init__(self, line: str, hours: float, ago: int) -> None:
        self.line = line
        self.hours = hours
        self.ago = ago

    def __repr__(self) -> str:
        return f"Step({self.line!r}, {self.hours}, {self.ago})"


#: Noted again within the shift: some seconds.
AGAIN: Final = 0.002
_HOURS = st.sampled_from([AGAIN, AGAIN, 1, 3, 10, 14, 24, 24, 24, 48, 72, 168, 336])
_AGO = st.sampled_from([0, 0, 0, 0, 0, 0, 5, 20, 30, 80])


def steps(lines: tuple[str, ...]) -> st.SearchStrategy[Step]:
    return st.builds(Step, st.sampled_from(lines), _HOURS, _AGO)


MOST = st.lists(st.one_of(steps(ROUTINE), steps(ROUTINE), steps(ALARMING), steps(ANSWERS)), min_size=4, max_size=40)


def entry_of(number: int, line: str, moment: datetime, written: datetime | None, eggs: dict[str, int]) -> Entry:
    """The entry of a line. Eggs of one clutch grow by two at a time, so that no count goes back."""
    about, kind, *words = shlex.split(line)
    if kind == "eggs_laid":
        clutch = f"{about}-{eggs.get(about, 0) // 1000}"
        eggs[about] = eggs.get(about, 0) + 2
        words = [word.replace("CLUTCH", clutch).replace("COUNT", str(eggs[about] % 1000)) for word in words]
        if "complete=true" in words:
            eggs[about] = (eggs[about] // 1000 + 1) * 1000
    shared = {"written": written} if written is not None and written != moment else {}
    return plain.entry(kind, about, words, id=f"{number:05d}", at=moment, by="AK", **shared)


def levels(standing: Standing, now: datetime) -> tuple[dict[str, Level], tuple[Matter, ...]]:
    """The worst level of each subject, from vet up; of a tub, also that of whoever may have been meant in it."""
    found = matters(standing, HOUSE, now)
    worst: dict[str, Level] = {}
    for matter in found:
        if matter.level >= Level.VET:
            worst[matter.about] = max(worst.get(matter.about, Level.VET), matter.level)
    return worst, found


def answered(entry: Entry, standing: Standing) -> set[str]:
    """Whose alarms an entry may bring down."""
    if entry.kind in ("vet_seen", "vet_called", "died", "left"):
        return {entry.about, *standing.places.values()}
    if entry.kind == "eggs_laid" and getattr(entry, "count", 0) >= 10:
        return {entry.about, *standing.places.values()}
    return set()


LETHARGY_THEN_CLEAR: Final = [
    Step('wattle egg_check_done present="lethargy"', 1, 0),
    Step("wattle egg_check_done", 1, 0),
]
TREMOR_THEN_ALL_LOOKED_FOR: Final = [
    Step('wattle egg_check_done present="tremor"', 1, 0),
    Step(f'wattle egg_check_done absent="{",".join(SIGNS[:10])}"', 14, 0),
    Step("wattle condition_seen look=bright", 24, 0),
]
DUG_FOR_DAYS_THEN_NOTHING: Final = [
    Step("wattle mating_seen", 1, 0),
    *[Step('wattle behaviour_seen behaviour="nest digging"', 24, 0)] * 5,
    Step("wattle egg_check_done", 72, 0),
    Step("wattle felt_for_eggs found=none", 24, 0),
    Step("fern fed", 336, 0),
]
FEW_EGGS_THEN_A_FEW_MORE_WRITTEN_LATE: Final = [
    Step("wattle eggs_laid clutch=CLUTCH count=COUNT complete=true", 25, 20),
    Step("wattle egg_check_done", 3, 0),
    Step("wattle eggs_laid clutch=CLUTCH count=COUNT", 1, 5),
]

#: Weights that came to the vet's, read again within the shift and found to be as ever.
HEAVY_THEN_READ_AGAIN: Final = [
    Step("wattle weighed grams=400", 1, 0),
    Step("wattle mating_seen sire=karri", 24, 0),
    *[Step("wattle weighed grams=460", 336, 0)] * 3,
    Step("wattle ate how=refused", 336, 0),
    *[Step("wattle weighed grams=400", AGAIN, 0)] * 3,
    *[Step("wattle weighed grams=402", 1, 0)] * 3,
]
HEAVY_AFTER_LAYING_THEN_READ_AGAIN: Final = [
    Step("sedge weighed grams=400", 1, 0),
    Step("sedge mating_seen sire=karri", 24, 0),
    *[Step("sedge eggs_laid clutch=CLUTCH count=COUNT", 72, 0)] * 9,
    Step("sedge eggs_laid clutch=CLUTCH count=COUNT complete=true", 1, 0),
    Step("sedge weighed grams=460", 1, 0),
    Step("sedge weighed grams=460", 14, 0),
    *[Step("sedge weighed grams=398", AGAIN, 0)] * 3,
    *[Step("sedge weighed grams=400", 1, 20)] * 3,
]
LOST_THEN_READ_AGAIN: Final = [
    *[Step("karri weighed grams=400", 168, 0)] * 5,
    Step("karri weighed grams=330", 168, 0),
    Step("karri weighed grams=330", 24, 0),
    *[Step("karri weighed grams=400", AGAIN, 0)] * 3,
    *[Step("karri weighed grams=398", 1, 5)] * 3,
]

#: Her next clutch by stored sperm never came, eggs were felt, and the mating before them is written late.
FELT_THEN_A_MATING_WRITTEN_LATE: Final = [
    Step("wattle eggs_laid clutch=CLUTCH count=COUNT complete=true", 1, 0),
    Step("wattle vet_seen", 1, 0),
    *[Step("wattle condition_seen look=bright", 336, 0)] * 3,
    Step("wattle felt_for_eggs found=eggs", 168, 0),
    Step("wattle mating_seen", 24, 80),
    Step("wattle felt_for_eggs found=eggs", 72, 0),
    *[Step("wattle condition_seen look=bright", 336, 0)] * 3,
]

#: Eggs were felt after enough of them, and two more came after weeks.
FELT_THEN_TWO_EGGS_AFTER_WEEKS: Final = [
    Step("sedge eggs_laid clutch=CLUTCH count=20 complete=true", 1, 0),
    Step("sedge felt_for_eggs found=eggs", 1, 0),
    Step("sedge eggs_laid clutch=CLUTCH count=COUNT", 72, 0),
    Step("sedge eggs_laid clutch=CLUTCH count=COUNT complete=true", 336, 0),
    Step("sedge eggs_laid clutch=CLUTCH count=COUNT", 336, 0),
]
#: Felt after a vet was called; two more came after days.
FELT_AFTER_A_CALL_THEN_TWO_EGGS: Final = [
    Step("sedge eggs_laid clutch=CLUTCH count=20 complete=true", 24, 0),
    Step("sedge vet_called said=wait", 24, 0),
    Step("sedge felt_for_eggs found=eggs", 168, 0),
    Step("sedge eggs_laid clutch=CLUTCH count=COUNT", 72, 0),
]

RUNS = {"pages": 0, "entries": 0, "alarms": 0}


@settings(max_examples=examples(100), deadline=None)
@given(pages=MOST)
@example(pages=LETHARGY_THEN_CLEAR)
@example(pages=TREMOR_THEN_ALL_LOOKED_FOR)
@example(pages=DUG_FOR_DAYS_THEN_NOTHING)
@example(pages=FEW_EGGS_THEN_A_FEW_MORE_WRITTEN_LATE)
@example(pages=HEAVY_THEN_READ_AGAIN)
@example(pages=HEAVY_AFTER_LAYING_THEN_READ_AGAIN)
@example(pages=LOST_THEN_READ_AGAIN)
@example(pages=FELT_THEN_A_MATING_WRITTEN_LATE)
@example(pages=FELT_THEN_TWO_EGGS_AFTER_WEEKS)
@example(pages=FELT_AFTER_A_CALL_THEN_TWO_EGGS)
def test_an_alarm_comes_down_only_by_what_answers_it(pages: list[Step]) -> None:
    now = START
    standing = fold([entry_of(number, line, now, None, {}) for number, line in enumerate(OPENING)])
    eggs: dict[str, int] = {}
    worst, found = levels(standing, now)
    RUNS["pages"] += 1
    for number, step in enumerate(pages, len(OPENING)):
        # A day gone by brings nothing down.
        for hours in (step.hours // 2, step.hours - step.hours // 2):
            now = fixed(now + timedelta(hours=hours), VIENNA)
            later, found = levels(standing, now)
            for who, level in worst.items():
                assert later.get(who, 0) >= level, f"{who} was {level.word} and came down by time alone, at {now}"
            worst = later
        seen = max(fixed(now - timedelta(hours=step.ago), VIENNA), START + timedelta(minutes=1))
        entry = entry_of(number, step.line, seen, now, eggs)
        standing = standing.after(entry)
        after, found_after = levels(standing, now)
        free = answered(entry, standing)
        # Eggs answer no danger sign: that keeps the level it had by itself.
        danger = {one.about: one.level for one in found if one.danger}
        for who, level in worst.items():
            if who in free:
                kept = danger.get(who, 0) if entry.kind == "eggs_laid" else 0
                assert after.get(who, 0) >= kept, f"{who}: a danger sign came down by eggs"
                continue
            if who.startswith("enclosure/") and after.get(who, 0) < level:
                # The days of one who was not known are those of the one who is known now.
                assert max(after.values(), default=0) >= level, f"{who} came down by {step}"
                continue
            assert after.get(who, 0) >= level, f"{who} was {level.word} and came down by {step}"
        RUNS["entries"] += 1
        RUNS["alarms"] += len(after)
        worst, found = after, found_after


def test_the_number_of_cases_is_printed() -> None:
    print(f"promise 8: {RUNS['pages']} pages, {RUNS['entries']} entries, {RUNS['alarms']} alarms held")
    assert RUNS["alarms"] > 0
