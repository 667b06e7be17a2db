"""What the egg boxes weigh: box, medium, water and the eggs in them, and what dried up from week to week."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from typing import Final

from demo_colony.story import Told

#: The mass of an egg that was not weighed, g: Laven et al.
EGG: Final = 3.81


class Boxes:
    """The weights of the boxes on the days on which the story has them weighed."""

    def __init__(self, lines: Iterable[Told]) -> None:
        base: dict[str, float] = {}
        short: dict[str, float] = defaultdict(float)
        #: Eggs by box and clutch: how many, and the mass of one.
        eggs: dict[str, dict[str, tuple[int, float]]] = defaultdict(dict)
        self._told: dict[tuple[str, int], tuple[float, float]] = {}
        for line in sorted(lines, key=lambda one: (one.day, one.minute or 7 * 60)):
            who, members = line.about, line.members
            if line.kind == "egg_box_made_up":
                water = float(members["dry_grams"]) * float(members["ratio"])
                base[who] = float(members["tare_grams"]) + float(members["dry_grams"]) + water
                short[who], eggs[who] = 0.0, {}
            elif line.kind == "eggs_boxed":
                count = int(members["count"])
                mass = float(members.get("eggs_grams", count * EGG))
                box = members["place"]
                if box not in base:  # straight onto the shelf: a box without a name
                    box = who
                    base[box] = float(members.get("box_grams", 0)) - mass
                eggs[box][who] = count, mass / count
            elif line.kind in ("eggs_lost", "hatched"):
                for box, held in eggs.items():
                    if who in held and members.get("place", box) == box:
                        held[who] = held[who][0] - int(members["count"]), held[who][1]
            elif line.kind == "egg_box_weighed" and "loss" in line.telling:
                who = members.get("clutch", who)
                short[who] += float(line.telling["loss"])
                inside = sum(count * mass for count, mass in eggs[who].values())
                added = float(members.get("added_grams", short[who]))
                self._told[who, line.day] = round(base[who] + inside - short[who], 1), added
                short[who] -= added

    def weighed(self, box: str, day: int) -> dict[str, float]:
        """What the scale shows before water is added, and what then is, in g."""
        grams, added = self._told[box, day]
        return {"grams": grams, "added_grams": added}
