"""As what things come in, what is there already, and what becomes of both."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time
from typing import Any

import pytest

from fieldtrip.errors import UserError
from fieldtrip.exchange.found import Found, FoundPlace, Part, Photo, PlaceKind, Source
from fieldtrip.exchange.incoming import Choice, edits, needs_zone, new_location
from fieldtrip.exchange.proposals import (
    SAME_WITHIN_M,
    kinds_of,
    proposals,
    repeats,
    twin_of,
)
from fieldtrip.exchange.thinning import thinned
from fieldtrip.geo import Line, Position, destination, distance_to_line_m
from fieldtrip.places.records import (
    AccessNote,
    AccessRoute,
    Hazard,
    HazardKind,
    Leg,
    Location,
    NoteKind,
    Shape,
    StartKind,
    VantagePoint,
)
from fieldtrip.places.seasons import OpenHours
from tests.exchange.story import ANVIL, EDGE, LEDGE, NOTE, QUAY, ROCK, WAY, whole_coast

TODAY = date(2026, 11, 14)
THERE = Position(49.7, -8.5)
LINE = (THERE, Position(49.71, -8.5), Position(49.72, -8.51))


def place(shape: Shape, *lines: Line, **more: Any) -> FoundPlace:
    return FoundPlace(shape=shape, parts=tuple(Part(line) for line in lines), **more)


def found(*places: FoundPlace) -> Found:
    return Found(source=Source.GPX, file_name="a.gpx", places=places)


def records(*choices: Choice, photo_zone: str | None = None) -> list[Any]:
    """What choices make, all of it new."""
    made = edits(choices, whole_coast(), TODAY, photo_zone)
    assert [before for before, _ in made if before is not None] == []
    for _, record in made:
        assert record.faults() == []
    return [after for _, after in made]


def test_a_point_a_line_an_area_and_words_have_kinds_of_their_own() -> None:
    likeliest = {
        kinds_of(place(Shape.POINT, (THERE,)))[0]: PlaceKind.VANTAGE_POINT,
        kinds_of(place(Shape.LINE, LINE))[0]: PlaceKind.ROUTE,
        kinds_of(place(Shape.AREA, LINE))[0]: PlaceKind.HAZARD,
        kinds_of(place(Shape.POINT))[0]: PlaceKind.NOTE,
    }

    assert all(kind is expected for kind, expected in likeliest.items())
    photo = place(Shape.POINT, (THERE,), photo=Photo())
    assert kinds_of(photo) == (PlaceKind.VANTAGE_POINT, PlaceKind.NOTE)
    assert kinds_of(place(Shape.POINT, photo=Photo())) == (PlaceKind.NOTE,)


@pytest.mark.parametrize("metres", [0.0, 12.0, SAME_WITHIN_M - 0.1])
@pytest.mark.parametrize("bearing", [0.0, 90.0, 200.0])
def test_what_is_near_and_of_the_same_kind_is_a_twin(
    metres: float, bearing: float
) -> None:
    near = place(Shape.POINT, (destination(ROCK.position, bearing, metres),))

    twin = twin_of(near, PlaceKind.VANTAGE_POINT, "Other", whole_coast())

    assert twin is not None
    assert (twin.record_id, twin.why) == (ROCK.id, f"{metres:.0f} m away")
    assert twin_of(near, PlaceKind.SUBJECT, "Other", whole_coast()) is None


def test_what_is_farther_off_is_none() -> None:
    far = place(Shape.POINT, (destination(ROCK.position, 45.0, SAME_WITHIN_M + 0.1),))

    assert twin_of(far, PlaceKind.VANTAGE_POINT, "Other", whole_coast()) is None


def test_an_equal_name_is_a_twin_wherever_it_lies() -> None:
    twin = twin_of(
        place(Shape.POINT, (THERE,)),
        PlaceKind.VANTAGE_POINT,
        " FLAT rock ",
        whole_coast(),
    )

    assert twin is not None
    assert (twin.record_id, twin.why) == (ROCK.id, "same name")


def test_a_line_is_a_twin_only_with_both_ends() -> None:
    same = place(Shape.LINE, EDGE.line)
    longer = place(Shape.LINE, (*EDGE.line, THERE))

    twin = twin_of(same, PlaceKind.HAZARD, "", whole_coast())

    assert twin is not None
    assert twin.record_id == EDGE.id
    assert twin_of(longer, PlaceKind.HAZARD, "", whole_coast()) is None


@pytest.mark.parametrize(
    ("more", "is_repeat"),
    [
        ({}, True),
        ({"name": "arch "}, True),
        ({"notes": "Slippery."}, True),
        ({"name": "Stack"}, False),
        ({"notes": "Do not go below the step."}, False),
        ({"height_m": 12.0}, False),
        ({"kind": PlaceKind.REFUGE}, False),
        ({"photo": Photo()}, False),
        ({"parts": (Part((LINE[1],)),)}, False),
    ],
)
def test_a_thing_is_a_repeat_where_it_says_nothing_more(
    more: dict[str, Any], is_repeat: bool
) -> None:
    first = place(Shape.POINT, (THERE,), name="Arch", notes="Slippery.")
    second = replace(first, **{"notes": "", **more})

    made = proposals(found(first, second), whole_coast())

    assert repeats(made) == (False, is_repeat)


def test_lines_with_the_same_ends_are_two() -> None:
    way = place(Shape.LINE, LINE, name="Way")
    other = place(Shape.LINE, (LINE[0], LINE[2]), name="Way")

    made = proposals(found(way, other, way), whole_coast())

    assert repeats(made) == (False, False, True)


def test_a_track_becomes_a_route_with_a_leg_for_each_part() -> None:
    track = place(Shape.LINE, LINE, LINE[::-1], name="Walked")

    route, *legs = records(Choice(place=track, kind=PlaceKind.ROUTE, name="Walked"))

    assert isinstance(route, AccessRoute)
    assert route.location_id == ANVIL.id
    assert [(leg.number, leg.name, leg.line) for leg in legs] == [
        (1, "Walked, part 1", LINE),
        (2, "Walked, part 2", LINE[::-1]),
    ]
    assert {leg.route_id for leg in legs} == {route.id}
    # Nobody said so: not known is never safe.
    assert {(leg.is_tidal, leg.is_exposed, leg.walked_in_daylight) for leg in legs} == {
        (None, None, None)
    }


@pytest.mark.parametrize(("name", "called"), [("Walked", "Shore way"), ("", "Leg 1")])
def test_the_only_leg_is_called_as_its_route_where_that_has_a_name(
    name: str, called: str
) -> None:
    track = place(Shape.LINE, LINE, name=name)

    _, leg = records(Choice(place=track, kind=PlaceKind.ROUTE, name="Shore way"))

    assert leg.name == called


def test_lines_as_hazards_stay_apart_and_of_no_known_sort() -> None:
    track = place(Shape.LINE, LINE, LINE[::-1])

    one, two = records(Choice(place=track, kind=PlaceKind.HAZARD, name="Edge"))

    assert [hazard.name for hazard in (one, two)] == ["Edge 1", "Edge 2"]
    assert (one.kind, one.shape, one.line) == (HazardKind.OTHER, Shape.LINE, LINE)
    assert one.is_fenced is None


def test_a_height_goes_to_the_ground_and_an_instant_to_the_notes() -> None:
    point = place(
        Shape.POINT,
        (THERE,),
        notes="Windy.",
        height_m=12.0,
        time=datetime(2026, 5, 1, 9, tzinfo=UTC),
    )

    (vantage,) = records(Choice(place=point, kind=PlaceKind.VANTAGE_POINT, name="A"))

    assert isinstance(vantage, VantagePoint)
    assert vantage.ground_m == 12.0
    assert vantage.notes == (
        "Windy.\n\nRecorded Friday 1 May 2026 at 10:00 IST (UTC+1)."
    )


def test_a_place_as_a_note_keeps_its_name_and_position_in_words() -> None:
    point = place(Shape.POINT, (THERE,), notes="Gate shut.")

    (note,) = records(Choice(place=point, kind=PlaceKind.NOTE, name="Gate"))

    assert isinstance(note, AccessNote)
    assert (note.day, note.kind) == (TODAY, NoteKind.OTHER)
    assert note.text.startswith("Gate\nGate shut.\nAt 49.7")


@pytest.mark.parametrize(
    ("zone", "words", "day"),
    [
        ("Europe/Dublin", "taken Saturday 15 August 2026 at 20:14 IST (UTC+1)", 15),
        ("Pacific/Auckland", "taken Saturday 15 August 2026 at 09:14 IST (UTC+1)", 15),
        (None, "time not known", 14),
    ],
)
def test_a_photographs_clock_is_read_in_the_zone_that_was_asked_for(
    zone: str | None, words: str, day: int
) -> None:
    picture = place(
        Shape.POINT,
        (THERE,),
        photo=Photo(
            clock=datetime(2026, 8, 15, 20, 14),  # noqa: DTZ001
            direction_deg=120.4,
            direction_is_true=False,
        ),
    )
    choice = Choice(place=picture, kind=PlaceKind.NOTE, name="I", file_name="I.jpg")

    (note,) = records(choice, photo_zone=zone)

    assert needs_zone([picture])
    assert f"Photograph I.jpg, {words}, looking 120° magnetic." in note.text
    assert note.day.day == day


def test_merging_keeps_what_is_known_fills_in_what_is_not_and_adds_notes() -> None:
    dossier = whole_coast()
    bare = replace(ROCK, ground_m=None, notes="Mine.")
    dossier = replace(dossier, vantage_points=(bare,))
    point = place(
        Shape.POINT, (THERE,), notes="Theirs.", height_m=7.0, position_error_m=99.0
    )
    choice = Choice(
        place=point,
        kind=PlaceKind.VANTAGE_POINT,
        name="Their name",
        twin_id=ROCK.id,
    )

    ((before, after),) = edits([choice], dossier, TODAY)

    assert before == bare
    assert after == replace(bare, ground_m=7.0, notes="Mine.\n\nTheirs.")
    again = edits([choice], replace(dossier, vantage_points=(after,)), TODAY)
    assert again == ()


def test_two_things_that_merge_into_one_record_make_one_edit() -> None:
    choices = [
        Choice(
            place=place(Shape.POINT, (THERE,), notes=notes),
            kind=PlaceKind.REFUGE,
            name="x",
            twin_id=LEDGE.id,
        )
        for notes in ("First.", "Second.")
    ]

    ((before, after),) = edits(choices, whole_coast(), TODAY)

    assert before == LEDGE
    assert after.notes == "First.\n\nSecond."


def test_merging_into_a_route_leaves_its_legs() -> None:
    track = place(Shape.LINE, LINE, notes="Overgrown.")
    choice = Choice(place=track, kind=PlaceKind.ROUTE, name="x", twin_id=WAY.id)

    made = edits([choice], whole_coast(), TODAY)

    assert made == ((WAY, replace(WAY, notes="Two legs.\n\nOvergrown.")),)


def test_merging_into_what_is_gone_is_refused() -> None:
    choice = Choice(
        place=place(Shape.POINT, (THERE,)),
        kind=PlaceKind.SUBJECT,
        name="Tower",
        twin_id=ROCK.id,
    )

    with pytest.raises(UserError, match="“Tower” was to be merged into"):
        edits([choice], whole_coast(), TODAY)


def test_a_note_with_the_same_words_is_not_kept_twice() -> None:
    words = place(Shape.POINT, notes=NOTE.text, kind=PlaceKind.NOTE)

    (one,) = proposals(found(words), whole_coast())

    assert one.twin is not None
    choice = Choice(
        place=words, kind=PlaceKind.NOTE, name="", twin_id=one.twin.record_id
    )
    assert edits([choice], whole_coast(), TODAY) == ()


def test_a_file_cannot_claim_what_somebody_must_have_seen() -> None:
    claims = (
        ("kind", "access route"),
        ("walked_in_daylight", "yes"),
        ("is_tidal", "perhaps"),
        ("ascent_m", "steep"),
    )
    track = FoundPlace(
        shape=Shape.LINE,
        parts=(Part(LINE, claims),),
        name="Way",
        kind=PlaceKind.ROUTE,
        facts=claims,
    )

    _, leg = records(Choice(place=track, kind=PlaceKind.ROUTE, name="Way"))

    assert isinstance(leg, Leg)
    assert leg.walked_in_daylight is None
    assert (leg.is_tidal, leg.ascent_m) == (None, None)


def test_a_new_location_lies_among_its_places_and_has_the_zone_of_its_land() -> None:
    shore = tuple(Position(53.3, -6.2 - 0.01 * k) for k in range(3))

    location = new_location("Bay", [place(Shape.LINE, shore)])

    assert location.position == shore[1]
    assert location.zone == "Europe/Dublin"
    with pytest.raises(UserError, match="time zone of the new location is not known"):
        new_location("Sea", [place(Shape.POINT, (Position(0.0, -30.0),))])
    with pytest.raises(UserError, match="says where it is"):
        new_location("Nowhere", [place(Shape.POINT)])
    sea = new_location("Sea", [place(Shape.POINT, (Position(0.0, -30.0),))], "UTC")
    assert sea.zone == "UTC"


def test_another_location_can_come_in_as_one() -> None:
    point = place(Shape.POINT, (THERE,))

    (location,) = records(Choice(place=point, kind=PlaceKind.LOCATION, name="Far"))

    assert isinstance(location, Location)
    assert location.position == THERE


def test_a_recorded_line_is_thinned_within_its_tolerance_and_that_is_said() -> None:
    wavy = tuple(
        destination(THERE, 90.0 + (k % 7) * 0.02, 3.0 * k) for k in range(2_000)
    )

    (one,) = proposals(found(place(Shape.LINE, wavy)), whole_coast())

    kept = one.place.positions
    assert len(kept) < 1_000
    assert (kept[0], kept[-1]) == (wavy[0], wavy[-1])
    assert "2,000 points thinned to" in one.remark
    # The line lies on a plane in the thinning and on the ellipsoid here.
    assert max(distance_to_line_m(p, kept) for p in wavy[::40]) < 1.01


def test_a_line_that_stays_long_is_thinned_more_coarsely_and_that_is_said() -> None:
    # Every other point 3 m to the side: 1 m and 2 m leave nearly all, 4 m almost none.
    zigzag = tuple(
        destination(Position(49.7 + 2e-5 * k, -8.5), 90.0, 3.0 * (k % 2))
        for k in range(3_000)
    )

    (one,) = proposals(found(place(Shape.LINE, zigzag)), whole_coast())

    assert len(one.place.positions) < 100
    assert one.remark.endswith("none left out lies more than 4 m off.")


def test_thinning_takes_only_what_lies_within_the_tolerance() -> None:
    # A tooth of 11.1 m on a straight line; a degree of latitude is about 111 km.
    teeth = tuple(Position(0.0001 * (k == 50), 0.0001 * k) for k in range(101))

    assert thinned(teeth, 12.0) == (teeth[0], teeth[-1])
    assert teeth[50] in thinned(teeth, 10.0)
    assert len(thinned(teeth, 10.0)) == 5


def test_lines_drawn_by_hand_are_left_as_they_are() -> None:
    straight = tuple(Position(49.7 + 0.0001 * k, -8.5) for k in range(500))

    (one,) = proposals(found(place(Shape.LINE, straight)), whole_coast())

    assert one.place.positions == straight
    assert one.remark == ""


def test_hazards_of_an_export_keep_their_sort() -> None:
    hazard = FoundPlace(
        shape=Shape.AREA,
        parts=(Part(LINE),),
        name="Mud",
        kind=PlaceKind.HAZARD,
        facts=(("kind", "hazard"), ("sort", "soft ground"), ("shape", "area")),
    )

    (made,) = records(Choice(place=hazard, kind=PlaceKind.HAZARD, name="Mud"))

    assert isinstance(made, Hazard)
    assert made.kind is HazardKind.SOFT_GROUND


@pytest.mark.parametrize(
    "known", [{"is_always_open": True, "hours": None}, {"hours": QUAY.hours}]
)
def test_a_start_keeps_what_the_library_says_of_hours(
    known: dict[str, Any],
) -> None:
    mine = replace(QUAY, **known)
    theirs = place(
        Shape.POINT,
        (QUAY.position,),
        notes="Theirs.",
        kind=PlaceKind.START_PLACE,
        facts=(("hours", "01:00/02:00"), ("is_always_open", "yes")),
    )
    choice = Choice(place=theirs, kind=PlaceKind.START_PLACE, name="x", twin_id=QUAY.id)

    made = edits([choice], replace(whole_coast(), start_places=(mine,)), TODAY)

    ((_, after),) = made
    assert (after.hours, after.is_always_open) == (mine.hours, mine.is_always_open)
    assert after.faults() == []
    assert after.notes.endswith("Theirs.")


def test_a_start_with_hours_is_not_also_open_always() -> None:
    point = place(
        Shape.POINT,
        (THERE,),
        kind=PlaceKind.START_PLACE,
        facts=(("hours", "06:00/20:00"), ("is_always_open", "yes"), ("sort", "hut")),
    )

    ((_, made),) = edits(
        [Choice(place=point, kind=PlaceKind.START_PLACE, name="Hut")],
        whole_coast(),
        TODAY,
    )

    assert made.faults() == []
    assert made.kind is StartKind.HUT
    assert made.hours == OpenHours(time(6), time(20))
    assert made.is_always_open is None


def test_a_plain_point_can_come_in_as_a_start_of_which_nothing_is_known() -> None:
    point = place(Shape.POINT, (THERE,))
    assert PlaceKind.START_PLACE in kinds_of(point)

    ((_, made),) = edits(
        [Choice(place=point, kind=PlaceKind.START_PLACE, name="Lay-by")],
        whole_coast(),
        TODAY,
    )

    assert (made.kind, made.hours, made.is_always_open) == (StartKind.OTHER, None, None)
