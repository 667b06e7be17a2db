"""The keepers: what they see of what is true, what they write of it, and what they do when they are asked."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from random import Random
from typing import Any, Final

from rounds.due.line import DueLine
from rounds.logbook.entries import (
    Arrived,
    Ate,
    BehaviourSeen,
    Cleaned,
    ClimateRead,
    ConditionSeen,
    Died,
    EggCheckDone,
    EggsBoxed,
    EggsLaid,
    Entry,
    Fed,
    FeltForEggs,
    Hatched,
    LampChanged,
    LayBoxIn,
    LayBoxOut,
    Left,
    MatingSeen,
    Misted,
    Moved,
    Parted,
    PutTogether,
    VetCalled,
    Watered,
    Weighed,
)
from rounds.logbook.words import EGG_SIGNS, LOOK_SIGNS, Sign
from tests.simulation.assumed import Biology, Habits
from tests.simulation.courses import DAY
from tests.simulation.dwellers import SHELF, Dweller, Walk
from tests.simulation.pen import Pen

#: Due lines that ask for a look at her, whatever they are called.
LOOKS: Final = frozenset({"egg check", "look"})


class Keeper:
    """Whoever is on the walk, with the habits of this room."""

    def __init__(self, habits: Habits, biology: Biology, pen: Pen) -> None:
        self.habits = habits
        self.biology = biology
        self.pen = pen

    # What is seen without being asked for

    def sees(self, one: Dweller, walk: Walk) -> None:
        """All that is written about an animal without the program asking."""
        if one.dead:
            return
        if one.course.death is not None and walk.hour >= one.course.death:
            self.pen.write(Died, one.subject)
            one.dead = True
            return
        self._company(one, walk)
        self._eggs(one, walk)
        self._digging(one, walk)
        self._danger(one, walk)
        self._appetite(one, walk)
        self._lay_box(one, walk)
        one.looked = walk.hour

    def _company(self, one: Dweller, walk: Walk) -> None:
        for company in one.course.companies:
            if one.looked < company.began <= walk.hour and company.noted:
                if company.noted == "moved":
                    self.pen.write(Moved, one.male, to=one.tub)
                else:
                    self.pen.write(PutTogether, one.subject, mate=one.male)
            if one.looked < company.ended <= walk.hour and company.noted:
                if company.noted == "moved":
                    self.pen.write(Moved, one.male, to=f"enclosure/{one.male.partition('/')[2]}")
                else:
                    self.pen.write(Parted, one.subject, mate=one.male)
        for mated in one.course.matings_seen:
            if one.looked < mated <= walk.hour:
                self.pen.write(MatingSeen, one.subject, self._later(walk), sire=one.male)

    def _eggs(self, one: Dweller, walk: Walk) -> None:
        habits, luck, course = self.habits, walk.luck, one.course
        for number, laying in enumerate(course.layings):
            if len(one.eggs_written) <= number:
                one.eggs_written.append(0)
                one.complete.append(False)
                one.boxed.append(False)
            there = laying.so_far(walk.hour)
            draws = [luck.random() for _ in range(4)]
            if not there:
                continue
            clutch = f"clutch/{one.subject.partition('/')[2]}-2026-{number + 1}"
            done = walk.hour >= laying.ended
            written = one.eggs_written[number]
            if done and draws[0] < habits.miscounts and there > 4 and there > written:
                there = max(written, there - luck.randint(1, 3))
            part = laying.eggs < laying.whole
            # Part of a clutch is taken for all of it once and for good, or never.
            doubt = _settled(one, number)
            waits = doubt / habits.wrongly_complete * 36 if habits.wrongly_complete else 0.0
            wrongly = part and doubt < habits.wrongly_complete and walk.hour >= laying.ended + waits
            says = habits.says_when_asked if one.told else habits.says_complete
            complete = done and draws[1] < says and (wrongly or not part)
            if not one.complete[number] and (there > written or complete):
                one.eggs_written[number] = max(there, written)
                one.complete[number] = complete
                if complete:
                    one.digging_written = -1e9
                slugs = min(laying.slugs, one.eggs_written[number])
                count = one.eggs_written[number]
                self.pen.write(EggsLaid, one.subject, clutch=clutch, count=count, slugs=slugs, complete=complete)
            if one.complete[number] and not one.boxed[number] and draws[2] < habits.cares:
                one.boxed[number] = True
                fertile = one.eggs_written[number] - laying.slugs
                if fertile > 0:
                    self.pen.write(EggsBoxed, clutch, count=fertile, place=SHELF)
            if one.complete[number] and one.box_in and draws[3] < 0.1:
                one.box_in = False
                self.pen.write(LayBoxOut, one.subject)
            if one.boxed[number] and number not in one.hatched and walk.hour > laying.ended + 64 * DAY:
                one.hatched.add(number)
                fertile = one.eggs_written[number] - laying.slugs
                if fertile > 0:
                    self.pen.write(Hatched, clutch, count=fertile)
                    # The young are raised in another colony: only females are judged here.
                    young = f"group/{clutch.partition('/')[2]}"
                    self.pen.write(Arrived, young, name=f"young of {one.name}", clutch=clutch, count=fertile)
                    self.pen.write(Left, young, how="given", count=fertile)

    def _digging(self, one: Dweller, walk: Walk) -> None:
        habits, luck = self.habits, walk.luck
        seen, where, form = luck.random(), luck.random(), luck.random()
        if walk.day not in one.course.dig_days or seen >= habits.digging_seen * habits.sees:
            return
        about, later = one.subject, self._later(walk)
        if one.mates and where < habits.unknown_digger:
            self.pen.write(BehaviourSeen, one.tub, later, behaviour="nest digging")
            return
        if one.mates and where > 1 - habits.wrong_mate:
            about = one.mates[0]
        one.digging_written = walk.hour
        if form < 0.7:
            self.pen.write(BehaviourSeen, about, later, behaviour="nest digging")
        elif form < 0.85:
            self.pen.write(BehaviourSeen, about, later, behaviour="trial nest")
        elif form < 0.95:
            self.pen.write(EggCheckDone, about, later, present=("digging",))
        else:
            self.pen.write(ConditionSeen, about, later, signs=("digging",))

    def _danger(self, one: Dweller, walk: Walk) -> None:
        habits, luck = self.habits, walk.luck
        seen, form = luck.random(), luck.random()
        signs = one.course.danger.get(walk.day, ())
        if not signs:
            if walk.day in one.course.quiet_days and seen < habits.quiet_noted * habits.sees:
                self.pen.write(ConditionSeen, self._whom(one, walk), self._later(walk), look="quiet")
            return
        if seen >= habits.danger_seen * habits.sees:
            return
        about, later = self._whom(one, walk), self._later(walk)
        if signs == ("lethargy",) and form < 0.5:
            self.pen.write(ConditionSeen, about, later, look="dull" if form < 0.35 else "quiet")
        elif form < 0.75:
            self.pen.write(ConditionSeen, about, later, signs=signs[:2])
        else:
            self.pen.write(EggCheckDone, about, later, present=signs[:2])

    def _appetite(self, one: Dweller, walk: Walk) -> None:
        habits, luck = self.habits, walk.luck
        seen, leaves, how = luck.random(), luck.random(), luck.random()
        if walk.part == "evening":
            return
        if one.course.leaves_food(walk.hour) or leaves < self.biology.leaves_food:
            if seen < habits.refusal_noted * habits.sees:
                self.pen.write(Ate, self._whom(one, walk), self._later(walk), how="refused")
        elif seen < habits.eating_noted:
            self.pen.write(Ate, self._whom(one, walk), self._later(walk), how="well" if how < 0.7 else "some")

    def _lay_box(self, one: Dweller, walk: Walk) -> None:
        habits, luck = self.habits, walk.luck
        for_digging, in_time, when_told, deep = (luck.random() for _ in range(4))
        if one.box_in or one.sex != "F":
            return
        mated = any(seen + 14 * DAY <= walk.hour < seen + 60 * DAY for seen in one.course.matings_seen)
        may = mated or self._dug(one, walk)
        if (
            (one.digging_written == walk.hour and for_digging < habits.lay_box_for_digging)
            or (mated and in_time < habits.lay_box_in_time)
            or (one.told and may and when_told < habits.lay_box_when_told)
        ):
            one.box_in = True
            depth = 12.0 if deep < habits.shallow else 18.0
            self.pen.write(LayBoxIn, one.subject, depth_cm=depth, medium="damp sand and soil")

    # What the program asks for

    def answers(self, lines: Iterable[DueLine], here: Sequence[Dweller], walk: Walk) -> None:
        """Do what is due at a stop, as far as keepers do."""
        known = {one.subject: one for one in here}
        for line in lines:
            one = known.get(line.about)
            asked = walk.with_luck(f"{line.about} {line.care}")
            if line.care in LOOKS:
                if one is not None:
                    self._egg_check(one, asked)
            elif "weigh" in line.care or "feel" in line.care:
                if one is not None:
                    self._weigh(one, asked, to_feel="feel" in line.care)
            elif asked.luck.random() < self.habits.cares:
                self._care(line)

    def _egg_check(self, one: Dweller, walk: Walk) -> None:
        habits, luck, course = self.habits, walk.luck, one.course
        made, through, digs, danger, food, slip, ticks = (luck.random() for _ in range(7))
        if made >= habits.checks or one.dead:
            return
        present: list[Sign] = []
        if through >= habits.enters_through:
            if walk.day in course.dig_days and digs < habits.digging_seen * habits.sees:
                present.append("digging")
            if danger < habits.danger_at_check * habits.sees:
                present.extend(course.danger.get(walk.day, ()))
            if course.leaves_food(walk.hour) and food < habits.off_food_ticked * habits.sees:
                present.append("off food")
            if slip < habits.slip:
                present.append("straining")
        absent: tuple[Sign, ...] = ()
        if ticks < habits.all_absent:
            absent = EGG_SIGNS
        elif ticks < 0.4 and through >= habits.enters_through:
            absent = LOOK_SIGNS
        absent = tuple(sign for sign in absent if sign not in present)
        self.pen.write(EggCheckDone, self._whom(one, walk), present=tuple(present), absent=absent)

    def _weigh(self, one: Dweller, walk: Walk, to_feel: bool) -> None:
        habits, luck, course = self.habits, walk.luck, one.course
        made, feels, right = luck.random(), luck.random(), luck.random()
        noise = luck.gauss(0, 1)
        if one.dead:
            return
        if made < habits.weighs:
            grams = course.grams(walk.hour) * (1 + self.biology.scale_noise * noise)
            self.pen.write(Weighed, self._whom(one, walk), grams=float(round(grams)))
        season = any(mated <= walk.hour < mated + 60 * DAY for mated in course.matings_seen)
        asked = to_feel and feels < habits.feels_when_asked
        if one.sex == "F" and (asked or (feels < habits.feels and (season or self._dug(one, walk)))):
            there = course.eggs_can_be_felt(walk.hour)
            felt = habits.feels_right * habits.sees if there else habits.feels_wrong
            found = "eggs" if right < felt else ("none" if right < 0.88 else "unsure")
            self.pen.write(FeltForEggs, one.subject, found=found)

    def _care(self, line: DueLine) -> None:
        kind, members = _CARE.get(line.care, (None, {}))
        if kind is None:
            return
        if kind is ClimateRead and line.about == SHELF:
            members = {"air_c": 29.5, "humidity": 80.0}
        self.pen.write(kind, line.about, **members)

    # What is done about a matter

    def phones(self, one: Dweller, walk: Walk) -> None:
        """Ask the vet about an animal that is well, as far as can be told."""
        luck = walk.with_luck(f"{one.subject} telephone").luck
        again: date | None = None
        if luck.random() < self.habits.vet_again:
            again = self.pen.now.date() + timedelta(days=luck.randint(3, 7))
        said = "call again if it goes on" if again else "nothing to be done now"
        self.pen.write(VetCalled, one.subject, said=said, again=again)

    def _dug(self, one: Dweller, walk: Walk) -> bool:
        """Whether digging of hers was written in the last two weeks."""
        return walk.hour - one.digging_written < 14 * DAY

    def _later(self, walk: Walk) -> int:
        draw, walks = walk.luck.random(), walk.luck.randint(1, 4)
        return walks if draw < self.habits.late else 0

    def _whom(self, one: Dweller, walk: Walk) -> str:
        draw = walk.luck.random()
        return one.mates[0] if one.mates and draw < self.habits.wrong_mate else one.subject


def _settled(one: Dweller, number: int) -> float:
    """A draw that is the same each time it is asked about one clutch."""
    return Random(f"{one.subject} {number} {one.course.layings[number].began}").random()


_CARE: Final[dict[str, tuple[type[Entry] | None, dict[str, Any]]]] = {
    "feed insects": (Fed, {"food": "insects", "dusted": "calcium"}),
    "feed greens": (Fed, {"food": "greens"}),
    "water": (Watered, {}),
    "dish": (Watered, {"scrubbed": True}),
    "mist": (Misted, {}),
    "spot clean": (Cleaned, {"extent": "spot"}),
    "full clean": (Cleaned, {"extent": "full"}),
    "climate": (ClimateRead, {"basking_c": 40.0, "cool_c": 24.0, "night_low_c": 21.0, "uv_index": 4.0}),
    "lamp": (LampChanged, {}),
}
