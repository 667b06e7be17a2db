"""The sheet for the vet: the gravest first, every sign that was ever seen, and a page that is only itself."""

from __future__ import annotations

from html.parser import HTMLParser
from typing import Any

import pytest

from rounds.due.reckon import matters_about
from rounds.paper.referral import referral
from rounds.paper.referral_html import referral_html
from rounds.paper.referral_text import referral_text
from rounds.paper.values import Values
from rounds.paper.words import CAUTION
from rounds.rules.default import default_house
from rounds.rules.settings import Settings
from tests.notation import VIENNA, at, logbook, standing

HOUSE = default_house(VIENNA)
NOW = at("2026-04-12 18:00")
#: A female who laid last year, and digs now; 30 weighings, more signs than a page's head has room for.
SEASON = """
    2025-03-01 AK
    08:00  b3      enclosure_set_up  name=B3
    08:00  l1      enclosure_set_up  name=L1 what="lay box"
    08:10  wattle  arrived  name=Wattle sex=F place=b3 hatched=2022-02-01 tag=W7 origin="the <valley>"
    09:00  wattle  egg_check_done  present=prolapse note="at noon"
    2025-04-01 AK
    08:00  wattle  eggs_laid  clutch=wattle-2025-1 count=12
    2025-04-02 EM
    08:00  wattle  eggs_laid  clutch=wattle-2025-1 count=21 slugs=2 complete=true
    2025-04-03 EM
    08:00  wattle  vet_seen  outcome="as before" treatment="in the vet's words" under_treatment_until=2025-04-20
    2026-03-01 AK
    08:00  b3      climate_read  basking_c=40.5 cool_c=24 uv_index=3.5
    08:00  b3      lamp_changed  what="lamp 12"
    08:05  enclosure/b3  fed  what=roaches dusted=calcium
    08:10  wattle  weighed  grams=401
    09:00  wattle  mating_seen
    2026-03-20 AK
    08:00  wattle  weighed  grams=470
    2026-03-29 EM
    08:00  wattle  moved  to=l1
    08:01  wattle  lay_box_in  depth_cm=20
    2026-03-30 EM
    07:00  wattle  egg_check_done  present="off food,digging"
    07:01  wattle  ate  how=refused
    07:30  wattle  noted  note="soaked for half an hour"
    2026-04-10 AK
    09:00  wattle  vet_called  vet="Dr Quoll" said="bring her"
    2026-04-11 AK
    08:00  l1      climate_read  air_c=28.5
    08:00  wattle  egg_check_done  present=lethargy absent=tremor,prolapse note="since noon"
"""


def sheet(page: str = SEASON, name: str = "Quandong shed") -> Values:
    """The sheet about Wattle."""
    here = standing(page)
    settings = Settings(name=name, zone=VIENNA, house=HOUSE)
    found = matters_about(here, HOUSE, NOW, ["animal/wattle"])
    return referral(here, settings, NOW, "animal/wattle", logbook(page), found, "AK")


def part(text: str, heading: str) -> list[str]:
    """The lines under a heading of the text."""
    lines = text.splitlines()
    begins = next(place for place, one in enumerate(lines) if one.startswith(heading))
    found: list[str] = []
    for one in lines[begins + 1 :]:
        if one and not one.startswith(" "):
            break
        if one.strip():
            found.append(one.strip())
    return found


def test_every_sign_ever_seen_stands_with_its_time_danger_signs_first_and_the_newest_of_each_first() -> None:
    text = referral_text(sheet(), NOW)
    assert part(text, "EVERY SIGN") == [
        "11 Apr 08:00      AK  !  lethargy: since noon",
        "1 Mar 2025 09:00  AK  !  prolapse: at noon",
        "30 Mar 07:00      EM     off food, digging",
    ]


def test_the_season_begins_with_the_last_mating_or_before_and_is_told_newest_first() -> None:
    found = sheet()
    assert found["mated"] == "2026-03-01T09:00:00+01:00"
    told = part(referral_text(found, NOW), "SINCE 1 APR 2025 08:00, NEWEST FIRST; LAST MATED 1 MAR 09:00")
    assert told[:2] == [
        "11 Apr 08:00      AK  !  egg check: lethargy: since noon",
        "10 Apr 09:00      AK     vet phoned (Dr Quoll), bring her",
    ]
    says = [one["says"] for one in found["timeline"]]
    assert says.index("mating seen") < says.index("lay box in, 20 cm deep") < says.index("refused insects")


def test_a_sign_tells_when_it_was_last_looked_for_and_not_there() -> None:
    clear = SEASON.replace(
        "07:00  wattle  egg_check_done  present=",
        "06:00  wattle  egg_check_done absent=lethargy\n    07:00  wattle  egg_check_done  present=",
    )
    text = " ".join(referral_text(sheet(clear), NOW).split())
    assert "lethargy (11 Apr 08:00 AK; not there 30 Mar 06:00)" in text
    page = referral_html(sheet(clear), NOW)
    assert "lethargy (11 Apr 08:00 AK; not there 30 Mar 06:00)" in page


def test_droppings_noted_of_her_enclosure_and_the_warmth_of_the_nest_stand_on_it() -> None:
    text = " ".join(
        referral_text(sheet(SEASON + "    09:00  enclosure/l1  droppings_seen  look=runny\n"), NOW).split()
    )
    assert "11 Apr 09:00 AK L1: droppings runny" in text
    assert "nest 28.5 °C (11 Apr 08:00)" in text


def test_why_identification_clutches_care_and_what_was_tried_stand_on_it() -> None:
    text = " ".join(referral_text(sheet(), NOW).split())
    for words in (
        "WHY VET NOW Wattle: lethargy 11 Apr 08:00",
        "Pogona vitticeps, female, 4 y 2 m, hatched 1 Feb 2022, tag W7, from the <valley>",
        "not there tremor, prolapse (11 Apr 08:00)",
        "1 Apr 2025 08:00 21 eggs, 2 slugs complete 24 h from first to last",
        "nest 28.5 °C (11 Apr 08:00)",
        "basking spot 40.5 °C (1 Mar 08:00, in B3)",
        "UV index 3.5 (1 Mar 08:00, in B3)",
        "dusted with calcium (1 Mar 08:05)",
        "UV lamp changed, lamp 12 (1 Mar 08:00, in B3)",
        "30 Mar 07:30 EM note: soaked for half an hour",
        "29 Mar 08:01 EM lay box in, 20 cm deep",
        "vet seen, treatment: in the vet's words, under treatment until 20 Apr 2025",
        CAUTION,
    ):
        assert words in text, words


def test_weights_are_drawn_and_told() -> None:
    text = referral_text(sheet(), NOW)
    drawn = part(text, "WEIGHTS: 2, 401 G TO 470 G")
    assert drawn[0].startswith("470 g")
    assert "█" in drawn[0] + drawn[1]
    assert drawn[-1].split() == ["20", "Mar", "08:00", "470", "g", "+17.2", "%", "AK"]


def test_nothing_is_diagnosed_and_no_dose_is_named() -> None:
    text = referral_text(sheet(), NOW).casefold()
    assert not any(word in text for word in ("dystocia", "egg-bound", "oxytocin", "mg/kg", " ml/kg"))


def test_the_text_is_80_columns_however_long_its_words() -> None:
    long = SEASON.replace("since noon", "大龍" * 200).replace("the <valley>", "x" * 300)
    assert all(len(one) <= 80 for one in referral_text(sheet(long), NOW).splitlines())


def test_an_animal_of_which_nothing_is_known_has_a_sheet() -> None:
    bare = "2026-04-01 AK\n08:00 wattle arrived name=Wattle\n"
    text = referral_text(sheet(bare), NOW)
    assert "sex not known, age not known" in text
    assert "place not known" in text
    assert "alone" not in text, "of one that lives nowhere this is not known either"
    assert "alone" not in referral_html(sheet(bare), NOW).casefold()
    assert part(text, "SINCE")[0].endswith("arrived")
    assert "EVERY SIGN" not in text
    Page.of(referral_html(sheet(bare), NOW).casefold())


_TEXT = ("html", "head", "meta", "title", "style", "body", "header", "footer", "section", "h1", "h2", "p", "span")
_TABLES = ("table", "thead", "tbody", "tr", "th", "td", "dl", "dt", "dd", "div")
_DRAWING = ("svg", "path", "polyline", "circle", "text")


class Page(HTMLParser):
    """Reads a page and holds it to being well formed: every element is closed, in order, and none is active."""

    VOID = frozenset({"meta", "path", "polyline", "circle"})
    #: What the page may be made of.
    ALLOWED = frozenset({*_TEXT, *_TABLES, *_DRAWING})

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.text = ""
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str, str]] = []

    @classmethod
    def of(cls, source: str) -> Page:
        """The page, read to its end."""
        page = cls()
        page.feed(source)
        page.close()
        assert page.open == []
        return page

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert tag in self.ALLOWED, tag
        self.tags.append(tag)
        self.attributes += [(tag, name, value or "") for name, value in attrs]
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        assert tag in self.VOID

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open[-1:] != ["style"]:
            self.text += data


def test_the_page_is_well_formed_says_its_language_and_loads_nothing() -> None:
    source = referral_html(sheet(), NOW)
    page = Page.of(source)
    assert source.startswith("<!doctype html>\n")
    assert ("html", "lang", "en") in page.attributes
    assert ("meta", "charset", "utf-8") in page.attributes
    assert not {"script", "link", "img", "iframe", "object"} & set(page.tags)
    assert not [one for one in page.attributes if one[1] in ("src", "href", "style") or one[1].startswith("on")]
    assert "default-src 'none'" in source
    assert "://" not in source
    assert "url(" not in source
    assert "@import" not in source
    assert "@page" in source


def test_the_page_says_all_that_the_text_says() -> None:
    found = sheet()
    words = " ".join(Page.of(referral_html(found, NOW)).text.split())
    for one in (*found["why"], *found["timeline"], *found["tried"], *found["treatments"]):
        assert " ".join(one["says"].split()) in words
    assert "2 weighings from 1 Mar to 20 Mar, lowest 401 g, highest 470 g, last 470 g" in words
    assert "from the <valley>" in words
    assert CAUTION in words


HOSTILE: tuple[Any, ...] = (
    "<script>alert(1)</script>",
    "</style><h1>",
    "\"' onload=x &amp; &lt;",
    "\x1b[31m\u202eturned",
    "大龍🦎",
    "]]>--><!--",
)


@pytest.mark.parametrize("words", HOSTILE)
def test_whatever_keepers_write_stands_there_as_text_and_does_nothing(words: str) -> None:
    page = SEASON
    for plain in ("at noon", "since noon", "the <valley>", "lamp 12", "bring her", "as before", "W7", "in the vet"):
        page = page.replace(plain, "WORDS")
    found = _with_words(sheet(page, words), words)
    read = Page.of(referral_html(found, NOW))
    assert "script" not in read.tags
    assert not [one for one in read.attributes if one[1].startswith("on")]
    assert "\x1b" not in read.text
    assert "\u202e" not in read.text
    if words.isprintable():
        assert words in read.text


def _with_words(value: Any, words: str) -> Any:
    """The values with the keeper's words in every place for words."""
    if isinstance(value, dict):
        return {name: _with_words(one, words) for name, one in value.items()}
    if isinstance(value, list):
        return [_with_words(one, words) for one in value]
    return value.replace("WORDS", words) if isinstance(value, str) else value
