"""Tests for the strip as it is used: by mouse, by keyboard, day after day."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QFont, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.charts.day_strip import DayStripChart
from fieldtrip.desktop.content.day_strip import NO_LOCATION
from fieldtrip.desktop.day_strip_panel import DayStripPanel
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.theme import DARK
from fieldtrip.settings import Settings
from fieldtrip.sky.events import EventName, day_events
from fieldtrip.sky.site import Site
from fieldtrip.store.store import Store
from tests.desktop.strip_story import BAR_END, DAY, KEEL, STOP_2, TRIP, at, fill

NOW = datetime(2026, 11, 20, 9, 30, tzinfo=UTC)


@pytest.fixture
def library(store: Store) -> Library:
    fill(store)
    return Library(store)


@pytest.fixture
def selection() -> Selection:
    return Selection(DAY, at(16, 12))


@pytest.fixture
def preferences() -> Preferences:
    return Preferences(Settings())


@pytest.fixture
def panel(
    library: Library, selection: Selection, preferences: Preferences, qtbot: QtBot
) -> Iterator[DayStripPanel]:
    jobs = Jobs()
    panel = DayStripPanel(library, selection, preferences, jobs, now=lambda: NOW)
    qtbot.addWidget(panel)
    panel.resize(380, 860)
    panel.show()
    qtbot.waitUntil(lambda: panel.content is not None)
    yield panel
    jobs.stop()


@pytest.fixture
def chart(panel: DayStripPanel, selection: Selection, qtbot: QtBot) -> DayStripChart:
    """The chart with the invented evening on it."""
    selection.choose(KEEL, KEEL.id)
    selection.use(vantage_point_id=BAR_END.id, trip_id=TRIP.id)
    wait_for(panel, qtbot, "Saturday 14 November 2026")
    return panel.chart


def wait_for(panel: DayStripPanel, qtbot: QtBot, heading: str) -> None:
    qtbot.waitUntil(
        lambda: (
            panel.heading.text() == heading
            and panel.content is not None
            and not panel.content.message
        )
    )


def press(chart: DayStripChart, key: Qt.Key, *, ctrl: bool = False) -> None:
    modifier = Qt.KeyboardModifier
    QTest.keyClick(
        chart, key, modifier.ControlModifier if ctrl else modifier.NoModifier
    )


def test_without_a_location_it_says_what_to_do(
    panel: DayStripPanel, qtbot: QtBot
) -> None:
    assert panel.content is not None
    assert panel.content.message == NO_LOCATION
    middle = panel.chart.rect().center()
    qtbot.waitUntil(lambda: panel.chart.text_at(QPointF(middle)) == NO_LOCATION)


def test_a_click_on_the_line_of_sunset_chooses_its_minute(
    panel: DayStripPanel, chart: DayStripChart, selection: Selection, qtbot: QtBot
) -> None:
    sunset = day_events(Site(BAR_END.position, 5.6), DAY, KEEL.zone).first(
        EventName.SUNSET
    )
    assert sunset is not None
    assert chart.page is not None
    y = round(chart.page.scale.y(sunset.instant))

    QTest.mouseClick(chart, Qt.MouseButton.LeftButton, pos=QPoint(90, y))

    per_pixel = chart.page.scale.span.length / chart.page.scale.height
    assert abs(selection.instant - sunset.instant) <= per_pixel + timedelta(minutes=1)
    assert "sunset" in chart.text_at(QPointF(90.0, y))


def test_dragging_moves_the_line_and_the_edges_hold_it(
    chart: DayStripChart, selection: Selection, qtbot: QtBot
) -> None:
    QTest.mousePress(chart, Qt.MouseButton.LeftButton, pos=QPoint(90, 200))
    QTest.mouseMove(chart, QPoint(90, chart.height() + 500))
    QTest.mouseRelease(chart, Qt.MouseButton.LeftButton, pos=QPoint(90, 9))
    assert selection.instant == at(23, 59)
    assert selection.day == DAY


def test_keys_step_minutes_days_and_home_is_now(
    panel: DayStripPanel, chart: DayStripChart, selection: Selection, qtbot: QtBot
) -> None:
    press(chart, Qt.Key.Key_Down)
    assert selection.instant == at(16, 13)
    QTest.keyClick(chart, Qt.Key.Key_Up, Qt.KeyboardModifier.ShiftModifier)
    assert selection.instant == at(16, 3)
    press(chart, Qt.Key.Key_Down, ctrl=True)
    assert selection.instant == at(17, 3)

    press(chart, Qt.Key.Key_PageDown)
    assert (selection.day, selection.instant) == (date(2026, 11, 15), at(17, 3, day=15))
    wait_for(panel, qtbot, "Sunday 15 November 2026")
    assert panel.date_field.value == date(2026, 11, 15)

    press(chart, Qt.Key.Key_Home)
    assert (selection.day, selection.instant) == (date(2026, 11, 20), NOW)


def test_the_date_field_and_today_keep_the_minute(
    panel: DayStripPanel, chart: DayStripChart, selection: Selection, qtbot: QtBot
) -> None:
    panel.date_field.line.selectAll()
    QTest.keyClicks(panel.date_field.line, "1 Jul 2026")
    QTest.keyClick(panel.date_field.line, Qt.Key.Key_Return)
    assert selection.day == date(2026, 7, 1)
    assert selection.instant == datetime(2026, 7, 1, 15, 12, tzinfo=UTC)  # summer time
    QTest.mouseClick(panel.today, Qt.MouseButton.LeftButton)
    assert (selection.day, selection.instant) == (NOW.date(), at(16, 12, day=20))


def test_the_columns_are_painted_once_while_the_line_moves(
    chart: DayStripChart, selection: Selection, monkeypatch: pytest.MonkeyPatch
) -> None:
    chart.grab()
    painted: list[object] = []
    monkeypatch.setattr(
        "fieldtrip.desktop.charts.day_strip.paint_strip",
        lambda painter, page: painted.append(page),
    )
    before = chart.grab().toImage()
    for minute in range(30):
        selection.choose_time(DAY, at(12, minute))
        after = chart.grab().toImage()
    assert painted == []
    assert after != before


def test_zoom_and_place_stay_while_the_days_change(
    panel: DayStripPanel, chart: DayStripChart, qtbot: QtBot
) -> None:
    fitted = chart.height()
    for _ in range(4):
        press(chart, Qt.Key.Key_Plus)
    assert chart.height() == pytest.approx(fitted * 1.25**4, rel=0.02)
    bar = panel.scroll_area.verticalScrollBar()
    qtbot.waitUntil(lambda: bar.maximum() > 0)
    bar.setValue(bar.maximum() // 2)
    where = bar.value()

    press(chart, Qt.Key.Key_PageDown)
    wait_for(panel, qtbot, "Sunday 15 November 2026")

    assert bar.value() == where
    for _ in range(9):
        press(chart, Qt.Key.Key_Minus)
    assert panel.scroll_area.zoom == 1.0
    viewport = panel.scroll_area.viewport()
    qtbot.waitUntil(lambda: chart.height() == viewport.height())


def test_ctrl_and_the_wheel_make_the_hours_larger(
    panel: DayStripPanel, chart: DayStripChart
) -> None:
    event = QWheelEvent(
        QPointF(90.0, 300.0),
        chart.mapToGlobal(QPointF(90.0, 300.0)),
        QPoint(),
        QPoint(0, 120),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.ControlModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(chart, event)
    assert panel.scroll_area.zoom == pytest.approx(1.25)


def test_an_edit_and_its_undo_are_seen_at_once(
    panel: DayStripPanel, chart: DayStripChart, library: Library, qtbot: QtBot
) -> None:
    def wanted() -> str:
        assert panel.content is not None
        return panel.content.plan.blocks[2].lines[1]

    library.edit("edit stop", STOP_2, replace(STOP_2, wanted="<b>last light</b>"))
    qtbot.waitUntil(lambda: wanted() == "<b>last light</b>, Old signal tower")
    library.undo_stack.undo()
    qtbot.waitUntil(lambda: wanted() == "sunset, Old signal tower")


def test_theme_and_type_repaint_it(
    panel: DayStripPanel, chart: DayStripChart, qtbot: QtBot
) -> None:
    light = chart.grab().toImage()
    panel.set_theme(DARK)
    dark = chart.grab().toImage()
    assert (
        light.pixelColor(5, 5).lightness()
        > 200
        > 90
        > dark.pixelColor(5, 5).lightness()
    )
    large = QFont(panel.font())
    large.setPointSizeF(large.pointSizeF() * 1.6)
    panel.setFont(large)
    assert chart.page is not None
    assert chart.page.columns.edge.width > 60.0
    assert not chart.grab().isNull()


def test_a_date_that_is_none_is_refused_and_the_day_stays(
    panel: DayStripPanel, selection: Selection
) -> None:
    panel.date_field.line.selectAll()
    QTest.keyClicks(panel.date_field.line, "31 Feb 2027")
    QTest.keyClick(panel.date_field.line, Qt.Key.Key_Return)

    assert panel.date_field.fault.text()
    assert selection.day == date(2026, 11, 14)


def test_the_strip_can_be_read_while_it_has_the_focus(
    panel: DayStripPanel, chart: DayStripChart, qtbot: QtBot
) -> None:
    def shades() -> set[int]:
        picture = chart.grab().toImage()
        return {
            picture.pixelColor(x, y).rgb()
            for x in range(0, picture.width(), 9)
            for y in range(0, picture.height(), 9)
        }

    panel.activateWindow()
    chart.setFocus()
    qtbot.waitUntil(chart.hasFocus)

    assert len(shades()) > 8  # a filled block has one or two
