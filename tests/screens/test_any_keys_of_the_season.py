"""Whatever is pressed on the screens of the season: nothing breaks, and a key that is held writes once at most."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from random import Random

import pytest

from rounds.desk.desk import Desk
from rounds.desk.last_try import Asked
from rounds.logbook.entries import Entry
from rounds.screens.app import RoundsApp
from rounds.screens.prompts.choices import Choice
from rounds.screens.screen import RoundScreen
from tests.screens.rack import colony, opened
from tests.screens.test_any_keys import ENDS, OTHERS, PASTES, REGISTER

KEYS_A_RUN = 40
HELD = ("enter", "space", "t", "c", "g", "w", "1", "f2")
VIEWS = "spiyufr"
SIZES = ((80, 24), (120, 40), (20, 5), (79, 23), (300, 100), (1, 1), (45, 12))
SEASON = """
    2026-02-01 AK
    08:00  t1       enclosure_set_up  name=T1 what="open tub" rack=T
    08:00  b1       enclosure_set_up  name=B1 rack=B
    08:00  b2       enclosure_set_up  name=B2 rack=B
    08:00  l1       enclosure_set_up  name=L1 what="lay box"
    08:00  s1       enclosure_set_up  name=S1 what="incubator shelf"
    08:00  k1       enclosure_set_up  name=K1 what="egg box"
    08:10  sedge    arrived  name=Sedge sex=F place=t1 hatched=2023-06-01
    08:10  fern     arrived  name=Fern sex=F place=t1 hatched=2023-06-01
    08:10  karri    arrived  name=Karri sex=M place=b1 hatched=2022-03-01
    08:20  sedge    weighed  grams=400
    08:30  k1       egg_box_made_up  medium=vermiculite tare_grams=95 dry_grams=120 water_grams=120 ratio=1 shelf=s1
    09:00  fern     mating_seen  sire=karri
    09:10  sedge    put_together  mate=karri
    09:30  room     noted  note="start"
    2026-02-10 AK
    09:00  sedge    eggs_laid  clutch=sedge-2026-1 count=14
    09:30  clutch/sedge-2026-1  eggs_boxed  place=k1 count=14
    10:00  s1       climate_logged  minutes=0,30,60 air_c=29,29.5,33
    11:00  supply/locusts  stock_counted  name=Locusts amount=200
    12:00  group/hatch-1   arrived  name="Hatch 1" count=12 place=b2 hatched=2026-01-20
"""


@pytest.mark.parametrize("page", ["", SEASON], ids=["empty", "season"])
@pytest.mark.parametrize("view", VIEWS)
async def test_no_keys_break_a_screen_of_the_season(
    view: str, page: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    draw = Random(view)
    folder = colony(tmp_path / "colony", page)
    monkeypatch.setattr(RoundsApp, "action_leave", lambda _app: None)
    pressed: list[str] = []
    async with opened(folder, "2026-03-19 07:00", keeper="AK") as rack:
        await rack.press("v", view)
        for number in range(KEYS_A_RUN if page else KEYS_A_RUN // 4):
            kind = draw.random()
            ask = rack.app.screen.ask if isinstance(rack.app.screen, RoundScreen) else None
            if isinstance(ask, Choice) and kind < 0.6:
                keys = [draw.choice(ask.options).key]
            elif ask is not None and kind < 0.6:
                keys = [draw.choice(["enter", "enter", "y", "y", "1", "2", "f2"])]
            elif kind < 0.6:
                keys = [draw.choice(REGISTER)]
            elif kind < 0.75:
                keys = [draw.choice(OTHERS)]
            elif kind < 0.9:
                keys = [draw.choice(ENDS)]
            else:
                keys = ["escape", "escape", "v", draw.choice(VIEWS)]
            pressed += keys
            await rack.burst(*keys)
            rack.clock.forward(seconds=draw.choice([0, 2, 2, 60]))
            if number % 13 == 0:
                size = draw.choice(SIZES)
                pressed.append(f"resize {size}")
                await rack.pilot.resize_terminal(*size)
            if number % 29 == 0:
                await rack.paste(draw.choice(PASTES))
            assert rack.app._exception is None, f"{view}: {' '.join(pressed)}"


@pytest.mark.parametrize("view", VIEWS)
async def test_a_key_held_on_a_screen_of_the_season_does_one_thing(
    view: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = colony(tmp_path / "colony", SEASON)
    monkeypatch.setattr(RoundsApp, "action_leave", lambda _app: None)
    saves: list[int] = []
    save = Desk._save

    def noting(desk: Desk, asked: Asked, sign: Callable[[], list[Entry]]) -> tuple[Entry, ...]:
        saved = save(desk, asked, sign)
        saves.append(len(saved))
        return saved

    monkeypatch.setattr(Desk, "_save", noting)
    async with opened(folder, "2026-03-19 07:00", keeper="AK") as rack:
        for key in HELD:
            for _ in range(5):
                await rack.burst("escape")
            rack.clock.forward(seconds=2)
            await rack.press("v", view)
            saves.clear()
            rack.clock.forward(seconds=2)
            await rack.hold(key, 12)
            assert len(saves) <= 1, f"{view}: {key} held wrote {len(saves)} times"
            assert rack.app._exception is None, f"{view}: {key}"
