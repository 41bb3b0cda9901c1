"""Gestures on the map become steps in the library, through the real web engine."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.library import Library
from fieldtrip.desktop.map.map_view import MapView
from fieldtrip.desktop.map_panel import MapPanel
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.scouting import Scouting
from fieldtrip.desktop.selection import Selection
from fieldtrip.errors import UserError
from fieldtrip.geo import Position, bearing_deg, distance_m
from fieldtrip.places.records import (
    AccessRoute,
    Hazard,
    HazardKind,
    Leg,
    Location,
    Shape,
    VantagePoint,
)
from fieldtrip.settings import LengthUnit, Settings
from fieldtrip.store.store import Store

pytestmark = pytest.mark.web

LEFT = Qt.MouseButton.LeftButton
CTRL = Qt.KeyboardModifier.ControlModifier
Key = Qt.Key
DAY = date(2026, 11, 14)
A, B, C = Position(49.602, -8.404), Position(49.602, -8.400), Position(49.604, -8.396)
SPOT = Position(49.598, -8.396)
BAY = Location(name="Bay", position=Position(49.6, -8.4), zone="Europe/Dublin")
COVE = Location(name="Cove", position=Position(49.61, -8.38), zone="Europe/Dublin")
HEAD = VantagePoint(location_id=BAY.id, name="Head", position=SPOT)
OTHER = VantagePoint(
    location_id=COVE.id, name="Other", position=Position(49.609, -8.382)
)
ROUTE = AccessRoute(location_id=BAY.id, name="Gully")
LEG = Leg(route_id=ROUTE.id, number=1, name="Down", line=(A, B, C))
BOG = Hazard(
    location_id=BAY.id,
    name="Bog",
    kind=HazardKind.SOFT_GROUND,
    shape=Shape.AREA,
    line=(A, B, SPOT),
)

Ask = Callable[[str], Any]


@pytest.fixture
def library(store: Store, qtbot: QtBot) -> Library:
    library = Library(store)
    library.add("begin", BAY, COVE, HEAD, OTHER, ROUTE, LEG, BOG)
    library.undo_stack.clear()
    return library


@pytest.fixture
def selection() -> Selection:
    selection = Selection(DAY, datetime(2026, 11, 14, 12, tzinfo=UTC))
    selection.choose(BAY, BAY.id)
    return selection


@pytest.fixture
def preferences() -> Preferences:
    return Preferences(Settings())


@pytest.fixture
def panel(
    qtbot: QtBot,
    tmp_path: Path,
    library: Library,
    selection: Selection,
    preferences: Preferences,
) -> Iterator[MapPanel]:
    scouting = Scouting(library, selection, lambda: DAY)
    panel = MapPanel(library, selection, preferences, scouting, tmp_path, lambda: None)
    qtbot.addWidget(panel)
    panel.resize(900, 700)
    with qtbot.waitSignal(panel.ready):
        panel.show()
    assert panel.view is not None
    moved = panel.view.bridge.viewMoved
    with qtbot.waitSignal(moved, check_params_cb=lambda _, __, zoom: zoom == 15.0):
        panel.view.look_at(BAY.position, 15.0)
    yield panel
    panel.close_view()


@pytest.fixture
def view(panel: MapPanel) -> MapView:
    assert panel.view is not None
    return panel.view


@pytest.fixture
def surface(view: MapView) -> QWidget:
    surface = view.focusProxy()
    assert surface is not None
    return surface


@pytest.fixture
def ask(qtbot: QtBot, view: MapView) -> Ask:
    def ask(expression: str) -> Any:
        with qtbot.waitCallback() as answered:
            view.run_js(f"JSON.stringify({expression})", answered)
        assert answered.args is not None
        return json.loads(answered.args[0]) if answered.args[0] else None

    return ask


@pytest.fixture
def pixel(ask: Ask) -> Callable[[Position], QPoint]:
    def pixel(position: Position) -> QPoint:
        place = f"[{position.lat_deg}, {position.lon_deg}]"
        point = ask(f"fieldtripMap.latLngToContainerPoint({place})")
        return QPoint(round(point["x"]), round(point["y"]))

    return pixel


def leg_line(library: Library) -> tuple[Position, ...]:
    leg = library.get(Leg, LEG.id)
    assert leg is not None
    return leg.line


def count(ask: Ask, selector: str) -> int:
    found: int = ask(f"document.querySelectorAll({json.dumps(selector)}).length")
    return found


def told_on_map(ask: Ask) -> str:
    text: str = ask("document.querySelector('.told:not(.unseen)')?.innerText ?? ''")
    return text


def choose_leg(qtbot: QtBot, selection: Selection, ask: Ask) -> None:
    selection.choose(LEG, BAY.id)
    qtbot.waitUntil(lambda: count(ask, ".handle") == 3)


def drag(surface: QWidget, start: QPoint, end: QPoint) -> None:
    QTest.mousePress(surface, LEFT, pos=start)
    for part in (0.2, 0.5, 0.8, 1.0):
        QTest.mouseMove(surface, start + (end - start) * part, 20)
    QTest.mouseRelease(surface, LEFT, pos=end, delay=20)


def test_the_map_has_all_its_room_from_the_start(
    qtbot: QtBot,
    tmp_path: Path,
    library: Library,
    selection: Selection,
    preferences: Preferences,
) -> None:
    scouting = Scouting(library, selection, lambda: DAY)
    panel = MapPanel(library, selection, preferences, scouting, tmp_path, lambda: None)
    qtbot.addWidget(panel)
    panel.resize(900, 700)
    heights = []

    def note() -> None:
        assert panel.view is not None
        heights.append(panel.view.height())

    panel.ready.connect(note)
    with qtbot.waitSignal(panel.ready):
        panel.show()

    assert heights == [700]
    panel.close_view()


def test_a_dragged_point_is_one_step_and_undone_in_one(
    qtbot: QtBot,
    library: Library,
    selection: Selection,
    surface: QWidget,
    ask: Ask,
    pixel: Callable[[Position], QPoint],
    panel: MapPanel,
) -> None:
    choose_leg(qtbot, selection, ask)
    qtbot.wait(300)  # a page that was only just loaded may still be moving

    drag(surface, pixel(B), pixel(B) + QPoint(-20, 70))

    qtbot.waitUntil(lambda: leg_line(library) != LEG.line)
    first, moved, last = leg_line(library)
    assert (first, last) == (A, C)
    assert distance_m(B, moved) > 100.0
    assert library.undo_stack.count() == 1
    library.undo_stack.undo()
    assert leg_line(library) == LEG.line


def test_a_point_is_added_nudged_and_removed_by_keyboard_alone(
    qtbot: QtBot,
    library: Library,
    selection: Selection,
    surface: QWidget,
    ask: Ask,
    panel: MapPanel,
) -> None:
    choose_leg(qtbot, selection, ask)
    panel.focus_map()

    QTest.keyClick(surface, Key.Key_N)
    qtbot.waitUntil(lambda: panel.lines.index == 0)
    qtbot.waitUntil(lambda: told_on_map(ask).startswith("Point 1 of 3."))
    qtbot.waitUntil(lambda: count(ask, ".at-work") == 1)
    QTest.keyClick(surface, Key.Key_Insert)
    qtbot.waitUntil(lambda: len(leg_line(library)) == 4)
    qtbot.waitUntil(lambda: told_on_map(ask).startswith("Point 2 of 4."))
    QTest.keyClick(surface, Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    qtbot.waitUntil(lambda: library.undo_stack.count() == 2)
    QTest.keyClick(surface, Key.Key_Delete)
    qtbot.waitUntil(lambda: leg_line(library) == LEG.line)

    assert library.undo_stack.count() == 3
    library.undo_stack.undo()
    library.undo_stack.undo()
    inserted = leg_line(library)[1]
    library.undo_stack.redo()
    assert distance_m(inserted, leg_line(library)[1]) == pytest.approx(10.0, abs=1e-6)
    assert bearing_deg(inserted, leg_line(library)[1]) == pytest.approx(90.0, abs=1e-3)


def test_too_few_points_are_refused_in_words_and_nothing_is_lost(
    qtbot: QtBot,
    library: Library,
    selection: Selection,
    surface: QWidget,
    ask: Ask,
    panel: MapPanel,
) -> None:
    selection.choose(BOG, BAY.id)
    qtbot.waitUntil(lambda: count(ask, ".handle") == 3)
    panel.focus_map()
    QTest.keyClick(surface, Key.Key_P)
    qtbot.waitUntil(lambda: told_on_map(ask).startswith("Point 3 of 3."))
    qtbot.waitUntil(lambda: count(ask, ".at-work") == 1)

    with qtbot.waitSignal(panel.told) as told:
        QTest.keyClick(surface, Key.Key_Delete)

    assert told.args == ["A hazard drawn as area needs 3 or more points."]
    bog = library.get(Hazard, BOG.id)
    assert bog == BOG
    qtbot.waitUntil(lambda: count(ask, ".handle") == 3)


def test_choosing_what_is_no_line_takes_the_points_away(
    qtbot: QtBot, selection: Selection, ask: Ask, panel: MapPanel
) -> None:
    choose_leg(qtbot, selection, ask)

    selection.choose(HEAD, BAY.id)

    qtbot.waitUntil(lambda: count(ask, ".handle") == 0)


def test_ctrl_click_picks_more_and_one_drag_moves_all(
    qtbot: QtBot,
    library: Library,
    selection: Selection,
    surface: QWidget,
    ask: Ask,
    pixel: Callable[[Position], QPoint],
    panel: MapPanel,
) -> None:
    selection.choose(HEAD, BAY.id)
    qtbot.waitUntil(lambda: count(ask, ".vantage.movable") == 1)

    QTest.mouseClick(surface, LEFT, CTRL, pixel(BAY.position))
    qtbot.waitUntil(lambda: selection.picked == {HEAD.id, BAY.id})
    qtbot.waitUntil(lambda: count(ask, ".symbol.movable") == 2)
    drag(surface, pixel(SPOT), pixel(SPOT) + QPoint(50, 50))

    qtbot.waitUntil(lambda: library.undo_stack.count() == 1)
    head, bay = library.get(VantagePoint, HEAD.id), library.get(Location, BAY.id)
    assert head is not None
    assert bay is not None
    assert distance_m(BAY.position, bay.position) == pytest.approx(
        distance_m(SPOT, head.position), abs=1e-6
    )
    library.undo_stack.undo()
    assert library.get(Location, BAY.id) == BAY


def test_measuring_is_told_over_the_map_and_leaves_nothing(
    qtbot: QtBot,
    library: Library,
    surface: QWidget,
    ask: Ask,
    pixel: Callable[[Position], QPoint],
    panel: MapPanel,
) -> None:
    panel.aids.measure()
    qtbot.waitUntil(lambda: count(ask, ".tool-active") == 1)
    for position in (A, B, SPOT):
        QTest.mouseMove(surface, pixel(position))
        QTest.mouseClick(surface, LEFT, pos=pixel(position))
    qtbot.waitUntil(lambda: "Total:" in told_on_map(ask))
    QTest.keyClick(surface, Key.Key_Return)

    qtbot.waitUntil(lambda: "Area:" in told_on_map(ask))
    text = told_on_map(ask)
    assert "true" in text
    assert "magnetic" in text
    assert "World Magnetic Model 2025" in text
    # Two points of the library were taken: the first piece is theirs to the metre.
    first = f"{distance_m(A, B):.0f} m"  # laid out once the page comes to rest
    qtbot.waitUntil(lambda: first in json.loads(ask("fieldtripWords()")))
    QTest.keyClick(surface, Key.Key_Escape)
    qtbot.waitUntil(lambda: told_on_map(ask) == "")
    assert library.undo_stack.count() == 0


def test_measuring_ends_when_something_else_is_drawn(
    qtbot: QtBot, ask: Ask, panel: MapPanel, view: MapView
) -> None:
    panel.aids.measure()
    qtbot.waitUntil(lambda: count(ask, ".tool-active") == 1)

    panel.start_leg()

    assert not view.handwork.is_measuring
    assert view.tool is not None
    panel.aids.measure()
    assert view.tool is None


def test_lengths_follow_the_unit(
    qtbot: QtBot,
    surface: QWidget,
    ask: Ask,
    pixel: Callable[[Position], QPoint],
    panel: MapPanel,
    preferences: Preferences,
) -> None:
    panel.aids.measure()
    qtbot.waitUntil(lambda: count(ask, ".tool-active") == 1)
    for position in (A, B):
        QTest.mouseMove(surface, pixel(position))
        QTest.mouseClick(surface, LEFT, pos=pixel(position))
    qtbot.waitUntil(lambda: " m, " in told_on_map(ask))

    preferences.settings = Settings(length_unit=LengthUnit.FOOT)

    qtbot.waitUntil(lambda: " ft, " in told_on_map(ask))


def test_rings_go_round_the_chosen_point_and_follow_it(
    qtbot: QtBot, selection: Selection, ask: Ask, panel: MapPanel
) -> None:
    selection.choose(HEAD, BAY.id)

    panel.aids.show_rings(True)

    qtbot.waitUntil(lambda: 1 <= count(ask, "path.range-ring") <= 5)
    panel.aids.show_rings(False)
    qtbot.waitUntil(lambda: count(ask, "path.range-ring") == 0)


def test_a_typed_radius_makes_one_ring(qtbot: QtBot, ask: Ask, panel: MapPanel) -> None:
    panel.aids.ask_radius()
    bar = panel.aids.bar
    QTest.keyClicks(bar.line, "far")
    assert bar.reading.text() == "Write a radius like 500 m, 1.5 km, 300 ft or 2 mi."
    bar.line.clear()
    QTest.keyClicks(bar.line, "300 m")
    assert bar.reading.text() == "a ring of 300 m"

    QTest.keyClick(bar.line, Key.Key_Return)

    qtbot.waitUntil(lambda: count(ask, "path.range-ring") == 1)
    assert not bar.isVisible()


def test_one_looks_along_a_magnetic_bearing_until_it_is_cleared(
    qtbot: QtBot, selection: Selection, ask: Ask, panel: MapPanel
) -> None:
    with pytest.raises(UserError, match="vantage point"):
        panel.aids.ask_bearing()
    selection.choose(HEAD, BAY.id)
    panel.aids.ask_bearing()
    QTest.keyClicks(panel.aids.bar.line, "140 magnetic")
    assert "° true, 140° magnetic" in panel.aids.bar.reading.text()
    QTest.keyClick(panel.aids.bar.line, Key.Key_Return)

    def looked() -> list[Any]:
        rays = json.loads(ask("fieldtripRays()"))
        return [ray for ray in rays if ray["layer"] == "look"]

    qtbot.waitUntil(lambda: len(looked()) == 1)
    selection.choose(LEG, BAY.id)
    qtbot.wait(50)
    (ray,) = looked()
    assert ray["label"].endswith("140° magnetic")
    start, end = (Position(*place) for place in (ray["start"], ray["end"]))
    assert bearing_deg(start, end) == pytest.approx(ray["azimuth_deg"], abs=0.1)
    panel.aids.clear_looks()
    qtbot.waitUntil(lambda: looked() == [])


def test_other_locations_are_marks_and_their_vantage_points_quiet(
    qtbot: QtBot, selection: Selection, ask: Ask, view: MapView, panel: MapPanel
) -> None:
    view.look_at(Position(49.605, -8.39), 14.0)
    qtbot.waitUntil(lambda: count(ask, ".quiet") == 1)
    qtbot.waitUntil(lambda: "Cove" in json.loads(ask("fieldtripWords()")))

    selection.choose(COVE, COVE.id)

    # Now it is drawn in full, and the other is a mark.
    qtbot.waitUntil(lambda: "Other" in json.loads(ask("fieldtripWords()")))
    assert count(ask, ".quiet") in (0, 1)
    view.look_at(Position(49.605, -8.39), 6.0)
    qtbot.waitUntil(lambda: count(ask, ".quiet") == 0)


def test_many_locations_far_off_are_a_count(
    qtbot: QtBot, library: Library, ask: Ask, view: MapView, panel: MapPanel
) -> None:
    more = [
        Location(
            name=f"Strand {i}",
            position=Position(49.5 + 0.002 * i, -8.5),
            zone="Europe/Dublin",
        )
        for i in range(30)
    ]
    library.add("add", *more)

    view.look_at(BAY.position, 6.0)

    qtbot.waitUntil(lambda: "31 locations" in json.loads(ask("fieldtripWords()")))
    library.undo_stack.undo()
    qtbot.waitUntil(lambda: "31 locations" not in json.loads(ask("fieldtripWords()")))
