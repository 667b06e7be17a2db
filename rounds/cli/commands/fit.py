"""`rounds fit`: what speaks for and against pairing every adult, or one animal with each check and its rule."""

from __future__ import annotations

from rounds.cli.call import Call
from rounds.desk.subjects import Names
from rounds.errors import BadEntry
from rounds.paper.fitness import adults, fit_list, fit_text


def run(call: Call) -> int:
    """Print the checks before pairing."""
    with call.desk() as desk:
        now, named = desk.now(), call.options.subject
        if named:
            subject = Names(desk.standing).find(named)
            if not subject.startswith("animal/"):
                raise BadEntry("Before pairing one animal is looked at: name an animal, such as wattle")
            subjects: tuple[str, ...] = (subject,)
        else:
            subjects = adults(desk.standing, desk.house, now)
        told = fit_list(desk.standing, desk.settings, now, subjects)
        if call.options.json:
            call.json(told | call.missing_values(desk, subjects[0] if named else ""))
        else:
            call.caution_of(desk, subjects[0] if named else "")
            call.print(fit_text(told, now, each=bool(named)))
        call.warn_of(desk)
    return 0
