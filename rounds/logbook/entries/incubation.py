"""What a temperature logger on a shelf wrote."""

from typing import Annotated

import msgspec

from rounds.logbook.entries.base import Celsius, Entry, Text


class ClimateLogged(Entry, frozen=True, kw_only=True):
    """A stretch of a logger's file, at most a day: minutes after `at`, the air in °C, relative humidity in %.

    The three lists run side by side; `humidity` is empty where the logger has none.
    """

    of = ("enclosure",)
    keep = 128
    example = {"about": "enclosure/s1", "minutes": [0, 60], "air_c": [29.4, 29.1], "humidity": [82, 80]}
    minutes: tuple[Annotated[int, msgspec.Meta(ge=0, le=2_000)], ...] = ()
    air_c: tuple[Celsius, ...] = ()
    humidity: tuple[Annotated[float, msgspec.Meta(ge=0, le=100, extra={"unit": "%"})], ...] = ()
    logger: Text = ""

    def phrase(self) -> str:
        if not self.air_c:
            return "logger read"
        return f"logger read: {len(self.air_c)} readings, {min(self.air_c):g} to {max(self.air_c):g} °C"
