"""`rounds boxes`: every egg box, what it should weigh and what is due; with --dry the water for a new one."""

from __future__ import annotations

from rounds.cli.call import Call
from rounds.desk.subjects import Names
from rounds.errors import UsageError
from rounds.paper.boxes import boxes, boxes_text

#: The heaviest egg box that an entry takes, in g.
MOST_GRAMS = 50_000.0


def run(call: Call) -> int:
    """Print the egg boxes, shelf by shelf; or what is still to be added to one that is being made up."""
    if call.options.dry is not None:
        return _making_up(call)
    if call.options.ratio is not None or call.options.scale is not None or call.options.tare:
        raise UsageError("how much water? Give --dry too: the weight of the dry medium in g")
    with call.desk() as desk:
        now, asked = desk.now(), call.options.shelf
        place = Names(desk.standing).find(asked, ("enclosure",)) if asked else None
        found = boxes(desk.standing, desk.settings, now, place)
        if call.options.json:
            call.json(found | call.missing_values(desk))
        else:
            call.caution_of(desk)
            call.print(boxes_text(found, now))
        call.warn_of(desk)
    return 0


def _making_up(call: Call) -> int:
    """Print how much water so much dry medium wants. Raises `UsageError` for a figure that no scale shows."""
    from rounds.paper.making_up import making_up, making_up_text

    options = call.options
    if options.shelf:
        raise UsageError("--dry is of a box that is not made up yet: leave the shelf out")
    for name, value, least, most in (
        ("--dry", options.dry, 0.0, MOST_GRAMS),
        ("--ratio", options.ratio, 0.0, 10.0),
        ("--tare", options.tare, -1.0, MOST_GRAMS),
        ("--scale", options.scale, -1.0, MOST_GRAMS),
    ):
        if value is not None and (not least < value <= most or -1.0 < value < 0.0):
            raise UsageError(f"{name} {value:g} cannot be: above 0, at most {most:g}")
    with call.desk() as desk:
        found = making_up(desk.house, options.dry, options.ratio, options.tare, options.scale)
        if call.options.json:
            call.json({"making_up": found})
        else:
            call.print(making_up_text(found))
    return 0
