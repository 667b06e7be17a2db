"""Weighings seconds apart: what the trend says of them, and what it hides."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from datetime import timedelta
from pathlib import Path
from typing import Any, Final

from tests.cases.going_back import begun
from tests.cases.home import Home, room_now
from tests.cases.verdict import Verdict, case, many
from tests.cases.window import Window

#: More than this in percent, up or down, no dragon of three years does in six weeks while she is well.
BELIEVABLE: Final = 60.0

PERCENT = re.compile(r"\b(up|down)\s+(\d+(?:\.\d+)?)\s*%")


def weighed(home: Home, series: Sequence[tuple[float, float]]) -> None:
    """Write weighings of Wattle: how many days back, and g."""
    now = room_now()
    home.log(
        {
            "kind": "weighed",
            "about": "animal/wattle",
            "grams": grams,
            "at": (now - timedelta(days=days)).isoformat(timespec="seconds"),
        }
        for days, grams in series
    )


def percents(text: str) -> list[float]:
    """Every percentage up or down that is said."""
    return [float(number) * (1 if way == "up" else -1) for way, number in PERCENT.findall(" ".join(text.split()))]


def said_of_her(home: Home) -> str:
    """All that is said of Wattle: her page, the round, the matters, the hand-over."""
    return "\n".join(
        home.must(*words).out for words in (("show", "wattle"), ("today",), ("matters", "--all"), ("hand-over",))
    )


def matters(home: Home) -> list[dict[str, Any]]:
    """The matters about Wattle that are for the vet."""
    return [one for one in all_matters(home) if str(one["level"]).startswith("vet")]


def all_matters(home: Home) -> list[dict[str, Any]]:
    """Every matter about Wattle."""
    found: list[dict[str, Any]] = json.loads(home.must("matters", "--all", "--json", "--about", "wattle").out)[
        "matters"
    ]
    return found


SECONDS: Final = 1 / 86_400
STEADY: Final = [(28.0, 450.0), (21.0, 452.0), (14.0, 449.0), (7.0, 451.0)]


@case("5b", "twelve weighings seconds apart: what the trend says")
def exploding_trend(rounds: Path, folder: Path) -> Verdict:
    home = begun(rounds, folder)
    weighed(home, STEADY)
    weighed(home, [(0.001 - number * SECONDS, 450.0 + number % 4 * 2) for number in range(12)])
    found = percents(said_of_her(home))
    worst = max(found, key=abs, default=0.0)
    alarms = matters(home)
    weights = sum(entry["kind"] == "weighed" and entry["about"] == "animal/wattle" for entry in home.entries())
    return Verdict(
        abs(worst) <= BELIEVABLE and not alarms and weights == 17,
        f"12 weighings within 12 s, 450 to 456 g: the most said is {worst:+g} %, "
        f"{many(len(alarms), 'false vet matter')}, {weights} of 17 weighings readable",
    )


@case("5b2", "twelve weighings seconds apart, falling: a false vet matter")
def false_matter(rounds: Path, folder: Path) -> Verdict:
    home = begun(rounds, folder)
    weighed(home, STEADY)
    weighed(home, [(0.001 - number * SECONDS, 456.0 - number) for number in range(12)])
    found = percents(said_of_her(home))
    worst = max(found, key=abs, default=0.0)
    alarms = matters(home)
    return Verdict(
        not alarms and abs(worst) <= BELIEVABLE,
        f"12 weighings within 12 s, 456 to 445 g: {many(len(alarms), 'false vet matter')}, at most {worst:+g} %",
    )


@case("5b3", "a true loss and then twelve weighings seconds apart: is it still seen")
def hidden_loss(rounds: Path, folder: Path) -> Verdict:
    loss = [(28.0, 450.0), (21.0, 428.0), (14.0, 405.0), (7.0, 380.0)]
    found: list[int] = []
    for name, repeats in (("once", 1), ("repeated", 12), ("over and over", 500)):
        home = begun(rounds, folder / name)
        weighed(home, loss)
        weighed(home, [(0.006 - number * SECONDS, 360.0) for number in range(repeats)])
        found.append(len(matters(home)))
    return Verdict(
        min(found) >= found[0] > 0,
        f"a loss from 450 to 360 g in four weeks: {many(found[0], 'vet matter')} when weighed once today, "
        f"{found[1]} when weighed 12 times in 12 s, {found[2]} when 500 times in 500 s",
    )


@case("5b4", "twelve weights typed in the app, seconds apart")
def typed_in_the_app(rounds: Path, folder: Path) -> Verdict:
    home = begun(rounds, folder)
    weighed(home, STEADY)
    with Window(home) as window:
        window.take_over()
        for number in range(12):
            weight = 450 + number % 4 * 2
            window.press(f"{weight}\r")
            window.sees(f"{weight} g")
            window.watch(0.25)
        window.watch(1)
        text = window.text
        window.leave()
    found = percents(text + said_of_her(home))
    worst = max(found, key=abs, default=0.0)
    weights = sum(entry["kind"] == "weighed" and entry["about"] == "animal/wattle" for entry in home.entries())
    return Verdict(
        abs(worst) <= BELIEVABLE and weights == 17,
        f"12 weights typed within seconds: the most said is {worst:+g} %, {weights} of 17 weighings readable",
    )


@case("5b5", "weighings seconds apart on each of six days: the median of each counts")
def repeats_each_day(rounds: Path, folder: Path) -> Verdict:
    words: list[str] = []
    levels: list[int] = []
    for name, slips in (("plain", 1), ("repeated", 3)):
        home = begun(rounds, folder / name)
        for week in range(6):
            grams = 450.0 - week * 16
            # Nearer than 7 %: readings that lie further apart are unsure, and are weighed again.
            tries = [grams, grams + 20, grams - 20][:slips]
            weighed(home, [(35.0 - week * 7 - number * SECONDS * 20, one) for number, one in enumerate(tries)])
        said = home.must("show", "wattle").out
        words.append(f"{percents(said)[:1] or ['no trend']}")
        levels.append(len(matters(home)))
    return Verdict(
        words[0] == words[1] and levels[0] == levels[1],
        f"three tries a day, 20 g off either way: {words[1]} as against {words[0]} for one weighing, "
        f"{many(levels[1], 'vet matter')} as against {levels[0]}",
    )


@case("5b6", "a slow loss, weighed on walks across midnight: twice within minutes is one weighing")
def across_midnight(rounds: Path, folder: Path) -> Verdict:
    found: list[int] = []
    since_midnight = (room_now().hour * 60 + room_now().minute + 0.5) / 1440
    for name, minutes in (("once", (-2,)), ("twice", (-2, 2))):
        home = begun(rounds, folder / name)
        for week in range(6):
            weighed(
                home,
                [
                    (
                        since_midnight + 35 - week * 7 - minute / 1440,
                        round(450 * 0.984**week + (minute > 0) * 0.4, 1),
                    )
                    for minute in minutes
                ],
            )
        found.append(len(all_matters(home)))
    return Verdict(
        found[1] >= found[0] > 0,
        f"a loss of 8 % in five weeks, weighed at night: {many(found[0], 'matter')} when weighed before midnight, "
        f"{found[1]} when weighed once more after it",
    )
