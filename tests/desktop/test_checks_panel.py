"""The stories of the checks page, by mouse and by keyboard."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from uuid import uuid4

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QToolButton
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.checks_panel import ChecksPanel
from fieldtrip.desktop.content.checks import NO_TRIP, ChecksGroup
from fieldtrip.desktop.finding_line import FindingLine, Question
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.theme import DARK
from fieldtrip.errors import UserError
from fieldtrip.geo import Position
from fieldtrip.phrasing import CAUTIONS
from fieldtrip.places.records import AccessRoute, Ground, Leg, Location, VantagePoint
from fieldtrip.safety.finding import Severity
from fieldtrip.settings import Settings
from fieldtrip.store.store import Store
from fieldtrip.trips.records import CheckRun, Stop, Tick, Trip, Walk

HERE = Position(49.6, -8.4)
A_LONG_TIME_MS = 3_600_000  # no run is kept by itself
PLACE = Location(name="Keel", position=HERE, zone="Europe/Dublin")
HEAD = VantagePoint(location_id=PLACE.id, name="Gully head", position=HERE)
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
    is_exposed=True,
    daylight_only=True,
    walked_in_daylight=False,
    is_tidal=False,
)
DAY = date(2026, 11, 14)
MIDNIGHT = datetime(2026, 11, 14, 0, tzinfo=UTC)
NOW = datetime(2026, 11, 14, 11, 5, tzinfo=UTC)
TRIP = Trip(
    location_id=PLACE.id,
    name="Evening",
    day=DAY,
    party=2,
    contact="A. Person, by telephone",
    emergency="999 or 112; coverage at the car park",
    alarm_with="The coastguard",
    latest_return=MIDNIGHT + timedelta(hours=20),
    raise_alarm=MIDNIGHT + timedelta(hours=21),
)
STOP = Stop(
    trip_id=TRIP.id,
    number=1,
    vantage_point_id=HEAD.id,
    arrive=MIDNIGHT + timedelta(hours=18),
    leave=MIDNIGHT + timedelta(hours=19),
)
WALK = Walk(
    trip_id=TRIP.id,
    leg_id=LEG.id,
    start=MIDNIGHT + timedelta(hours=19),
    finish=MIDNIGHT + timedelta(hours=19, minutes=40),
)


class Clock:
    """Time stands still until it is moved."""

    def __init__(self) -> None:
        self.instant = NOW

    def __call__(self) -> datetime:
        """The instant it stands at."""
        return self.instant


@pytest.fixture
def library(store: Store) -> Library:
    library = Library(store)
    library.add("set the scene", PLACE, HEAD, ROUTE, LEG, TRIP, STOP, WALK)
    library.undo_stack.clear()
    return library


@pytest.fixture
def selection() -> Selection:
    selection = Selection(DAY, NOW)
    selection.choose(TRIP, PLACE.id)
    return selection


@pytest.fixture
def preferences() -> Preferences:
    return Preferences(Settings())


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def panel(
    library: Library,
    selection: Selection,
    preferences: Preferences,
    clock: Clock,
    qtbot: QtBot,
) -> Iterator[ChecksPanel]:
    jobs = Jobs()
    panel = ChecksPanel(
        library, selection, preferences, jobs, now=clock, keep_after_ms=A_LONG_TIME_MS
    )
    qtbot.addWidget(panel)
    panel.resize(860, 500)
    panel.show()
    panel.activateWindow()
    qtbot.waitUntil(lambda: bool(panel.lines))
    qtbot.waitUntil(lambda: all(line.isVisible() for line in open_lines(panel)))
    yield panel
    panel.finish()
    panel.hide()
    jobs.stop()


def open_lines(panel: ChecksPanel) -> list[FindingLine]:
    """The lines below headings that are not folded."""
    groups = panel._content.groups if panel._content is not None else ()
    return [
        panel.lines[row.id]
        for group in groups
        if panel.headings[group.id].is_open
        for row in group.rows
    ]


def line_of(panel: ChecksPanel, start: str) -> FindingLine:
    lines = panel.lines.values()
    return next(line for line in lines if line.title.text().startswith(start))


def asked(line: FindingLine) -> Question:
    assert line.question is not None
    return line.question


def kept(library: Library, kind: type[Tick] | type[CheckRun]) -> int:
    return len(library.store.all(kind))


def test_without_a_trip_the_page_says_how_to_get_one(
    panel: ChecksPanel, selection: Selection
) -> None:
    selection.choose(None, None)

    assert panel.overall.text() == NO_TRIP
    assert panel.lines == {}
    assert panel.cautions.text() == " ".join(CAUTIONS)
    assert panel.cautions.isVisible()


def test_shape_and_word_say_the_same(panel: ChecksPanel) -> None:
    line = line_of(panel, "Daylight")

    assert panel.overall_mark.severity is Severity.STOP
    assert line.mark.severity is Severity.STOP
    assert line.word.text() == "Stop"
    assert line.accessibleName().startswith("Stop. Daylight")


def test_an_edit_is_checked_anew(
    panel: ChecksPanel, library: Library, qtbot: QtBot
) -> None:
    by_day = replace(
        WALK,
        start=MIDNIGHT + timedelta(hours=13),
        finish=MIDNIGHT + timedelta(hours=13, minutes=40),
    )

    library.edit("walk earlier", WALK, by_day)

    qtbot.waitUntil(lambda: panel.overall_mark.severity is not Severity.STOP)
    library.undo_stack.undo()
    qtbot.waitUntil(lambda: panel.overall_mark.severity is Severity.STOP)


def test_time_alone_is_a_reason_to_check(
    panel: ChecksPanel, clock: Clock, qtbot: QtBot
) -> None:
    assert panel.clock.isActive()
    assert panel.clock.interval() == 60_000
    clock.instant = NOW + timedelta(minutes=1)

    panel.clock.timeout.emit()

    qtbot.waitUntil(
        lambda: panel.checked.text() == "Checked Sat 14 Nov 11:06, times in GMT"
    )


def test_the_person_is_asked_once_and_then_known(
    panel: ChecksPanel, library: Library, preferences: Preferences, qtbot: QtBot
) -> None:
    line = line_of(panel, "Someone told")
    QTest.mouseClick(line.ask, Qt.MouseButton.LeftButton)
    assert QApplication.focusWidget() is asked(line).person.line
    assert kept(library, Tick) == 0

    QTest.keyClicks(asked(line).person.line, "Ann")
    QTest.keyClick(asked(line).person.line, Qt.Key.Key_Return)

    qtbot.waitUntil(lambda: line.found.text() == "Confirmed by Ann at 11:05.")
    assert line.word.text() == "Clear"
    assert QApplication.focusWidget() is line.take_back
    assert preferences.settings.person == "Ann"
    assert library.undo_stack.undoText().startswith("tick “Someone told")
    assert kept(library, Tick) == 1
    QTest.mouseClick(line.take_back, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: line.word.text() == "Unknown")
    QTest.mouseClick(line.ask, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: line.word.text() == "Clear")


def test_nobody_cannot_tick(panel: ChecksPanel, library: Library, qtbot: QtBot) -> None:
    line = line_of(panel, "Someone told")
    line.ask.setFocus()
    QTest.keyClick(line.ask, Qt.Key.Key_Space)
    qtbot.waitUntil(asked(line).do.isVisible)

    QTest.mouseClick(asked(line).do, Qt.MouseButton.LeftButton)

    assert line.fault.text() == "Say who you are."
    assert kept(library, Tick) == 0
    QTest.keyClick(asked(line).person.line, Qt.Key.Key_Escape)
    assert not line.is_asking
    assert QApplication.focusWidget() is line.ask


def test_a_tick_is_undone(panel: ChecksPanel, library: Library, qtbot: QtBot) -> None:
    line = line_of(panel, "Someone told")
    line.set_person("Ann")
    line.open()
    qtbot.waitUntil(lambda: line.word.text() == "Clear")

    library.undo_stack.undo()

    qtbot.waitUntil(lambda: line.word.text() == "Unknown")


def test_going_against_a_stop_needs_a_reason_and_leaves_it_a_stop(
    panel: ChecksPanel, library: Library, preferences: Preferences, qtbot: QtBot
) -> None:
    preferences.settings = replace(preferences.settings, person="Ann")
    line = line_of(panel, "Daylight")
    qtbot.waitUntil(lambda: line._person == "Ann")
    assert line.ask.text() == "Overrule, with a reason…"
    QTest.mouseClick(line.ask, Qt.MouseButton.LeftButton)
    QTest.mouseClick(asked(line).do, Qt.MouseButton.LeftButton)
    assert "Write why" in line.fault.text()
    assert kept(library, Tick) == 0

    QTest.keyClicks(asked(line).reason.line, "the path is roped")
    QTest.keyClick(asked(line).reason.line, Qt.Key.Key_Return)

    qtbot.waitUntil(lambda: line.written.text() == "Written 11:05 by Ann")
    assert "the path is roped" in line.found.text()
    assert line.word.text() == "Stop"
    assert panel.overall_mark.severity is Severity.STOP
    assert library.store.drafts() == {}


def test_a_reason_being_typed_survives_the_minute_and_the_crash(
    panel: ChecksPanel, library: Library, clock: Clock, qtbot: QtBot
) -> None:
    line = line_of(panel, "Daylight")
    QTest.mouseClick(line.ask, Qt.MouseButton.LeftButton)
    QTest.keyClicks(asked(line).reason.line, "the path is ro")

    clock.instant = NOW + timedelta(minutes=1)
    panel.clock.timeout.emit()
    qtbot.waitUntil(
        lambda: panel.checked.text() == "Checked Sat 14 Nov 11:06, times in GMT"
    )

    assert line_of(panel, "Daylight") is line
    assert line.is_asking
    assert asked(line).reason.line.text() == "the path is ro"
    qtbot.waitUntil(lambda: "the path is ro" in library.store.drafts().values())
    QTest.mouseClick(asked(line).cancel, Qt.MouseButton.LeftButton)
    line.open()
    assert asked(line).reason.line.text() == "the path is ro"
    assert "Not stored yet" in asked(line).reason.note.text()


def test_a_run_is_kept_listed_and_compared(
    panel: ChecksPanel, library: Library, clock: Clock, qtbot: QtBot
) -> None:
    QTest.mouseClick(panel.keep, Qt.MouseButton.LeftButton)
    assert kept(library, CheckRun) == 1
    qtbot.waitUntil(lambda: panel.runs_heading.isVisible())
    titles = [button.text() for button in panel.findChildren(QToolButton)]
    (title,) = [title for title in titles if "11:05" in title]
    assert title.startswith("Sat 14 Nov 11:05: stop (2 stops, ")

    clock.instant = NOW + timedelta(hours=1)
    line = line_of(panel, "Someone told")
    line.set_person("Ann")
    line.open()

    qtbot.waitUntil(lambda: line.change.text() == "was unknown at 11:05")


def test_the_page_is_copied_as_text(panel: ChecksPanel) -> None:
    panel.setFocus()
    control = Qt.KeyboardModifier.ControlModifier

    QTest.keyClick(panel, Qt.Key.Key_C, control)

    text = QGuiApplication.clipboard().text()
    assert text.startswith("Evening, Saturday 14 November 2026")
    assert CAUTIONS[0] in text


def test_a_failure_never_leaves_an_older_answer(
    panel: ChecksPanel,
) -> None:
    panel._show_failure(UserError("The Sun is not known then."))

    assert panel.overall.text() == "Not checked. The Sun is not known then."
    assert panel.lines == {}
    assert not panel.overall_mark.isVisible()


def test_another_theme_paints_the_same_words(panel: ChecksPanel) -> None:
    before = panel.overall.text()

    panel.set_theme(DARK)

    assert panel.overall.text() == before
    assert panel.lines


def test_tab_reaches_every_button_from_top_to_bottom(panel: ChecksPanel) -> None:
    told, light = line_of(panel, "Someone told"), line_of(panel, "Daylight")
    told.ask.setFocus()

    reached = []
    for _ in range(300):
        widget = QApplication.focusWidget()
        reached.append(widget)
        if widget is panel.copy:
            break
        assert widget is not None
        QTest.keyClick(widget, Qt.Key.Key_Tab)

    assert reached.index(told.ask) < reached.index(light.ask)
    assert reached.index(light.ask) < reached.index(panel.keep)


def test_the_overall_line_and_the_zone_stay_in_sight_while_findings_scroll(
    panel: ChecksPanel, qtbot: QtBot
) -> None:
    bar = panel.area.verticalScrollBar()
    qtbot.waitUntil(lambda: bar.maximum() > 0)
    before = panel.overall.mapTo(panel, QPoint(0, 0))

    bar.setValue(bar.maximum())

    assert panel.overall.mapTo(panel, QPoint(0, 0)) == before
    for label in (panel.overall, panel.checked):
        assert not label.visibleRegion().isEmpty()
        assert not panel.area.isAncestorOf(label)


def test_a_finding_is_shown_on_the_map_and_on_the_strip(panel: ChecksPanel) -> None:
    line = line_of(panel, "Daylight")
    asked: list[object] = []
    panel.mapAsked.connect(asked.append)
    panel.stripAsked.connect(asked.append)

    line.to_map.click()
    line.to_strip.click()

    assert asked == [LEG.id, WALK.start]


def test_what_belongs_to_no_place_offers_no_map(panel: ChecksPanel) -> None:
    assert line_of(panel, "Someone told").to_map.isHidden()


def test_a_heading_folds_what_is_below_it(panel: ChecksPanel) -> None:
    line = line_of(panel, "Someone told")
    heading = panel.headings["before_leaving"]

    heading.title.click()
    assert line.isHidden()

    heading.title.click()
    assert not line.isHidden()


def test_what_does_not_apply_is_folded_until_it_is_opened(panel: ChecksPanel) -> None:
    line = line_of(panel, "Tide crossing")
    assert line.isHidden()

    panel.headings["not_concerned"].title.click()

    assert not line.isHidden()


def test_an_edit_says_what_it_changed(
    panel: ChecksPanel, library: Library, qtbot: QtBot
) -> None:
    library.edit("carry one light", TRIP, replace(TRIP, lights=1))

    qtbot.waitUntil(
        lambda: panel.changed_now.text().startswith("After a change of the plan: ")
    )
    assert "Lights carried: Evening was unknown, now stop" in panel.changed_now.text()


def test_a_run_that_says_something_else_is_kept_by_itself(
    library: Library, selection: Selection, clock: Clock, qtbot: QtBot
) -> None:
    jobs = Jobs()
    panel = ChecksPanel(
        library, selection, Preferences(Settings()), jobs, now=clock, keep_after_ms=0
    )
    qtbot.addWidget(panel)
    panel.show()
    qtbot.waitUntil(lambda: kept(library, CheckRun) == 1)

    library.edit("carry one light", TRIP, replace(TRIP, lights=1))

    qtbot.waitUntil(lambda: kept(library, CheckRun) == 2)
    line = line_of(panel, "Lights carried")
    qtbot.waitUntil(lambda: line.change.text() == "was unknown at 11:05")
    assert library.undo_stack.count() == 1
    panel.finish()
    panel.hide()
    jobs.stop()


def test_a_trip_can_be_undone_and_redone_over_the_runs_that_were_kept(
    library: Library,
) -> None:
    trip = replace(TRIP, id=uuid4(), name="Another")
    run = CheckRun(trip_id=trip.id, at=NOW, overall="unknown", findings=())
    library.add("add trip", trip)
    library.keep_run(run)

    library.undo_stack.undo()
    assert library.get(Trip, trip.id) is None
    assert kept(library, CheckRun) == 0

    library.undo_stack.redo()
    library.keep_run(run)
    library.remove("remove trip", trip)
    library.undo_stack.undo()
    assert library.get(CheckRun, run.id) == run


def test_a_tick_that_lapsed_says_so(
    panel: ChecksPanel, library: Library, qtbot: QtBot
) -> None:
    line = line_of(panel, "Someone told")
    line.set_person("Ann")
    line.open()
    qtbot.waitUntil(lambda: not line.take_back.isHidden())

    library.edit("another contact", TRIP, replace(TRIP, contact="B. Other"))

    qtbot.waitUntil(lambda: not panel.lapsed.isHidden())
    assert panel.lapsed.text() == (
        "No longer counts. Ticked 11:05 by Ann (someone told): what it speaks of has "
        "changed or is gone."
    )


def test_the_overall_line_leads_to_its_worst_finding(panel: ChecksPanel) -> None:
    assert panel._content is not None
    worst = panel.lines[panel._content.worst_id]
    place = next(g for g in panel._content.groups if worst in lines_of(panel, g))
    panel.headings[place.id].title.click()
    assert worst.isHidden()

    panel.to_worst.click()

    assert not worst.isHidden()
    assert f"First: {worst.title.text()}" == panel.overall_item.text()
    focused = QApplication.focusWidget()
    assert focused is not None
    assert worst.isAncestorOf(focused)


def lines_of(panel: ChecksPanel, group: ChecksGroup) -> list[FindingLine]:
    return [panel.lines[row.id] for row in group.rows]


def test_a_question_comes_into_sight_with_its_buttons(
    panel: ChecksPanel, qtbot: QtBot
) -> None:
    lines = [line for line in panel.lines.values() if not line.ask.isHidden()]
    panel.area.verticalScrollBar().setValue(0)

    lines[-1].open()

    question = lines[-1].question
    assert question is not None
    port = panel.area.viewport()
    qtbot.waitUntil(
        lambda: port.rect().contains(
            question.do.mapTo(port, question.do.rect().bottomLeft())
        )
    )
