"""colony.toml as a file: read from a colony's folder, written for a new one. What it says is for rules/settings."""

from __future__ import annotations

import os
import stat
from contextlib import suppress
from pathlib import Path
from typing import Final

from rounds import system
from rounds.errors import BadRule, NoColony, NotSaved, UsageError
from rounds.rules.default import default_rules
from rounds.rules.settings import Settings, name_of, settings_of, zone_of

FILE: Final = "colony.toml"
#: A colony.toml is a page or two; whatever is larger is something else.
MOST_BYTES: Final = 256 * 1024


def load(colony_folder: Path) -> Settings:
    """A colony's settings and house rules, from its colony.toml.

    Raises `NoColony` when there is none, and `BadRule` with a plain sentence (the file, the key, what is
    wrong, how to mend it) for any mistake in it.
    """
    return settings_of(_text(colony_folder), default_rules())


def _text(folder: Path) -> str:
    path = folder / FILE
    if not os.path.lexists(path):
        raise NoColony(
            f"There is no colony in {folder}: it has no {FILE}. Start one with `rounds new`, or name another folder"
        )
    try:
        inside = path.resolve(strict=True).is_relative_to(folder.resolve())
    except (OSError, RuntimeError) as error:
        raise BadRule(f"{FILE}: it is a link that leads nowhere; put the file itself into {folder}") from error
    if not inside:
        raise BadRule(f"{FILE}: it is a link that leads out of the colony; put the file itself into {folder}")
    try:
        content = _read(path)
    except OSError as error:
        raise BadRule(
            f"{FILE}: it cannot be read ({error.strerror}); give yourself the right to read it"
        ) from error
    try:
        # Some editors put a byte-order mark in front.
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise BadRule(f"{FILE}, line {line}: it is not UTF-8; save it with that encoding") from error


def _read(path: Path) -> bytes:
    # A pipe would keep the program waiting for ever, so it is opened without waiting and looked at first.
    handle = system.open_file(path, os.O_RDONLY, follow_links=True)
    with open(handle, "rb") as file:  # noqa: PTH123 (a handle, not a path)
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise BadRule(f"{FILE}: it is not a file; put a text file of that name there")
        content = file.read(MOST_BYTES + 1)
    if len(content) > MOST_BYTES:
        raise BadRule(f"{FILE}: it is larger than {MOST_BYTES // 1024} KB; a colony's settings are a page or two")
    return content


_NEW: Final = """\
# The settings of this colony. Edit them by hand; `rounds check` tells what does not hold.

name = {name}
time_zone = {zone}      # the room's own clock, by its IANA name

# "metric" (g, °C). "imperial" is taken too, but screens and paper still show metric.
units = "metric"

# From this hour on a walk of the room is the evening walk.
evening_from = "14:00"

# How days are written here: "day-month" (3/4 is 3 April) or "month-day" (3/4 is March 4).
date_order = "day-month"

# When the lights go off. Insects are not fed in the two hours before.
# lights_off = "20:00"

# What prices and deposits are in: three letters of ISO 4217.
# currency = "AUD"

# The order in which the room is walked, as written on the enclosures. Those not named come after
# them; enclosures where somebody is in quarantine come last unless they are named here.
walking_order = []

# How the racks stand, from left to right, each from its top row down; "" is a free place, a list stands side by
# side. What is not named is drawn as its name says: B3 is row 3 of rack B. Write it below all else, or only their
# order here: racks = ["A", "B", "tubs"]
#   [racks]
#   A = ["A1", "A2", ""]
#   B = [["B1", "B2"], ["B3", "B4"]]

# The desks that write in this colony, by name (a laptop at the rack, one in the office).
desks = []

# Names behind initials, such as  AK = "Anna K."
[keepers]

# The vet who treats your reptiles. The number stands beside every matter for the vet.
# [vet]
# name = "Dr Quoll"
# phone = "08 5550 1234"
# hours = "Mon to Fri 8:00 to 18:00"

# What is kept in stock, what it is for, and how much a head gets at one feeding, by age class. docs/how-to.md,
# "Feeders and supplies", tells more.
# [supplies.locusts]
# use = "insects"      # insects, greens, dust, medium or other
# unit = "pieces"
# hatchling = 20
# young = 15
# adult = 10
# older = 8

# House rules that differ from the defaults. docs/house-rules.md lists every one with its unit and
# source. A value alone will do; with a source it tells the next keeper where it comes from:
#   feeding.insects_adult_days = 3
#   breeding.window_closes = {{ value = 40, source = "our vet, 2026" }}
#   cleaning.full_days = "FREQ=MONTHLY;BYDAY=1SA"
[house_rules]
"""


def write_new(folder: Path, name: str, time_zone: str) -> Path:
    """Write the colony.toml of a new colony into `folder` (made if it is not there); gives its path.

    All or nothing, and never over one that stands. Raises `UsageError` when there is one, `BadRule` for
    a name or zone that cannot be used, and `NotSaved` when the disk does not take it.
    """
    zone = zone_of(time_zone)
    text = _NEW.format(name=_quoted(name_of(name)), zone=_quoted(zone.key))
    settings_of(text, default_rules())
    path = folder / FILE
    if os.path.lexists(path):
        raise UsageError(f"There is a colony in {folder} already; it was left as it is")
    if os.path.exists(folder) and not os.path.isdir(folder):  # noqa: PTH110, PTH112 (these raise nothing)
        raise UsageError(f"{folder} is a file; name a folder for the colony")
    draft = folder / f".{FILE}.{os.getpid()}"
    try:
        system.make_folders(folder)
        draft.unlink(missing_ok=True)
        try:
            with draft.open("xb") as file:
                file.write(text.encode())
                file.flush()
                system.sync(file.fileno())
            system.name_finished_file(draft, path)
        finally:
            with suppress(OSError):
                draft.unlink()
        system.sync_folder(folder)
    except FileExistsError as error:
        raise UsageError(f"There is a colony in {folder} already; it was left as it is") from error
    except OSError as error:
        raise NotSaved(
            f"The new colony in {folder} was not written ({error.strerror}); nothing is left of it"
        ) from error
    return path


def _quoted(text: str) -> str:
    """Text as a TOML basic string."""
    plain = "".join(
        one if one.isprintable() else f"\\U{ord(one):08x}" for one in text.replace("\\", "\\\\").replace('"', '\\"')
    )
    return f'"{plain}"'
