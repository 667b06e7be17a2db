"""`rounds referral`: the sheet for the vet about one animal, as text, as a page to print, or for machines."""

from __future__ import annotations

from pathlib import Path

from rounds import system
from rounds.cli.call import Call
from rounds.desk.offer import known_matters
from rounds.desk.subjects import Names, known
from rounds.errors import BadEntry, NotSaved, UsageError
from rounds.paper.referral import referral
from rounds.paper.referral_text import referral_text


def run(call: Call) -> int:
    """Print the sheet, or write it to the files that are named."""
    options = call.options
    if "-" == options.text == options.html:
        raise UsageError("Only one of --text and --html goes to standard output: name a file for the other")
    with call.desk() as desk:
        now = desk.now()
        subject = Names(desk.standing).find(options.subject)
        if not (subject.startswith("animal/") and known(desk.standing, subject)):
            raise BadEntry("A sheet for the vet is of one animal")
        found = referral(
            desk.standing,
            desk.settings,
            now,
            subject,
            desk.history(subject),
            known_matters(desk, (subject,)),
            call.keeper,
        )
        page = ""
        if options.html:
            from rounds.paper.referral_html import referral_html

            page = referral_html(found, now)
        files = [
            *([(options.text, referral_text(found, now))] if options.text and options.text != "-" else []),
            *([(options.html, page)] if options.html and options.html != "-" else []),
        ]
        written = [_write(name, text) for name, text in files]
        if options.json:
            call.json({**found, "written": written, **call.missing_values(desk, subject)})
        elif options.html == "-":
            call.print(page)
        elif not written or options.text == "-":
            call.caution_of(desk, subject)
            call.print(referral_text(found, now))
        for path in written:
            call.say(f"Written to {path}")
        call.warn_of(desk)
    return 0


def _write(name: str, text: str) -> str:
    """Write a new file of this name. Raises `UsageError` where one stands, `NotSaved` where the disk refuses."""
    path = Path(name).expanduser()
    if path.exists() or path.is_symlink():
        raise UsageError(f"{name} is there already and was left as it is; name another file")
    try:
        return str(system.write_new_file(path.parent, path.stem, path.suffix, text.encode(errors="replace")))
    except OSError as error:
        raise NotSaved(
            f"{name} was not written: {error.strerror or error}. Name a folder that can be written"
        ) from error
