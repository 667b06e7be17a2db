"""Promise 8 at the keyboard: no routine key, in no order, brings an alarm down.

The keys are drawn with fixed seeds: a run that fails fails again, and says which keys led there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from random import Random

import pytest

from rounds.desk.desk import Desk
from rounds.desk.last_try import Asked
from rounds.due.matter import Level, Matter
from rounds.due.reckon import matters
from rounds.logbook.entries import Entry
from rounds.screens.app import RoundsApp
from rounds.screens.prompts.choices import Choice
from rounds.screens.screen import RoundScreen
from tests.conftest import examples
from tests.screens.rack import Rack, colony, opened

ROOM = """
    2026-03-01 AK
    08:00  b1      enclosure_set_up  name=B1
    08:00  b2      enclosure_set_up  name=B2
    08:00  b3      enclosure_set_up  name=B3
    08:00  t1      enclosure_set_up  name=T1 what="open tub"
    08:10  wattle  arrived  name=Wattle sex=F place=b1 hatched=2023-03-01 bred_here=true
    08:10  sedge   arrived  name=Sedge sex=F place=b2 hatched=2023-06-01 bred_here=true
    08:10  fern    arrived  name=Fern sex=F place=t1 hatched=2023-06-01 bred_here=true
    08:10  hakea   arrived  name=Hakea sex=F place=t1 hatched=2023-06-01 bred_here=true
    08:10  karri   arrived  name=Karri sex=M place=b3 hatched=2022-03-01 bred_here=true
    08:20  wattle  weighed  grams=450
    08:20  sedge   weighed  grams=400
    08:20  fern    weighed  grams=410
    08:20  hakea   weighed  grams=430
    08:20  karri   weighed  grams=510
    09:00  wattle  mating_seen  sire=karri
    09:10  sedge   mating_seen  sire=karri
    09:20  fern    mating_seen  sire=karri
    2026-03-10 AK
    08:20  fern    weighed  grams=470
    08:30  fern    felt_for_eggs  found=eggs
    2026-04-08 EM
    17:40  sedge   behaviour_seen  behaviour="nest digging"
    2026-04-12 AK
    08:20  fern    weighed  grams=480
    08:30  fern    ate  how=refused
    17:40  sedge   behaviour_seen  behaviour="nest digging"
    2026-04-13 AK
    08:30  fern    ate  how=refused
    17:40  hakea   behaviour_seen  behaviour="nest digging"
    2026-04-14 EM
    17:40  hakea   behaviour_seen  behaviour="nest digging"
    2026-04-15 EM
    17:40  hakea   behaviour_seen  behaviour="nest digging"
    17:50  wattle  egg_check_done  present=lethargy
    17:55  karri   condition_seen  signs=tremor
"""
MORNING = "2026-04-16 07:00"
#: Who stands for the vet when the app is opened.
ALARMED = {
    "animal/wattle": Level.VET_NOW,
    "animal/karri": Level.VET_NOW,
    "animal/sedge": Level.VET,
    "animal/fern": Level.VET,
}
#: What may bring an alarm down. One more is eggs, of a count that can be believed.
ANSWERS = {"vet_seen", "vet_called", "corrected", "died", "left"}
BELIEVED_EGGS = 10
#: The keys of a morning, as often as a keeper presses them.
ROUTINE = [
    *("enter",) * 12,
    *("right", "left", "down", "up") * 3,
    *("e",) * 6,
    *("n", "y") * 3,
    *"1234567890",
    *("b", "f", "c", "l", "o", "a") * 2,
    *("backspace", "escape", "w"),
]
#: What is pressed every morning: none of it is an answer.
LOOKS = {
    "the routine egg check": ("e", "enter"),
    "looked for all, none seen": ("e", "n", "enter"),
    "the egg check and the Enters behind it": ("e", "enter", "enter", "enter", "enter"),
    "each sign looked for and not seen": ("e", *(key for sign in "1234567890" for key in (sign, sign)), "enter"),
    "none felt": ("i", "b", "f", "2", "f2"),
    "bright": ("i", "s", "c", "down", "b", "f2"),
    "a weight as usual": ("4", "5", "0", "enter", "y"),
    "ate well": ("f", "w"),
    "a climate": ("c", *"40", "enter", *"24", "enter", "enter", "enter"),
    "a lay box": ("l", "enter", "enter"),
    "left out": ("o", "1", "1", "enter"),
    "a note": ("n", *"well", "enter"),
    "the stop walked": ("enter", "enter"),
    "read": ("a", "y", "w"),
    "referred": ("i", "v", "r", "f2"),
}
SEEDS = examples(5)
PRESSES_A_RUN = 300


class Watch:
    """Looks at every save: who stood for the vet before it, and who does after it."""

    def __init__(self) -> None:
        self.pressed: list[str] = []
        self.saves = 0
        self.held = 0
        self.answered = 0
        self.fallen: list[str] = []

    def levels(self, desk: Desk) -> dict[str, tuple[Level, frozenset[str]]]:
        """The worst level of each subject from vet up, and the danger signs that stand."""
        found: dict[str, list[Matter]] = {}
        for matter in matters(desk.standing, desk.house, desk.now()):
            if matter.level >= Level.VET:
                found.setdefault(matter.about, []).append(matter)
        return {
            who: (max(one.level for one in several), frozenset(one.rule for one in several if one.danger))
            for who, several in found.items()
        }

    def compare(
        self,
        before: dict[str, tuple[Level, frozenset[str]]],
        after: dict[str, tuple[Level, frozenset[str]]],
        saved: tuple[Entry, ...] = (),
    ) -> None:
        """Note who came down without an answer."""
        free = {entry.about for entry in saved if _answers(entry)}
        for who, (level, signs) in before.items():
            if who in free:
                self.answered += 1
                continue
            now, still = after.get(who, (0, frozenset()))
            if now < level or not signs <= still:
                written = ", ".join(f"{entry.about} {entry.phrase()}" for entry in saved) or "time"
                self.fallen.append(f"{who}, {level.word}, came down by {written}: {' '.join(self.pressed)}")
            self.held += 1


def _answers(entry: Entry) -> bool:
    return entry.kind in ANSWERS or (entry.kind == "eggs_laid" and getattr(entry, "count", 0) >= BELIEVED_EGGS)


@pytest.fixture
def watch(monkeypatch: pytest.MonkeyPatch) -> Watch:
    seen = Watch()
    save = Desk._save
    last: list[dict[str, tuple[Level, frozenset[str]]]] = []

    def watched(desk: Desk, asked: Asked, sign: Callable[[], list[Entry]]) -> tuple[Entry, ...]:
        before = seen.levels(desk)
        if last:
            seen.compare(last[0], before)  # no hour gone by brings one down
        saved = save(desk, asked, sign)
        after = seen.levels(desk)
        seen.compare(before, after, saved)
        seen.saves += 1
        last[:] = [after]
        return saved

    monkeypatch.setattr(Desk, "_save", watched)
    monkeypatch.setattr(RoundsApp, "action_leave", lambda _app: None)
    return seen


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return colony(tmp_path / "colony", ROOM)


@contextmanager
def all_hold(rack: Rack, watch: Watch) -> Iterator[None]:
    """Whoever stood for the vet at the beginning stands for it at the end."""
    before = watch.levels(rack.desk)
    assert {who: level for who, (level, _) in before.items()} == ALARMED
    yield
    assert watch.fallen == []
    watch.compare(before, watch.levels(rack.desk))
    assert watch.fallen == []


@pytest.mark.parametrize("seed", range(SEEDS))
async def test_no_routine_keys_bring_an_alarm_down(
    seed: int, folder: Path, watch: Watch, record_figure: Callable[[str, object], None]
) -> None:
    draw = Random(seed)
    async with opened(folder, MORNING, keeper="AK") as rack:
        assert {who: level for who, (level, _) in watch.levels(rack.desk).items()} == ALARMED
        for number in range(PRESSES_A_RUN):
            ask = rack.app.screen.ask if isinstance(rack.app.screen, RoundScreen) else None
            if isinstance(ask, Choice) and draw.random() < 0.6:
                keys: Sequence[str] = [draw.choice(ask.options).key]
            elif draw.random() < 0.12:
                keys = (
                    "escape",
                    "escape",
                    "w",
                    *draw.choice([("right",), ("left",), ("right", "right"), ("down",)]),
                )
            elif ask is None and draw.random() < 0.4:
                keys = _gesture(draw)
            else:
                keys = [draw.choice(ROUTINE)]
            watch.pressed += keys
            await rack.press(*keys)
            assert watch.fallen == []
            if number % 20 == 19:
                hours = draw.choice([3, 10, 24])
                watch.pressed.append(f"({hours} h later)")
                rack.clock.forward(hours=hours)
                rack.app.begin_reckoning()
    assert watch.fallen == []
    assert watch.saves > 25, "too few of these keys wrote anything to prove something"
    record_figure(
        f"promise 8 by keys, seed {seed}",
        f"{len(watch.pressed)} keys, {watch.saves} saves, {watch.held} alarms held, {watch.answered} answered",
    )


def _gesture(draw: Random) -> Sequence[str]:
    """Something a keeper presses in one go: a morning's entry, an egg check with marks, or a weight."""
    kind = draw.random()
    if kind < 0.5:
        return draw.choice(list(LOOKS.values()))
    if kind < 0.8:
        marks = [draw.choice("1234567890n") for _ in range(draw.randrange(4))]
        return ["e", *marks, "enter"]
    return [*str(draw.randrange(300, 520)), "enter", "y"]


@pytest.mark.parametrize("name", LOOKS)
async def test_what_is_pressed_every_morning_brings_no_alarm_down(name: str, folder: Path, watch: Watch) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        with all_hold(rack, watch):
            for who in ("wattle", "sedge", "fern", "karri"):
                await rack.press("j", *who, "enter")
                before = watch.saves
                await rack.press(*LOOKS[name], "escape")
                if who == "wattle":
                    assert watch.saves > before, f"nothing was written:\n{await rack.text()}"
            rack.clock.forward(hours=26)


async def test_a_vet_who_was_phoned_brings_it_down_in_four_keys_from_attention(folder: Path, watch: Watch) -> None:
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("a")
        await rack.sees("> VET NOW B1 Wattle: lethargy 15 Apr 17:50.")
        rack.count()
        await rack.press("d", "k", *"wait", "f2")
        assert rack.count() == 3 + len("wait")
        assert rack.news()[-1] == "vet_called animal/wattle"
        assert set(watch.levels(rack.desk)) == set(ALARMED) - {"animal/wattle"}


async def test_what_comes_down_is_noticed(folder: Path, watch: Watch, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tests.screens.test_alarms_by_keys.ANSWERS", set())
    async with opened(folder, MORNING, keeper="AK") as rack:
        await rack.press("a", "d", "k", *"wait", "f2")
        (fallen,) = watch.fallen
        assert fallen.startswith("animal/wattle, vet now, came down by animal/wattle vet phoned")
