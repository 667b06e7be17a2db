"""Who keeps the Quandong shed, at which desk, and when they are on shift. All of it is invented."""

from __future__ import annotations

from typing import Final, NamedTuple
from zoneinfo import ZoneInfo

ROOM_NAME: Final = "Quandong shed"
#: Clocks change here in autumn and spring, and the offset is no whole hour: a hard test of times.
ZONE: Final = ZoneInfo("Australia/Adelaide")

#: The laptop that goes along the racks, and the machine on the bench where sheets are signed.
RACK_LAPTOP: Final = "rack-laptop"
BENCH: Final = "bench"

KEEPERS: Final = {"AK": "Asta", "EM": "Emil", "JT": "Juna"}

#: Who walks in the morning and who in the evening, by day; the week ends on the day before `end`.
ROTA: Final = (
    ("AK", "EM"),
    ("AK", "EM"),
    ("JT", "EM"),
    ("JT", "AK"),
    ("EM", "AK"),
    ("EM", "JT"),
    ("AK", "EM"),
)


class Shift(NamedTuple):
    """Who is on in the morning and in the evening of one day."""

    morning: str
    evening: str


def on_shift(day: int) -> Shift:
    """The keepers of a day, counted from `end` (-1 is the day before)."""
    return Shift(*ROTA[day % 7])


#: Minutes after midnight: taking over, the first stop, signing the hand-over; morning, then evening.
MORNING_TAKEN_OVER: Final = 6 * 60 + 45
MORNING_WALK: Final = 7 * 60
MORNING_HANDED_OVER: Final = 12 * 60 + 30
EVENING_TAKEN_OVER: Final = 16 * 60
EVENING_WALK: Final = 16 * 60 + 30
EVENING_HANDED_OVER: Final = 19 * 60 + 20


def keeper_at(day: int, minute: int) -> str:
    """Who is on shift at a minute of a day; the evening keeper looks in at night too."""
    return ROTA[day % 7][minute >= 15 * 60]
