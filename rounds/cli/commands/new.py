"""`rounds new`: a colony's folder with its colony.toml."""

from __future__ import annotations

from rounds import folders
from rounds.cli.call import Call
from rounds.desk.colony_file import write_new
from rounds.desk.machine_zone import told_zone


def run(call: Call) -> int:
    """Write the settings of a new colony, and say how to go on."""
    options = call.options
    folder = folders.given(options.folder) if options.folder else call.colony
    zone = options.time_zone or told_zone(call.environment)
    path = write_new(folder, options.name or folder.resolve().name or "Colony", zone)
    if options.json:
        call.json({"colony": str(folder), "settings": str(path), "time_zone": zone})
    else:
        call.print(str(folder))
    here = "" if folder == call.colony else f" --colony {folder}"
    call.say(
        f"A new colony in {folder}, room time {zone}. Go on with `rounds{here}`: it sets up the first enclosure."
    )
    return 0
