"""The checks before pairing, to be read on an animal's page."""

from __future__ import annotations

from rounds.due.fitness import Fitness
from rounds.screens.prompts.asks import Talk
from rounds.screens.prompts.shown import Shown
from rounds.screens.record.host import Host
from rounds.screens.views.fitness import fit_lines


def before_pairing(screen: Host, found: Fitness) -> Talk:
    """Show every check of an animal; nothing is written."""
    desk = screen.shift.desk
    name = desk.standing.name(found.subject)
    yield Shown(f"Before pairing: {name}", lambda width: fit_lines(found, desk.house, width))
