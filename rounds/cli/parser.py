"""Every command and option, with the words that --help shows. docs/commands.md is compared with it."""

from __future__ import annotations

import argparse
import re
from collections.abc import Collection
from typing import Final, NoReturn

from rounds.errors import UsageError

#: Command → the module that carries it out, and what it is for.
COMMANDS: Final[dict[str, tuple[str, str]]] = {
    "open": ("open", "open the full-screen app at the rack (this is what `rounds` alone does)"),
    "demo": ("demo", "make the demo colony, an invented room ending today, and open it"),
    "new": ("new", "start a new colony in a folder"),
    "today": ("today", "today's round: each stop with who lives there, what is due and what needs attention"),
    "matters": ("matters", "all that needs attention, worst first, each with its reason and rule"),
    "females": ("females", "when each female lays, and what speaks for eggs in her"),
    "pairing": ("pairing", "who may be paired with whom: kin, traits of the young and cautions, before it is done"),
    "boxes": ("boxes", "every egg box: its eggs and their days, what it should weigh, what to top up, what is due"),
    "room": ("room", "the racks as they stand, each enclosure with what presses most and what is due"),
    "season": ("season", "the season: females on a timeline of weeks, egg boxes with their hatch windows"),
    "young": ("young", "the young by clutch: how many, how they grow, what is due, what may be sold"),
    "record": ("record", "the page that goes along with an animal, or with some of a group"),
    "stock": ("stock", "what came in and what went out, per clutch and in a year, with sums"),
    "hand-over": ("hand_over", "the hand-over sheet of this shift; with --sign it is signed and written"),
    "supplies": ("supplies", "feeders and supplies: what is left, how long it lasts, what to order"),
    "fortnight": ("fortnight", "the next fourteen days: windows, hatches, weighings, appointments, orders"),
    "log": ("log", "write entries: one from words, or many as JSON lines from standard input"),
    "logger": ("logger", "read a temperature logger's file onto a shelf of the incubator"),
    "incubator": (
        "incubator",
        "the shelves and the clutches on them: temperatures, hatch windows, what was too hot",
    ),
    "show": ("show", "an animal, group, enclosure, clutch or the room, with its entries"),
    "fit": ("fit", "before pairing: what speaks for and against each adult, with the rules behind it"),
    "referral": ("referral", "the sheet for the vet about one animal, as text and as one page to print"),
    "find": ("find", "entries by kind, subject, keeper, period, words in notes and figures, newest first"),
    "check": ("check", "read every sheet and tell what is damaged and what does not hold together"),
    "help": ("help", "how a command is put, or what an entry kind holds"),
}

_AGO: Final = re.compile(r"-\d")
#: Compiled when a mistake is told.
_UNKNOWN: Final = r"argument COMMAND: invalid choice: '(.*?)' [(]"


class Parser(argparse.ArgumentParser):
    """A parser whose mistakes are `UsageError`s, with a plain sentence and the way to the help."""

    def error(self, message: str) -> NoReturn:
        """Say what was wrong with the words of the command."""
        command = self.prog.partition(" ")[2]
        unknown = re.match(_UNKNOWN, message)
        if unknown:
            from difflib import get_close_matches

            near = get_close_matches(unknown[1], COMMANDS, n=1)
            like = f" Did you mean {near[0]}?" if near else ""
            raise UsageError(f"There is no command {unknown[1]!r}.{like} `rounds help` lists them.")
        plain = message.replace("unrecognized arguments:", "not understood:").replace("argument ", "")
        raise UsageError(
            f"{plain[:1].upper()}{plain[1:]}. `rounds help{' ' + command if command else ''}` shows how."
        )


def parser(asked: Collection[str] = COMMANDS) -> tuple[Parser, dict[str, Parser]]:
    """The parser of the whole command line, and that of each command, or of those asked for alone."""
    shared = _shared()
    top = Parser(
        prog="rounds",
        description="The daily round through a bearded dragon breeding room.",
        epilog="`rounds help COMMAND` tells more of one command; docs/commands.md tells all.",
        parents=[shared],
        allow_abbrev=False,
        formatter_class=_Help,
    )
    top.add_argument("--version", action="store_true", help="the version of this program")
    commands = top.add_subparsers(dest="command", metavar="COMMAND", title="commands", parser_class=Parser)
    each: dict[str, Parser] = {}
    for name in asked:
        what = COMMANDS[name][1]
        each[name] = commands.add_parser(
            name,
            help=what,
            description=f"{what[:1].upper()}{what[1:]}.",
            parents=[shared],
            allow_abbrev=False,
            formatter_class=_Help,
        )
        _options(name, each[name])
    return top, each


class _Help(argparse.HelpFormatter):
    """80 columns, whatever the terminal: a page that can be piped and compared."""

    def __init__(self, prog: str) -> None:
        super().__init__(prog, max_help_position=26, width=80)


def _shared() -> Parser:
    """Options that may stand before or after the command."""
    shared = Parser(add_help=False, argument_default=argparse.SUPPRESS)
    group = shared.add_argument_group("for every command")
    group.add_argument(
        "--colony",
        metavar="DIR",
        help="the colony's folder (else ROUNDS_COLONY, else rounds/colony in the user's data folder)",
    )
    group.add_argument(
        "--on",
        metavar="WHEN",
        help="reckon as of then: 2026-04-12, yesterday (its end; today: now) or '3 nov 18:00'",
    )
    group.add_argument("--json", action="store_true", help="for machines, as docs/json.md has it")
    return shared


def _options(name: str, command: Parser) -> None:
    match name:
        case "open":
            _by(command)
        case "demo":
            _by(command)
            command.add_argument("--folder", metavar="DIR", help="where to make it (else the user's data folder)")
            command.add_argument(
                "--fresh", action="store_true", help="make it again, dropping what was tried in it"
            )
        case "new":
            command.add_argument(
                "folder", nargs="?", metavar="DIR", help="where (else --colony, else the usual place)"
            )
            command.add_argument("--name", metavar="NAME", help="the colony's name (else the folder's)")
            command.add_argument(
                "--time-zone", metavar="ZONE", help="the room's zone, such as Europe/Vienna (else the system's)"
            )
        case "today" | "room":
            _walk(command)
        case "season":
            command.add_argument("--from", dest="begins", metavar="DAY", help="the first week (else 8 weeks ago)")
            command.add_argument("--weeks", type=int, metavar="N", help="how many weeks (else 18; 4 to 104)")
        case "referral":
            command.add_argument("subject", metavar="NAME", help="the animal, by name, id or label")
            command.add_argument("--html", metavar="FILE", help="write the page to print; - for standard output")
            command.add_argument(
                "--text", metavar="FILE", help="write the text to a new file; - for standard output"
            )
            _by(command)
        case "matters":
            command.add_argument("--all", action="store_true", help="those put off too")
            command.add_argument("--about", metavar="SUBJECT", help="only those of one subject")
        case "females":
            command.add_argument("--about", metavar="SUBJECT", help="only this one")
        case "pairing":
            command.add_argument(
                "female",
                nargs="?",
                metavar="FEMALE",
                help="every male for her, least kin first (or a male's females)",
            )
            command.add_argument("male", nargs="?", metavar="MALE", help="the page of this one pair")
        case "boxes":
            command.add_argument(
                "shelf", nargs="?", metavar="SHELF", help="only those on this shelf, or this one box: S1, K1"
            )
            command.add_argument("--dry", type=float, metavar="G", help="making one up: its dry medium in g")
            command.add_argument("--ratio", type=float, metavar="R", help="water to 1 of dry (else the house rule)")
            command.add_argument("--tare", type=float, default=0.0, metavar="G", help="the empty box in g (else 0)")
            command.add_argument("--scale", type=float, metavar="G", help="what the scale reads now, in g")
        case "record":
            command.add_argument("subject", metavar="NAME", help="name or id: mallee, group/hatch-1")
            command.add_argument("--count", type=int, metavar="N", help="how many of a group go (else all)")
            _by(command)
        case "stock":
            command.add_argument("--year", type=int, metavar="YEAR", help="which year (else this one)")
            command.add_argument(
                "--season",
                nargs="?",
                const="",
                metavar="YEAR",
                help="from waking to waking: 2026 or 2026/27 (else the one of now)",
            )
            command.add_argument("--from", dest="begins", metavar="DAY", help="a year that begins on this day")
            command.add_argument(
                "--to", dest="ends", metavar="DAY", help="with --from: the last day, if not a year on"
            )
        case "hand-over":
            command.add_argument("--sign", action="store_true", help="sign it and write it down")
            _by(command)
            command.add_argument("--to", metavar="INITIALS", help="who takes over")
            command.add_argument("--note", metavar="TEXT", help="for the next keeper")
            _walk(command)
        case "log":
            command.usage = "rounds log KIND SUBJECT [NAME=VALUE ...] [options]\n       rounds log - [options]"
            command.add_argument(
                "words",
                nargs="*",
                metavar="WORD",
                help="kind, subject and members: weighed wattle grams=452; or - for JSON lines from standard input",
            )
            _by(command)
            command.add_argument(
                "--at",
                metavar="WHEN",
                help="when it was seen, as people write it: 7:30, 'yesterday 18', '3 nov 18:00', -2d (else now)",
            )
            command.add_argument(
                "--sure",
                action="store_true",
                help="write it though it is doubted: a far-off weight, one who is gone",
            )
            command.add_argument("--note", metavar="TEXT", help="a note with the entry")
            command.add_argument("--dry-run", action="store_true", help="look at everything and write nothing")
        case "logger":
            command.add_argument("shelf", metavar="SHELF", help="the shelf the logger lay on: S1")
            command.add_argument(
                "file", metavar="FILE", help="the logger's file, as it wrote it; or - for standard input"
            )
            command.add_argument("--column", metavar="NAME", help="which column is this shelf's, by name or number")
            command.add_argument(
                "--humidity", metavar="NAME", help="which column is its humidity, by name or number"
            )
            command.add_argument("--unit", metavar="C|F", help="°C or °F, where the file does not say")
            command.add_argument(
                "--date-order",
                choices=("day-month", "month-day"),
                help="whether 3/4 is 3 April or March 4 in this file (else as colony.toml says)",
            )
            command.add_argument(
                "--zone", metavar="ZONE", help="the logger's clock: UTC, +01:00, Europe/Vienna (else the room's)"
            )
            command.add_argument("--dry-run", action="store_true", help="read everything and write nothing")
            _by(command)
        case "show":
            command.add_argument(
                "subject",
                nargs="?",
                metavar="SUBJECT",
                help="name, id or the beginning of one: wattle, B3, group/hatch-1, room",
            )
            command.add_argument(
                "--lines",
                action="store_true",
                help="its entries (without a subject: all) as JSON lines that `log -` takes",
            )
            command.add_argument("--referral", action="store_true", help="the page for the vet")
        case "fit":
            command.add_argument(
                "subject", nargs="?", metavar="SUBJECT", help="one animal, with each check, its rule and its source"
            )
        case "find":
            command.usage = "rounds find CONDITION ... [options]"
            command.add_argument(
                "words",
                nargs="+",
                metavar="CONDITION",
                help="what to look for, in any order: wattle weighed 'grams<300' since 1 oct until today by AK "
                "note dusty",
            )
            command.add_argument("--all", action="store_true", help="every one, not only the newest 200")
        case "check":
            command.add_argument(
                "--repair", action="store_true", help="set damaged lines aside, so that the sheets read clean"
            )
            command.add_argument(
                "--bring-back",
                action="store_true",
                help="write again what was read here and stands on no sheet any more",
            )
            command.add_argument(
                "--leave-missing", action="store_true", help="leave it missing, note it, and do not offer it again"
            )
            command.add_argument(
                "--sure", action="store_true", help="leave it missing though a vet matter is among it"
            )
            _by(command)
        case "help":
            command.add_argument("about", nargs="?", metavar="COMMAND", help="a command, or an entry kind")


def _by(command: Parser) -> None:
    command.add_argument("--by", metavar="INITIALS", help="who is writing (else ROUNDS_KEEPER)")


def _walk(command: Parser) -> None:
    command.add_argument("--walk", choices=("morning", "evening"), help="which walk (else by the room's clock)")


def _with_times_ago(words: list[str]) -> list[str]:
    """`--at -2d` is a time, not an option: argparse takes it in one word only."""
    joined: list[str] = []
    for word in words:
        if joined and joined[-1] in ("--at", "--on") and _AGO.match(word):
            joined[-1] += f"={word}"
        elif "find" in joined[:-1] and _AGO.match(word):
            joined[-1] += f" {word}"
        else:
            joined.append(word)
    return joined


def parsed(words: list[str]) -> argparse.Namespace:
    """The options of a command line. Raises `UsageError`."""
    # A command is parsed by its own options alone: to make those of all takes as long as the rest of the parsing.
    asked = [] if {"-h", "--help"} & set(words) else [word for word in words if word in COMMANDS]
    top, each = parser(dict.fromkeys(asked) or COMMANDS)
    options, rest = top.parse_known_args(_with_times_ago(words))
    # Members of an entry may stand behind an option: rounds log weighed --by AK wattle grams=452
    if rest and options.command == "log" and not any(word.startswith("-") and word != "-" for word in rest):
        options.words += rest
        rest = []
    if rest:
        each.get(options.command or "", top).error(f"not understood: {' '.join(rest)}")
    for name, default in (("colony", None), ("on", None), ("json", False)):
        if not hasattr(options, name):
            setattr(options, name, default)
    return options
