"""The stories of the trip page, by mouse and by keyboard."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QStyle, QStyleOptionComboBox, QWidget
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.content.trip import NO_TRIP
from fieldtrip.desktop.fields import RESTORED, Field, TextField
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.tips import plain_tip
from fieldtrip.desktop.trip_panel import TripPanel
from fieldtrip.desktop.trip_rows import StopLine
from fieldtrip.geo import Position
from fieldtrip.places.records import (
    AccessRoute,
    Ground,
    Leg,
    Location,
    Subject,
    VantagePoint,
)
from fieldtrip.settings import Settings
from fieldtrip.store.store import Store
from fieldtrip.trips.records import Stop, Trip, Walk

HERE = Position(49.6, -8.4)
DAY = date(2026, 11, 14)
NOON = datetime(2026, 11, 14, 12, tzinfo=UTC)
PLACE = Location(name="Keel", position=HERE, zone="Europe/Dublin")
HEAD = VantagePoint(location_id=PLACE.id, name="Gully head", position=HERE)
BAR = VantagePoint(location_id=PLACE.id, name="Bar end", position=HERE)
TOWER = Subject(location_id=PLACE.id, name="Old signal tower", position=HERE)
ROUTE = AccessRoute(location_id=PLACE.id, name="Gully path")
LEG = Leg(
    route_id=ROUTE.id,
    number=1,
    name="up",
    line=(HERE, Position(49.61, -8.4)),
    distance_m=1200.0,
    ascent_m=100.0,
    descent_m=0.0,
    ground=Ground.PATH,
)
TRIP = Trip(location_id=PLACE.id, name="Evening", day=DAY)
FIRST = Stop(
    trip_id=TRIP.id,
    number=1,
    vantage_point_id=HEAD.id,
    arrive=NOON + timedelta(hours=3),
    leave=NOON + timedelta(hours=4),
)
SECOND = Stop(
    trip_id=TRIP.id,
    number=2,
    vantage_point_id=BAR.id,
    arrive=NOON + timedelta(hours=5),
    leave=NOON + timedelta(hours=6),
)
WALK = Walk(
    trip_id=TRIP.id,
    leg_id=LEG.id,
    start=NOON + timedelta(hours=2),
    finish=NOON + timedelta(hours=2, minutes=10),
)


@pytest.fixture
def library(store: Store) -> Library:
    library = Library(store)
    library.add("set the scene", PLACE, HEAD, BAR, TOWER, ROUTE, LEG)
    library.add("set the scene", TRIP, FIRST, SECOND, WALK)
    library.undo_stack.clear()
    return library


@pytest.fixture
def selection() -> Selection:
    selection = Selection(DAY, NOON)
    selection.choose(TRIP, PLACE.id)
    return selection


@pytest.fixture
def panel(library: Library, selection: Selection, qtbot: QtBot) -> Iterator[TripPanel]:
    jobs = Jobs()
    panel = TripPanel(library, selection, Preferences(Settings()), jobs)
    qtbot.addWidget(panel)
    panel.resize(900, 500)
    panel.show()
    panel.activateWindow()
    yield panel
    panel.finish()
    panel.hide()
    jobs.stop()


def type_over(field: TextField, text: str) -> None:
    field.line.setFocus()
    field.line.selectAll()
    QTest.keyClicks(field.line, text)
    QTest.keyClick(field.line, Qt.Key.Key_Return)


def trip_of(library: Library) -> Trip:
    trip = library.get(Trip, TRIP.id)
    assert trip is not None
    return trip


def stops_of(library: Library) -> tuple[Stop, ...]:
    dossier = library.dossier(PLACE.id)
    assert dossier is not None
    return dossier.stops_of(TRIP)


def line_of(panel: TripPanel, stop: Stop) -> StopLine:
    return panel.stop_lines[stop.id]


def test_without_a_trip_the_page_says_how_to_get_one(
    panel: TripPanel, selection: Selection
) -> None:
    selection.choose(None, None)

    assert panel.empty.isVisible()
    assert not panel.page.isVisible()
    assert panel.empty.text() == NO_TRIP
    assert panel.stop_lines == {}


def test_the_trip_is_shown_in_the_places_time(panel: TripPanel) -> None:
    assert panel.name.line.text() == "Evening"
    assert panel.day.line.text() == "14 Nov 2026"
    assert panel.latest_return.line.text() == ""
    assert line_of(panel, FIRST).arrive.line.text() == "15:00"
    assert line_of(panel, SECOND).vantage_point.combo.currentText() == "Bar end"


def test_a_time_is_typed_and_undone(panel: TripPanel, library: Library) -> None:
    type_over(panel.latest_return, "00:40 +1")
    assert trip_of(library).latest_return == datetime(2026, 11, 15, 0, 40, tzinfo=UTC)

    library.undo_stack.undo()

    assert trip_of(library).latest_return is None
    assert panel.latest_return.line.text() == ""


def test_a_time_that_cannot_be_read_changes_nothing(
    panel: TripPanel, library: Library
) -> None:
    type_over(panel.latest_return, "at dusk")

    assert "is no time" in panel.latest_return.fault.text()
    assert panel.latest_return.fault.isVisible()
    assert panel.latest_return.line.text() == "at dusk"
    assert library.undo_stack.count() == 0


def test_an_alarm_before_the_return_is_refused_until_the_return_is_earlier(
    panel: TripPanel, library: Library
) -> None:
    type_over(panel.latest_return, "21:00")
    type_over(panel.raise_alarm, "20:00")
    assert "cannot be raised before" in panel.raise_alarm.fault.text()

    type_over(panel.latest_return, "19:00")

    assert trip_of(library).raise_alarm == NOON + timedelta(hours=8)
    assert panel.raise_alarm.fault.text() == ""


def test_another_day_moves_all_times_in_one_step(
    panel: TripPanel, library: Library
) -> None:
    type_over(panel.day, "2026-11-15")

    assert [s.arrive for s in stops_of(library)] == [
        FIRST.arrive + timedelta(days=1),
        SECOND.arrive + timedelta(days=1),
    ]
    assert line_of(panel, FIRST).arrive.line.text() == "15:00"
    library.undo_stack.undo()
    assert stops_of(library) == (FIRST, SECOND)
    assert trip_of(library) == TRIP


def test_a_stop_is_added_where_one_stands_and_removed_again(
    panel: TripPanel, library: Library, selection: Selection, qtbot: QtBot
) -> None:
    selection.use(vantage_point_id=BAR.id)

    QTest.mouseClick(panel.add_stop, Qt.MouseButton.LeftButton)

    added = stops_of(library)[-1]
    assert (added.number, added.vantage_point_id) == (3, BAR.id)
    assert added.arrive == SECOND.leave
    line = line_of(panel, added)
    qtbot.waitUntil(line.isVisible)
    assert QApplication.focusWidget() is line.vantage_point.combo
    QTest.keyClick(
        line.vantage_point.combo, Qt.Key.Key_Delete, Qt.KeyboardModifier.ControlModifier
    )
    assert stops_of(library) == (FIRST, SECOND)
    assert library.undo_stack.undoText() == "remove stop"


def test_stops_change_places_by_key_and_button(
    panel: TripPanel, library: Library
) -> None:
    line = line_of(panel, SECOND)
    line.wanted.line.setFocus()

    QTest.keyClick(line.wanted.line, Qt.Key.Key_Up, Qt.KeyboardModifier.AltModifier)
    assert [s.id for s in stops_of(library)] == [SECOND.id, FIRST.id]
    assert line.number.text() == "1"
    QTest.mouseClick(line.later, Qt.MouseButton.LeftButton)

    assert stops_of(library) == (FIRST, SECOND)


def test_removing_the_first_stop_renumbers_the_rest_in_one_step(
    panel: TripPanel, library: Library
) -> None:
    QTest.mouseClick(line_of(panel, FIRST).remove, Qt.MouseButton.LeftButton)
    assert [(s.id, s.number) for s in stops_of(library)] == [(SECOND.id, 1)]

    library.undo_stack.undo()

    assert stops_of(library) == (FIRST, SECOND)


def test_what_is_typed_in_one_line_survives_a_change_in_another(
    panel: TripPanel, library: Library
) -> None:
    first, second = line_of(panel, FIRST), line_of(panel, SECOND)
    type_over(first.leave, "14:00")
    assert first.leave.fault.text() == "A stop must be left after it is reached."

    type_over(second.wanted, "tower against the glow")

    assert first.leave.line.text() == "14:00"
    assert stops_of(library)[1].wanted == "tower against the glow"
    assert stops_of(library)[0] == FIRST


def test_a_subject_is_chosen_with_the_keys(panel: TripPanel, library: Library) -> None:
    combo = line_of(panel, FIRST).subject.combo
    combo.setFocus()

    QTest.keyClick(combo, Qt.Key.Key_Down)
    assert library.undo_stack.count() == 0
    QTest.keyClick(combo, Qt.Key.Key_Return)

    assert stops_of(library)[0].subject_id == TOWER.id
    assert library.undo_stack.count() == 1


def test_a_walk_is_finished_as_the_rule_says(
    panel: TripPanel, library: Library
) -> None:
    line = panel.walk_lines[WALK.id]
    assert "29 min" in line.rule.text()  # Source: DIN 33466, by hand: 20 + 18 / 2
    assert line.use_rule.text() == "Use 29 min"
    assert line.remark.text() == "Planned 19 min shorter than that."

    QTest.mouseClick(line.use_rule, Qt.MouseButton.LeftButton)

    walk = library.get(Walk, WALK.id)
    assert walk is not None
    assert walk.finish - walk.start == timedelta(minutes=29)
    assert not line.use_rule.isEnabled()


def test_a_walk_is_readable_in_a_narrow_card(panel: TripPanel, qtbot: QtBot) -> None:
    panel.resize(680, 500)
    line = panel.walk_lines[WALK.id]
    qtbot.waitUntil(lambda: line.width() <= 680)

    # The leg's own name comes first, and the direction is whole.
    assert line.leg.combo.currentText().startswith(LEG.name)
    assert line.leg.toolTip() == plain_tip(line.leg.combo.currentText())
    combo = line.direction.combo
    option = QStyleOptionComboBox()
    combo.initStyleOption(option)
    room = combo.style().subControlRect(
        QStyle.ComplexControl.CC_ComboBox,
        option,
        QStyle.SubControl.SC_ComboBoxEditField,
        combo,
    )
    longest = combo.fontMetrics().horizontalAdvance("the other way")
    assert room.width() >= longest


def test_a_walk_that_starts_later_takes_as_long(
    panel: TripPanel, library: Library
) -> None:
    type_over(panel.walk_lines[WALK.id].start, "14:20")

    walk = library.get(Walk, WALK.id)
    assert walk is not None
    assert walk.finish == NOON + timedelta(hours=2, minutes=30)


def test_a_walk_is_added(panel: TripPanel, library: Library) -> None:
    QTest.mouseClick(panel.add_walk, Qt.MouseButton.LeftButton)

    dossier = library.dossier(PLACE.id)
    assert dossier is not None
    assert len(dossier.walks_of(TRIP)) == 2
    assert library.undo_stack.undoText() == "add walk"


def test_leaving_the_page_stores_what_is_typed(
    panel: TripPanel, library: Library
) -> None:
    panel.setFocus()
    assert QApplication.focusWidget() is panel.name.line
    panel.name.line.selectAll()
    QTest.keyClicks(panel.name.line, "Spring low")

    assert panel.finish()

    assert trip_of(library).name == "Spring low"


def test_closing_with_a_fault_keeps_the_text_as_a_draft(
    panel: TripPanel, library: Library
) -> None:
    panel.latest_return.line.setFocus()
    QTest.keyClicks(panel.latest_return.line, "at dusk")

    assert not panel.finish()

    assert library.store.drafts() == {(TRIP.id, "latest_return"): "at dusk"}


def test_a_draft_is_offered_after_a_crash(
    library: Library, selection: Selection, qtbot: QtBot
) -> None:
    library.store.keep_draft(TRIP.id, "notes", "Bring ro")
    library.store.keep_draft(FIRST.id, "wanted", "side li")
    jobs = Jobs()

    panel = TripPanel(library, selection, Preferences(Settings()), jobs)
    qtbot.addWidget(panel)
    panel.show()

    assert panel.notes.box.toPlainText() == "Bring ro"
    assert panel.notes.note.text() == RESTORED
    assert line_of(panel, FIRST).wanted.line.text() == "side li"
    assert trip_of(library).notes == ""
    jobs.stop()


def test_tab_goes_through_the_page_in_reading_order(panel: TripPanel) -> None:
    first, second = line_of(panel, FIRST), line_of(panel, SECOND)
    wanted = [panel.emergency.line, first.vantage_point.combo, first.subject.combo]
    wanted += [first.arrive.line, first.leave.line, first.wanted.line]

    seen: list[QWidget] = []
    widget: QWidget | None = panel.emergency.line
    while widget is not None and (not seen or widget is not seen[0]):
        if widget.focusPolicy() & Qt.FocusPolicy.TabFocus and widget.isEnabled():
            seen.append(widget)
        widget = widget.nextInFocusChain()

    assert [w for w in seen if w in wanted] == wanted
    assert seen.index(first.remove) < seen.index(second.vantage_point.combo)
    assert seen.index(second.remove) < seen.index(panel.add_stop)


def test_every_field_has_a_name_of_its_own(panel: TripPanel) -> None:
    editors = [field.focusProxy() for field in panel.findChildren(Field)]

    names = [editor.accessibleName() for editor in editors if editor is not None]

    assert "Arrive at stop 1" in names
    assert "Arrive at stop 2" in names
    assert len(set(names)) == len(names)
    assert all(names)


def test_removing_a_line_with_something_typed_in_it_removes_it(
    panel: TripPanel, library: Library
) -> None:
    line = line_of(panel, FIRST)
    line.wanted.line.setFocus()
    QTest.keyClicks(line.wanted.line, "side light")

    QTest.mouseClick(line.remove, Qt.MouseButton.LeftButton)

    assert [stop.id for stop in stops_of(library)] == [SECOND.id]
    assert library.undo_stack.count() == 1
    library.undo_stack.undo()
    assert line_of(panel, FIRST).wanted.line.text() == "side light"  # as a draft
