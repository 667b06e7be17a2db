"""What the check finds in a page of the logbook, and what it leaves alone."""

from __future__ import annotations

import random

import msgspec
import pytest

from rounds.audit import RULES, Book, findings
from rounds.audit.writing import each_once
from rounds.logbook.entries import Corrected, Entry, Weighed
from tests.notation import at, logbook

ROOM = """
    2026-03-01 AK
    07:00  b3      enclosure_set_up  name=B3
    07:00  b4      enclosure_set_up  name=B4
    07:00  i1      enclosure_set_up  name="Shelf 1" what="egg box"
    08:00  wattle  arrived  name=Wattle sex=F place=b3 hatched=2023-02-01
    08:00  karri   arrived  name=Karri sex=M place=b4 hatched=2022-02-01
"""


def found(text: str) -> list[tuple[str, str]]:
    """Level and sentence of each finding in the room above and this page."""
    return [(one.level, one.sentence) for one in findings(logbook(ROOM + text))]


def only(text: str) -> tuple[str, str]:
    """The one finding of this page."""
    told = found(text)
    assert len(told) == 1, told
    return told[0]


def test_a_room_in_order_has_no_findings() -> None:
    assert (
        found(
            """
    2026-03-02 AK
    08:00  wattle  put_together  mate=karri
    09:00  wattle  mating_seen  sire=karri
    10:00  wattle  parted  mate=karri
    17:00  wattle  weighed  grams=452
    2026-03-28 AK
    08:00  wattle  lay_box_in  box=b3
    2026-04-02 EM
    08:00  wattle  eggs_laid  clutch=wattle-1 count=9
    09:00  wattle  eggs_laid  clutch=wattle-1 count=21 slugs=1 complete=true sire=karri
    10:00  wattle  lay_box_out
    11:00  wattle-1   eggs_boxed  count=20 place=i1
    2026-06-02 EM
    08:00  group/young  arrived  name=Young count=18 place=b4 clutch=wattle-1 bred_here=true
    08:00  wattle-1   hatched  count=18 into=young
    08:10  wattle-1   eggs_lost  count=2
    2026-06-20 EM
    08:00  group/young  died  count=1
    09:00  group/young  left  how=sold count=17
    """
        )
        == []
    )


def test_eggs_boxed_again_that_are_all_that_were_left_are_in_order() -> None:
    boxed = """
    2026-03-05 EM
    08:00  wattle  eggs_laid  clutch=wattle-1 count=20
    20:00  wattle-1   eggs_boxed  count=12 place=i1
    2026-03-06 EM
    07:00  wattle-1   eggs_boxed  count=8 place=i1
    2026-03-15 EM
    08:00  wattle-1   eggs_lost  count=2
    """
    for again in ("count=18 place=i1", "count=18 place=b4"):
        assert found(boxed + f"09:00  wattle-1   eggs_boxed  {again}\n") == []
    assert (
        found(boxed + "09:00 wattle-1 eggs_boxed count=8 place=b4\n09:05 wattle-1 eggs_boxed count=10 place=i1")
        == []
    )


# Each page of the logbook below holds one slip, and is answered by one finding with its sentence.
SLIPS = {
    "arrived twice, so in two places": (
        """
    2026-03-05 EM
    08:00  wattle  arrived  name=Wattle sex=F place=b4
    """,
        "wrong",
        "Wattle arrived on 1 Mar 2026 (AK, entry 20260301-00003) and again on 5 Mar 2026 (EM, entry "
        "20260305-00005) "
        "without having left in between, so that it would be in B3 and in B4.",
    ),
    "an arrival after its death": (
        """
    2026-03-05 EM
    08:00  wattle  died
    2026-03-06 EM
    08:00  wattle  arrived  name=Wattle sex=F place=b4
    """,
        "wrong",
        "Wattle died on 5 Mar 2026 (EM, entry 20260305-00005) and arrived on 6 Mar 2026",
    ),
    "a death before the arrival": (
        """
    2026-02-05 EM
    08:00  wattle  died
    """,
        "wrong",
        "Wattle died on 5 Feb 2026 (EM, entry 20260205-00005), before it arrived on 1 Mar 2026",
    ),
    "a weighing before the arrival": (
        """
    2026-02-05 EM
    08:00  wattle  weighed  grams=450
    """,
        "wrong",
        "Wattle has entries from before it arrived: weighed 450 g, 5 Feb 2026",
    ),
    "a weighing on the morning of the day it arrived": (
        """
    2026-03-01 EM
    07:15  wattle  weighed  grams=450
    """,
        "doubt",
        "Wattle has entries from before it arrived",
    ),
    "care for one that never came": (
        """
    2026-03-05 EM
    08:00  wattel  weighed  grams=450
    08:01  wattel  watered
    """,
        "wrong",
        "animal/wattel stands in 2 entries and never arrived.",
    ),
    "care of a tub that was never set up": (
        """
    2026-03-05 EM
    08:00  b9   cleaned
    """,
        "wrong",
        "enclosure/b9 stands in 1 entry and was never set up.",
    ),
    "eggs boxed of a clutch that was never laid": (
        """
    2026-03-05 EM
    08:00  wattle-1   eggs_boxed  count=20
    """,
        "wrong",
        "clutch/wattle-1 stands in 1 entry and was never laid.",
    ),
    "care after the death": (
        """
    2026-03-05 EM
    08:00  wattle  died
    2026-03-06 EM
    08:00  wattle  vet_seen  outcome="looked at after death"
    08:10  wattle  noted  note="buried"
    09:00  wattle  watered
    """,
        "wrong",
        "Wattle: died on 5 Mar 2026 (EM, entry 20260305-00005), but there are entries from after that: "
        "fresh water, 6 Mar 2026",
    ),
    "the vet phoned, a referral and a test after the death": (
        """
    2026-03-05 EM
    08:00  wattle  died
    2026-03-06 EM
    08:00  wattle  vet_called  said="drink more"
    08:10  wattle  referred
    08:20  wattle  tested  what="virus test"
    """,
        "doubt",
        "Wattle: died on 5 Mar 2026 (EM, entry 20260305-00005), and after that: vet phoned, drink more, 6 Mar 2026 "
        "(EM, entry 20260306-00006); ",
    ),
    "care of a group when all were sold": (
        """
    2026-03-05 EM
    08:00  group/young  arrived  name=Young count=3 place=b4
    09:00  group/young  left  how=sold count=3
    10:00  group/young  fed
    """,
        "wrong",
        "Young: 3 sold on 5 Mar 2026",
    ),
    "a move to a tub that was never set up": (
        """
    2026-03-05 EM
    08:00  wattle  moved  to=b9
    """,
        "wrong",
        "Wattle: moved to b9 on 5 Mar 2026 (EM, entry 20260305-00005), but b9 was never set up.",
    ),
    "a move to a tub that had been taken down": (
        """
    2026-03-05 EM
    08:00  karri  moved  to=b3
    09:00  b4   enclosure_taken_down
    2026-03-07 EM
    08:00  karri  moved  to=b4
    """,
        "wrong",
        "Karri: moved to b4 on 7 Mar 2026 (EM, entry 20260307-00007), but B4 was taken down on 5 Mar 2026",
    ),
    "a move to a tub that was set up only later": (
        """
    2026-03-05 EM
    08:00  wattle  moved  to=b5
    2026-03-07 EM
    08:00  b5   enclosure_set_up  name=B5
    """,
        "wrong",
        "but B5 was set up only on 7 Mar 2026",
    ),
    "a tub taken down while someone lives in it": (
        """
    2026-03-05 EM
    08:00  b3   enclosure_taken_down
    """,
        "wrong",
        "B3 was taken down on 5 Mar 2026 (EM, entry 20260305-00005) while Wattle still lived in it.",
    ),
    "a group merged without a number": (
        """
    2026-03-05 EM
    08:00  group/young  arrived  name=Young count=5 place=b4
    08:00  group/small  arrived  name=Small count=5 place=b4
    09:00  group/small  merged  into=young
    """,
        "wrong",
        "Small merged into Young on 5 Mar 2026 (EM, entry 20260305-00007) without a number",
    ),
    "more young registered than hatched": (
        """
    2026-03-05 EM
    08:00  wattle  eggs_laid  clutch=w-1 count=9 complete=true
    2026-05-05 EM
    08:00  w-1  hatched  count=5
    08:10  group/young  arrived  name=Young count=6 place=b4 clutch=w-1
    """,
        "wrong",
        "w-1: 6 young registered, but 5 hatched.",
    ),
    "one singled out who never arrived": (
        """
    2026-03-05 EM
    08:00  group/young  arrived  name=Young count=5 place=b4
    09:00  group/young  singled_out  animal=mallee
    """,
        "doubt",
        "Young: singled out mallee on 5 Mar 2026 (EM, entry 20260305-00006), but animal/mallee never arrived.",
    ),
    "one singled out twice": (
        """
    2026-03-05 EM
    08:00  group/young  arrived  name=Young count=5 place=b4
    09:00  group/young  singled_out  animal=mallee
    09:00  mallee  arrived  name=Mallee place=b4
    10:00  group/young  singled_out  animal=mallee
    """,
        "wrong",
        "Mallee was singled out on 5 Mar 2026 (EM, entry 20260305-00006) and again on",
    ),
    "more dead and sold than were in the group": (
        """
    2026-03-05 EM
    08:00  group/young  arrived  name=Young count=5 place=b4
    09:00  group/young  died  count=2
    10:00  group/young  left  how=sold count=4
    """,
        "wrong",
        "Young: 1 animal more went than came, up to 5 Mar 2026 (EM, entry 20260305-00007): 5 arrived",
    ),
    "a quarantine ended that had not begun": (
        """
    2026-03-05 EM
    08:00  wattle  quarantine_ended
    """,
        "doubt",
        "Wattle: quarantine ended on 5 Mar 2026 (EM, entry 20260305-00005), but it did not arrive into quarantine.",
    ),
    "hatched after it arrived": (
        """
    2026-03-05 EM
    08:00  sedge  arrived  name=Sedge place=b4 hatched=2026-04-01
    """,
        "wrong",
        "Sedge arrived on 5 Mar 2026 (EM, entry 20260305-00005), but is said to have hatched on 1 Apr 2026",
    ),
    "eggs from a male": (
        """
    2026-03-05 EM
    08:00  karri  eggs_laid  clutch=karri-1 count=5
    """,
        "wrong",
        "Karri is a male, but 5 eggs laid so far on 5 Mar 2026",
    ),
    "an egg check of a male": (
        """
    2026-03-05 EM
    08:00  karri  egg_check_done
    """,
        "doubt",
        "Karri is a male, but egg check: looked at, nothing marked on 5 Mar 2026",
    ),
    "a mating of two females": (
        """
    2026-03-05 EM
    08:00  sedge  arrived  name=Sedge sex=F place=b4
    09:00  wattle  mating_seen  sire=sedge
    """,
        "wrong",
        "Wattle: mating seen with sedge on 5 Mar 2026 (EM, entry 20260305-00006), but Wattle and Sedge are "
        "both females.",
    ),
    "a mating noted the wrong way round": (
        """
    2026-03-05 EM
    09:00  karri  mating_seen  sire=wattle
    """,
        "wrong",
        "but Karri is a male and Wattle a female: write it about the female",
    ),
    "two males put together": (
        """
    2026-03-05 EM
    08:00  mulga  arrived  name=Mulga sex=M place=b3
    09:00  karri  put_together  mate=mulga
    """,
        "doubt",
        "but Karri and Mulga are both males.",
    ),
    "a mate that never arrived": (
        """
    2026-03-05 EM
    08:00  wattle  put_together  mate=mulga
    """,
        "doubt",
        "Wattle: put together with mulga on 5 Mar 2026 (EM, entry 20260305-00005) names animal/mulga, which never",
    ),
    "a sex settled to and fro": (
        """
    2026-03-05 EM
    08:00  wattle  sex_settled  sex=M
    2026-03-06 AK
    08:00  wattle  sex_settled  sex=F
    """,
        "doubt",
        "Wattle: its sex went to and fro: F on 1 Mar 2026 (AK, entry 20260301-00003), M on 5 Mar 2026 (EM",
    ),
    "a sire in the papers who is younger than the young": (
        """
    2026-03-05 EM
    08:00  rex  pedigree_noted  name=Rex sex=M hatched=2024-02-01
    08:05  wattle  pedigree_noted  sire=rex
    08:06  wattle  pedigree_noted  sire=rex origin="a breeder"
    """,
        "wrong",
        "Rex, sire of Wattle, hatched on 1 Feb 2024, and its young on 1 Feb 2023.",
    ),
    "a dam younger than her young": (
        """
    2026-03-05 EM
    08:00  sedge  arrived  name=Sedge place=b4 hatched=2022-06-01 dam=wattle
    """,
        "wrong",
        "Wattle, dam of Sedge, hatched on 1 Feb 2023, and its young on 1 Jun 2022.",
    ),
    "a dam who is a male": (
        """
    2026-03-05 EM
    08:00  sedge  arrived  name=Sedge place=b4 dam=karri
    """,
        "wrong",
        "Karri is a male, but stands as dam in Sedge's entry of 5 Mar 2026 (EM, entry 20260305-00005).",
    ),
    "a parent that is itself": (
        """
    2026-03-05 EM
    08:00  sedge  arrived  name=Sedge place=b4 sire=sedge
    """,
        "wrong",
        "Sedge stands as its own parent.",
    ),
    "a loop of ancestors": (
        """
    2026-03-05 EM
    08:00  sedge  arrived  name=Sedge place=b4 sire=mulga
    08:01  mulga  arrived  name=Mulga place=b4 sire=brigalow
    08:02  brigalow  arrived  name=Brigalow place=b4 sire=sedge
    """,
        "wrong",
        "Sedge is a young of Mulga is a young of Brigalow is a young of Sedge: one of them would be its own "
        "ancestor.",
    ),
    "a count of eggs that goes down": (
        """
    2026-03-05 EM
    08:00  wattle  eggs_laid  clutch=wattle-1 count=12
    09:00  wattle  eggs_laid  clutch=wattle-1 count=9
    """,
        "wrong",
        "Wattle's clutch wattle-1 had 12 eggs on 5 Mar 2026 (EM, entry 20260305-00005) and 9 on 5 Mar 2026",
    ),
    "slugs more than eggs": (
        """
    2026-03-05 EM
    08:00  wattle  eggs_laid  clutch=wattle-1 count=2 slugs=3
    """,
        "wrong",
        "Wattle: 3 slugs among 2 eggs on 5 Mar 2026",
    ),
    "a clutch with two mothers": (
        """
    2026-03-05 EM
    08:00  sedge  arrived  name=Sedge sex=F place=b4
    08:00  wattle  eggs_laid  clutch=wattle-1 count=12
    09:00  sedge  eggs_laid  clutch=wattle-1 count=20
    """,
        "wrong",
        "wattle-1 has two mothers: Sedge and Wattle",
    ),
    "young that two desks wrote": (
        """
    2026-03-05 EM
    08:00  wattle  eggs_laid  clutch=wattle-1 count=21 slugs=3 complete=true
    09:00  wattle-1   eggs_boxed  count=18 place=i1
    2026-05-05 EM
    08:00  wattle-1   hatched  count=18
    08:05  wattle-1   hatched  count=2
    """,
        "wrong",
        "wattle-1: 21 laid, but 3 slugs + 20 hatched: 2 too many. Was one written twice, at two desks?",
    ),
    "one laying under two clutches, by two keepers": (
        """
    2026-03-05 AK
    08:00  wattle  eggs_laid  clutch=wattle-1 count=21 complete=true
    2026-03-05 EM
    09:00  wattle  eggs_laid  clutch=wattle-2 count=21 complete=true
    """,
        "doubt",
        "Wattle: 21 eggs of wattle-1 on 5 Mar 2026",
    ),
    "more eggs boxed than laid": (
        """
    2026-03-05 EM
    08:00  wattle  eggs_laid  clutch=wattle-1 count=12
    09:00  wattle-1   eggs_boxed  count=13 place=i1
    """,
        "wrong",
        "wattle-1: 13 eggs boxed on 5 Mar 2026 (EM, entry 20260305-00006), but 12 laid by 5 Mar 2026",
    ),
    "eggs boxed again that are not all that were left": (
        """
    2026-03-05 EM
    08:00  wattle  eggs_laid  clutch=wattle-1 count=20
    09:00  wattle-1   eggs_boxed  count=20 place=i1
    2026-03-15 EM
    08:00  wattle-1   eggs_lost  count=2
    09:00  wattle-1   eggs_boxed  count=8 place=b4
    """,
        "doubt",
        "wattle-1: 8 eggs boxed on 15 Mar 2026 (EM, entry 20260315-00008) are read as boxed again, but 18 were "
        "left in boxes. Was it a further box?",
    ),
    "eggs boxed again that may have been a further box": (
        """
    2026-03-05 EM
    08:00  wattle  eggs_laid  clutch=wattle-1 count=20
    09:00  wattle-1   eggs_boxed  count=10 place=i1
    2026-03-07 EM
    09:00  wattle-1   eggs_boxed  count=10 place=b4
    """,
        "doubt",
        "are read as boxed again, but 10 were left in boxes and 10 in none.",
    ),
    "more young than eggs": (
        """
    2026-03-05 EM
    08:00  wattle  eggs_laid  clutch=wattle-1 count=12
    2026-05-05 EM
    08:00  wattle-1   eggs_lost  count=2
    09:00  wattle-1   hatched  count=8
    10:00  wattle-1   hatched  count=4
    """,
        "wrong",
        "wattle-1: 12 eggs hatched and 2 eggs lost up to 5 May 2026 (EM, entry 20260505-00008), but she laid 12",
    ),
    "eggs added to a clutch that had hatched": (
        """
    2026-03-05 EM
    08:00  wattle  eggs_laid  clutch=wattle-1 count=12 complete=true
    2026-05-05 EM
    08:00  wattle-1   hatched  count=8
    2026-05-06 EM
    08:00  wattle  eggs_laid  clutch=wattle-1 count=20
    """,
        "wrong",
        "wattle-1: 20 eggs laid so far on 6 May 2026",
    ),
    "a pair parted that was never together": (
        """
    2026-03-05 EM
    08:00  wattle  parted  mate=karri
    """,
        "doubt",
        "Wattle: parted from karri on 5 Mar 2026 (EM, entry 20260305-00005), but no “put_together” stands "
        "before it",
    ),
    "a brumation ended that had not begun": (
        """
    2026-03-05 EM
    08:00  wattle  brumation_ended
    """,
        "doubt",
        "Wattle: brumation ended on 5 Mar 2026 (EM, entry 20260305-00005), but none had begun.",
    ),
    "a brumation begun twice": (
        """
    2026-03-05 EM
    08:00  wattle  brumation_began
    2026-03-07 EM
    08:00  wattle  brumation_began
    """,
        "doubt",
        "Wattle: brumation began on 5 Mar 2026 (EM, entry 20260305-00005) and again on 7 Mar 2026",
    ),
    "a lay box out that was never in": (
        """
    2026-03-05 EM
    08:00  wattle  lay_box_out
    """,
        "doubt",
        "Wattle: lay box out on 5 Mar 2026 (EM, entry 20260305-00005), but none had been put in.",
    ),
    "a weight ten times the others": (
        """
    2026-03-05 EM
    08:00  wattle  weighed  grams=448
    2026-03-12 EM
    08:00  wattle  weighed  grams=4500
    2026-03-19 EM
    08:00  wattle  weighed  grams=452
    """,
        "doubt",
        "Wattle weighed 4500 g on 12 Mar 2026 (EM, entry 20260312-00006), next to 448 g on 5 Mar 2026",
    ),
    "the last weight a tenth of the one before": (
        """
    2026-03-05 EM
    08:00  wattle  weighed  grams=448
    2026-03-12 EM
    08:00  wattle  weighed  grams=45.1
    """,
        "doubt",
        "Wattle weighed 45.1 g on 12 Mar 2026 (EM, entry 20260312-00006), next to 448 g on 5 Mar 2026",
    ),
    "a correction that names nothing": (
        """
    2026-03-05 EM
    08:00  wattle  corrected  replaces=20990101-00001
    """,
        "wrong",
        "The correction for Wattle on 5 Mar 2026 (EM, entry 20260305-00005) replaces entry 20990101-00001, which",
    ),
    "a correction about another than the entry it replaces": (
        """
    2026-03-05 EM
    08:00  wattle  weighed  grams=448
    09:00  karri  corrected  replaces=20260305-00005
    """,
        "wrong",
        "does not name everyone “weighed 448 g” of 5 Mar 2026",
    ),
    "two corrections of one entry": (
        """
    2026-03-05 EM
    08:00  wattle  weighed  grams=448
    09:00  wattle  corrected  replaces=20260305-00005
    10:00  wattle  corrected  replaces=20260305-00005
    """,
        "said",
        "“weighed 448 g” of Wattle on 5 Mar 2026 (EM, entry 20260305-00005) was corrected twice",
    ),
    "two corrections that each put another in its place": (
        """
    2026-03-05 EM
    08:00  wattle  weighed  grams=448
    09:00  wattle  weighed  grams=449
    09:00  wattle  corrected  replaces=20260305-00005 instead=20260305-00006
    10:00  wattle  weighed  grams=450
    10:00  wattle  corrected  replaces=20260305-00005 instead=20260305-00008
    """,
        "wrong",
        "Both entries put in its place count: take one of them back.",
    ),
    "a correction of a correction": (
        """
    2026-03-05 EM
    08:00  wattle  weighed  grams=448
    09:00  wattle  corrected  replaces=20260305-00005
    10:00  wattle  corrected  replaces=20260305-00006
    """,
        "wrong",
        "A correction is not corrected: write the entry again.",
    ),
    "an entry dated ahead of its own writing": (
        """
    2026-03-05 EM
    18:00  wattle  weighed  grams=448 written=2026-03-05T08:00:00+01:00
    """,
        "wrong",
        "Wattle: weighed 448 g is dated 18:00 on 5 Mar 2026 (EM, entry 20260305-00005), but was written on 5 "
        "Mar 2026",
    ),
    "an entry written from memory": (
        """
    2026-03-05 EM
    18:00  wattle  weighed  grams=448 written=2026-03-09T08:00:00+01:00
    """,
        "said",
        "EM wrote 1 entry on 9 Mar 2026 for what was seen more than 48 hours before",
    ),
    "a stop walked at two desks": (
        """
    2026-03-05 EM
    08:00  b3   stop_walked  walk=morning day=2026-03-05
    2026-03-05 AK
    08:01  b3   stop_walked  walk=morning day=2026-03-05
    08:02  b4   stop_walked  walk=morning day=2026-03-05
    """,
        "said",
        "The morning walk of 5 Mar 2026: 1 stop walked more than once (B3) by AK and EM.",
    ),
    "more locusts counted than there were": (
        """
    2026-03-02 AK
    08:00  locusts  stock_counted  amount=500
    2026-03-05 AK
    08:00  locusts  stock_counted  amount=900
    """,
        "doubt",
        "locusts: 900 pieces counted on 5 Mar 2026",
    ),
    "a supply in two units": (
        """
    2026-03-02 AK
    08:00  locusts  stock_counted  amount=500
    2026-03-05 AK
    08:00  locusts  stock_counted  amount=90 unit=g
    """,
        "doubt",
        "locusts: in pieces on 2 Mar 2026",
    ),
    "a food that is nearly called as a supply": (
        """
    2026-03-02 AK
    08:00  locusts  stock_counted  amount=500
    2026-03-05 AK
    08:00  wattle  fed  what=locust
    """,
        "said",
        "Fed “locust” 1 time, last on 5 Mar 2026: no supply is called so.",
    ),
    "more lost in a box than lay in it": (
        """
    2026-03-02 AK
    08:00  wattle  eggs_laid  clutch=w-1 count=10 complete=true
    09:00  w-1  eggs_boxed  count=4 place=b4
    09:30  w-1  eggs_boxed  count=6 place=i1
    2026-03-20 AK
    09:00  w-1  eggs_lost  count=5 place=b4
    """,
        "doubt",
        "w-1: 5 eggs lost in B4 on 20 Mar 2026 (AK, entry 20260320-00008), but B4 held 4 of them.",
    ),
    "one loss at two desks": (
        """
    2026-03-02 AK
    08:00  wattle  eggs_laid  clutch=w-1 count=10 complete=true
    09:00  w-1  eggs_boxed  count=10 place=i1
    2026-03-20 AK
    09:00  w-1  eggs_lost  count=2
    2026-03-20 EM
    09:10  w-1  eggs_lost  count=2
    """,
        "doubt",
        "w-1: 2 eggs on 20 Mar 2026 (AK, entry 20260320-00007) and again on 20 Mar 2026 (EM, entry "
        "20260320-00008), alike.",
    ),
    "the same young dead at two desks": (
        """
    2026-03-02 AK
    07:00  group/young  arrived  name=Young count=9 place=b4
    2026-03-20 AK
    09:00  group/young  died  count=2
    2026-03-20 EM
    09:10  group/young  died  count=2
    """,
        "doubt",
        "Young: 2 died on 20 Mar 2026 (AK, entry 20260320-00006) and 2 died on 20 Mar 2026 (EM",
    ),
    "two tubs of one name": (
        """
    2026-03-02 AK
    08:00  b3-2   enclosure_set_up  name=b3
    """,
        "doubt",
        "One name for 2: B3 (enclosure/b3) since 1 Mar 2026 (AK, entry ",
    ),
}


@pytest.mark.parametrize("slip", SLIPS)
def test_each_slip_is_found_once_and_named(slip: str) -> None:
    page, level, sentence = SLIPS[slip]
    told = found(page)
    assert any(sentence in said for _, said in told), told
    assert all(one[0] == level for one in told if sentence in one[1])
    assert len(told) == 1, told


def test_every_rule_finds_something_in_these_slips() -> None:
    quiet = {rule.__name__ for rule in RULES}
    for page, _, _ in SLIPS.values():
        book = Book(each_once(logbook(ROOM + page))[0])
        quiet -= {rule.__name__ for rule in RULES if any(rule(book))}
    assert quiet == set()


def test_a_slip_that_was_corrected_is_no_longer_told() -> None:
    assert (
        found(
            """
    2026-03-05 EM
    08:00  wattle  moved  to=b9
    09:00  wattle  corrected  replaces=20260305-00005 also=enclosure/b9
    """
        )
        == []
    )


def test_one_id_with_two_contents_is_wrong_and_a_copy_of_an_entry_is_not() -> None:
    entries = logbook(ROOM)
    assert findings([*entries, *entries]) == ()
    twin = Weighed(id=entries[0].id, at=entries[0].at, by="EM", about="animal/wattle", grams=440)
    told = [one.sentence for one in findings([*entries, twin]) if "One id" in one.sentence]
    assert told
    assert f"One id, two entries: {entries[0].id} is" in told[0]


def test_living_together_counts_as_having_been_together() -> None:
    assert (
        found(
            """
    2026-03-05 EM
    08:00  karri  moved  to=b3
    2026-03-06 EM
    08:00  karri  moved  to=b4
    09:00  wattle  parted  mate=karri
    """
        )
        == []
    )


def test_moving_out_at_the_minute_the_tub_is_taken_down_is_in_order() -> None:
    assert (
        found(
            """
    2026-03-05 EM
    08:00  b3   enclosure_taken_down
    08:00  wattle  moved  to=b4
    """
        )
        == []
    )


def test_a_lent_animal_that_came_back_is_here_again() -> None:
    assert (
        found(
            """
    2026-03-05 EM
    08:00  karri  left  how=lent to="the next shed"
    2026-03-20 EM
    08:00  karri  arrived  name=Karri sex=M place=b4
    09:00  karri  weighed  grams=510
    """
        )
        == []
    )


def test_young_that_grow_fast_between_two_weighings_are_not_doubted() -> None:
    assert (
        found(
            """
    2026-03-05 EM
    08:00  group/young  arrived  name=Young count=5 place=b4
    08:00  group/young  weighed  grams=2.4
    2026-09-05 EM
    08:00  group/young  weighed  grams=38
    """
        )
        == []
    )


def test_what_is_found_does_not_depend_on_the_order_of_arrival() -> None:
    for page, _, _ in SLIPS.values():
        entries = logbook(ROOM + page)
        shuffled = entries.copy()
        random.Random(7).shuffle(shuffled)
        assert findings(shuffled) == findings(entries)


def test_a_name_that_is_no_id_from_a_foreign_sheet_is_told_and_breaks_nothing() -> None:
    entry = Weighed(id="x1", at=at("2026-03-05 08:00"), by="EM", about="../../etc", grams=3)
    (told,) = findings([*logbook(ROOM), entry])
    assert told.sentence.startswith("../../etc stands in 1 entry and names no subject")


def test_the_check_grows_with_the_entries_and_not_with_their_square() -> None:
    """Counted, not timed: how often the rules look at an entry's time or subject."""
    looks = 0

    class Watched(Weighed, frozen=True, kw_only=True, tag="weighed"):
        @property
        def key(self) -> tuple[object, str]:  # type: ignore[override]
            nonlocal looks
            looks += 1
            return (self.at, self.id)

    def counted(many: int) -> int:
        nonlocal looks
        looks = 0
        page: list[Entry] = [*logbook(ROOM)]
        page += [
            Watched(id=f"w{i:07d}", at=at("2026-03-05 08:00"), by="AK", about="animal/wattle", grams=450)
            for i in range(many)
        ]
        findings(page)
        return looks

    few, many = counted(500), counted(5_000)
    assert few > 0
    assert many / few < 12


def test_findings_are_values_that_point_at_their_entries() -> None:
    told = findings(logbook(ROOM + SLIPS["two corrections of one entry"][0]))
    assert [type(entry).__name__ for entry in told[0].entries] == ["Weighed", "Corrected", "Corrected"]
    assert isinstance(told[0].entries[1], Corrected)
    assert msgspec.to_builtins(told[0].entries[0])["grams"] == 448


def test_two_animals_of_one_name_are_a_doubt_while_both_are_here() -> None:
    level, sentence = only("2026-03-02 AK\n08:00 wattle-2 arrived name=wattle sex=F place=b4")
    assert level == "doubt"
    assert "wattle (animal/wattle-2) since 2 Mar 2026" in sentence


def test_a_name_that_is_free_again_is_no_doubt() -> None:
    gone = "2026-03-02 AK\n07:00 wattle left how=sold\n08:00 wattle-2 arrived name=Wattle sex=F place=b4"
    assert found(gone) == []
    assert found("2026-03-02 AK\n08:00 group/b3 arrived name=B3 count=3 place=b4") == []


def test_a_slip_read_again_seconds_later_is_found_though_it_stands_beside_itself() -> None:
    page = """
    2026-03-05 EM
    08:00:00  wattle  weighed  grams=448
    2026-03-12 EM
    08:00:00  wattle  weighed  grams=45.1
    08:00:20  wattle  weighed  grams=45.1
    08:00:40  wattle  weighed  grams=45.2
    2026-03-19 EM
    08:00:00  wattle  weighed  grams=452
    """
    told = [sentence for level, sentence in found(page) if level == "doubt"]
    assert len(told) == 3, "each of them is to be corrected"
    assert all("next to 448 g on 5 Mar 2026" in one and "452 g on 19 Mar 2026" in one for one in told)


def test_a_group_found_again_after_none_were_left_is_no_mistake() -> None:
    none_left = """
    2026-03-02 AK
    07:00 group/hatch-9 arrived name="Hatch 9" count=3 place=b4
    2026-03-03 AK
    07:00 group/hatch-9 count_settled count=0
    """
    again = (
        none_left + "2026-03-04 AK\n07:00 group/hatch-9 count_settled count=3\n08:00 group/hatch-9 counted count=3"
    )
    assert found(again) == []
    level, sentence = only(none_left + "2026-03-04 AK\n08:00 group/hatch-9 counted count=3")
    assert level == "wrong"
    assert "but there are entries from after that" in sentence


BOXES = """
    2026-03-02 AK
    07:00  e1      enclosure_set_up  name=E1 what="egg box"
    07:00  e2      enclosure_set_up  name=E2 what="egg box"
    08:00  wattle  eggs_laid  clutch=w-1 count=10 complete=true
    09:00  clutch/w-1  eggs_boxed  count=4 place=e1
    09:30  clutch/w-1  eggs_boxed  count=6 place=e2
"""


@pytest.mark.parametrize(
    ("first", "second", "words"),
    [
        ("eggs_lost count=3 place=e1", "eggs_lost count=3 place=e1", "3 eggs lost in E1"),
        ("hatched count=4 place=e1", "hatched count=4 place=e1", "4 eggs hatched in E1"),
        ("eggs_lost count=2 place=e1 how=failed", "eggs_lost count=3 place=e1 how=failed", "3 eggs lost in E1"),
        ("eggs_lost count=3", "eggs_lost count=3", "alike. Written twice, at two desks?"),
        ("eggs_lost count=2 place=e2", "eggs_lost count=2 place=e2", "alike. Written twice, at two desks?"),
        ("eggs_boxed count=3 place=e2 out_of=e1", "eggs_boxed count=3 place=e2 out_of=e1", "read as boxed again"),
    ],
)
def test_what_two_desks_wrote_of_the_same_eggs_is_told_once(first: str, second: str, words: str) -> None:
    late = f"2026-03-20 AK\n09:00 clutch/w-1 {first}\n2026-03-20 BM\n09:05 clutch/w-1 {second}\n"
    level, sentence = only(BOXES + late)
    assert level == "doubt"
    assert words in sentence


@pytest.mark.parametrize("count", [1, 2])
def test_two_keepers_who_take_out_what_was_there_are_not_doubted(count: int) -> None:
    later = "2026-03-20 AK\n09:00 clutch/w-1 eggs_lost count={} place=e1\n"
    later += "2026-03-2{} {}\n09:05 clutch/w-1 eggs_lost count=1 place=e1\n"
    assert found(BOXES + later.format(count, 0, "BM")) == []
    assert found(BOXES + later.format(count, 1, "AK")) == []


def test_the_same_boxing_from_two_desks_is_doubted_and_from_one_it_is_two_boxes() -> None:
    page = BOXES.rpartition("    09:30")[0] + "    2026-03-02 {}\n09:30 clutch/w-1 eggs_boxed count=4 place=e1\n"
    assert "Written twice" in only(page.format("BM"))[1]
    assert found(page.format("AK")) == []


@pytest.mark.parametrize(
    "second",
    [
        "2026-03-05 AK\n    09:00  wattle  eggs_laid  clutch=w-2 count=21\n",
        "2026-03-05 EM\n    09:00  wattle  eggs_laid  clutch=w-2 count=20\n",
        "2026-03-05 EM\n    09:00  wattle  eggs_laid  clutch=w-1 count=21 complete=true\n",
        "2026-03-05 EM\n    20:01  wattle  eggs_laid  clutch=w-2 count=21\n",
    ],
)
def test_eggs_of_one_keeper_another_count_or_another_day_are_not_one_laying_written_twice(second: str) -> None:
    page = f"    2026-03-05 AK\n    08:00  wattle  eggs_laid  clutch=w-1 count=21\n    {second}"
    assert not [says for _, says in found(page) if "The same eggs" in says]
