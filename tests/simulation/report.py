"""The tables: what was measured, beside what is aimed at."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import mean, median
from typing import Final

from tests.simulation.assumed import Biology, Chance, Habits, listed
from tests.simulation.courses import DANGER, HEALTHY, SICK
from tests.simulation.measured import Sick, Well

#: The aims of the alarm budget.
AIM_CAUGHT, AIM_VETS, AIM_TODAY, AIM_LOOKS = 0.99, 0.1, 5.0, 12.0

#: Each course in a sentence.
SAYS: Final[dict[str, str]] = {
    "no eggs": "Mated and seen; the eggs never come.",
    "part of a clutch": "Mated and seen; part of the clutch comes, the rest stays in.",
    "second clutch retained": "A first clutch without fault; the second, from stored sperm, stays in.",
    "unseen mating": "No one saw a mating, that a male was with her is noted or not; the eggs never come.",
    "follicles, no mate": "Never with a male; follicles grow, and neither shrink nor become eggs.",
    "mating seen": "Mated and seen; one clutch or more, from stored sperm or a new mating.",
    "mating not seen": "The same; no one saw it, that a male was with her is noted or not.",
    "mating did not take": "Mated and seen, no eggs; half of them are mated again later, and lay.",
    "never with a male": "No eggs, or slugs once, or follicles that shrink again.",
}


@dataclass(frozen=True)
class Measured:
    """All that one run measured."""

    seed: int
    sick: tuple[Sick, ...]
    well: tuple[Well, ...]
    rooms: tuple[Well, ...]

    @property
    def caught(self) -> float:
        """Part of those gone wrong that reached vet before the hour of no return."""
        return share(sum(one.in_time for one in self.sick), len(self.sick))

    @property
    def silenced(self) -> int:
        return sum(one.silenced is not None for one in self.sick)

    @property
    def false_vets(self) -> float:
        """Vet matters a season of a healthy female."""
        return share(sum(one.vets.total() for one in self.well), len(self.well))

    @property
    def todays(self) -> float:
        """*Today* matters begun in a week in a healthy room of 50."""
        return share(sum(one.todays.total() for one in self.rooms), sum(one.weeks for one in self.rooms))

    @property
    def looks(self) -> float:
        """Looks on a morning in that room."""
        mornings = [looks for one in self.rooms for looks in one.looks]
        return mean(mornings) if mornings else 0.0


def share(part: float, whole: float) -> float:
    return part / whole if whole else 0.0


def percent(part: float) -> str:
    return f"{100 * part:.1f} %"


def at(part: float, values: Sequence[float]) -> float:
    """The value below which this part of them lies."""
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, int(part * len(ordered)))]


def hours(values: Sequence[float]) -> str:
    """Median, and the 5th and 95th percentile."""
    if not values:
        return "–"
    return f"{median(values):.0f} ({at(0.05, values):.0f} … {at(0.95, values):.0f})"


def report(measured: Measured) -> Iterator[str]:
    """Every table, as lines of Markdown."""
    yield from aims(measured)
    yield from gone_wrong(measured.sick)
    yield from missed(measured.sick)
    yield from healthy(measured.well)
    yield from rooms(measured.rooms)


def aims(measured: Measured) -> Iterator[str]:
    yield "| | measured | aim |"
    yield "|---|---|---|"
    yield f"| gone wrong: at *vet* before the hour of no return | {percent(measured.caught)} | ≥ 99 % |"
    yield f"| … raised, then gone with no entry that answers it | {measured.silenced} of {len(measured.sick)} | 0 |"
    yield f"| healthy: *vet* a season | {measured.false_vets:.3f} | ≤ {AIM_VETS:g} |"
    yield f"| healthy room of 50: *today* a week | {measured.todays:.1f} | ≤ {AIM_TODAY:g} |"
    yield f"| … looks on a morning | {measured.looks:.1f} | ≤ {AIM_LOOKS:g} |"
    yield ""


def gone_wrong(found: Sequence[Sick]) -> Iterator[str]:
    yield "### Gone wrong"
    yield ""
    yield "Hours from alarm to the hour of no return: median (5 % … 95 %); below 0 the alarm came after it."
    yield ""
    yield "| course | seasons | in time | late | never | hours | silenced | eggs answered | *vet* too early |"
    yield "|---|---|---|---|---|---|---|---|---|"
    for name in (*SICK, "all"):
        some = [one for one in found if name in (one.course, "all")]
        if not some:
            continue
        in_time, late = sum(one.in_time for one in some), sum(one.caught is not None for one in some)
        yield (
            f"| {name} | {len(some)} | {percent(in_time / len(some))} | {late - in_time} | {len(some) - late} | "
            f"{hours([one.before for one in some if one.before is not None])} | "
            f"{sum(one.silenced is not None for one in some)} | {sum(one.eggs_answered for one in some)} | "
            f"{sum(one.early for one in some)} |"
        )
    yield ""
    yield "Alarm by rule: " + told(Counter(one.rule for one in found if one.in_time)) + "."
    silencers = Counter(kind for one in found for kind in one.silenced_by)
    if silencers:
        yield ""
        yield "Written of her on the walk after which the alarm was gone: " + told(silencers) + "."
    yield ""


def missed(found: Sequence[Sick]) -> Iterator[str]:
    """Those not caught in time, and what was written of them."""
    some = [one for one in found if not one.in_time]
    if not some:
        return
    yield "### Not caught in time, and what was written of them"
    yield ""
    yield "From two weeks before trouble to the hour of no return (with a male: ever); in how many of them."
    yield ""
    kinds = (
        *("with a male", "digging", "off food", "eggs felt", "weighed", "clear check"),
        *("eggs so far", "eggs, complete", "danger sign"),
    )
    yield "| course | seasons | " + " | ".join(kinds) + " | by number (`--show COURSE NUMBER`) |"
    yield "|---" * (len(kinds) + 3) + "|"
    for name in SICK:
        here = [one for one in some if one.course == name]
        if here:
            counts = " | ".join(str(sum(one.written[kind] > 0 for one in here)) for kind in kinds)
            numbers = ", ".join(str(one.number) for one in here[:8]) + (" …" if len(here) > 8 else "")
            yield f"| {name} | {len(here)} | {counts} | {numbers} |"
    yield ""
    yield "What stood at the hour of no return: " + told(Counter(one.stood for one in some)) + "."
    yield ""


def healthy(found: Sequence[Well]) -> Iterator[str]:
    yield "### Healthy females, each by herself"
    yield ""
    yield "| course | seasons | *vet* a season | with one | *today* a week | *watch* a week | looks a week |"
    yield "|---|---|---|---|---|---|---|"
    for name in (*HEALTHY, "all"):
        some = [one for one in found if name in (one.course, "all")]
        if not some:
            continue
        weeks = sum(one.weeks for one in some)
        looks = sum(7 * mean(one.looks) for one in some if one.looks) / len(some)
        yield (
            f"| {name} | {len(some)} | {sum(one.vets.total() for one in some) / len(some):.3f} | "
            f"{percent(sum(bool(one.vets) for one in some) / len(some))} | "
            f"{sum(one.todays.total() for one in some) / weeks:.3f} | "
            f"{sum(one.watches.total() for one in some) / weeks:.3f} | {looks:.2f} |"
        )
    yield ""
    yield "*Vet* by rule: " + told(sum((one.vets for one in found), Counter())) + "."
    yield ""
    for name in HEALTHY:
        loud = [one.number for one in found if one.course == name and one.vets]
        if loud:
            shown = ", ".join(map(str, loud[:10])) + (" …" if len(loud) > 10 else "")
            yield f"- `--show '{name}' NUMBER`: {shown}"
    yield ""
    yield "*Today* by rule: " + told(sum((one.todays for one in found), Counter())) + "."
    yield ""


def rooms(found: Sequence[Well]) -> Iterator[str]:
    if not found:
        return
    weeks, mornings = sum(one.weeks for one in found), sum(one.mornings for one in found)
    walks = sum(one.walks for one in found)
    yield f"### A healthy room of 50 ({len(found)} seasons of it)"
    yield ""
    yield "| | |"
    yield "|---|---|"
    yield f"| *vet* a season | {sum(one.vets.total() for one in found) / len(found):.1f} |"
    yield f"| *today* begun in a week | {sum(one.todays.total() for one in found) / weeks:.1f} |"
    yield f"| *watch* begun in a week | {sum(one.watches.total() for one in found) / weeks:.1f} |"
    for level in ("today", "watch"):
        yield f"| *{level}* standing on a walk | {sum(one.standing[level] for one in found) / walks:.1f} |"
    looks = [many for one in found for many in one.looks]
    most = f"{mean(looks):.1f}, {at(0.95, looks)}, {max(looks)}"
    yield f"| looks on a morning: mean, 95th percentile, most | {most} |"
    yield f"| … in the busiest four weeks | {mean(one.busiest for one in found):.1f} |"
    cares = sum((one.lines for one in found), Counter())
    for care, many in cares.most_common():
        yield f"| lines that are not plain on a morning: {care} | {many / mornings:.1f} |"
    yield ""
    yield "*Vet* by rule: " + told(sum((one.vets for one in found), Counter())) + "."
    yield ""
    yield "*Today* by rule: " + told(sum((one.todays for one in found), Counter())) + "."
    yield ""
    yield "*Watch* by rule: " + told(sum((one.watches for one in found), Counter())) + "."
    yield ""


def told(counted: Counter[str]) -> str:
    return ", ".join(f"{what} {many}" for what, many in counted.most_common()) or "none"


def varied(runs: Sequence[tuple[str, Measured]]) -> Iterator[str]:
    """The sensitivity table."""
    yield "| | in time | silenced | *vet* a season | " + " | ".join(SICK) + " |"
    yield "|---|---|---|---" + "|---" * len(SICK) + "|"
    for what, run in runs:
        by_course = []
        for name in SICK:
            some = [one for one in run.sick if one.course == name]
            by_course.append(percent(share(sum(one.in_time for one in some), len(some))))
        yield (
            f"| {what} | {percent(run.caught)} | {run.silenced} of {len(run.sick)} | {run.false_vets:.3f} | "
            + " | ".join(by_course)
            + " |"
        )
    yield ""


def assumptions(biology: Biology, habits: Habits) -> Iterator[str]:
    """Every assumption with its value and source."""
    yield "### The courses"
    yield ""
    yield "| course | part | |"
    yield "|---|---|---|"
    for name in SICK:
        yield f"| {name} | 1/{len(SICK)} of those gone wrong | {SAYS[name]} |"
    for name, (_, part) in HEALTHY.items():
        yield f"| {name} | {Chance(part)} of the healthy | {SAYS[name]} |"
    yield ""
    signs = ", ".join(f"{sign} {Chance(part)}" for sign, part in DANGER)
    yield f"Danger signs, and on how many of the days that show any each is among them: {signs}."
    yield ""
    for title, of in (("The animals", biology), ("The keepers", habits)):
        yield f"### {title}"
        yield ""
        yield "| what | assumed | source |"
        yield "|---|---|---|"
        for name, value, says, source in listed(of):
            yield f"| {says} (`{name}`) | {value} | {source} |"
        yield ""
