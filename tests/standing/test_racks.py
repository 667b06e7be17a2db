"""The racks as they stand: by colony.toml, and where it says nothing by what was set up and by names."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from rounds.standing.enclosure import walking_order
from rounds.standing.fold import Standing
from rounds.standing.racks import Rack, RackSetting, racks
from tests.notation import standing


def set_up(*names: str, what: str = "tub", rack: str = "", where: str = "") -> Standing:
    """A room in which these enclosures stand."""
    lines = ["2026-03-01 AK"]
    for number, name in enumerate(names):
        more = f' rack="{rack}"' if rack else ""
        more += f' where="{where}"' if where else ""
        lines.append(f'08:00  enclosure/e{number}  enclosure_set_up  name="{name}" what="{what}"{more}')
    return standing("\n".join(lines))


def drawn(room: Standing, *settings: RackSetting) -> dict[str, list[list[str]]]:
    """Each rack with its rows, by the names on the enclosures."""
    found = racks(room, walking_order(room), settings)
    return {rack.title: [[room.name(one) if one else "" for one in row] for row in rack.rows] for rack in found}


def test_a_letter_is_the_rack_and_the_number_behind_it_the_row() -> None:
    assert drawn(set_up("B2", "A1", "A10", "A2", "B1")) == {
        "rack A": [["A1"], ["A2"], ["A10"]],
        "rack B": [["B1"], ["B2"]],
    }


def test_a_gap_in_the_numbers_is_a_free_place_unless_most_are_missing() -> None:
    assert drawn(set_up("A1", "A2", "A4")) == {"rack A": [["A1"], ["A2"], [""], ["A4"]]}
    assert drawn(set_up("A3", "A4")) == {"rack A": [[""], [""], ["A3"], ["A4"]]}
    assert drawn(set_up("A101", "A102")) == {"rack A": [["A101"], ["A102"]]}


def test_two_sides_of_a_row_stand_beside_each_other() -> None:
    assert drawn(set_up("B1a", "B1b", "B2a")) == {"rack B": [["B1a", "B1b"], ["B2a", ""]]}


def test_a_rack_of_one_kind_is_called_by_it() -> None:
    assert drawn(set_up("T1", "T2")) == {"tubs": [["T1"], ["T2"]]}
    assert drawn(set_up("L1", what="lay box")) == {"lay boxes": [["L1"]]}
    assert drawn(set_up("shelf 3", what="incubator shelf")) == {"shelves": [["shelf 3"]]}
    assert drawn(set_up("K1", what="egg box")) == {"egg boxes": [["K1"]]}


def test_words_with_a_number_are_a_rack_of_their_own() -> None:
    assert drawn(set_up("Tub 2", "Tub 1", "Balcony-3")) == {
        "Balcony": [["Balcony-3"]],
        "Tub": [["Tub 1"], ["Tub 2"]],
    }


def test_the_rack_that_was_set_up_with_it_beats_its_name() -> None:
    assert drawn(set_up("Smaug", "Old tank", rack="North")) == {"North": [["Old tank"], ["Smaug"]]}


def test_where_it_stands_may_say_rack_and_row() -> None:
    assert drawn(set_up("Smaug", where="rack D, shelf 2")) == {"rack D": [[""], ["Smaug"]]}


def test_names_without_a_pattern_stand_together() -> None:
    assert drawn(set_up("Smaug", "大龍", "🦎")) == {"others": [["Smaug"], ["大龍"], ["🦎"]]}


def test_two_enclosures_of_one_name_are_both_there() -> None:
    assert drawn(set_up("A1", "A1")) == {"rack A": [["A1"], ["A1"]]}


def test_a_long_row_that_nobody_named_is_folded_into_columns() -> None:
    (rack,) = racks(room := set_up(*(f"Tub {number}" for number in range(1, 301))), walking_order(room))
    assert (len(rack.rows), rack.columns) == (20, 15)
    assert [room.name(one) for one in (rack.rows[0][0], rack.rows[1][0], rack.rows[0][1]) if one] == [
        "Tub 1",
        "Tub 2",
        "Tub 21",
    ]


def test_forty_rows_of_a_rack_that_was_named_stay_forty_rows() -> None:
    (rack,) = racks(room := set_up(*(f"A{number}" for number in range(1, 41)), rack="A"), walking_order(room))
    assert (len(rack.rows), rack.columns) == (40, 1)


def test_colony_toml_says_how_they_stand_and_the_rest_is_guessed() -> None:
    room = set_up("A1", "A2", "A3", "B1", "T1")
    north = RackSetting("North", (("A3", "B1"), ("", "a1"), ("gone", "")))
    assert drawn(room, north, RackSetting("T"), RackSetting("A", (("A2",),))) == {
        "North": [["A3", "B1"], ["", "A1"], ["", ""]],
        "rack T": [["T1"]],
        "rack A": [["A2"]],
    }


def test_a_name_alone_only_orders_the_racks() -> None:
    room = set_up("A1", "B1", "T1")
    assert list(drawn(room, RackSetting("tubs"), RackSetting("B"), RackSetting("nowhere"))) == [
        "tubs",
        "rack B",
        "rack A",
    ]


NAMES = st.lists(
    st.text(min_size=1, max_size=12) | st.from_regex(r"[A-C] ?[0-9]{1,7}[a-b]?", fullmatch=True), max_size=60
)


@given(NAMES, st.lists(st.lists(st.text(max_size=3), min_size=1, max_size=3), max_size=3))
def test_whatever_the_names_every_enclosure_stands_in_exactly_one_place(
    names: list[str], rows: list[list[str]]
) -> None:
    from rounds.logbook.entries import EnclosureSetUp
    from rounds.standing.fold import fold
    from tests.notation import at

    now = at("2026-03-01 08:00")
    room = fold(
        [
            EnclosureSetUp(id=f"{number:04}", at=now, by="AK", about=f"enclosure/e{number}", name=name)
            for number, name in enumerate(names)
        ]
    )
    order = walking_order(room)
    found: tuple[Rack, ...] = racks(room, order, [RackSetting("A", tuple(map(tuple, rows)))])
    stops = [stop for rack in found for stop in rack.stops]
    assert sorted(stops) == sorted(order)
    assert all(len({len(row) for row in rack.rows}) == 1 for rack in found)
