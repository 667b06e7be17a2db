"""Whatever is pressed: nothing breaks, and the sheets hold exactly what was acknowledged.

The keys are drawn with fixed seeds: a run that fails fails again, and says which keys led there.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from random import Random

import pytest

from rounds.desk.desk import Desk
from rounds.desk.last_try import Asked
from rounds.logbook.drafts import draft
from rounds.logbook.entries import BehaviourSeen, Entry, Noted
from rounds.screens.app import RoundsApp
from rounds.screens.keys.screens import BY_ID
from rounds.screens.prompts.choices import Choice
from rounds.screens.screen import RoundScreen
from tests.screens.failing_disk import failing
from tests.screens.rack import colony, on_disk, opened

KEYS_A_RUN = 400
#: After so many keys at one question, or on one screen, a keeper goes back to the walk: else most of a run may be
#: typed into one field, and the more screens there are, the less of it is written.
PATIENCE = 12
ROOM = """
    2026-03-01 AK
    08:00  t1       enclosure_set_up  name=T1 what="open tub"
    08:00  b1       enclosure_set_up  name=B1 rack=B
    08:00  b2       enclosure_set_up  name=B2 rack=B tag=QR1
    08:00  l1       enclosure_set_up  name=L1 what="lay box"
    08:00  s1       enclosure_set_up  name=S1 what="incubator shelf"
    08:10  sedge    arrived  name=Sedge sex=F place=t1 hatched=2023-06-01
    08:10  fern     arrived  name=Fern sex=F place=t1 hatched=2023-06-01
    08:10  karri    arrived  name=Karri sex=M place=b1 hatched=2022-03-01
    08:10  wattle   arrived  name=Wattle sex=F place=l1 hatched=2022-03-01
    08:10  group/hatch-1 arrived  name="Hatch 1" count=12 place=b2 hatched=2026-02-20
    08:20  sedge    weighed  grams=400
    08:20  fern     weighed  grams=410
    08:20  wattle   weighed  grams=450
    09:00  fern     mating_seen  sire=karri
    2026-03-18 EM
    17:00  wattle   eggs_laid  clutch=wattle-2026-1 count=14
    17:40  enclosure/t1  behaviour_seen  behaviour="nest digging"
    17:50  sedge    egg_check_done  present=lethargy
    18:00  room     handed_over  note="Sedge is for the vet"
"""
REGISTER = sorted({key for one in BY_ID.values() for key in one.keys.split(",")} - {"q"})
OTHERS = [
    *"abcdefghijklmnoprstuvwxyz0123456789",
    *"?!-.,:äß中",
    "ctrl+u",
    "ctrl+p",
    "tab",
    "shift+tab",
    "space",
    "home",
]
ENDS = ["enter", "enter", "backspace", "escape", "f2", "down", "up"]
PASTES = ["QR1\r", "/b1\n", "452\r", "\x1b[2J", "[bold red]x[/]", "yesterday 18:00\r", "", "\r", "\u202eabc\r"]


@pytest.mark.parametrize("seed", range(6))
async def test_no_keys_break_anything_and_the_sheets_hold_what_was_acknowledged(
    seed: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, record_figure: Callable[[str, object], None]
) -> None:
    draw = Random(seed)
    folder = colony(tmp_path / "colony", ROOM)
    acknowledged: list[Entry] = []
    save = Desk._save

    def noting(desk: Desk, asked: Asked, sign: Callable[[], list[Entry]]) -> tuple[Entry, ...]:
        saved = save(desk, asked, sign)
        acknowledged.extend(saved)
        return saved

    monkeypatch.setattr(Desk, "_save", noting)
    monkeypatch.setattr(RoundsApp, "action_leave", lambda _app: None)
    pressed: list[str] = []
    async with opened(folder, "2026-03-19 07:00", keeper="AK") as rack:
        disk = failing(rack)
        other = Desk.open(folder, clock=rack.clock, keeper="EM")
        before = {entry.id for entry in on_disk(folder)}
        try:
            at_one: tuple[object, object] = (None, None)
            since = 0
            for number in range(KEYS_A_RUN):
                kind = draw.random()
                ask = rack.app.screen.ask if isinstance(rack.app.screen, RoundScreen) else None
                if (rack.app.screen, ask) != at_one:
                    at_one, since = (rack.app.screen, ask), number
                if number - since > PATIENCE:
                    keys, since = ["escape", "w"], number
                elif isinstance(ask, Choice) and kind < 0.5:
                    keys = [draw.choice(ask.options).key]
                elif ask is not None and kind < 0.6:
                    keys = [draw.choice(["enter", "enter", "y", "y", "1", "2", "f2"])]
                elif kind < 0.55:
                    keys = [draw.choice(REGISTER)]
                elif kind < 0.75:
                    keys = [draw.choice(OTHERS)]
                elif kind < 0.95:
                    keys = [draw.choice(ENDS)]
                else:
                    keys = [draw.choice(REGISTER) for _ in range(draw.randrange(2, 6))]
                pressed += keys
                await rack.burst(*keys)
                if number % 29 == 0:
                    pasted = draw.choice(PASTES)
                    pressed.append(f"paste {pasted!r}")
                    await rack.paste(pasted)
                assert rack.app._exception is None, f"seed {seed}: {' '.join(pressed)}"
                if number % 37 == 0:
                    rack.clock.forward(hours=draw.choice([0.1, 3, 7, 20]))
                    rack.app.begin_reckoning()
                if number % 23 == 0:
                    other.record(
                        draw.choice(
                            [
                                draft(Noted, "animal/fern", note="seen"),
                                draft(BehaviourSeen, "enclosure/t1", behaviour="nest digging"),
                            ]
                        )
                    )
                    rack.app.listen()
                if number % 11 == 0:
                    disk.full = draw.random() < 0.2
                if isinstance(rack.app.screen, RoundScreen):
                    assert rack.app.screen.board.text.strip()
        finally:
            other.close()
    held = [entry for entry in on_disk(folder) if entry.id not in before]
    assert sorted(held, key=_id) == sorted(acknowledged, key=_id)
    assert sum(entry.by != "EM" for entry in held) > 5, "too few of these keys wrote anything to prove something"
    record_figure(f"keys at random, seed {seed}", f"{len(pressed)} keys, {len(held)} entries written, none lost")


def _id(entry: Entry) -> str:
    return entry.id
