"""`rounds stock`: what came in and what went out, per clutch and in a year."""

from __future__ import annotations

import re
from datetime import date, timedelta

from rounds.cli.call import Call
from rounds.desk.desk import Desk
from rounds.errors import UsageError
from rounds.logbook.written_times import read_day
from rounds.paper.stock import calendar_year, season_days, season_named, stock, stock_text


def run(call: Call) -> int:
    """Print the stock of a year, or of the days from one to another."""
    year: int | None = call.options.year
    if year is not None and not 1900 <= year <= 9000:
        raise UsageError(f"{year} is no year of a colony: write four digits, such as 2026")
    if year is not None and (call.options.begins or call.options.ends):
        raise UsageError(
            "--year is a calendar year; for another write --from DAY, and --to DAY if it is no year long"
        )
    if call.options.ends and not call.options.begins:
        raise UsageError("--to wants --from: write both, such as --from 2026-04-01 --to 2027-03-31")
    wanted: str | None = call.options.season
    if wanted is not None and (year is not None or call.options.begins):
        raise UsageError("--season goes from waking to waking: leave --year and --from out")
    with call.desk() as desk:
        now = desk.now()
        season = season_named(desk.standing, desk.house, now, _season(wanted)) if wanted is not None else None
        if season is not None:
            begins, ends = season_days(season, now.date())
        else:
            begins, ends = _days(call, desk) if call.options.begins else calendar_year(year or min(now.year, 9000))
        if begins > now.date():
            raise UsageError(f"{begins} has not come yet: there is nothing to add up")
        name = season.called if season is not None else ""
        told = stock(desk.standing, desk.settings, now, begins, ends, name)
        if call.options.json:
            call.json(told | call.missing_values(desk))
        else:
            call.caution_of(desk)
            call.print(stock_text(told, now))
        call.warn_of(desk)
    return 0


def _season(written: str) -> str:
    """`2026/27`, `2026` or `before 2026` as a season is called; empty for that of now. Raises `UsageError`."""
    found = re.fullmatch(r"((?:before )?(\d{4}))(?:[/-](?:\d\d)?(\d\d))?", " ".join(written.casefold().split()))
    if written.strip() and (found is None or (found[3] and int(found[3]) != (int(found[2]) + 1) % 100)):
        raise UsageError(f"{written[:20]!r} is no season: write the year it begins in, such as 2026 or 2026/27")
    if found is None:
        return ""
    return f"{found[1]}/{found[3]}" if found[3] else found[1]


def _days(call: Call, desk: Desk) -> tuple[date, date]:
    """The first day and the last; without a last one a year from the first. Raises `BadEntry`, `UsageError`."""
    today, order = desk.now().date(), desk.settings.date_order
    begins = read_day(call.options.begins, today, order).day
    if not 1900 <= begins.year <= 9000:
        raise UsageError(f"{begins} is no day of a colony: write it with its year, such as 2026-04-01")
    if not call.options.ends:
        leap = begins.month == 2 and begins.day == 29
        following = date(begins.year + 1, 3, 1) if leap else begins.replace(year=begins.year + 1)
        return begins, following - timedelta(days=1)
    ends = read_day(call.options.ends, today, order).day
    if not begins <= ends or ends.year > 9000:
        raise UsageError(f"--to {ends} lies before --from {begins}: write the first day first, each with its year")
    return begins, ends
