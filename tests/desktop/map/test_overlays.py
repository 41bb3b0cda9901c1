"""Pictures of the ground in the real web engine: laid over the map, with their key."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import numpy as np
import pytest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.content.elevation import NO_HEIGHTS
from fieldtrip.desktop.content.terrain_key import GroundLayer
from fieldtrip.desktop.content.terrain_pictures import Ink, steep_picture
from fieldtrip.desktop.elevations import Elevations
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.map.map_view import MapView
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.terrain_layers import TerrainLayers
from fieldtrip.geo import Position
from fieldtrip.places.records import Location
from fieldtrip.settings import Settings
from fieldtrip.store.store import Store
from fieldtrip.terrain.grid import ElevationGrid
from fieldtrip.terrain.records import ElevationFile
from tests.desktop.map.features import HOME, Ask
from tests.terrain.elevation_story import write_tif

pytestmark = pytest.mark.web

DAY = date(2026, 11, 14)
PICTURES = "[...document.querySelectorAll('.overlay-pane img')].length"
KEY = "document.querySelector('.key').innerText"


@pytest.fixture
def selection() -> Selection:
    return Selection(DAY, datetime(2026, 11, 14, 15, 0, tzinfo=UTC))


@pytest.fixture
def terrain(
    view: MapView, selection: Selection, store: Store, tmp_path: Path
) -> Iterator[TerrainLayers]:
    """A library with a ridge round what the map looks at, on a day in autumn."""
    heights = np.zeros((100, 100), np.float32)
    heights[:, 45:55] = 120.0
    file = write_tif(
        tmp_path / "ridge.tif", heights, north=49.605, west=-8.405, step=1e-4
    )
    location = Location(name="Ridge", position=HOME, zone="Europe/Dublin")
    library = Library(store)
    library.add("add", location)
    library.add("add", ElevationFile(name="ridge", path=str(file)))
    jobs = Jobs()
    elevations = Elevations(library, jobs)
    terrain = TerrainLayers(
        library, selection, Preferences(Settings()), elevations, jobs
    )
    terrain.attach(view)
    selection.choose(location, location.id)
    view.look_at(HOME, 15.5)
    yield terrain
    terrain.close()
    jobs.stop()


def test_a_new_picture_takes_the_place_of_the_last(
    view: MapView, ask: Ask, qtbot: QtBot
) -> None:
    heights = np.zeros((20, 20), np.float32)
    heights[:, 10:] = 50.0
    grid = ElevationGrid(heights, 49.601, -8.401, 1e-4, 1e-4)
    picture = steep_picture(grid, Ink("#b3261e", 0.6))

    for _ in range(2):
        with qtbot.waitSignal(view.overlays.painted):
            view.overlays.show("steep", picture.png, picture.box, 1)

    assert ask(PICTURES) == 1
    assert ask("document.querySelector('.overlay-pane img').naturalWidth") == 20
    view.overlays.show_key(
        [{"heading": "<b>Steep</b>", "rows": [], "notes": ["by a model"]}]
    )
    qtbot.waitUntil(lambda: ask(KEY) == "<b>Steep</b>\nby a model")
    view.overlays.hide("steep")
    view.overlays.show_key([])
    qtbot.waitUntil(lambda: ask(PICTURES) == 0)
    assert ask("document.querySelector('.key').matches('.unseen')")


def test_the_light_follows_the_minute_and_goes_with_its_switch(
    terrain: TerrainLayers, selection: Selection, ask: Ask, qtbot: QtBot
) -> None:
    terrain.set_on(GroundLayer.LIT, True)
    qtbot.waitUntil(lambda: "Lit at 15:00" in ask(KEY) and ask(PICTURES) == 1)

    for minute in range(1, 30):  # faster than any of them can be drawn
        selection.choose_time(DAY, datetime(2026, 11, 14, 15, minute, tzinfo=UTC))

    qtbot.waitUntil(lambda: "Lit at 15:29" in ask(KEY) and ask(PICTURES) == 1)
    selection.choose_time(DAY, datetime(2026, 11, 14, 22, 0, tzinfo=UTC))
    qtbot.waitUntil(lambda: "The Sun is down" in ask(KEY) and ask(PICTURES) == 0)
    terrain.set_on(GroundLayer.LIT, False)
    qtbot.waitUntil(lambda: ask(KEY) == "")


def test_where_there_are_no_heights_the_key_says_how_to_add_some(
    view: MapView, terrain: TerrainLayers, ask: Ask, qtbot: QtBot
) -> None:
    terrain.set_on(GroundLayer.STEEP, True)
    terrain.set_on(GroundLayer.CONTOURS, True)
    qtbot.waitUntil(lambda: "above 60°" in ask(KEY) and "contours every" in ask(KEY))
    assert "from “ridge”" in ask(KEY)
    lines = "document.querySelectorAll('path.height-line').length"
    qtbot.waitUntil(lambda: ask(lines) > 2)
    words = "document.querySelectorAll('.words:not(.unseen) .height-word').length"
    qtbot.waitUntil(lambda: ask(words) > 0)

    view.look_at(Position(10.0, 10.0), 15.5)

    qtbot.waitUntil(lambda: ask(KEY) == NO_HEIGHTS)
    assert ask(PICTURES) == 0
