"""`rounds season`: females and clutches by weeks, and what comes next."""

from __future__ import annotations

from rounds.cli.call import Call
from rounds.desk.offer import known_matters
from rounds.due.season import season
from rounds.errors import UsageError
from rounds.logbook.written_times import read_day
from rounds.paper.season import BEFORE, WEEKS, monday, season_text, season_values


def run(call: Call) -> int:
    """Print the season."""
    options = call.options
    weeks = WEEKS if options.weeks is None else options.weeks
    if not 4 <= weeks <= 104:
        raise UsageError(f"--weeks {weeks}: give 4 to 104 weeks")
    with call.desk() as desk:
        now, settings = desk.now(), desk.settings
        begins = monday(now.date(), -BEFORE)
        if options.begins:
            begins = monday(read_day(options.begins, now.date(), settings.date_order, "behind", "--from").day)
        known = known_matters(desk)
        rows = season(desk.standing, settings.house, now, known, settings.walking_order)
        told = season_values(desk.standing, settings, now, rows, begins, weeks)
        if options.json:
            call.json(told | call.missing_values(desk, known=known))
        else:
            call.caution_of(desk, known=known)
            call.print(season_text(told, now))
        call.warn_of(desk)
    return 0
