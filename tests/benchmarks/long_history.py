"""An invented colony with a long history, for measuring only: every name and figure in it is made up.

    python -m tests.benchmarks.long_history FOLDER --animals 2000 --years 10

writes about ten million entries (1.6 GB) in a few minutes, the same to the last byte for the same seed, size
and last day. Two desks write: one at the rack, one in the office once a week. Animals come and go, are
fed, weighed and moved; females mate, dig, lay; a few entries are late or corrected.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from pathlib import Path
from random import Random
from typing import Final
from zlib import crc32
from zoneinfo import ZoneInfo

SEED: Final = 20260412
ZONE: Final = ZoneInfo("Europe/Vienna")
RACK, OFFICE = "rack-bench", "office-bench"
_DIGITS: Final = "0123456789abcdefghjkmnpqrstvwxyz"
_PAIRS: Final = [first + second for first in _DIGITS for second in _DIGITS]
_CLOCK: Final = [
    f"{hour:02d}:{minute:02d}:{second:02d}" for hour in range(24) for minute in range(60) for second in range(60)
]
#: Seconds after midnight at which the morning walk begins, and how long it may take.
_MORNING: Final = 7 * 3600
_WALK: Final = 6 * 3600
_SHEET: Final = "The room was walked, all was fed; lamps and water were looked at.\\n" * 24

#: One thing written: second of the day, kind, subject, the rest of its JSON members.
Written = tuple[int, str, str, str]


class _Beast:
    """One animal while it lives here."""

    __slots__ = ("arrived", "clutch", "grams", "id", "mated", "sex", "tub")

    def __init__(self, id: str, sex: str, tub: str, arrived: int, grams: float) -> None:
        self.id = id
        self.sex = sex
        self.tub = tub
        self.arrived = arrived
        self.grams = grams
        #: The day of her last mating.
        self.mated = -1000
        self.clutch = ""


class LongHistory:
    """The entries of a colony, day by day."""

    def __init__(self, animals: int, days: int, last: date, seed: int = SEED) -> None:
        self.days = days
        self.first = last - timedelta(days=days - 1)
        self._rng = Random(seed)
        self._many = 0
        self._clutches = 0
        males = max(1, animals * 15 // 100)
        females = animals - males
        shared = (females + 1) // 2
        self.tubs = [f"enclosure/t{number:04d}" for number in range(1, shared + males + 1)]
        self._homes: list[list[_Beast]] = [[] for _ in self.tubs]
        for number in range(females):
            self._homes[number // 2].append(self._new("F", self.tubs[number // 2], 0))
        for number in range(males):
            self._homes[shared + number].append(self._new("M", self.tubs[shared + number], 0))

    def _new(self, sex: str, tub: str, day: int) -> _Beast:
        self._many += 1
        grams = self._rng.uniform(300, 480) if day == 0 else self._rng.uniform(60, 140)
        return _Beast(f"animal/a{self._many:05d}", sex, tub, day, grams)

    def _arrives(self, one: _Beast, second: int, day: date) -> Written:
        name = f"Dragon {one.id[-5:]}"
        age = 900 if one.grams > 200 else 150
        hatched = (day - timedelta(days=age)).isoformat()
        return (
            second,
            "arrived",
            one.id,
            f',"name":"{name}","place":"{one.tub}","sex":"{one.sex}","hatched":"{hatched}","bred_here":true',
        )

    def opening(self) -> Iterator[Written]:
        """What was there on the first day."""
        yield (
            0,
            "enclosure_set_up",
            "enclosure/shelf-1",
            ',"name":"Shelf 1","what":"incubator shelf","order":99999.0',
        )
        for number, tub in enumerate(self.tubs):
            rack, place = divmod(number, 40)
            yield (
                0,
                "enclosure_set_up",
                tub,
                f',"name":"R{rack + 1}-{place + 1}","rack":"R{rack + 1}","where":"aisle {rack // 4 + 1}",'
                f'"tag":"{100000 + number}"',
            )
            for one in self._homes[number]:
                yield self._arrives(one, 1, self.first)

    def day(self, number: int) -> tuple[list[Written], list[Written]]:
        """What was written on a day: at the rack, and in the office."""
        today = self.first + timedelta(days=number)
        rng = self._rng
        random = rng.random
        rack: list[Written] = list(self.opening()) if number == 0 else []
        office: list[Written] = []
        rack.append((_MORNING - 60, "taken_over", "room", f',"desk":"{RACK}"'))
        step = min(30.0, _WALK / len(self.tubs))
        weekday = today.isoformat()
        greens = number % 2 == 0
        for place, tub in enumerate(self.tubs):
            second = _MORNING + int(place * step)
            here = self._homes[place]
            turn = number + place
            if turn % 2:
                rack.append((second, "fed", tub, ',"what":"roaches","amount":"ten each","dusted":"calcium"'))
            if greens:
                rack.append((second, "fed", tub, ',"food":"greens","what":"endive and dandelion"'))
            if (place + number) % 3 == 0:
                rack.append((second, "cleaned", tub, ""))
            if turn % 7 == 0:
                rack.append((second, "watered", tub, ""))
                rack.append(
                    (
                        second,
                        "climate_read",
                        tub,
                        f',"basking_c":{39 + 2 * random():.1f},"cool_c":24.5,"uv_index":4.1',
                    )
                )
            elif turn % 60 == 1:
                rack.append((second, "cleaned", tub, ',"extent":"full"'))
            elif turn % 150 == 2:
                rack.append((second, "lamp_changed", tub, ""))
            if turn % 14 == 3:
                for one in here:
                    one.grams += (420.0 - one.grams) * 0.02
                    rack.append(
                        (second, "weighed", one.id, f',"grams":{one.grams * (0.985 + 0.03 * random()):.0f}')
                    )
            chance = random()
            if chance < 0.06 and here:
                one = here[int(chance * 1000) % len(here)]
                rack += self._seen(one, second, chance)
            if len(here) == 2 and 0.5 < chance < 0.5012:
                self._season(here[0], number)
            for one in here:
                since = number - one.mated
                if since < 90:
                    self._breeds(one, since, second, rack)
            rack.append((second, "stop_walked", tub, f',"walk":"morning","day":"{weekday}"'))
        if number and number % 4 == 0:
            self._turnover(number, today, rack)
        if number % 7 == 5:
            office.append(
                (50_000, "noted", "room", f',"note":"week {number // 7}: supplies ordered, rota written"')
            )
            late = self._homes[number % len(self.tubs)]
            for one in late:
                told = f"{weekday}T{_CLOCK[_MORNING + 600]}"
                office.append((50_100, "droppings_seen", one.id, f',"written":"{told}"'))
        rack.append((_MORNING + _WALK + 60, "handed_over", "room", f',"desk":"{RACK}","sheet":"{_SHEET}"'))
        return rack, office

    def _seen(self, one: _Beast, second: int, chance: float) -> Iterator[Written]:
        if chance < 0.02:
            yield (second, "ate", one.id, ',"how":"some"')
        elif chance < 0.03:
            yield (second, "droppings_seen", one.id, "")
        elif chance < 0.04:
            yield (second, "behaviour_seen", one.id, ',"behaviour":"basking"')
        elif chance < 0.05:
            yield (second, "condition_seen", one.id, ',"look":"bright","body":"good"')
        else:
            yield (second, "shed_seen", one.id, ',"state":"clean"')

    def _season(self, one: _Beast, number: int) -> None:
        if one.sex == "F" and number - one.arrived > 400 and number - one.mated > 200:
            one.mated = number

    def _breeds(self, one: _Beast, since: int, second: int, out: list[Written]) -> None:
        if since == 0:
            out.append((second, "mating_seen", one.id, ""))
        elif since == 12:
            out.append((second, "lay_box_in", one.id, ',"depth_cm":20.0,"medium":"damp sand and soil"'))
        elif 14 <= since < 24:
            absent = '"lethargy","tremor","weak hind limbs","straining","prolapse"'
            out.append((second, "egg_check_done", one.id, f',"absent":[{absent}]'))
            if since > 20:
                out.append((second, "behaviour_seen", one.id, ',"behaviour":"nest digging"'))
        elif since == 24:
            self._clutches += 1
            clutch = one.clutch = f"clutch/c{self._clutches:05d}"
            out.append((second, "eggs_laid", one.id, f',"clutch":"{clutch}","count":18,"complete":true'))
            out.append(
                (second, "eggs_boxed", clutch, ',"count":18,"place":"enclosure/shelf-1","medium":"vermiculite"')
            )
            out.append((second, "lay_box_out", one.id, ""))
        elif since == 86:
            out.append((second, "hatched", one.clutch, ',"count":15'))
            out.append((second, "eggs_lost", one.clutch, ',"count":3,"why":"slugs"'))
        elif since in (25, 27):
            out.append((second, "egg_check_done", one.id, ',"absent":["lethargy","straining"]'))
            out.append((second, "weighed", one.id, f',"grams":{one.grams * 0.9:.0f}'))

    def _turnover(self, number: int, today: date, out: list[Written]) -> None:
        """One in some leaves, and a young one comes into its place."""
        rng = self._rng
        for _ in range(max(1, len(self.tubs) // 700)):
            place = rng.randrange(len(self._homes))
            here = self._homes[place]
            old = here.pop(rng.randrange(len(here)))
            second = _MORNING + _WALK + rng.randrange(50)
            out.append(
                (second, "left", old.id, ',"how":"sold","to":"a keeper"')
                if rng.random() < 0.9
                else (second, "died", old.id, "")
            )
            one = self._new(old.sex, old.tub, number)
            here.append(one)
            out.append(self._arrives(one, second, today))


class _Sheet:
    """Makes the lines of one desk: ids in the order of writing, times with the room's offset."""

    def __init__(self, keepers: tuple[str, ...], salt: int) -> None:
        self._keepers = keepers
        self._rng = Random(salt)

    def lines(self, day: date, written: list[Written]) -> bytes:
        """A day's sheet. About one entry in 300 is corrected at once."""
        written.sort(key=lambda one: one[0])
        noon = datetime(day.year, day.month, day.day, 12, tzinfo=ZONE)
        offset = noon.strftime("%z")
        zone = f"{offset[:3]}:{offset[3:]}"
        start = int(noon.timestamp()) - 12 * 3600
        by = self._keepers[day.toordinal() % len(self._keepers)]
        head = f'","at":"{day.isoformat()}T'
        middle = f'{zone}","by":"{by}","about":"'
        bits = self._rng.getrandbits
        pairs = _PAIRS
        lines: list[bytes] = []
        before, tick = -1, 0
        for second, kind, about, members in written:
            tick = tick + 1 if second == before else 0
            before = second
            ms = (start + second) * 1000 + min(tick, 999)
            salt = bits(20)
            id = (
                f"{pairs[ms >> 40 & 1023]}{pairs[ms >> 30 & 1023]}{pairs[ms >> 20 & 1023]}{pairs[ms >> 10 & 1023]}"
                f"{pairs[ms & 1023]}{pairs[salt >> 10]}{pairs[salt & 1023]}"
            )
            if '"written"' in members:
                late = members.replace('"written":"', f'"written":"{day.isoformat()}T{_CLOCK[second]}{zone}","x":"')
                members = late.partition(',"x"')[0]
                second -= 3 * 3600
            body = f'{{"kind":"{kind}","id":"{id}{head}{_CLOCK[second]}{middle}{about}"{members}'.encode()
            lines.append(b'%b,"crc":"%08x"}\n' % (body, crc32(body)))
            if salt < 3500 and kind in ("weighed", "cleaned", "ate"):
                body = (
                    f'{{"kind":"corrected","id":"{id}c{head}{_CLOCK[second + 5]}{middle}{about}",'
                    f'"replaces":"{id}","because":"slip of the key"'
                ).encode()
                lines.append(b'%b,"crc":"%08x"}\n' % (body, crc32(body)))
        return b"".join(lines)


def write(folder: Path, animals: int, days: int, last: date, seed: int = SEED) -> tuple[int, int]:
    """Write the colony below `folder`, which must not exist yet; how many entries and bytes there are."""
    folder.mkdir(parents=True)
    (folder / "colony.toml").write_text('name = "Long shed"\ntime_zone = "Europe/Vienna"\n')
    history = LongHistory(animals, days, last, seed)
    desks = {RACK: _Sheet(("AK", "EM", "JT"), seed + 1), OFFICE: _Sheet(("BO",), seed + 2)}
    entries = size = 0
    for number in range(days):
        day = history.first + timedelta(days=number)
        year = folder / "sheets" / f"{day:%Y}"
        year.mkdir(parents=True, exist_ok=True)
        for desk, written in zip(desks, history.day(number), strict=True):
            if written:
                content = desks[desk].lines(day, written)
                (year / f"{day.isoformat()}.{desk}.jsonl").write_bytes(content)
                entries += content.count(b"\n")
                size += len(content)
    return entries, size


def main() -> None:
    """Write a colony as the command line asks."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--animals", type=int, default=100)
    parser.add_argument("--years", type=float, default=3)
    parser.add_argument(
        "--last", type=date.fromisoformat, help="the last day, with its walk done (default: yesterday)"
    )
    parser.add_argument("--seed", type=int, default=SEED)
    asked = parser.parse_args()
    last = asked.last or datetime.now(ZONE).date() - timedelta(days=1)
    entries, size = write(asked.folder, asked.animals, round(asked.years * 365.25), last, asked.seed)
    print(f"{entries:,} entries, {size / 1e6:,.0f} MB in {asked.folder}")


if __name__ == "__main__":
    main()
