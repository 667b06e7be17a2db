"""Command lines: options that a command can use, or a sentence."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from rounds.cli.moments import reckoning_moment
from rounds.cli.parser import COMMANDS, parsed
from rounds.errors import RoundsError
from tests.fuzzing.feed import Feed
from tests.fuzzing.targets import Taker
from tests.fuzzing.targets.values import DAYS, KIND_NAMES, MEMBER_NAMES, MOMENTS, SUBJECTS, answered, odd_text
from tests.notation import VIENNA, at

OPTIONS: Final = ("--on", "--json", "--by", "--at", "--walk", "--lines", "--note", "--all", "--about", "--referral")
_OTHERS: Final = (
    "--colony",
    "--sign",
    "--to",
    "--repair",
    "--sure",
    "--dry-run",
    "--version",
    "--",
    "-",
    "-2d",
    "-x",
)
_WORDS: Final = (*OPTIONS, *_OTHERS, *COMMANDS, *KIND_NAMES, *SUBJECTS, *DAYS, *MOMENTS, "morning", "grams=452")
_NOW: Final = at("2026-04-12 18:00")


def prepared(_folder: Path) -> Taker:
    """Takes the words behind `rounds`."""
    return take


def take(content: bytes) -> None:
    """One command line; it is read, and not carried out."""
    words = some_words(Feed(content), _WORDS)
    try:
        options = parsed([word for word in words if word not in ("-h", "--help")])
        if options.on:
            reckoning_moment(options.on, VIENNA, _NOW)
    except RoundsError as error:
        answered(error)
        return
    assert options.command is None or options.command in COMMANDS


def some_words(feed: Feed, among: tuple[str, ...], most: int = 7) -> list[str]:
    """Some words, most of them out of these."""
    words: list[str] = []
    while not feed.is_used_up and len(words) < most:
        how = feed.number(7)
        if how == 0:
            words.append(odd_text(feed))
        elif how == 1:
            words.append(f"{feed.pick(MEMBER_NAMES)}={odd_text(feed)}")
        else:
            words.append(feed.pick(among))
    return words
