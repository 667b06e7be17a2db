"""The census of a clutch: laid = slugs + removed + failed + hatched + still in + not boxed, whatever is written."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from rounds.audit import findings
from rounds.desk.adding_up import cannot_be_taken_back, without
from rounds.desk.slips import vanishing
from rounds.desk.validation import judged
from rounds.logbook.entries import Entry
from rounds.standing.census import Census, census
from rounds.standing.clutch import clutch
from rounds.standing.clutch_young import young_of
from rounds.standing.fold import Standing, fold
from tests.due.matters.found import HOUSE
from tests.notation import at, logbook, standing

EGGS = "clutch/wattle-2026-1"
ROOM = """
2026-03-01 AK
08:00 enclosure/k1 enclosure_set_up name=K1 what="egg box"
08:00 enclosure/k2 enclosure_set_up name=K2 what="egg box"
08:01 wattle arrived name=Wattle sex=F hatched=2023-03-01
2026-04-01
06:00 wattle eggs_laid clutch=clutch/wattle-2026-1 count=21 slugs=1 complete=true
"""
BOXED = "09:00 clutch/wattle-2026-1 eggs_boxed count=20 place=enclosure/k1\n"


def of(text: str) -> Census:
    return census(standing(ROOM + text), EGGS)


def refused(line: str, before: str = BOXED) -> str:
    """Why a line may not be written after what came before; empty when it may."""
    return judged(standing(ROOM + before), HOUSE, logbook(ROOM + before + line)[-1]).refused


def test_eggs_that_wait_for_a_box_are_not_boxed() -> None:
    assert of("").words == "21 laid = 1 slug + 20 not boxed"


def test_every_egg_is_told_once() -> None:
    after = BOXED + "2026-04-10\n09:00 clutch/wattle-2026-1 eggs_lost count=2 why=mould\n"
    assert of(after).words == "21 laid = 1 slug + 2 removed + 18 in"
    after += "2026-06-01\n09:00 clutch/wattle-2026-1 hatched count=15\n"
    after += "2026-06-05\n09:00 clutch/wattle-2026-1 eggs_lost count=3 how=failed\n"
    assert of(after).words == "21 laid = 1 slug + 2 removed + 3 failed + 15 hatched"
    assert of(after).adds_up


def test_eggs_lost_that_were_in_no_box_take_none_out_of_the_boxes_however_late() -> None:
    some = "09:00 clutch/wattle-2026-1 eggs_boxed count=15 place=enclosure/k1\n2026-04-10\n"
    lost = "09:00 clutch/wattle-2026-1 eggs_lost count=3"
    assert of(some + lost + "\n").words == "21 laid = 1 slug + 3 removed + 12 in + 5 not boxed"
    assert of(some + lost + " in_box=false\n").words == "21 laid = 1 slug + 2 removed + 15 in + 3 not boxed"
    assert refused(lost.replace("=3", "=7") + " in_box=false\n", some).endswith("7 cannot be lost.")
    soon = (
        "09:00 clutch/wattle-2026-1 eggs_boxed count=20 place=enclosure/k1\n10:00 clutch/wattle-2026-1 eggs_lost "
    )
    assert of(soon + "count=1\n").words == "21 laid = 1 slug + 20 in", "the slug"
    assert of(soon + "count=1 in_box=true\n").words == "21 laid = 1 slug + 1 removed + 19 in"


def test_more_young_than_eggs_left_are_refused_with_the_sum() -> None:
    before = BOXED + "2026-04-10\n09:00 clutch/wattle-2026-1 eggs_lost count=2\n"
    line = "2026-06-01\n09:00 clutch/wattle-2026-1 hatched count={}\n"
    assert refused(line.format(19), before) == (
        "Wattle 1: 21 laid = 1 slug + 2 removed + 18 in: 19 cannot hatch. Twins? Say of how many eggs. "
        "One that was taken out hatched? Correct that loss."
    )
    assert refused(line.format(18), before) == ""


def test_twins_come_out_of_fewer_eggs_and_the_sum_of_the_eggs_holds() -> None:
    twins = BOXED + "2026-06-01\n09:00 clutch/wattle-2026-1 hatched count=2 eggs=1 place=enclosure/k1\n"
    assert of(twins).words == "21 laid = 1 slug + 1 hatched + 19 in"
    assert clutch(standing(ROOM + twins), EGGS).hatched == 2, "young"
    rest = twins + "2026-06-02\n09:00 clutch/wattle-2026-1 hatched count=19\n"
    assert of(rest).words == "21 laid = 1 slug + 20 hatched"
    assert refused("2026-06-03\n09:00 clutch/wattle-2026-1 hatched count=1\n", rest) != ""
    assert refused("2026-06-03\n09:00 clutch/wattle-2026-1 hatched count=1 eggs=0\n", rest) == "", (
        "a twin found late"
    )
    assert refused("2026-06-03\n09:00 clutch/wattle-2026-1 hatched count=1 eggs=2\n", twins).endswith(
        "1 young cannot come out of 2 eggs. What failed is written as failed."
    )
    young = rest + "10:00 group/h arrived name=H count=21 clutch=clutch/wattle-2026-1\n"
    assert young_of(standing(ROOM + young), EGGS).says == "21 hatched = 21 alive"
    assert not [one.sentence for one in findings(logbook(ROOM + young)) if "hatched" in one.sentence]


def test_more_boxed_lost_or_fewer_laid_are_refused_too() -> None:
    assert refused("10:00 clutch/wattle-2026-1 eggs_boxed count=22 place=enclosure/k2\n", "").endswith(
        "21 laid = 1 slug + 20 not boxed: 22 cannot be boxed."
    )
    assert refused("10:00 clutch/wattle-2026-1 eggs_lost count=22\n").endswith("22 cannot be lost.")
    assert refused("10:00 wattle eggs_laid clutch=clutch/wattle-2026-1 count=19\n").endswith("19 laid cannot be.")
    assert refused("10:00 wattle eggs_laid clutch=clutch/wattle-2026-1 count=20\n") == ""


def test_a_late_entry_is_counted_at_its_own_time() -> None:
    hatched = BOXED + "2026-06-01\n09:00 clutch/wattle-2026-1 hatched count=20\n"
    assert refused("2026-04-01\n20:00 clutch/wattle-2026-1 eggs_lost count=1\n", hatched) == "", "it was the slug"
    one = refused("2026-04-20\n09:00 clutch/wattle-2026-1 eggs_lost count=1\n", hatched)
    assert one == "Wattle 1: 21 laid = 1 slug + 20 hatched: 1 cannot be lost."


def test_eggs_are_not_taken_back_from_under_their_young() -> None:
    before = standing(ROOM + BOXED)
    laid = before.page(EGGS).of(type(logbook(ROOM)[-1]))
    after = without(before, laid, at("2026-04-02"))
    assert vanishing(after, laid, before) == "", "a clutch that was never counted is not held to a count"
    grown = (
        ROOM
        + "2026-04-01\n08:00 wattle eggs_laid clutch=clutch/wattle-2026-1 count=24\n"
        + BOXED.replace("20", "23").replace("2326", "2026")
    )
    before = standing(grown)
    last = before.page(EGGS).of(type(logbook(ROOM)[-1]))[-1:]
    assert "Without this entry it does not add up" in vanishing(
        without(before, last, at("2026-04-02")), last, before
    )


def test_a_clutch_that_two_desks_broke_is_told_and_not_locked() -> None:
    page = ROOM + BOXED + "2026-06-01\n09:00 clutch/wattle-2026-1 hatched count=18\n09:01 "
    page += "clutch/wattle-2026-1 hatched count=3\n"
    broken = standing(page)
    assert census(broken, EGGS).words == "21 laid, but 1 slug + 21 hatched: 1 too many"
    assert [one.sentence for one in findings(logbook(page)) if "too many" in one.sentence] == [
        "wattle-2026-1: 21 laid, but 1 slug + 21 hatched: 1 too many. Was one written twice, at two desks? "
        "Take it back, or correct a count."
    ]
    right = logbook(page + "10:00 wattle eggs_laid clutch=clutch/wattle-2026-1 count=22 slugs=1\n")[-1]
    assert judged(broken, HOUSE, right).refused == ""


# Whatever is written through the door

_LINES = (
    *(f"wattle eggs_laid clutch=clutch/wattle-2026-1 count={n} slugs={s}" for n in (4, 21, 22) for s in (0, 1, 3)),
    *(f"{EGGS} eggs_boxed count={n} place=enclosure/{p}" for n in (4, 10, 17, 20, 21) for p in ("k1", "k2")),
    f"{EGGS} eggs_boxed count=4 place=enclosure/k2 out_of=enclosure/k1",
    *(f"{EGGS} eggs_lost count={n} how={how}" for n in (1, 3, 10) for how in ("removed", "failed")),
    f"{EGGS} eggs_lost count=2 place=enclosure/k2",
    *(f"{EGGS} eggs_lost count=2 how={how} in_box=false" for how in ("removed", "failed")),
    f"{EGGS} eggs_lost count=1 in_box=true",
    *(f"{EGGS} hatched count={n}" for n in (1, 5, 18, 21)),
    f"{EGGS} hatched count=4 place=enclosure/k1",
    *(f"{EGGS} hatched count=2 eggs={n}" for n in (0, 1, 3)),
)
_Act = tuple[str, int, str]
#: A line, so many hours after the first, in any order; and what becomes of it.
_PAGE = st.lists(
    st.tuples(
        st.sampled_from(_LINES),
        st.integers(0, 90 * 24),
        st.sampled_from(["write", "write", "correct", "take back"]),
    ),
    max_size=14,
)


def _entry(number: int, line: str, hours: int, desk: str = "") -> Entry:
    day = f"2026-04-{1 + hours // 24:02d}" if hours < 30 * 24 else f"2026-0{4 + hours // 720}-{1 + hours % 28:02d}"
    entry = logbook(f"{day} AK\n{hours % 24:02d}:30 {line}")[0]
    return entry.__class__(
        **{name: getattr(entry, name) for name in entry.__struct_fields__} | {"id": f"{desk}{number:04d}"}
    )


def _through_the_door(start: Standing, page: list[_Act], desk: str = "") -> list[Entry]:
    """The entries that count in the end: each is asked about as the doors ask, some are taken back or corrected."""
    now, taken = start, list[Entry]()
    for number, (line, hours, act) in enumerate(page):
        entry = _entry(number, line, hours, desk)
        wrong = [taken[-1]] if act == "correct" and taken and taken[-1].kind == entry.kind else []
        gone = without(now, wrong, entry.at)
        if judged(now, HOUSE, entry, frozenset(one.id for one in wrong)).refused:
            continue
        if wrong and cannot_be_taken_back(now, gone.after(entry), wrong):
            continue
        now, taken = gone.after(entry), [*(one for one in taken if one not in wrong), entry]
        gone = without(now, [entry], entry.at)
        if act == "take back" and not vanishing(gone, [entry], now):
            now, taken = gone, taken[:-1]
        found = census(now, EGGS)
        assert found.adds_up, (line, found.words)
        terms = (found.slugs, found.removed, found.failed, found.hatched, found.still_in, found.not_boxed)
        assert min(terms) >= 0, found
        assert sum(terms) + found.not_accounted == found.laid, found
    return taken


@given(_PAGE)
def test_whatever_goes_through_the_door_adds_up(page: list[_Act]) -> None:
    _through_the_door(standing(ROOM), page)


@given(_PAGE, _PAGE)
def test_two_desks_may_break_it_and_a_correction_is_still_taken(mine: list[_Act], theirs: list[_Act]) -> None:
    start = logbook(ROOM)
    merged = [*start, *_through_the_door(fold(start), mine, "a"), *_through_the_door(fold(start), theirs, "b")]
    both = fold(merged)
    found = census(both, EGGS)
    told = any(one.level == "wrong" for one in findings(merged))
    assert found.adds_up or told, found.words
    assert found.adds_up == (found.over == 0)
    # What is wrong can be taken back, newest first, until it adds up.
    for entry in reversed(merged[len(start) :]):
        if census(both, EGGS).over == 0:
            break
        gone = without(both, [entry], entry.at)
        if not vanishing(gone, [entry], both):
            both = gone
    assert census(both, EGGS).over == 0
