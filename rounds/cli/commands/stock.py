"""`rounds stock`: what came in and what went out, per clutch and in a year."""

from __future__ import annotations

from rounds.cli.call import Call
from rounds.errors import UsageError
from rounds.paper.stock import stock, stock_text


def run(call: Call) -> int:
    """Print the stock of a year."""
    year: int | None = call.options.year
    if year is not None and not 1900 <= year <= 9000:
        raise UsageError(f"{year} is no year of a colony: write four digits, such as 2026")
    with call.desk() as desk:
        now = desk.now()
        told = stock(desk.standing, desk.settings, now, year or min(now.year, 9000))
        if call.options.json:
            call.json(told | call.missing_values(desk))
        else:
            call.caution_of(desk)
            call.print(stock_text(told, now))
        call.warn_of(desk)
    return 0
