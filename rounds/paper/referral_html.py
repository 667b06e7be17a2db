"""The sheet for the vet as one page of HTML, to print on A4 or Letter: black on white, no script, nothing fetched.

All text is escaped, and whatever would turn a line round or hide in it is written out (`plain_text.shown`). The
page says in its own policy that nothing may be loaded. It holds no path and no name of a machine.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from html import escape
from typing import Final

from rounds.logbook.entries.base import grams
from rounds.paper.plain_text import shown
from rounds.paper.referral_text import (
    EVERY_SIGN,
    MOST,
    PARTS,
    WEIGHINGS,
    absent,
    clutch_rows,
    identity_words,
    kept_words,
    lives_words,
    newest_first,
    points,
    season_heading,
    seen_words,
    sign_rows,
    words_of,
)
from rounds.paper.subject import weight_rows
from rounds.paper.values import Values, printed
from rounds.paper.words import CAUTION, date_words

_STYLE: Final = """
@page { margin: 14mm 15mm; }
* { box-sizing: border-box; }
html { background: #fff; color: #000; }
body { font: 9.5pt/1.3 "Helvetica Neue", Arial, "Noto Sans", sans-serif; margin: 0 auto; max-width: 180mm;
  padding: 6mm 0; overflow-wrap: anywhere; }
header { border-bottom: 2px solid #000; margin-bottom: 3mm; }
h1 { font-size: 17pt; margin: 0 0 1mm; }
h2 { font-size: 11pt; margin: 4mm 0 1mm; border-bottom: 1px solid #000; break-after: avoid; }
p { margin: 0 0 1mm; }
table { border-collapse: collapse; width: 100%; }
thead { display: table-header-group; }
tr { break-inside: avoid; }
th, td { text-align: left; vertical-align: top; padding: .4mm 3mm .4mm 0; }
th { font-weight: 600; }
td.when, th.when { white-space: nowrap; width: 28mm; }
td.who, th.who { width: 16mm; }
td.figure, th.figure { text-align: right; white-space: nowrap; width: 22mm; }
.danger, .why { font-weight: 700; }
.why { border: 2px solid #000; padding: 1.5mm 2mm; margin-bottom: 1.5mm; break-inside: avoid; }
.level { text-transform: uppercase; margin-right: 3mm; }
svg { display: block; width: 100%; height: auto; break-inside: avoid; }
dl { break-inside: avoid; display: grid; grid-template-columns: 28mm 1fr; margin: 0; }
dt { font-weight: 600; }
dd { margin: 0; }
.lines { break-inside: avoid; }
.lines div { border-bottom: 1px solid #000; height: 9mm; }
footer { border-top: 1px solid #000; margin-top: 5mm; padding-top: 1mm; font-size: 9pt; break-inside: avoid; }
@media screen { body { padding: 8mm 6mm; } }
@media print { body { padding: 0; max-width: none; } }
"""
#: The drawing of the weights, in its own units.
_WIDE, _HIGH, _LEFT, _FOOT, _TOP = 680, 170, 52, 22, 10


def referral_html(found: Values, now: datetime) -> str:
    """The sheet as a page of HTML, ending with a line end."""
    title = f"For the vet: {found['name']}"
    parts = [
        "<!doctype html>",
        '<html lang="en">',
        "<head>",
        '<meta charset="utf-8">',
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">",
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        '<meta name="referrer" content="no-referrer">',
        f"<title>{_text(title)}</title>",
        f"<style>{_STYLE}</style>",
        "</head>",
        "<body>",
        *_head(found, now, title),
        *_why(found["why"]),
        *_signs(found["signs"], now),
        *_weights(found["weighings"], now),
        *_part(season_heading(found, now), newest_first(found, "timeline"), now, always=True),
        *_part(EVERY_SIGN, sign_rows(found["every_sign"]), now),
        *_clutches(found["clutches"], now),
        "<section><h2>How it is kept</h2><dl>",
        *(f"<dt>{_text(label)}</dt><dd>{_text(text)}</dd>" for label, text in kept_words(found["husbandry"], now)),
        "</dl></section>",
    ]
    for heading, name in PARTS:
        parts += _part(heading, newest_first(found, name), now)
    parts += [
        '<section class="lines"><h2>Vet&#x27;s findings and instructions</h2>',
        "<div></div><div></div><div></div><div></div></section>",
        f"<footer><p>{_text(CAUTION)}</p></footer>",
        "</body>",
        "</html>",
    ]
    return "\n".join(parts) + "\n"


def _text(text: str) -> str:
    """Text that stands in the page as it was written, and does nothing."""
    return escape(shown(text), quote=True)


def _head(found: Values, now: datetime, title: str) -> Iterable[str]:
    by = f", written by {found['by']}" if found["by"] else ""
    lives = lives_words(found)
    lives = f"{lives[0].upper()}{lives[1:]}."
    yield "<header>"
    yield f"<h1>{_text(title)}</h1>"
    day = f"{now:%a} {date_words(now, now)} {now.year} {now:%H:%M}"
    yield f"<p>{_text(found['colony'])}, {_text(day)}{_text(by)}</p>"
    if found["phone"]:
        yield f"<p>Vet: {_text(found['phone'])}</p>"
    yield "</header>"
    yield f"<p>{_text(', '.join(identity_words(found)))}. {_text(lives)}</p>"


def _why(why: Sequence[Values]) -> Iterable[str]:
    if why:
        yield "<section><h2>Why</h2>"
        for one in why:
            level, says = _text(one["level"]), _text(one["says"])
            yield f'<p class="why"><span class="level">{level}</span> {says}</p>'
        yield "</section>"


def _signs(signs: Sequence[Values], now: datetime) -> Iterable[str]:
    seen = seen_words(signs, now)
    yield "<section><h2>Signs as last looked for</h2><dl>"
    yield f'<dt>seen</dt><dd class="danger">{_text(", ".join(seen) or "none noted")}</dd>'
    for last, names in absent(signs).items():
        yield f"<dt>not there</dt><dd>{_text(', '.join(names))} ({_text(printed(last, now))})</dd>"
    yield "</dl></section>"


def _part(heading: str, rows: Sequence[Values], now: datetime, *, always: bool = False) -> Iterable[str]:
    if not rows and not always:
        return
    yield f"<section><h2>{_text(heading)}</h2>"
    if rows:
        yield '<table><thead><tr><th class="when">when</th><th class="who">by</th><th>what</th></tr></thead><tbody>'
        for one in rows[:MOST]:
            grave = ' class="danger"' if one.get("danger") else ""
            when, by, says = printed(one["at"], now), one["by"], words_of(one)
            mark = "! " if one.get("danger") else ""
            yield (
                f'<tr{grave}><td class="when">{_text(when)}</td><td class="who">{_text(by)}</td>'
                f"<td>{mark}{_text(says)}</td></tr>"
            )
        yield "</tbody></table>"
    else:
        yield "<p>nothing noted</p>"
    if len(rows) > MOST:
        yield f"<p>({len(rows) - MOST} earlier ones are in the logbook)</p>"
    yield "</section>"


def _clutches(clutches: Sequence[Values], now: datetime) -> Iterable[str]:
    if clutches:
        yield "<section><h2>Clutches</h2><table><tbody>"
        for words in clutch_rows(clutches, now):
            yield f'<tr><td class="when">{_text(words[0])}</td><td>{_text(", ".join(words[1:]))}</td></tr>'
        yield "</tbody></table></section>"


def _weights(weighings: Sequence[Values], now: datetime) -> Iterable[str]:
    if not weighings:
        return
    yield "<section><h2>Weights</h2>"
    if len(weighings) > 1:
        yield from _drawn(weighings, now)
    yield '<table><thead><tr><th class="when">when</th><th class="figure">weight</th>'
    yield '<th class="figure">change</th><th>by</th></tr></thead><tbody>'
    for when, weight, change, by in reversed(weight_rows(weighings, now, printed)[-WEIGHINGS:]):
        yield (
            f'<tr><td class="when">{_text(when)}</td><td class="figure">{_text(weight.strip())}</td>'
            f'<td class="figure">{_text(change.strip())}</td><td>{_text(by)}</td></tr>'
        )
    yield "</tbody></table></section>"


def _drawn(weighings: Sequence[Values], now: datetime) -> Iterable[str]:
    """The weights over time as a line with a dot at each weighing; figures at its ends, its top and its bottom."""
    every = points(weighings)
    low, high = min(weight for _, weight in every), max(weight for _, weight in every)
    span = (every[-1][0] - every[0][0]).total_seconds() or 1.0
    room = (high - low) or 1.0

    def place(at: datetime, weight: float) -> tuple[float, float]:
        x = _LEFT + (at - every[0][0]).total_seconds() / span * (_WIDE - _LEFT - 12)
        return x, _TOP + (high - weight) / room * (_HIGH - _FOOT - _TOP - 8)

    spots = [place(at, weight) for at, weight in every]
    said = (
        f"{len(every)} weighings from {date_words(every[0][0], now)} to {date_words(every[-1][0], now)}, "
        f"lowest {grams(low)}, highest {grams(high)}, last {grams(every[-1][1])}"
    )
    base = _HIGH - _FOOT
    yield f'<svg viewBox="0 0 {_WIDE} {_HIGH}" role="img" aria-label="{_text(said)}">'
    yield f"<title>{_text(said)}</title>"
    yield f'<path d="M{_LEFT} {_TOP - 6}V{base}H{_WIDE}" fill="none" stroke="#000" stroke-width="1"/>'
    line = " ".join(f"{x:.1f},{y:.1f}" for x, y in spots)
    yield f'<polyline points="{line}" fill="none" stroke="#000" stroke-width="1.6"/>'
    for x, y in spots:
        yield f'<circle cx="{x:.1f}" cy="{y:.1f}" r="2.6" fill="#000"/>'
    yield _label(_LEFT - 6, _TOP + 4, grams(high), "end")
    if high != low:
        yield _label(_LEFT - 6, base - 4, grams(low), "end")
    yield _label(_LEFT, _HIGH - 6, date_words(every[0][0], now), "start")
    yield _label(_WIDE - 2, _HIGH - 6, date_words(every[-1][0], now), "end")
    yield "</svg>"


def _label(x: float, y: float, words: str, anchor: str) -> str:
    return (
        f'<text x="{x:g}" y="{y:g}" text-anchor="{anchor}" font-size="12" font-family="Arial, sans-serif">'
        f"{_text(words)}</text>"
    )
