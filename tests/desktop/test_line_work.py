"""Points of lines moved, added and removed; routes edited: one step each."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from uuid import uuid4

import pytest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.library import Library
from fieldtrip.desktop.line_work import EAST, NORTH, LineWork
from fieldtrip.desktop.selection import Selection
from fieldtrip.errors import UserError
from fieldtrip.geo import Position, bearing_deg, distance_m
from fieldtrip.places.records import (
    AccessRoute,
    CrossingObservation,
    Hazard,
    HazardKind,
    Leg,
    Location,
    Shape,
    VantagePoint,
)
from fieldtrip.store.store import Change, Store

DAY = date(2026, 11, 25)
A, B, C, D = (Position(49.60 + 0.001 * i, -8.40) for i in range(4))
BAY = Location(name="Bay", position=A, zone="Europe/Dublin")
HEAD = VantagePoint(location_id=BAY.id, name="Head", position=A)
ROUTE = AccessRoute(location_id=BAY.id, name="Gully")
LEG = Leg(route_id=ROUTE.id, number=1, name="Down", line=(A, B, C))
NEXT = Leg(route_id=ROUTE.id, number=2, name="Along", line=(C, D))
EDGE = Hazard(
    location_id=BAY.id,
    name="Edge",
    kind=HazardKind.CLIFF_EDGE,
    shape=Shape.LINE,
    line=(A, B, C),
)
BOG = Hazard(
    location_id=BAY.id,
    name="Bog",
    kind=HazardKind.SOFT_GROUND,
    shape=Shape.AREA,
    line=(A, B, C),
)


@pytest.fixture
def library(store: Store, qtbot: QtBot) -> Library:
    library = Library(store)
    library.add("begin", BAY, HEAD, ROUTE, LEG, NEXT, EDGE, BOG)
    library.undo_stack.clear()
    return library


@pytest.fixture
def selection() -> Selection:
    return Selection(DAY, datetime(2026, 11, 25, 12, tzinfo=UTC))


@pytest.fixture
def work(library: Library, selection: Selection) -> LineWork:
    selection.choose(LEG, BAY.id)
    return LineWork(library, selection)


def line_of(library: Library) -> tuple[Position, ...]:
    leg = library.get(Leg, LEG.id)
    assert leg is not None
    return leg.line


def test_only_lines_and_areas_are_worked_on(
    work: LineWork, library: Library, selection: Selection
) -> None:
    for record in (LEG, EDGE, BOG):
        selection.choose(record, BAY.id)
        assert work.record == record
    hole = replace(EDGE, id=uuid4(), name="Hole", shape=Shape.POINT, line=(A,))
    library.add("add", hole)
    for other in (HEAD, ROUTE, hole, None):
        selection.choose(other, BAY.id)
        assert work.record is None


def test_several_chosen_together_have_no_points(
    work: LineWork, selection: Selection
) -> None:
    selection.pick(EDGE.id)

    assert work.record is None


def test_one_walks_round_the_points(work: LineWork) -> None:
    seen = []
    for by in (1, 1, 1, 1, -1, -1):
        work.walk(by)
        seen.append(work.index)

    assert seen == [0, 1, 2, 0, 2, 1]


def test_back_from_none_is_the_last(work: LineWork) -> None:
    work.walk(-1)

    assert work.index == 2


def test_each_gesture_is_one_step(work: LineWork, library: Library) -> None:
    work.move(1, D)
    work.add(0, B)
    work.remove(2)
    assert line_of(library) == (A, B, C)
    assert library.undo_stack.count() == 3

    for line in ((A, B, D, C), (A, D, C), (A, B, C)):
        library.undo_stack.undo()
        assert line_of(library) == line


def test_a_nudge_goes_so_far_over_the_ground(work: LineWork, library: Library) -> None:
    work.use(1)

    work.nudge(EAST, 10.0)

    moved = line_of(library)[1]
    assert distance_m(B, moved) == pytest.approx(10.0, abs=1e-6)
    assert bearing_deg(B, moved) == pytest.approx(90.0, abs=1e-6)
    assert work.index == 1


def test_without_a_point_there_is_nothing_to_nudge(work: LineWork) -> None:
    with pytest.raises(UserError, match="with N"):
        work.nudge(NORTH, 1.0)


def test_a_new_point_stands_halfway_and_is_at_work(
    work: LineWork, library: Library
) -> None:
    work.use(0)
    work.add_after()

    new = line_of(library)[1]
    assert distance_m(A, new) == pytest.approx(distance_m(new, B), abs=1e-6)
    assert work.index == 1


def test_after_the_last_point_of_a_line_comes_one_before_it(
    work: LineWork, library: Library
) -> None:
    work.use(2)
    work.add_after()

    assert line_of(library)[3] == C
    assert work.index == 2


def test_after_the_last_point_of_an_area_comes_one_toward_the_first(
    work: LineWork, library: Library, selection: Selection
) -> None:
    selection.choose(BOG, BAY.id)
    work.use(2)
    work.add_after()

    bog = library.get(Hazard, BOG.id)
    assert bog is not None
    assert bog.line[:3] == BOG.line
    assert distance_m(bog.line[3], A) == pytest.approx(distance_m(A, C) / 2, abs=1e-6)


@pytest.mark.parametrize(
    ("record", "times", "sentence"),
    [(LEG, 1, "at least two points"), (BOG, 0, "needs 3 or more points")],
)
def test_too_few_points_are_refused_in_words(
    work: LineWork,
    library: Library,
    selection: Selection,
    record: Leg | Hazard,
    times: int,
    sentence: str,
) -> None:
    selection.choose(record, BAY.id)
    work.use(1)
    for _ in range(times):
        work.remove_current()
    before = library.get(type(record), record.id)

    with pytest.raises(UserError, match=sentence):
        work.remove_current()

    assert library.get(type(record), record.id) == before


def test_an_undo_that_takes_the_point_at_work_leaves_a_sound_one(
    work: LineWork, library: Library
) -> None:
    work.add(2, D)
    assert work.index == 3

    library.undo_stack.undo()

    assert work.index == 2


def test_another_choice_lets_go_of_the_point(
    work: LineWork, selection: Selection
) -> None:
    work.use(1)
    selection.choose(EDGE, BAY.id)
    selection.choose(LEG, BAY.id)

    assert work.index is None


def test_an_edge_turned_round_has_its_drop_on_the_other_side(
    work: LineWork, library: Library, selection: Selection, qtbot: QtBot
) -> None:
    selection.choose(EDGE, BAY.id)

    with qtbot.waitSignal(work.told) as told:
        work.turn_round()

    edge = library.get(Hazard, EDGE.id)
    assert edge is not None
    assert edge.line == EDGE.line[::-1]
    assert "other side" in told.args[0]


@pytest.mark.parametrize("record", [LEG, BOG, HEAD])
def test_only_a_hazards_line_is_turned_round(
    work: LineWork, selection: Selection, record: Leg | Hazard | VantagePoint
) -> None:
    selection.choose(record, BAY.id)

    with pytest.raises(UserError, match="Choose a"):
        work.turn_round()


def test_a_split_leg_is_joined_again_and_all_is_undone(
    work: LineWork, library: Library
) -> None:
    with pytest.raises(UserError, match="point at which to split"):
        work.split()
    work.use(1)
    work.split()
    legs = library.store.all(Leg)
    assert sorted((leg.number, leg.line) for leg in legs if leg.id != NEXT.id) == [
        (1, (A, B)),
        (2, (B, C)),
    ]

    work.join()

    assert line_of(library) == LEG.line
    library.undo_stack.undo()
    library.undo_stack.undo()
    assert {leg.id: leg for leg in library.store.all(Leg)} == {
        LEG.id: LEG,
        NEXT.id: NEXT,
    }


def test_what_was_seen_of_a_leg_goes_with_it(work: LineWork, library: Library) -> None:
    seen = CrossingObservation(
        leg_id=NEXT.id,
        instant=datetime(2026, 8, 1, 12, tzinfo=UTC),
        is_passable=False,
        level_m=0.9,
        datum="CD",
    )
    library.store.apply([Change(None, seen)])

    work.join()
    joined = library.store.all(CrossingObservation)
    work.use(1)
    work.split()

    assert [one.leg_id for one in joined] == [LEG.id]
    parts = {one.leg_id for one in library.store.all(CrossingObservation)}
    assert parts == {leg.id for leg in library.store.all(Leg)}
    library.undo_stack.undo()
    library.undo_stack.undo()
    assert library.store.all(CrossingObservation) == [seen]


def test_a_leg_is_moved_in_its_route(work: LineWork, library: Library) -> None:
    work.move_in_route(1)

    numbers = {leg.name: leg.number for leg in library.store.all(Leg)}
    assert numbers == {"Down": 2, "Along": 1}


def test_a_route_is_reversed_by_itself_or_by_its_leg(
    work: LineWork, library: Library, selection: Selection
) -> None:
    work.reverse()
    assert line_of(library) == (C, B, A)

    selection.choose(ROUTE, BAY.id)
    work.reverse()
    assert line_of(library) == (A, B, C)
    assert library.undo_stack.count() == 2
