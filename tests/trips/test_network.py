"""The walking graph: what is joined, what is cut, and what nobody knows."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID, uuid4

import numpy as np
import pytest

from fieldtrip.errors import UserError
from fieldtrip.geo import Position, destination, distance_m, line_length_m
from fieldtrip.places.records import Ground, Leg
from fieldtrip.trips.network import (
    Drive,
    Network,
    Spot,
    network_of,
    walked_line,
    way_line,
)
from fieldtrip.trips.question import Way, WayKind
from fieldtrip.trips.records import Walk
from fieldtrip.trips.walking import Heights, Pace

HOME = Position(49.6, -8.4)
NOON = datetime(2027, 6, 5, 12, 0, tzinfo=UTC)


def east(metres: float, north: float = 0.0) -> Position:
    at = destination(HOME, 90.0, metres) if metres else HOME
    return destination(at, 0.0, north) if north else at


def leg(name: str, *line: Position, **changes: Any) -> Leg:
    values: dict[str, Any] = {
        "route_id": uuid4(),
        "number": 1,
        "name": name,
        "line": line,
        "ascent_m": 0.0,
        "descent_m": 0.0,
        "ground": Ground.PATH,
    } | changes
    return Leg(**values)


def spot(number: int, position: Position) -> Spot:
    return Spot(UUID(int=number), f"spot {number}", position)


def between(net: Network, a: Spot, b: Spot) -> list[Way]:
    """The ways straight from one spot's place to another's."""
    start, stop = net.place_of[a.id], net.place_of[b.id]
    return [way for way in net.ways if (way.start, way.stop) == (start, stop)]


def minutes(net: Network, a: Spot, b: Spot) -> float:
    """The shortest time between two spots by trying everything again and again."""
    best = [float("inf")] * net.places
    best[net.place_of[a.id]] = 0.0
    for _ in range(net.places):
        for way in net.ways:
            best[way.stop] = min(best[way.stop], best[way.start] + way.minutes)
    return best[net.place_of[b.id]]


def test_a_leg_is_walked_both_ways_with_up_and_down_exchanged() -> None:
    a, b = spot(1, HOME), spot(2, east(1000.0))
    climb = leg("climb", HOME, b.position, distance_m=1000.0, ascent_m=300.0)

    net = network_of([climb], [a, b])

    # DIN 33466: an hour of steep and half of a quarter of an hour of flat; down 36 min.
    assert minutes(net, a, b) == pytest.approx(67.5)
    assert minutes(net, b, a) == pytest.approx(36.0 + 7.5)


def test_ends_that_nearly_meet_are_one_place() -> None:
    a, b = spot(1, HOME), spot(2, east(1000.0))
    first = leg("first", HOME, east(500.0))
    second = leg("second", east(510.0, 12.0), b.position)

    net = network_of([first, second], [a, b])

    assert {way.kind for way in net.ways} == {WayKind.LEG}
    assert minutes(net, a, b) == pytest.approx(0.99 * 15.0, abs=0.1)


def test_a_short_leg_between_two_ends_does_not_vanish() -> None:
    # Were its ends one place, the gully would be crossed in no time and at any tide.
    a, b = spot(1, HOME), spot(2, east(1000.0))
    legs = [
        leg("first", HOME, east(480.0)),
        leg("gully", east(480.0), east(505.0), is_tidal=True, shut_above_m=2.0),
        leg("second", east(505.0), b.position),
    ]

    net = network_of(legs, [a, b])

    assert {way.name for way in net.ways} == {"first", "gully", "second"}
    gully = next(way for way in net.ways if way.name == "gully")
    assert gully.start != gully.stop
    assert gully.is_on_sands


def test_a_leg_that_begins_in_the_middle_of_another_cuts_it() -> None:
    a, b = spot(1, HOME), spot(2, east(400.0, 600.0))
    through = leg("through", HOME, east(1000.0))
    branch = leg("branch", east(400.0, 5.0), b.position)

    net = network_of([through, branch], [a, b])

    parts = [w for w in net.ways if w.leg_id == through.id and not w.is_reversed]
    assert [w.from_share for w in parts] == [0.0, parts[1].from_share]
    assert parts[0].to_share == parts[1].from_share == pytest.approx(0.4, abs=0.01)
    assert minutes(net, a, b) == pytest.approx(15.0 * 0.995, abs=0.15)


def test_a_leg_that_passes_below_a_path_is_not_joined_to_it() -> None:
    # Twenty metres on the map may be a cliff.
    a, b = spot(1, HOME), spot(2, east(500.0, 600.0))
    top = leg("top", HOME, east(1000.0))
    foot = leg("foot", east(500.0, 20.0), b.position)

    net = network_of([top, foot], [a, b])

    assert all(w.kind is WayKind.LINE for w in between(net, a, b))


def test_a_spot_beside_the_middle_of_a_leg_cuts_it() -> None:
    a, b = spot(1, HOME), spot(2, east(250.0, 6.0))
    path = leg("path", HOME, east(1000.0), distance_m=1200.0)

    net = network_of([path], [a, b])

    (way,) = between(net, a, b)
    assert way.to_share == pytest.approx(0.25, abs=0.001)
    assert way.distance_m == pytest.approx(300.0, abs=1.5)
    assert way.minutes == pytest.approx(1200.0 / 4000.0 * 60.0 * 0.25, abs=0.05)


def test_a_spot_next_to_an_end_stands_there() -> None:
    a, b = spot(1, east(0.0, 8.0)), spot(2, east(1000.0))

    net = network_of([leg("path", HOME, east(1000.0))], [a, b])

    assert [way.to_share for way in between(net, a, b)] == [1.0]


def test_a_spot_off_every_leg_is_reached_by_a_slow_line() -> None:
    a, b = spot(1, HOME), spot(2, east(1000.0, 200.0))

    net = network_of([leg("path", HOME, east(1000.0))], [a, b])

    lines = [way for way in net.ways if way.kind is WayKind.LINE]
    assert [way.name for way in lines] == ["spot 2", "spot 2"]
    # 200 m at 4 km/h are 3 minutes; on ground that nobody knows, twice.
    assert lines[0].minutes == pytest.approx(6.0, abs=0.02)
    assert minutes(net, a, b) == pytest.approx(21.0, abs=0.1)


def test_without_any_leg_spots_are_joined_by_lines() -> None:
    a, b = spot(1, HOME), spot(2, east(1000.0))

    net = network_of([], [a, b])

    (way,) = between(net, a, b)
    assert way.kind is WayKind.LINE
    assert way.minutes == pytest.approx(30.0, abs=0.01)


def test_pace_and_pack_slow_every_way_but_a_drive() -> None:
    a, b, c = spot(1, HOME), spot(2, east(1000.0)), spot(3, east(9000.0))
    drive = Drive(b.id, c.id, 20.0)

    net = network_of(
        [leg("path", HOME, east(1000.0))],
        [a, b, c],
        Pace(factor=1.5, pack_factor=1.2),
        drives=[drive],
    )

    assert minutes(net, a, b) == pytest.approx(15.0 * 1.8, abs=0.01)
    assert [w.minutes for w in between(net, b, c) if w.kind is WayKind.DRIVE] == [20.0]


@pytest.mark.parametrize("length", [0.0, -5.0, float("nan"), 9999.0])
def test_a_drive_of_no_minutes_is_refused(length: float) -> None:
    a, b = spot(1, HOME), spot(2, east(5000.0))

    with pytest.raises(UserError, match="drive"):
        network_of([], [a, b], drives=[Drive(a.id, b.id, length)])


def test_a_drive_to_what_is_gone_is_refused() -> None:
    a = spot(1, HOME)

    with pytest.raises(UserError, match="is gone"):
        network_of([], [a], drives=[Drive(a.id, uuid4(), 20.0)])


def test_a_profile_counts_where_no_climb_was_typed() -> None:
    a, b = spot(1, HOME), spot(2, east(1000.0))
    path = leg(
        "path", HOME, b.position, distance_m=1000.0, ascent_m=None, descent_m=None
    )
    up = Heights(np.linspace(0.0, 1000.0, 21), np.linspace(0.0, 300.0, 21))

    net = network_of([path], [a, b], heights={path.id: up})

    assert minutes(net, a, b) == pytest.approx(67.5)
    assert minutes(net, b, a) == pytest.approx(43.5)


def test_the_line_of_a_part_of_a_leg() -> None:
    line = (HOME, east(400.0), east(400.0, 600.0))
    path = leg("path", *line)

    part = way_line(path, 0.2, 0.7, reverse=False)
    back = way_line(path, 0.2, 0.7, reverse=True)

    assert back == part[::-1]
    assert part[1] == line[1]
    assert line_length_m(part) == pytest.approx(500.0, abs=0.5)
    assert distance_m(HOME, part[0]) == pytest.approx(200.0, abs=0.5)


def test_a_leg_of_no_length_breaks_nothing() -> None:
    a = spot(1, HOME)

    net = network_of([leg("dot", HOME, HOME)], [a])

    assert all(way.minutes > 0.0 for way in net.ways)
    assert timedelta(minutes=minutes(net, a, a)) == timedelta()


@pytest.mark.parametrize("is_reversed", [False, True])
def test_the_line_of_a_walk_is_that_of_its_part(is_reversed: bool) -> None:
    path = leg("path", HOME, east(400.0), east(1000.0))
    whole = Walk(
        trip_id=uuid4(),
        leg_id=path.id,
        start=NOON,
        finish=NOON + timedelta(minutes=9),
        is_reversed=is_reversed,
    )

    part = walked_line(path, replace(whole, from_share=0.1, to_share=0.3))

    line = path.line[::-1] if is_reversed else path.line
    assert walked_line(path, whole) == line
    assert line_length_m(part) == pytest.approx(200.0, abs=0.5)
    near, far = (part[-1], part[0]) if is_reversed else (part[0], part[-1])
    assert distance_m(HOME, near) == pytest.approx(100.0, abs=0.5)
    assert distance_m(HOME, far) == pytest.approx(300.0, abs=0.5)
