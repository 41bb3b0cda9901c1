"""Drawing by mouse and by keyboard, in the real web engine."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.map.map_view import MapView
from fieldtrip.desktop.map.tools import Tool
from fieldtrip.geo import Position, distance_m
from tests.desktop.map.features import HOME, Ask, Pixel, collection, point

pytestmark = pytest.mark.web

LEFT = Qt.MouseButton.LeftButton
Key = Qt.Key
A, B, C = Position(49.602, -8.402), Position(49.604, -8.398), Position(49.601, -8.396)
METRES_PER_PIXEL = 3.1  # of Web Mercator at zoom 15 and 49.6 N


def start(qtbot: QtBot, view: MapView, ask: Ask, tool: Tool) -> None:
    view.start_tool(tool)
    active = "document.querySelectorAll('.tool-active').length"
    qtbot.waitUntil(lambda: ask(active) == 1)


def click(qtbot: QtBot, surface: QWidget, at: QPoint) -> None:
    QTest.mouseMove(surface, at)
    QTest.mouseClick(surface, LEFT, pos=at)


def double_click(surface: QWidget, at: QPoint) -> None:
    """Twice within 50 ms by the events' own clock; QTest keeps its clicks apart."""
    place = QPointF(at)
    everywhere = QPointF(surface.mapToGlobal(at))
    kinds = (
        (QEvent.Type.MouseButtonPress, LEFT),
        (QEvent.Type.MouseButtonRelease, Qt.MouseButton.NoButton),
    )
    for i, (kind, held) in enumerate(kinds * 2):
        event = QMouseEvent(
            kind, place, everywhere, LEFT, held, Qt.KeyboardModifier.NoModifier
        )
        event.setTimestamp(10_000_000 + 25 * i)
        QCoreApplication.sendEvent(surface, event)


def points_set(ask: Ask) -> int:
    count: int = ask("document.querySelectorAll('path.sketch-point').length")
    return count


def near(a: Position, b: Position) -> bool:
    return distance_m(a, b) < 2 * METRES_PER_PIXEL


def test_a_click_places_a_point(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask, pixel: Pixel
) -> None:
    start(qtbot, view, ask, Tool.POINT)
    told: list[Position | None] = []
    view.pointed.connect(told.append)
    view.toolEnded.connect(lambda: told.append(None))

    with qtbot.waitSignal(view.toolEnded):
        QTest.mouseClick(surface, LEFT, pos=pixel(A))

    position, end = told
    assert position is not None
    assert near(position, A)
    assert end is None
    assert view.tool is None


def test_a_line_is_drawn_by_clicks_and_ended_by_a_double_click(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask, pixel: Pixel
) -> None:
    start(qtbot, view, ask, Tool.LINE)
    click(qtbot, surface, pixel(A))
    click(qtbot, surface, pixel(B))

    with qtbot.waitSignal(view.drawn) as drawn:
        double_click(surface, pixel(C))

    assert drawn.args is not None
    assert isinstance(drawn.args[0], tuple)
    assert [near(p, q) for p, q in zip(drawn.args[0], (A, B, C), strict=True)] == [
        True
    ] * 3


def test_backspace_takes_the_last_point_back_and_enter_ends(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask, pixel: Pixel
) -> None:
    start(qtbot, view, ask, Tool.LINE)
    for position in (A, C, B):
        click(qtbot, surface, pixel(position))
    QTest.keyClick(surface, Key.Key_Backspace)
    QTest.keyClick(surface, Key.Key_Backspace)
    qtbot.waitUntil(lambda: points_set(ask) == 1)
    click(qtbot, surface, pixel(C))

    with qtbot.waitSignal(view.drawn) as drawn:
        QTest.keyClick(surface, Key.Key_Return)

    assert drawn.args is not None
    assert [near(p, q) for p, q in zip(drawn.args[0], (A, C), strict=True)] == [
        True
    ] * 2


def test_enter_does_not_end_what_is_too_short(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask, pixel: Pixel
) -> None:
    start(qtbot, view, ask, Tool.AREA)
    click(qtbot, surface, pixel(A))
    click(qtbot, surface, pixel(B))

    with qtbot.assertNotEmitted(view.drawn, wait=200):
        QTest.keyClick(surface, Key.Key_Return)
    click(qtbot, surface, pixel(C))
    with qtbot.waitSignal(view.drawn) as drawn:
        QTest.keyClick(surface, Key.Key_Return)

    assert drawn.args is not None
    assert len(drawn.args[0]) == 3


def test_escape_leaves_a_tool_without_a_drawing(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask, pixel: Pixel
) -> None:
    start(qtbot, view, ask, Tool.LINE)
    click(qtbot, surface, pixel(A))
    click(qtbot, surface, pixel(B))

    with (
        qtbot.assertNotEmitted(view.drawn, wait=200),
        qtbot.waitSignal(view.toolEnded),
    ):
        QTest.keyClick(surface, Key.Key_Escape)

    assert view.tool is None
    assert points_set(ask) == 0


def test_cancelling_from_python_ends_it_once(
    qtbot: QtBot, view: MapView, ask: Ask
) -> None:
    start(qtbot, view, ask, Tool.AREA)
    ended: list[bool] = []
    view.toolEnded.connect(lambda: ended.append(True))

    view.cancel_tool()
    view.cancel_tool()

    qtbot.waitUntil(
        lambda: ask("document.querySelectorAll('.tool-active').length") == 0
    )
    assert ended == [True]


def test_a_line_is_drawn_by_keyboard_alone(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask
) -> None:
    start(qtbot, view, ask, Tool.LINE)
    QTest.keyClick(surface, Key.Key_Space)
    qtbot.waitUntil(lambda: points_set(ask) == 1)
    for _ in range(5):
        QTest.keyClick(surface, Key.Key_Right)
    QTest.keyClick(surface, Key.Key_Space)
    qtbot.waitUntil(lambda: points_set(ask) == 2)

    with qtbot.waitSignal(view.drawn) as drawn:
        QTest.keyClick(surface, Key.Key_Return)

    assert drawn.args is not None
    first, second = drawn.args[0]
    assert near(first, HOME)
    # Five nudges of 12 pixels to the east.
    assert distance_m(first, second) == pytest.approx(60 * METRES_PER_PIXEL, rel=0.02)
    assert second.lon_deg > first.lon_deg


def test_the_coordinates_at_the_cross_are_told_while_it_is_moved(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask
) -> None:
    start(qtbot, view, ask, Tool.POINT)

    with qtbot.waitSignal(view.moved) as moved:
        QTest.keyClick(surface, Key.Key_Up)

    assert moved.args is not None
    assert near(moved.args[0], Position(49.6 + 12 * METRES_PER_PIXEL / 111_229, -8.4))


def test_a_point_is_placed_by_keyboard_alone(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask
) -> None:
    start(qtbot, view, ask, Tool.POINT)
    zoom = ask("fieldtripMap.getZoom()")
    QTest.keyClick(surface, Key.Key_Plus)
    qtbot.waitUntil(lambda: ask("fieldtripMap.getZoom()") > zoom)

    with qtbot.waitSignal(view.pointed) as pointed:
        QTest.keyClick(surface, Key.Key_Return)

    assert pointed.args is not None
    assert near(pointed.args[0], HOME)


def test_the_map_is_moved_by_keyboard_without_a_tool(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask
) -> None:
    ask("fieldtripMap.getContainer().focus()")

    QTest.keyClick(surface, Key.Key_Up)

    qtbot.waitUntil(
        lambda: ask("fieldtripMap.getCenter()")["lat"] > HOME.lat_deg + 1e-4
    )


def test_clicks_with_a_tool_go_through_what_is_drawn_there(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask, pixel: Pixel
) -> None:
    with qtbot.waitSignal(view.painted):
        view.show_layer("places", collection(point(A, "t", kind="subject", label="T")))
    start(qtbot, view, ask, Tool.POINT)

    with qtbot.assertNotEmitted(view.featureChosen), qtbot.waitSignal(view.pointed):
        QTest.mouseClick(surface, LEFT, pos=pixel(A))


def test_the_hint_says_how(qtbot: QtBot, view: MapView, ask: Ask) -> None:
    view.start_tool(Tool.AREA, "Draw the soft ground.")

    hint = "document.querySelector('.hint').textContent"
    qtbot.waitUntil(lambda: ask(hint).startswith("Draw the soft ground. Click round"))
    for key in ("Enter", "Backspace", "Esc", "Space", "arrows"):
        assert key in ask(hint)


def test_one_tool_can_follow_another(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask, pixel: Pixel
) -> None:
    ended: list[bool] = []
    view.toolEnded.connect(lambda: ended.append(True))
    view.pointed.connect(lambda _: view.start_tool(Tool.LINE))
    start(qtbot, view, ask, Tool.POINT)

    with qtbot.waitSignal(view.pointed):
        QTest.mouseClick(surface, LEFT, pos=pixel(A))

    assert view.tool is Tool.LINE
    assert ended == []
