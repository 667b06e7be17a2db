"""A colony opened full-screen, from the first stop until the keeper leaves; where there is none, one is begun."""

from __future__ import annotations

import sys
from pathlib import Path

from rounds import folders
from rounds.desk.desk import Clock, Desk, system_clock
from rounds.desk.machine_zone import system_zone
from rounds.desk.progress import Telling
from rounds.errors import NoColony
from rounds.screens.app import RoundsApp
from rounds.screens.board.terminal import PATIENCE
from rounds.screens.running import Report, run_to_its_end


def run(folder: Path, *, keeper: str = "", clock: Clock = system_clock, report: Report = repr) -> int:
    """Open a colony full-screen and stay until the keeper leaves; where there is none, begin one.

    `keeper` are the initials offered at the take-over; they alone put no one on shift. `report` tells of a
    fault that the app cannot end with. Raises `BadRule` for a colony.toml that cannot be used, and any fault of
    the app.
    """
    from rounds.screens.keys import key_map

    try:
        desk = _opened(folder, clock)
    except NoColony:
        from rounds.screens.begin import BeginApp

        if run_to_its_end(BeginApp(folder, system_zone()), report) is None:
            return 0
        desk = _opened(folder, clock)
    app = RoundsApp(desk, key_map.read(folders.config() / "keys.toml"), offered=keeper)
    try:
        run_to_its_end(app, report, app.keep_typed)
        app.typed.left_by_key()
        return app.return_code or 0
    finally:
        app.typed.wait(PATIENCE)
        # After a fault what is reckoned may be half of it: nothing of that is kept for the next start.
        if app.fault is None:
            desk.close(keeping=True)
        else:
            desk.let_go()
        if told := desk.take_notices():
            print(told, file=sys.stderr)


def _opened(folder: Path, clock: Clock) -> Desk:
    """The colony, opened so that the first stop can be shown at once; a first reading says how far it is."""
    telling = Telling(sys.stderr)
    try:
        return Desk.open(folder, clock=clock, progress=telling, at_once=True)
    finally:
        telling.end()
