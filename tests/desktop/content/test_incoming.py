"""What is said of things that may come in, without a window."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from fieldtrip.desktop.content.incoming import (
    MOST_DRAWN,
    Reading,
    Row,
    Target,
    asks_zone,
    choices_of,
    default_target,
    done_words,
    faults_of,
    new_target,
    preview,
    read_all,
    remarks_of,
    rows_of,
    summary,
    texts,
    with_kind,
    with_name,
)
from fieldtrip.errors import Cancelled
from fieldtrip.exchange.found import Found, FoundPlace, Part, Photo, PlaceKind, Source
from fieldtrip.exchange.incoming import edits
from fieldtrip.exchange.outgoing import outgoing
from fieldtrip.geo import Position
from fieldtrip.places.records import Location, Shape
from fieldtrip.settings import LengthUnit, Settings
from tests.exchange.photos import photo
from tests.exchange.story import ANVIL, ROCK, whole_coast

TODAY = date(2026, 11, 14)
THERE = Position(49.7, -8.5)
FAR = Location(name="Far bay", position=THERE, zone="Europe/Dublin")
ANVIL_TARGET = Target(whole_coast(), is_new=False, locations=(ANVIL, FAR))


def reading(*places: FoundPlace, remarks: tuple[str, ...] = ()) -> Reading:
    found = Found(source=Source.GPX, file_name="a.gpx", places=places, remarks=remarks)
    return Reading("a.gpx", found)


def point(name: str = "Arch", at: Position = THERE) -> FoundPlace:
    return FoundPlace(shape=Shape.POINT, parts=(Part((at,)),), name=name)


def row(place: FoundPlace, target: Target = ANVIL_TARGET) -> Row:
    (only,) = rows_of([reading(place)], target)
    return only


def test_files_go_to_their_own_location_the_chosen_or_the_only_one() -> None:
    own, words = reading(*outgoing(whole_coast())), reading(point())

    assert default_target([own], [FAR, ANVIL], FAR.id) == ANVIL.id
    assert default_target([own], [FAR], FAR.id) is None
    assert default_target([words], [FAR, ANVIL], ANVIL.id) == ANVIL.id
    assert default_target([words], [FAR], None) == FAR.id
    assert default_target([words], [FAR, ANVIL], None) is None


def test_a_new_location_is_not_offered_to_itself_once_more() -> None:
    own = reading(*outgoing(whole_coast()))

    target = new_target([own], [], None)

    kinds = [one.kind for one in rows_of([own], target)]
    assert PlaceKind.LOCATION not in kinds
    assert target.dossier.location.name == ANVIL.name


def test_another_name_or_kind_has_another_twin() -> None:
    near = row(point("Other", ROCK.position))
    assert near.twin is not None

    assert with_kind(near, PlaceKind.SUBJECT, ANVIL_TARGET).twin is None
    named = with_name(row(point()), "flat ROCK", ANVIL_TARGET)
    assert named.twin is not None
    assert named.twin.record_id == ROCK.id


@pytest.mark.parametrize(
    ("unit", "words"),
    [
        (LengthUnit.METRE, "line, 2 points, 110 m"),
        (LengthUnit.FOOT, "line, 2 points, 360 ft"),
    ],
)
def test_lengths_are_told_in_the_users_unit(unit: LengthUnit, words: str) -> None:
    # A thousandth of a degree of latitude there: 111.2 m. Source: WGS 84.
    line = FoundPlace(
        shape=Shape.LINE, parts=(Part((THERE, Position(49.701, -8.5))),), name="Way"
    )

    assert texts(row(line), Settings(length_unit=unit))[3] == words


def test_a_photograph_is_told_with_its_direction_and_north() -> None:
    seen = replace(point(), photo=Photo(direction_deg=12.4, direction_is_true=False))

    assert texts(row(seen), Settings())[3] == "photograph, looking 12° magnetic"
    nowhere = replace(seen, parts=())
    assert texts(row(nowhere), Settings())[3] == "photograph, place not known"
    assert row(nowhere).kind is PlaceKind.NOTE


def test_remarks_name_their_file_where_there_are_several() -> None:
    one = reading(point(), remarks=("Odd.",))

    assert remarks_of([one]) == ("Odd.",)
    assert remarks_of([one, Reading("b.gpx", None, "Bad.")]) == ("a.gpx: Odd.",)


def test_what_is_wrong_is_said_once_and_only_of_what_is_ticked() -> None:
    nameless = replace(row(point()), name=" ")
    bad = Reading("b.gpx", None, "Bad.")

    assert faults_of([bad, bad], [nameless, nameless], False) == (
        "Bad.",
        "A vantage point needs a name.",
    )
    assert faults_of([], [replace(nameless, is_taken=False)], False) == ()
    assert len(faults_of([], [], True)) == 1


def test_the_summary_counts_what_is_ticked() -> None:
    rows = [
        row(point()),
        row(point("Flat rock")),
        replace(row(point()), is_taken=False),
    ]

    assert summary(rows, ANVIL_TARGET) == (
        "2 of 3 things go into “Anvil Strand”; 1 added, 1 merged."
    )
    assert summary([], ANVIL_TARGET) == "Nothing to take in."
    made = edits(choices_of(rows), ANVIL_TARGET.dossier, TODAY)
    assert done_words(made).startswith("1 new, nothing changed.")


def test_what_is_in_the_files_twice_is_ticked_once() -> None:
    twice = [reading(point(), point(" ARCH")), reading(point(), point("Cove"))]

    rows = rows_of(twice, ANVIL_TARGET)

    assert [one.is_taken for one in rows] == [True, False, False, True]
    assert [texts(one, Settings())[2] for one in rows] == [
        "",
        "the same as a line above",
        "the same as a line above",
        "",
    ]
    assert texts(with_name(rows[1], "Stack", ANVIL_TARGET), Settings())[2] == ""


def test_too_much_for_the_map_is_not_drawn() -> None:
    many = [row(point(f"p{k}")) for k in range(MOST_DRAWN + 1)]
    made = edits(choices_of(many), ANVIL_TARGET.dossier, TODAY)

    assert preview(ANVIL_TARGET, made, Settings())["features"] == []
    few = preview(ANVIL_TARGET, made[:3], Settings())["features"]
    assert [f["properties"]["label"] for f in few] == ["p0", "p1", "p2"]


def test_reading_goes_on_after_a_bad_file_and_ends_when_told_to(tmp_path: Path) -> None:
    good, bad = photo(tmp_path / "a.jpg", times={}), tmp_path / "b.gpx"
    bad.write_text("<gpx>")
    told: list[float] = []

    first, second = read_all([bad, good], told.append)

    assert (first.found, second.fault) == (None, "")
    assert asks_zone([first, second]) == 0
    assert told[0] == 0.0
    assert 0.5 in told

    def stop(_: float) -> None:
        raise Cancelled

    with pytest.raises(Cancelled):
        read_all([good], stop)
