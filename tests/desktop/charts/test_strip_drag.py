"""Moving a stop on the strip, and dropping vantage points on its plan."""

from __future__ import annotations

from datetime import datetime, timedelta
from uuid import UUID, uuid4

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt
from PySide6.QtGui import QDropEvent
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.charts.day_strip import DayStripChart
from fieldtrip.desktop.charts.strip_drag import on_step, spot_data, spot_of
from fieldtrip.desktop.content.day_strip import Choice, strip_content
from fieldtrip.settings import Settings
from tests.desktop.strip_story import BAR_END, DAY, DOSSIER, STOP_2, TRIP, at

LEFT = Qt.MouseButton.LeftButton
Moves = list[tuple[UUID, datetime]]


@pytest.fixture
def chart(qtbot: QtBot) -> DayStripChart:
    chart = DayStripChart()
    qtbot.addWidget(chart)
    chart.resize(420, 1500)
    content = strip_content(DOSSIER, Choice(DAY, None, TRIP.id), Settings(), at(9))
    chart.show_content(content)
    chart.show()
    chart.grab()  # painted: now it is known where the stops stand
    return chart


@pytest.fixture
def dropped(chart: DayStripChart) -> Moves:
    moves: Moves = []
    chart.stopDropped.connect(lambda stop, start: moves.append((stop, start)))
    return moves


def place(chart: DayStripChart, instant: datetime) -> QPoint:
    page = chart.page
    assert page is not None
    plan = page.columns.plan
    return QPoint(round(plan.left + plan.width / 2), round(page.y(instant)))


def drag(chart: DayStripChart, start: datetime, end: datetime) -> None:
    QTest.mousePress(chart, LEFT, pos=place(chart, start))
    middle = start + (end - start) / 2
    for instant in (middle, end):
        QTest.mouseMove(chart, place(chart, instant))


def test_a_stop_is_moved_by_whole_five_minutes(
    chart: DayStripChart, dropped: Moves
) -> None:
    drag(chart, at(17), at(17, 42))
    assert chart.drag is not None
    QTest.mouseRelease(chart, LEFT, pos=place(chart, at(17, 42)))

    ((stop, start),) = dropped
    assert stop == STOP_2.id
    assert start.minute % 5 == 0
    moved = start - STOP_2.arrive
    assert abs(moved - timedelta(minutes=42)) <= timedelta(minutes=4)
    assert chart.drag is None


def test_what_the_new_time_means_is_asked_while_it_is_moved(
    chart: DayStripChart,
) -> None:
    asked: Moves = []
    chart.stopDragged.connect(lambda stop, start: asked.append((stop, start)))

    drag(chart, at(17), at(18))
    chart.say_of_drag(STOP_2.id, "The bar shuts before the way back.", fits=False)

    assert asked[-1][0] == STOP_2.id
    assert chart.drag is not None
    assert chart.drag.words == "The bar shuts before the way back."
    assert not chart.grab().isNull()


def test_esc_leaves_the_stop_where_it_was(chart: DayStripChart, dropped: Moves) -> None:
    drag(chart, at(17), at(19))
    QTest.keyClick(chart, Qt.Key.Key_Escape)
    QTest.mouseRelease(chart, LEFT, pos=place(chart, at(19)))

    assert dropped == []


def test_a_click_on_a_stop_only_chooses_the_minute(
    chart: DayStripChart, dropped: Moves, qtbot: QtBot
) -> None:
    with qtbot.waitSignal(chart.minuteChosen) as chosen:
        QTest.mouseClick(chart, LEFT, pos=place(chart, at(17)))

    assert dropped == []
    assert chosen.args is not None
    assert abs(chosen.args[0] - at(17)) <= timedelta(minutes=2)


def test_beside_the_stops_dragging_moves_the_line(
    chart: DayStripChart, dropped: Moves
) -> None:
    chosen: list[datetime] = []
    chart.minuteChosen.connect(chosen.append)

    drag(chart, at(5), at(7))
    QTest.mouseRelease(chart, LEFT, pos=place(chart, at(7)))

    assert dropped == []
    assert abs(chosen[-1] - at(7)) <= timedelta(minutes=2)


def drop_event(chart: DayStripChart, point: QPoint, data: QMimeData) -> QDropEvent:
    return QDropEvent(
        QPointF(point),
        Qt.DropAction.CopyAction,
        data,
        LEFT,
        Qt.KeyboardModifier.NoModifier,
    )


def test_a_vantage_point_is_dropped_at_a_minute(chart: DayStripChart) -> None:
    spots: Moves = []
    chart.spotDropped.connect(lambda spot, minute: spots.append((spot, minute)))
    data = spot_data(BAR_END.id)

    chart.dropEvent(drop_event(chart, place(chart, at(20)), data))

    ((spot, minute),) = spots
    assert spot == BAR_END.id
    assert abs(minute - at(20)) <= timedelta(minutes=2)


def test_beside_the_plan_nothing_can_be_dropped(chart: DayStripChart) -> None:
    spots: Moves = []
    chart.spotDropped.connect(lambda spot, minute: spots.append((spot, minute)))
    page = chart.page
    assert page is not None
    point = QPoint(round(page.columns.light.left + 5), round(page.y(at(20))))
    data = spot_data(BAR_END.id)

    chart.dropEvent(drop_event(chart, point, data))

    assert spots == []


def test_only_what_is_a_vantage_point_is_one() -> None:
    spot = uuid4()
    strange = QMimeData()
    strange.setText("a file")
    broken = spot_data(spot)
    broken.setData(broken.formats()[0], b"no id")

    assert spot_of(spot_data(spot)) == spot
    assert spot_of(strange) is None
    assert spot_of(broken) is None


def test_a_time_goes_to_the_nearest_five_minutes() -> None:
    assert on_step(at(12, 2)) == at(12, 0)
    assert on_step(at(12, 3)) == at(12, 5)
    assert on_step(at(23, 58)) == at(0, 0, day=15)
