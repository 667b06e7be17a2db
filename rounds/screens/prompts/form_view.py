"""How a form looks: its fields, what belongs to the one being filled, and the keys."""

from __future__ import annotations

from rounds.screens.board.board import BLANK, Line, Span, fit, line, pressing, rows_of, typed_ends, wrap
from rounds.screens.prompts.fields import TICK_KEYS, Field
from rounds.screens.prompts.form_keys import FormKeys

#: So many of a long list are in sight at once; the others follow the arrows.
_IN_SIGHT = 6


def form_lines(form: FormKeys, width: int, height: int) -> list[Line]:
    """The form in at most `height` lines."""
    shown: list[Line] = [line(" ", Span(fit(form.title, width - 2), "ask")), BLANK]
    label = max(len(field.label) for field in form.fields) + 2
    body: list[Line] = []
    at_line = 0
    for place, field in enumerate(form.fields):
        here = place == form.at
        if here:
            at_line = len(body)
        value, *rows = _value_rows(form, field, here, width - label - 4)
        head = (Span(" > " if here else "   ", "key"), Span(fit(field.label, label), "name" if here else "quiet"))
        body.append(pressing((*head, *value), *_way(form, place)))
        body += [line(" " * (label + 3), *row) for row in rows]
        said = form.said_back(field)
        if said:
            body.append(line(" " * (label + 3), Span(fit(f"= {said}", width - label - 4), "good")))
        if here:
            body += [line(" " * (label + 3), *spans) for spans in _below(form, field, width - label - 4)]
    last = form.at == len(form.fields)
    if last:
        at_line = len(body)
    words = Span("Enter here writes it" if last else "write it", "ask" if last else "quiet")
    body.append(
        pressing(line(Span(" > " if last else "   ", "key"), words), *_way(form, len(form.fields)) or ("enter",))
    )
    below = _at_the_end(form, width)
    if len(shown) + min(4, len(body)) + len(below) > height:
        # A small screen: the field, what is wrong with it, and the keys.
        shown = shown[:1]
        below = [one for one in below if one]
        if not form.wrong:
            below = below[-1:]
    room = max(1, height - len(shown) - len(below))
    first = max(0, min(at_line - room // 2, len(body) - room))
    return [*shown, *body[first : first + room], *below][:height]


def _at_the_end(form: FormKeys, width: int) -> list[Line]:
    """What is wrong, or how the field is written; what is said with the form; the keys."""
    below: list[Line] = [BLANK]
    if form.wrong:
        below += [line(" ", Span(one, "today")) for one in wrap(form.wrong, width - 2)]
    elif form.at < len(form.fields):
        hint = _hint(form, form.fields[form.at])
        if hint:
            below.append(line(" ", Span(fit(hint, width - 2), "quiet")))
    if form.told:
        below += [line(" ", Span(one, "quiet")) for one in wrap(form.told, width - 2)]
    below.append(
        line(
            " ",
            *(Span("Enter", "key", ("enter",)), " next field   ", Span("↑ ↓", "key"), " mend one   "),
            *(Span("F2", "key", ("f2",)), Span(" write it   ", "", ("f2",))),
            *(Span("Escape", "key", ("escape",)), Span(" break off", "", ("escape",))),
        )
    )
    return below


def _way(form: FormKeys, place: int) -> tuple[str, ...]:
    """The keys that lead to another line of the form."""
    return ("tab",) * (place - form.at) + ("shift+tab",) * (form.at - place)


def _hint(form: FormKeys, field: Field) -> str:
    if form.lost.get(field.name) and not form.typed[field.name]:
        return f"Ctrl-Z brings back “{form.lost[field.name]}”"
    if field.hint:
        return field.hint
    if field.several:
        return "Ctrl-J begins a line; Enter goes on to the next field"
    if field.name in form.untouched and field.sort != "choice":
        return "what you type replaces it; Backspace mends it"
    return {
        "choice": "left and right, or part of its name, choose",
        "subject": "part of its name finds it; left and right choose",
        "ticks": "its key ticks a sign, and takes the tick away",
        "date": "3 nov · 2024-05-12 · yesterday" if field.lies == "behind" else "3 dec · mon · +2w · 2026-04-12",
    }.get(field.sort, "")


def _below(form: FormKeys, field: Field, width: int) -> list[list[Span]]:
    """The list that belongs to the field being filled."""
    if field.sort == "ticks":
        ticks = [_tick(form, field, place) for place in range(len(field.options))]
        longest = max((len(option) for option in field.options), default=0) + 6
        if len(ticks) <= 10 or 2 * longest + 2 > width:
            return ticks
        # Every sign has to be in sight.
        half = (len(ticks) + 1) // 2
        apart = [[*left, Span(" " * (longest + 2 - sum(len(span.text) for span in left)))] for left in ticks[:half]]
        return [[*left, *(ticks[half + row] if half + row < len(ticks) else [])] for row, left in enumerate(apart)]
    if field.sort == "choice" and not _fits_in_line(field, width):
        at = field.options.index(form.typed[field.name]) if form.typed[field.name] in field.options else 0
        return _list(field.options, at, bool(form.typed[field.name]), width)
    if field.sort == "subject" and field.name not in form.chosen:
        found = form.found(field)
        marked = bool(form.typed[field.name]) or form.picked
        return _list([one.label for one in found], min(form.pick, len(found) - 1), marked, width)
    return []


def _tick(form: FormKeys, field: Field, place: int) -> list[Span]:
    option, key = field.options[place], TICK_KEYS[place]
    there = option in form.ticked[field.name]
    return [
        Span(f"{key} ", "key", (key,)),
        Span(f"{'YES ' if there else ' –  '}{option}", "name" if there else "quiet", (key,)),
    ]


def _list(words: list[str] | tuple[str, ...], at: int, marked: bool, width: int) -> list[list[Span]]:
    """Some of a long list, the chosen one among them."""
    first = max(0, min(at - _IN_SIGHT // 2, len(words) - _IN_SIGHT))
    shown = [
        [
            Span(
                ("→ " if marked and place == at else "  ") + fit(word, max(4, width - 4)),
                "name" if marked and place == at else "quiet",
                ("right",) * (place - at) + ("left",) * (at - place),
            )
        ]
        for place, word in enumerate(words[first : first + _IN_SIGHT], first)
    ]
    more = len(words) - first - _IN_SIGHT
    return [*shown, [Span(f"  and {more} more", "quiet")]] if more > 0 else shown


def _fits_in_line(field: Field, width: int) -> bool:
    return sum(len(option) + 2 for option in field.options) <= width


def _value_rows(form: FormKeys, field: Field, here: bool, width: int) -> list[list[Span]]:
    """What stands in a field: one row, or several where a text of several lines is being typed."""
    text = form.typed[field.name]
    if field.sort == "choice" and here:
        if not _fits_in_line(field, width):
            return [[Span(fit(f"[{text or '–'}]", width), "name")]]
        return [[_choice(field, option, option == text) for option in field.options]]
    if field.sort == "ticks":
        ticked = ", ".join(one for one in field.options if one in form.ticked[field.name])
        return [[Span(fit(ticked or "none", width))]]
    unit = f" {field.unit}" if text and field.unit else ""
    if not here:
        return [[Span(fit(text + unit, width))]]
    rows = rows_of(text, width - len(unit), _IN_SIGHT)
    return [[Span(row, "field"), Span(unit)] for row in typed_ends(text, width - len(unit), rows)]


def _choice(field: Field, option: str, chosen: bool) -> Span:
    place = field.options.index(option) + 1
    shown, style = (f"[{option}]", "name") if chosen else (f" {option} ", "quiet")
    return Span(shown, style, (str(place),) if place < 10 else ())
