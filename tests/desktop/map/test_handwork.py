"""Points of lines, snapping, measuring, picking and looking, in the real web engine."""

from __future__ import annotations

from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.map.map_view import MapView
from fieldtrip.desktop.map.tools import Tool
from fieldtrip.geo import Position
from tests.desktop.map.features import HOME, Ask, Pixel, Words, collection, line, point

pytestmark = pytest.mark.web

LEFT = Qt.MouseButton.LeftButton
ALT, CTRL = Qt.KeyboardModifier.AltModifier, Qt.KeyboardModifier.ControlModifier
NO_KEY = Qt.KeyboardModifier.NoModifier
Key = Qt.Key
A, B, C = Position(49.602, -8.404), Position(49.602, -8.400), Position(49.604, -8.396)
TOWER = Position(49.598, -8.396)
HANDLES = "document.querySelectorAll('.handle').length"
READY_MS = 450  # after which a click on a line sets a point


def show_line(
    qtbot: QtBot, view: MapView, ask: Ask, at: int | None = None, *, ready: bool = True
) -> None:
    with qtbot.waitSignal(view.painted):
        view.show_layer(
            "routes", collection(line(A, B, C, record_id="leg", kind="leg"))
        )
    pairs = [[p.lat_deg, p.lon_deg] for p in (A, B, C)]
    view.handwork.show_handles("leg", pairs, is_area=False, at=at)
    qtbot.waitUntil(lambda: ask(HANDLES) == 3)
    ask("fieldtripMap.getContainer().focus()")
    if ready:
        qtbot.wait(READY_MS)


def drag(
    surface: QWidget,
    start: QPoint,
    end: QPoint,
    held: Qt.KeyboardModifier = NO_KEY,
) -> None:
    QTest.mousePress(surface, LEFT, held, start)
    for part in (0.2, 0.5, 0.8, 1.0):
        QTest.mouseMove(surface, start + (end - start) * part, 20)
    QTest.mouseRelease(surface, LEFT, held, end, delay=20)


def show_tower(qtbot: QtBot, view: MapView) -> None:
    with qtbot.waitSignal(view.painted):
        view.show_layer(
            "places", collection(point(TOWER, "tower", kind="subject", label="Tower"))
        )


# Handles


def test_a_handle_dragged_is_told_once_where_it_was_dropped(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask, pixel: Pixel
) -> None:
    show_line(qtbot, view, ask)
    told: list[Any] = []
    view.handwork.pointMoved.connect(lambda *what: told.append(what))
    target = pixel(B) + QPoint(-30, 60)

    drag(surface, pixel(B), target)

    qtbot.waitUntil(lambda: len(told) == 1)
    ((index, position),) = told
    assert index == 1
    assert (pixel(position) - target).manhattanLength() <= 2
    qtbot.wait(100)
    assert len(told) == 1


def test_a_click_on_the_line_between_sets_a_point_on_it(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask, pixel: Pixel
) -> None:
    show_line(qtbot, view, ask)
    halfway = (pixel(A) + pixel(B)) / 2

    with qtbot.waitSignal(view.handwork.pointAdded) as added:
        QTest.mouseClick(surface, LEFT, pos=halfway + QPoint(0, 4))

    assert added.args is not None
    after, position = added.args
    assert after == 0
    # On the line itself, though the click was four pixels beside it.
    assert (pixel(position) - halfway).manhattanLength() <= 1


def test_the_click_that_chose_the_line_sets_no_point(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask, pixel: Pixel
) -> None:
    show_line(qtbot, view, ask, ready=False)

    with qtbot.assertNotEmitted(view.handwork.pointAdded, wait=200):
        QTest.mouseClick(surface, LEFT, pos=(pixel(A) + pixel(B)) / 2)


def test_a_click_on_a_handle_takes_it_to_work(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask, pixel: Pixel
) -> None:
    show_line(qtbot, view, ask)

    with (
        qtbot.assertNotEmitted(view.handwork.pointAdded),
        qtbot.waitSignal(view.handwork.pointChosen) as chosen,
    ):
        QTest.mouseClick(surface, LEFT, pos=pixel(C))

    assert chosen.args == [2]


def test_a_handles_menu_is_asked_for_with_its_point(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask, pixel: Pixel
) -> None:
    show_line(qtbot, view, ask)

    told: list[Any] = []
    view.handwork.pointChosen.connect(told.append)
    view.contextAsked.connect(lambda _, record_id, __: told.append(record_id))

    with qtbot.waitSignal(view.contextAsked):
        QTest.mouseClick(surface, Qt.MouseButton.RightButton, pos=pixel(B))

    assert told == [1, "leg"]  # the point first: the menu speaks of it


@pytest.mark.parametrize(
    ("key", "signal", "args"),
    [
        (Key.Key_N, "pointWalked", [1]),
        (Key.Key_P, "pointWalked", [-1]),
        (Key.Key_Up, "pointNudged", [0, 1, False]),
        (Key.Key_Left, "pointNudged", [-1, 0, False]),
        (Key.Key_Insert, "pointInserted", []),
        (Key.Key_Delete, "pointRemoved", [1]),
        (Key.Key_Backspace, "pointRemoved", [1]),
        (Key.Key_Escape, "pointChosen", [None]),
    ],
)
def test_keys_work_on_the_point(
    qtbot: QtBot,
    view: MapView,
    surface: QWidget,
    ask: Ask,
    key: Qt.Key,
    signal: str,
    args: list[Any],
) -> None:
    show_line(qtbot, view, ask, at=1, ready=False)

    with qtbot.waitSignal(getattr(view.handwork, signal)) as told:
        QTest.keyClick(surface, key)

    assert told.args == args


def test_shift_nudges_far(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask
) -> None:
    show_line(qtbot, view, ask, at=1, ready=False)

    with qtbot.waitSignal(view.handwork.pointNudged) as told:
        QTest.keyClick(surface, Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)

    assert told.args == [0, -1, True]


def test_without_a_point_at_work_the_arrows_move_the_map(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask
) -> None:
    show_line(qtbot, view, ask, ready=False)

    with qtbot.assertNotEmitted(view.handwork.pointNudged):
        QTest.keyClick(surface, Key.Key_Up)
        qtbot.waitUntil(
            lambda: ask("fieldtripMap.getCenter()")["lat"] > HOME.lat_deg + 1e-4
        )


def test_a_point_walked_to_is_brought_into_view(
    qtbot: QtBot, view: MapView, ask: Ask
) -> None:
    pairs = [[p.lat_deg, p.lon_deg] for p in (A, Position(49.7, -8.4))]

    view.handwork.show_handles("leg", pairs, is_area=False, at=1, is_walked=True)

    qtbot.waitUntil(lambda: ask("fieldtripMap.getCenter()")["lat"] > 49.69)


def test_a_line_of_very_many_points_shows_only_the_one_at_work(
    qtbot: QtBot, view: MapView, ask: Ask
) -> None:
    pairs = [[49.6 + i * 1e-6, -8.4] for i in range(2000)]

    view.handwork.show_handles("leg", pairs, is_area=False, at=7)

    qtbot.waitUntil(lambda: ask(HANDLES) == 1)


def test_handles_outlive_a_new_page_and_are_hidden(
    qtbot: QtBot, view: MapView, ask: Ask
) -> None:
    show_line(qtbot, view, ask, ready=False)

    with qtbot.waitSignal(view.ready):
        view.reload()

    qtbot.waitUntil(lambda: ask(HANDLES) == 3)
    view.handwork.hide_handles()
    qtbot.waitUntil(lambda: ask(HANDLES) == 0)


# Snapping


@pytest.mark.parametrize("off_px", [0, 8, 11])
def test_a_handle_near_a_known_point_takes_its_very_place(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask, pixel: Pixel, off_px: int
) -> None:
    show_tower(qtbot, view)
    show_line(qtbot, view, ask)

    with qtbot.waitSignal(view.handwork.pointMoved) as moved:
        drag(surface, pixel(B), pixel(TOWER) + QPoint(off_px, 0))

    assert moved.args == [1, TOWER]


def test_farther_off_it_does_not(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask, pixel: Pixel
) -> None:
    show_tower(qtbot, view)
    show_line(qtbot, view, ask)
    target = pixel(TOWER) + QPoint(15, 0)

    with qtbot.waitSignal(view.handwork.pointMoved) as moved:
        drag(surface, pixel(B), target)

    assert moved.args is not None
    assert (pixel(moved.args[1]) - target).manhattanLength() <= 2


def test_alt_lets_it_not(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask, pixel: Pixel
) -> None:
    show_tower(qtbot, view)
    show_line(qtbot, view, ask)
    target = pixel(TOWER) + QPoint(6, 0)

    with qtbot.waitSignal(view.handwork.pointMoved) as moved:
        drag(surface, pixel(B), target, ALT)
    QTest.keyRelease(surface, Key.Key_Alt)  # else it stays held for later tests

    assert moved.args is not None
    assert moved.args[1] != TOWER


def test_a_ring_shows_what_is_taken(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask, pixel: Pixel
) -> None:
    show_tower(qtbot, view)
    rings = "document.querySelectorAll('path.snap-ring').length"
    view.start_tool(Tool.LINE)
    qtbot.waitUntil(
        lambda: ask("document.querySelectorAll('.tool-active').length") == 1
    )

    near, far = pixel(TOWER) + QPoint(7, 0), pixel(TOWER) + QPoint(60, 0)

    def rings_at(place: QPoint) -> int:
        # Again and again, as a hand does: one move alone may be an entry only.
        QTest.mouseMove(surface, place + QPoint(0, 1))
        QTest.mouseMove(surface, place)
        found: int = ask(rings)
        return found

    qtbot.waitUntil(lambda: rings_at(near) == 1)
    qtbot.waitUntil(lambda: rings_at(far) == 0)


def test_drawing_takes_points_of_lines_and_not_of_the_land(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask, pixel: Pixel
) -> None:
    shore = [TOWER, Position(49.597, -8.394), Position(49.596, -8.397)]
    with qtbot.waitSignal(view.painted):
        view.show_layer("outline", collection(line(*shore, kind="contour", name="")))
    with qtbot.waitSignal(view.painted):
        view.show_layer(
            "routes", collection(line(A, B, C, record_id="leg", kind="leg"))
        )
    view.start_tool(Tool.LINE)
    qtbot.waitUntil(
        lambda: ask("document.querySelectorAll('.tool-active').length") == 1
    )

    QTest.mouseClick(surface, LEFT, pos=pixel(B) + QPoint(5, 5))
    QTest.mouseClick(surface, LEFT, pos=pixel(TOWER) + QPoint(5, 5))
    with qtbot.waitSignal(view.drawn) as drawn:
        QTest.keyClick(surface, Key.Key_Return)

    assert drawn.args is not None
    first, second = drawn.args[0]
    assert first == B
    assert second != TOWER


def test_what_is_hidden_is_not_taken(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask, pixel: Pixel
) -> None:
    show_tower(qtbot, view)
    view.set_layer_visible("places", False)
    show_line(qtbot, view, ask)

    with qtbot.waitSignal(view.handwork.pointMoved) as moved:
        drag(surface, pixel(B), pixel(TOWER) + QPoint(6, 0))

    assert moved.args is not None
    assert moved.args[1] != TOWER


def test_a_dragged_mark_takes_a_point_of_a_line(
    qtbot: QtBot, view: MapView, surface: QWidget, pixel: Pixel
) -> None:
    view.show_layer("routes", collection(line(A, B, C, record_id="leg", kind="leg")))
    mark = point(TOWER, "tower", kind="subject", label="Tower", draggable=True)
    with qtbot.waitSignal(view.painted, check_params_cb=lambda name: name == "places"):
        view.show_layer("places", collection(mark))

    with qtbot.waitSignal(view.featureDropped) as dropped:
        drag(surface, pixel(TOWER), pixel(B) + QPoint(6, -6))

    assert dropped.args == ["tower", B]


# Picking


def test_a_click_with_ctrl_picks_more(
    qtbot: QtBot, view: MapView, surface: QWidget, pixel: Pixel
) -> None:
    show_tower(qtbot, view)

    with (
        qtbot.assertNotEmitted(view.featureChosen),
        qtbot.waitSignal(view.handwork.moreChosen) as picked,
    ):
        QTest.mouseClick(surface, LEFT, CTRL, pixel(TOWER))

    assert picked.args == ["tower"]


# Measuring


def start_measuring(qtbot: QtBot, view: MapView, ask: Ask) -> list[Any]:
    told: list[Any] = []
    view.handwork.measured.connect(lambda *what: told.append(what))
    view.handwork.start_measuring("Measure.")
    qtbot.waitUntil(
        lambda: ask("document.querySelectorAll('.tool-active').length") == 1
    )
    return told


def click(surface: QWidget, at: QPoint) -> None:
    QTest.mouseMove(surface, at)
    QTest.mouseClick(surface, LEFT, pos=at)


def test_measuring_tells_points_and_pointer_and_closes_on_the_first(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask, pixel: Pixel
) -> None:
    told = start_measuring(qtbot, view, ask)
    for position in (A, TOWER, C):
        click(surface, pixel(position))
    qtbot.waitUntil(lambda: any(len(t[0]) == 3 and not t[1] for t in told))
    QTest.mouseMove(surface, pixel(HOME))
    qtbot.waitUntil(lambda: len(told[-1][0]) == 4 and told[-1][1])
    assert not told[-1][2]

    click(surface, pixel(A) + QPoint(3, 3))

    qtbot.waitUntil(lambda: told[-1][2])
    assert len(told[-1][0]) == 3
    assert view.handwork.is_measuring


def test_a_click_after_closing_begins_anew(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask, pixel: Pixel
) -> None:
    told = start_measuring(qtbot, view, ask)
    for position in (A, TOWER, C):
        click(surface, pixel(position))
    QTest.keyClick(surface, Key.Key_Return)
    qtbot.waitUntil(lambda: bool(told) and told[-1][2])

    click(surface, pixel(HOME))

    qtbot.waitUntil(lambda: not told[-1][2] and len(told[-1][0]) == 1)


def test_escape_ends_it_and_leaves_nothing(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask, pixel: Pixel
) -> None:
    start_measuring(qtbot, view, ask)
    click(surface, pixel(A))

    with qtbot.waitSignal(view.handwork.measureEnded):
        QTest.keyClick(surface, Key.Key_Escape)

    assert not view.handwork.is_measuring
    assert ask("document.querySelectorAll('path.sketch-point').length") == 0


def test_one_measures_by_keyboard_alone(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask
) -> None:
    told = start_measuring(qtbot, view, ask)
    for key in (Key.Key_Space, Key.Key_Right, Key.Key_Space):
        QTest.keyClick(surface, key)

    qtbot.waitUntil(lambda: any(len(t[0]) == 2 and not t[1] for t in told))
    QTest.keyClick(surface, Key.Key_Backspace)
    qtbot.waitUntil(lambda: len(told[-1][0]) == 1)


def test_the_readout_is_text(qtbot: QtBot, view: MapView, ask: Ask) -> None:
    view.handwork.show_readout("<b>1</b>\n${2}")

    text = "document.querySelector('.told').textContent"
    qtbot.waitUntil(lambda: ask(text) == "<b>1</b>\n${2}")
    view.handwork.show_readout("")
    shown = "document.querySelectorAll('.told:not(.unseen)').length"
    qtbot.waitUntil(lambda: ask(shown) == 0)


# Looking, many places, the keyboard


CARD = "document.querySelector('.hover-card:not(.unseen)')?.innerText ?? ''"


def test_a_card_tells_more_of_what_the_pointer_rests_on(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask, pixel: Pixel
) -> None:
    lines = ["<i>Tower</i>", "Subject", "${1+1}", "49.598000, -8.396000"]
    mark = point(TOWER, "tower", kind="subject", label="Tower", card=lines)
    with qtbot.waitSignal(view.painted):
        view.show_layer("places", collection(mark))

    QTest.mouseMove(surface, pixel(HOME))
    QTest.mouseMove(surface, pixel(TOWER))
    qtbot.waitUntil(lambda: ask(CARD).split("\n") == lines)
    QTest.mouseMove(surface, pixel(HOME))

    qtbot.waitUntil(lambda: ask(CARD) == "")


def test_a_count_stands_for_many_and_a_click_goes_nearer(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask, pixel: Pixel, words: Words
) -> None:
    box = [[49.6005, -8.4005], [49.6015, -8.3995]]
    middle = Position(49.601, -8.4)
    many = point(middle, "several", kind="cluster", label="12 places", box=box)
    with qtbot.waitSignal(view.painted):
        view.show_layer("around", collection(many))
    assert words() == ["12 places"]
    zoom = ask("fieldtripMap.getZoom()")

    with qtbot.assertNotEmitted(view.featureChosen):
        QTest.mouseClick(surface, LEFT, pos=pixel(middle))
        qtbot.waitUntil(lambda: ask("fieldtripMap.getZoom()") > zoom)


def test_the_keyboard_stays_with_a_mark_that_is_drawn_anew(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask
) -> None:
    marks = [
        point(A, "a", kind="vantage", label="A"),
        point(TOWER, "tower", kind="subject", label="T"),
    ]
    with qtbot.waitSignal(view.painted):
        view.show_layer("places", collection(*marks))
    ask("fieldtripMap.getContainer().focus()")
    QTest.keyClick(surface, Key.Key_Tab)
    with qtbot.waitSignal(view.featureChosen) as chosen:
        QTest.keyClick(surface, Key.Key_Return)

    with qtbot.waitSignal(view.painted):
        view.show_layer("places", collection(*marks))
    QTest.keyClick(surface, Key.Key_Tab)
    with qtbot.waitSignal(view.featureChosen) as following:
        QTest.keyClick(surface, Key.Key_Return)

    assert (chosen.args, following.args) == (["a"], ["tower"])


def test_the_mark_with_the_keyboard_has_a_ring_and_its_card(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask
) -> None:
    mark = point(A, "a", kind="vantage", label="A", card=["A", "Vantage point"])
    with qtbot.waitSignal(view.painted):
        view.show_layer("places", collection(mark))
    ask("fieldtripMap.getContainer().focus()")

    QTest.keyClick(surface, Key.Key_Tab)

    qtbot.waitUntil(lambda: ask(CARD) == "A\nVantage point")
    style = "getComputedStyle(document.activeElement).outlineStyle"
    assert ask(style) == "solid"
