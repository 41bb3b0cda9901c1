"""Layers, looks and what the page reports, in the real web engine."""

from __future__ import annotations

import json
from math import inf, nan
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWebEngineCore import QWebEnginePage
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.map.map_view import MapView
from fieldtrip.desktop.map.profile import MapProfile
from fieldtrip.desktop.map.tools import Tool
from fieldtrip.desktop.theme import DARK
from fieldtrip.geo import Position, distance_m
from fieldtrip.settings import LengthUnit
from tests.desktop.map.features import (
    HOME,
    Ask,
    Pixel,
    Words,
    area,
    collection,
    line,
    point,
)

pytestmark = pytest.mark.web

LEFT = Qt.MouseButton.LeftButton
EAST = Position(49.6, -8.39)
NORTH = Position(49.605, -8.4)
METRES_PER_PIXEL = 3.1  # of Web Mercator at zoom 15 and 49.6 N


def show(qtbot: QtBot, view: MapView, name: str, *features: dict[str, object]) -> None:
    with qtbot.waitSignal(
        view.painted, check_params_cb=lambda painted: painted == name
    ):
        view.show_layer(name, collection(*features))


def drag(surface: QWidget, start: QPoint, by: QPoint) -> None:
    QTest.mousePress(surface, LEFT, pos=start)
    for part in (0.2, 0.5, 0.8, 1.0):
        QTest.mouseMove(surface, start + by * part, 20)
    QTest.mouseRelease(surface, LEFT, pos=start + by, delay=20)


# Layers


def test_a_layer_is_drawn_with_its_words(
    qtbot: QtBot, view: MapView, words: Words
) -> None:
    show(
        qtbot, view, "places", point(HOME, kind="vantage", label="Bar end", note="low")
    )

    assert words() == ["Bar end | low"]


def test_every_kind_of_feature_is_drawn(
    qtbot: QtBot, view: MapView, ask: Ask, words: Words
) -> None:
    view.show_layer(
        "outline",
        collection(
            area(HOME, EAST, NORTH, kind="land", name="Island"),
            area(HOME, EAST, NORTH, kind="shingle", name=""),
            area(HOME, EAST, NORTH, kind="water", name=""),
        ),
    )
    show(
        qtbot,
        view,
        "hazards",
        line(HOME, NORTH, kind="edge", label="Edge"),
        line(HOME, EAST, kind="line", label="Foot"),
        area(HOME, EAST, NORTH, kind="area", label="Soft"),
        point(EAST, kind="danger", label="Hole"),
    )

    for name in ("land", "shingle", "water", "danger-edge", "danger-teeth",
                 "danger-line", "danger-area"):  # fmt: skip
        drawn = f"document.querySelectorAll('path.{name}').length"
        assert ask(drawn) > 0, name
    assert {"Edge", "Foot", "Soft", "Hole"} <= set(words())


def test_the_sea_is_there_only_with_land_drawn_in_it(
    qtbot: QtBot, view: MapView, ask: Ask
) -> None:
    paper = "getComputedStyle(fieldtripMap.getContainer()).backgroundColor"
    blank = ask(paper)

    show(qtbot, view, "outline")
    assert ask(paper) == blank
    show(qtbot, view, "outline", area(HOME, EAST, NORTH, kind="land", name=""))
    assert ask(paper) != blank


def test_an_area_that_can_hurt_is_hatched(
    qtbot: QtBot, view: MapView, ask: Ask
) -> None:
    show(qtbot, view, "hazards", area(HOME, EAST, NORTH, kind="area", label="Soft"))

    fill = ask("getComputedStyle(document.querySelector('path.danger-area')).fill")

    assert "#danger-hatch" in fill
    assert ask("document.getElementById('danger-hatch').childElementCount") > 0


def test_teeth_stand_on_the_right_of_the_direction_drawn(
    qtbot: QtBot, view: MapView, ask: Ask
) -> None:
    # Drawn from south to north, so that right is east.
    show(qtbot, view, "hazards", line(HOME, NORTH, kind="edge", label=""))

    box = "document.querySelector('path.{}').getBoundingClientRect()"
    edge, teeth = (ask(box.format(name)) for name in ("danger-edge", "danger-teeth"))

    assert teeth["right"] > edge["right"] + 3
    assert teeth["left"] >= edge["left"] - 1


def test_a_layer_shown_again_stands_in_place_of_the_last(
    qtbot: QtBot, view: MapView, words: Words
) -> None:
    show(qtbot, view, "places", point(HOME, kind="vantage", label="old"))
    show(qtbot, view, "places", point(HOME, kind="vantage", label="new"))

    assert words() == ["new"]


def test_a_layer_can_be_hidden_and_shown(
    qtbot: QtBot, view: MapView, words: Words
) -> None:
    show(qtbot, view, "places", point(HOME, kind="vantage", label="Bar end"))

    view.set_layer_visible("places", False)
    qtbot.waitUntil(lambda: words() == [])
    show(qtbot, view, "places", point(HOME, kind="vantage", label="Bar end"))
    assert words() == []
    view.set_layer_visible("places", True)
    qtbot.waitUntil(lambda: words() == ["Bar end"])

    view.hide_layer("places")
    qtbot.waitUntil(lambda: words() == [])


def test_what_was_shown_before_the_page_was_there_is_drawn(
    qtbot: QtBot, tmp_path: Path
) -> None:
    view = MapView(tmp_path)
    qtbot.addWidget(view)
    view.resize(800, 600)
    view.set_dark(True)
    view.look_at(HOME, 15.0)
    view.show_layer("places", collection(point(HOME, kind="vantage", label="Early")))

    with qtbot.waitSignal(view.painted):
        view.show()

    with qtbot.waitCallback() as answered:
        view.run_js("document.documentElement.className + fieldtripWords()", answered)
    assert answered.args == ['dark["Early"]']


def test_loading_the_page_again_loses_nothing(
    qtbot: QtBot, view: MapView, ask: Ask, words: Words
) -> None:
    show(qtbot, view, "places", point(NORTH, kind="vantage", label="Bar end"))
    view.set_dark(True)
    view.set_length_unit(LengthUnit.FOOT)
    view.show_echo(EAST, "here")
    view.start_tool(Tool.LINE)
    drawn_before = ask("fieldtripMap.getCenter()"), ask("fieldtripMap.getZoom()")

    with qtbot.waitSignal(view.painted):
        view.reload()

    assert words() == ["Bar end"]
    assert ask("document.documentElement.classList.contains('dark')")
    assert "ft" in ask("document.querySelector('.scale-word').textContent")
    assert ask("document.querySelector('.echo-word').textContent") == "here"
    assert ask("document.querySelectorAll('.tool-active').length") == 1
    centre, zoom = ask("fieldtripMap.getCenter()"), ask("fieldtripMap.getZoom()")
    assert zoom == drawn_before[1]
    assert centre["lat"] == pytest.approx(drawn_before[0]["lat"], abs=1e-4)


@pytest.mark.logs_errors
def test_a_page_that_crashed_comes_back(
    qtbot: QtBot, view: MapView, words: Words, caplog: pytest.LogCaptureFixture
) -> None:
    show(qtbot, view, "places", point(HOME, kind="vantage", label="Bar end"))

    crashed = QWebEnginePage.RenderProcessTerminationStatus.CrashedTerminationStatus
    with qtbot.waitSignal(view.painted):
        view.page().renderProcessTerminated.emit(crashed, 5)

    assert words() == ["Bar end"]
    assert "loaded again" in caplog.text


def test_a_flood_of_updates_ends_with_the_last(
    qtbot: QtBot, view: MapView, words: Words
) -> None:
    sent: list[str] = []
    view.bridge.layerShown.connect(lambda name, text, number: sent.append(text))

    for minute in range(60):
        label = f"minute {minute}"
        view.show_layer("sun", collection(point(HOME, kind="vantage", label=label)))

    qtbot.waitUntil(lambda: words() == ["minute 59"])
    assert len(sent) < 10


def test_what_changed_while_the_map_was_hidden_is_there_when_it_is_seen(
    qtbot: QtBot, view: MapView, words: Words
) -> None:
    show(qtbot, view, "places", point(HOME, kind="vantage", label="old"))
    view.hide()

    for label in ("a", "b", "new"):
        view.show_layer("places", collection(point(HOME, kind="vantage", label=label)))
        qtbot.wait(20)
    view.show()

    qtbot.waitUntil(lambda: words() == ["new"])


@pytest.mark.logs_errors
def test_what_cannot_be_drawn_does_not_hold_up_the_next(
    qtbot: QtBot, view: MapView, words: Words
) -> None:
    broken = {"type": "Feature", "geometry": None, "properties": {"kind": "vantage"}}
    view.show_layer("places", collection(broken))

    view.show_layer("places", collection(point(HOME, kind="vantage", label="next")))

    qtbot.waitUntil(lambda: words() == ["next"])


@pytest.mark.parametrize("lat_deg", [-90.0, 86.0, 90.0])
def test_nothing_breaks_where_the_map_ends(
    qtbot: QtBot, view: MapView, ask: Ask, lat_deg: float
) -> None:
    pole, beside = Position(lat_deg, 20.0), Position(lat_deg * 0.999, 21.0)
    view.look_at(pole, 15.0)
    show(
        qtbot,
        view,
        "sun",
        line(pole, beside, kind="ray", stroke="taper", label="x", azimuth_deg=0.0),
        line(pole, beside, kind="edge", label="Edge"),
    )
    view.look_at(pole, 2.0)

    qtbot.waitUntil(lambda: ask("fieldtripMap.getZoom()") == 2)


@pytest.mark.parametrize("number", [nan, inf])
def test_what_is_no_number_is_refused_at_the_door(view: MapView, number: float) -> None:
    feature = point(HOME, kind="vantage", label="x", azimuth_deg=number)

    with pytest.raises(ValueError, match="JSON"):
        view.show_layer("sun", collection(feature))


def test_words_give_way_to_more_important_ones(
    qtbot: QtBot, view: MapView, words: Words
) -> None:
    crowd = [
        point(HOME, kind="vantage", label=f"Very long name {i}") for i in range(40)
    ]
    show(qtbot, view, "places", *crowd, point(HOME, kind="danger", label="Blowhole"))

    assert "Blowhole" in words()
    assert 1 < len(words()) < 20


# Looks


def test_dark_paper_uses_the_dark_colours(
    qtbot: QtBot, view: MapView, ask: Ask
) -> None:
    view.set_dark(True)

    colour = "getComputedStyle(document.documentElement).getPropertyValue('--paper')"
    qtbot.waitUntil(lambda: ask(colour).strip() == DARK.paper)


def test_the_scale_bar_is_as_long_as_it_says(
    qtbot: QtBot, view: MapView, ask: Ask
) -> None:
    text = ask("document.querySelector('.scale-word').textContent")
    width = ask("document.querySelector('.scale-bar').getBoundingClientRect().width")

    # Scale of Web Mercator: 2 pi a cos(lat) / (256 * 2^zoom) metres to a pixel.
    # Source: OGC 17-083r2, Two Dimensional Tile Matrix Set, annex D (well-known
    # scale set GoogleMapsCompatible).  A sphere's, so within its 0.3 % of WGS 84.
    number, unit = text.split()
    assert unit == "m"
    assert float(number) / width == pytest.approx(3.096, rel=0.01)
    view.set_length_unit(LengthUnit.FOOT)
    qtbot.waitUntil(
        lambda: ask("document.querySelector('.scale-word').textContent").endswith("ft")
    )


def test_all_positions_fit_even_across_the_date_line(
    qtbot: QtBot, view: MapView, ask: Ask
) -> None:
    view.fit([Position(-17.0, 179.9), Position(-17.1, -179.9)])

    qtbot.waitUntil(lambda: ask("fieldtripMap.getZoom()") < 14)
    bounds = ask("fieldtripMap.getBounds().toBBoxString()")
    west, south, east, north = (float(number) for number in bounds.split(","))
    assert west < 179.9 < 180.1 < east < 182.0
    assert south < -17.1 < -17.0 < north


def test_the_graticule_is_labelled_in_degrees_and_minutes(
    view: MapView, ask: Ask
) -> None:
    labels = ask("[...document.querySelectorAll('.edge-word')].map(e => e.textContent)")

    assert any(label.endswith("W") for label in labels)
    assert any(label.endswith("N") for label in labels)
    assert all("°" in label for label in labels)


# What the page reports


def test_the_coordinates_under_the_pointer_are_told_twice_over(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask, pixel: Pixel
) -> None:
    with qtbot.waitSignal(view.moved) as moved:
        QTest.mouseMove(surface, pixel(EAST))

    assert moved.args is not None
    assert distance_m(moved.args[0], EAST) < 2 * METRES_PER_PIXEL
    text = ask("document.querySelector('.readout').textContent")
    decimal, minutes = text.split("  ·  ")
    assert decimal.startswith("49.6")
    assert ", −8.3" in decimal
    assert minutes.startswith(("49° 36.", "49° 35.9"))
    assert minutes.endswith("′ W")


def test_a_click_chooses_a_feature(
    qtbot: QtBot, view: MapView, surface: QWidget, pixel: Pixel
) -> None:
    show(qtbot, view, "places", point(EAST, "place-1", kind="subject", label="Tower"))
    show(qtbot, view, "routes", line(HOME, NORTH, record_id="leg-1", kind="leg"))
    middle = Position(49.6025, -8.4)

    with qtbot.waitSignal(view.featureChosen) as first:
        QTest.mouseClick(surface, LEFT, pos=pixel(EAST))
    with qtbot.waitSignal(view.featureChosen) as second:
        QTest.mouseClick(surface, LEFT, pos=pixel(middle))

    assert first.args == ["place-1"]
    assert second.args == ["leg-1"]


def test_a_dragged_point_is_reported_where_it_was_dropped(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask, pixel: Pixel
) -> None:
    tower = point(EAST, "t", kind="subject", label="Tower", draggable=True)
    show(qtbot, view, "places", tower)

    with qtbot.waitSignal(view.featureDropped) as dropped:
        drag(surface, pixel(EAST), QPoint(-60, 40))

    # Web Mercator is conformal: 60 pixels west and 40 south, to a pixel.
    assert dropped.args is not None
    record_id, position = dropped.args
    assert record_id == "t"
    target = pixel(EAST) + QPoint(-60, 40)
    assert (pixel(position) - target).manhattanLength() <= 2
    stands = (
        "Object.values(fieldtripMap._layers).find(l => l.options.draggable).getLatLng()"
    )
    assert ask(stands) == {"lat": position.lat_deg, "lng": position.lon_deg}


def test_a_point_that_may_not_be_dragged_stays(
    qtbot: QtBot, view: MapView, surface: QWidget, pixel: Pixel
) -> None:
    show(qtbot, view, "places", point(EAST, "t", kind="subject", label="Tower"))

    with qtbot.assertNotEmitted(view.featureDropped, wait=300):
        drag(surface, pixel(EAST), QPoint(-60, 40))


def test_the_context_menu_is_asked_for_with_what_lies_there(
    qtbot: QtBot, view: MapView, surface: QWidget, pixel: Pixel
) -> None:
    show(qtbot, view, "places", point(EAST, "t", kind="subject", label="Tower"))
    right = Qt.MouseButton.RightButton

    with qtbot.waitSignal(view.contextAsked) as on_tower:
        QTest.mouseClick(surface, right, pos=pixel(EAST))
    with qtbot.waitSignal(view.contextAsked) as on_map:
        QTest.mouseClick(surface, right, pos=pixel(NORTH))

    assert on_tower.args is not None
    assert on_map.args is not None
    assert on_tower.args[1] == "t"
    position, record_id, at = on_map.args
    assert record_id == ""
    assert distance_m(position, NORTH) < 2 * METRES_PER_PIXEL
    assert at == view.mapToGlobal(pixel(NORTH))


def test_features_are_chosen_and_asked_for_by_keyboard(
    qtbot: QtBot, view: MapView, surface: QWidget, ask: Ask
) -> None:
    show(qtbot, view, "places", point(EAST, "t", kind="subject", label="Tower"))
    ask("fieldtripMap.getContainer().focus()")

    with qtbot.waitSignal(view.contextAsked) as on_map:
        QTest.keyClick(surface, Qt.Key.Key_Menu)
    QTest.keyClick(surface, Qt.Key.Key_Tab)
    with qtbot.waitSignal(view.featureChosen) as chosen:
        QTest.keyClick(surface, Qt.Key.Key_Return)
    with qtbot.waitSignal(view.contextAsked) as on_tower:
        QTest.keyClick(surface, Qt.Key.Key_Menu)

    assert on_map.args is not None
    assert on_tower.args is not None
    assert (on_map.args[1], on_tower.args[1]) == ("", "t")
    assert chosen.args == ["t"]


def test_there_is_one_profile_off_the_record(view: MapView, tmp_path: Path) -> None:
    profile = view.page().profile()

    assert isinstance(profile, MapProfile)
    assert profile.isOffTheRecord()
    assert profile.parent() is not view


# Echo


def test_typed_coordinates_are_echoed_where_they_would_land(
    qtbot: QtBot, view: MapView, ask: Ask, pixel: Pixel
) -> None:
    view.show_echo(NORTH, "49.605, −8.4 as read")

    text = "document.querySelector('.echo-word')?.textContent ?? ''"
    qtbot.waitUntil(lambda: ask(text) == "49.605, −8.4 as read")
    box = ask("document.querySelector('.echo-mark').getBoundingClientRect()")
    centre = QPoint(round(box["x"] + 20), round(box["y"] + 20))
    assert (centre - pixel(NORTH)).manhattanLength() <= 2
    view.show_echo(None)
    qtbot.waitUntil(lambda: ask(text) == "")


def test_an_echo_out_of_sight_moves_the_map(
    qtbot: QtBot, view: MapView, ask: Ask
) -> None:
    view.show_echo(Position(-36.8, 174.8), "far away")

    qtbot.waitUntil(lambda: ask("fieldtripMap.getCenter()")["lat"] < -36)
    assert json.loads(ask("fieldtripWords()")) == []
