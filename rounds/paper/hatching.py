"""When a clutch hatches, as values for JSON and in the words that screens and paper share."""

from __future__ import annotations

from datetime import date, datetime
from typing import Final

from rounds.due.hatching import Forecast
from rounds.paper.values import Values, moment
from rounds.paper.words import date_words
from rounds.rules.house import House


def hatch_values(found: Forecast | None, house: House) -> Values:
    """A forecast of the hatch as values; each None where there is none."""
    if found is None:
        return dict.fromkeys(_FORECAST)
    return {
        "laid": moment(found.begun, house),
        "day": found.day,
        "early": found.early.isoformat(),
        "likely": found.likely.isoformat(),
        "late": found.late.isoformat(),
        "developed_percent": round(100 * found.part),
        "rests_on": found.basis,
        "mean_c": rounded(found.mean_c),
        "above_alarm_hours": round(found.sums.hot_hours, 1),
        "below_band_hours": round(found.sums.cold_hours, 1),
        "bridged_hours": round(found.sums.bridged_hours, 1),
        "own_clutches": found.own,
        "first_out": moment(found.first_out, house),
        "pipped_only": found.first_out is not None and not found.is_out,
        "says": found.says,
    }


_FORECAST: Final = (
    *("laid", "day", "early", "likely", "late", "developed_percent", "rests_on", "mean_c", "above_alarm_hours"),
    *("below_band_hours", "bridged_hours", "own_clutches", "first_out", "pipped_only"),
    "says",
)


def rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 1)


def hatch_words(one: Values, now: datetime) -> str:
    """`2 to 16 Jan`, `since 4 Jan`, `pipped 4 Jan`, `late since 16 Jan`; empty without a forecast."""
    if one["early"] is None:
        return ""
    if one["first_out"] is not None:
        first = date_words(datetime.fromisoformat(one["first_out"]), now)
        return f"{'pipped' if one['pipped_only'] else 'since'} {first}"
    early, late = date.fromisoformat(one["early"]), date.fromisoformat(one["late"])
    if late < now.date():
        return f"late since {date_words(late, now)}"
    return between(early, late, now)


def between(early: date, late: date, now: datetime) -> str:
    """`2 to 16 Jan`, `29 Dec to 16 Jan`; the year only where it is not the next such day."""
    same = (early.year, early.month) == (late.year, late.month)
    year = f" {late.year}" if abs((late - now.date()).days) > 300 else ""
    return f"{early.day}{'' if same else f' {early:%b}'} to {late.day} {late:%b}{year}"


def window_words(found: Values, now: datetime) -> str:
    """`hatches 2 to 16 Jan, likely 8 Jan, by the temperatures read; no own clutch yet`; empty without one."""
    if found["early"] is None:
        return ""
    words = hatch_words(found, now)
    told = words.startswith(("late", "pipped"))
    lead = "" if told else "hatching" if found["first_out"] is not None else "hatches"
    return f"{lead} {words}, {found['says']}".strip()


def hours_words(value: float) -> str:
    """`7 h`, `under 1 h`."""
    return f"{value:.0f} h" if value >= 1 or value == 0 else "under 1 h"


def hot_caution(found: Values, alarm: float) -> str:
    """What is said of a clutch that was too hot; empty of one that was not."""
    hours = found["above_alarm_hours"]
    if not hours:
        return ""
    return f"{hours_words(hours)} above {alarm:g} °C: sex of the young may differ from their genes"
