"""What a temperature logger on a shelf wrote."""

from collections.abc import Iterator
from typing import Annotated

import msgspec

from rounds.logbook.entries.base import Celsius, Entry, Text


class ClimateLogged(Entry, frozen=True, kw_only=True):
    """A stretch of a logger's file, at most a day: minutes after `at`, the air in °C, relative humidity in %.

    The three lists run side by side; `humidity` is empty where the logger has none. Readings in between are left
    out where a straight line meets them within 0.1 °C and 2 % humidity; the highest and the lowest are always kept.
    """

    of = ("enclosure",)
    #: Days of readings: two seasons, so that clutches of the last one still say how warm they lay.
    keep = 400
    a_day = 12
    example = {"about": "enclosure/s1", "minutes": [0, 60], "air_c": [29.4, 29.1], "humidity": [82, 80]}
    minutes: tuple[Annotated[int, msgspec.Meta(ge=0, le=2_000)], ...] = ()
    air_c: tuple[Celsius, ...] = ()
    humidity: tuple[Annotated[float, msgspec.Meta(ge=0, le=100, extra={"unit": "%"})], ...] = ()
    logger: Text = ""

    def phrase(self) -> str:
        if not self.air_c:
            return "logger read"
        many = f"{len(self.air_c)} reading{'' if len(self.air_c) == 1 else 's'}"
        return f"logger read: {many}, {min(self.air_c):g} to {max(self.air_c):g} °C"

    def readings(self) -> Iterator[tuple[float, float, float | None]]:
        """Each reading: seconds since 1970 (UTC), °C, humidity in % or None. As many as times and temperatures."""
        begun = self.at.timestamp()
        damp = self.humidity if len(self.humidity) == len(self.air_c) else (None,) * len(self.air_c)
        for minute, air, humidity in zip(self.minutes, self.air_c, damp, strict=False):
            yield begun + 60.0 * minute, air, humidity
