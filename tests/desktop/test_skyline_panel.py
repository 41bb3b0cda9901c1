"""Tests for the Skyline page as it is used, and for the horizons kept for it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fieldtrip.almanac.spots import spot_of
from fieldtrip.desktop.content.elevation import NO_HEIGHTS
from fieldtrip.desktop.elevations import Elevations
from fieldtrip.desktop.horizons import Horizons
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.kept_horizons import horizon_at
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.skyline_panel import SIGHT, SkylinePanel
from fieldtrip.geo import Position
from fieldtrip.places.records import VantagePoint
from fieldtrip.settings import Settings
from fieldtrip.store.store import Store
from fieldtrip.terrain.known_ground import KnownGround
from fieldtrip.terrain.records import ElevationFile
from tests.desktop.strip_story import BAR_END, DAY, KEEL, TOWER, at, fill
from tests.terrain.elevation_story import source, write_tif


def model(folder: Path) -> Path:
    """A ridge east of everything on the Keel Holms."""
    heights = np.full((300, 400), 2.0, np.float32)
    heights[:, 330:] = 60.0
    return write_tif(
        folder / "ridge.tif", heights, north=49.62, west=-8.42, step=(1e-4, 1.5e-4)
    )


@pytest.fixture
def library(store: Store) -> Library:
    fill(store)
    return Library(store)


@pytest.fixture
def selection() -> Selection:
    return Selection(DAY, at(12))


@pytest.fixture
def panel(
    library: Library, selection: Selection, qtbot: QtBot, tmp_path: Path
) -> Iterator[SkylinePanel]:
    jobs = Jobs()
    elevations = Elevations(library, jobs)
    horizons = Horizons(elevations, jobs, tmp_path / "cache")
    panel = SkylinePanel(
        library, selection, Preferences(Settings()), jobs, elevations, horizons
    )
    qtbot.addWidget(panel)
    panel.resize(800, 320)
    panel.show()
    selection.choose(KEEL, KEEL.id)
    selection.use(vantage_point_id=BAR_END.id, subject_id=TOWER.id)
    yield panel
    jobs.stop()


def add_model(library: Library, folder: Path) -> None:
    file = ElevationFile(name="ridge", path=str(model(folder)))
    library.add("add elevation file", file)


def test_without_heights_the_page_offers_to_add_some(
    panel: SkylinePanel, qtbot: QtBot
) -> None:
    qtbot.waitUntil(lambda: panel.message.text() == NO_HEIGHTS)

    assert panel.add.isVisible()
    with qtbot.waitSignal(panel.addAsked):
        panel.add.click()


def test_added_heights_give_a_skyline_that_the_keyboard_reads(
    panel: SkylinePanel, library: Library, qtbot: QtBot, tmp_path: Path
) -> None:
    add_model(library, tmp_path)
    qtbot.waitUntil(lambda: "Skyline of Bar end" in panel.heading.text())

    panel.chart.read(89.0)
    QTest.keyClick(panel.chart, Qt.Key.Key_Right)

    assert panel.chart.read_deg == 90.0
    assert panel.reading.text().startswith("azimuth 90° · skyline")
    assert "up" in panel.reading.text()
    assert panel.chart.accessibleDescription() == panel.reading.text()


def test_the_line_of_sight_names_who_sees_the_subject(
    panel: SkylinePanel,
    library: Library,
    selection: Selection,
    qtbot: QtBot,
    tmp_path: Path,
) -> None:
    add_model(library, tmp_path)
    panel.turn_to(SIGHT)

    qtbot.waitUntil(lambda: panel.table.rowCount() == 2)
    assert panel.sight_heading.text().startswith("From Bar end to Old signal tower")
    with qtbot.waitSignal(panel.placeAsked) as asked:
        panel.show_place.click()
    assert isinstance(asked.args[0], Position)
    names = [panel.table.item(k, 0) for k in range(2)]
    row = next(k for k, item in enumerate(names) if item and item.text() != "Bar end")
    panel.table.rowChosen.emit(row)
    assert selection.vantage_point_id != BAR_END.id


def test_a_moved_point_gets_another_skyline(
    panel: SkylinePanel, library: Library, qtbot: QtBot, tmp_path: Path
) -> None:
    add_model(library, tmp_path)
    qtbot.waitUntil(lambda: "Skyline of Bar end" in panel.heading.text())
    panel.chart.read(90.0)
    before = panel.reading.text()

    moved = replace(BAR_END, position=Position(49.606, -8.372))
    library.edit("move", BAR_END, moved)

    qtbot.waitUntil(lambda: panel.reading.text() not in ("", before))


def test_a_horizon_is_kept_on_the_disk_and_found_again(tmp_path: Path) -> None:
    ground = KnownGround((source(model(tmp_path)),))
    spot = spot_of(BAR_END)

    first = horizon_at(ground, spot, tmp_path)
    (file,) = (tmp_path / "horizons").glob("*.npz")
    written = file.stat().st_mtime_ns
    again = horizon_at(ground, spot, tmp_path)

    assert first is not None
    assert again is not None
    np.testing.assert_array_equal(first.altitudes_deg, again.altitudes_deg)
    assert again.ground_m == first.ground_m
    assert file.stat().st_mtime_ns == written


def test_a_damaged_file_of_a_horizon_is_made_again(tmp_path: Path) -> None:
    ground = KnownGround((source(model(tmp_path)),))
    spot = spot_of(BAR_END)
    first = horizon_at(ground, spot, tmp_path)
    (file,) = (tmp_path / "horizons").glob("*.npz")
    file.write_bytes(file.read_bytes()[:100])

    again = horizon_at(ground, spot, tmp_path)

    assert first is not None
    assert again is not None
    np.testing.assert_array_equal(first.altitudes_deg, again.altitudes_deg)


def test_other_heights_or_another_camera_give_another_horizon(tmp_path: Path) -> None:
    ground = KnownGround((source(model(tmp_path)),))
    other = KnownGround((source(model(tmp_path), is_surface=True),))
    high: VantagePoint = replace(BAR_END, eye_height_m=9.0)

    horizon_at(ground, spot_of(BAR_END), tmp_path)
    horizon_at(other, spot_of(BAR_END), tmp_path)
    horizon_at(ground, spot_of(high), tmp_path)

    assert len(list((tmp_path / "horizons").glob("*.npz"))) == 3
    assert horizon_at(KnownGround(), spot_of(BAR_END), tmp_path) is None


def test_a_search_gets_no_skyline_where_the_file_ends_but_what_stands_before_it(
    library: Library, qtbot: QtBot, tmp_path: Path
) -> None:
    jobs = Jobs()
    horizons = Horizons(Elevations(library, jobs), jobs, tmp_path / "cache")
    add_model(library, tmp_path)
    qtbot.waitUntil(lambda: horizons.has_heights)

    found = horizons.skyline_deg(BAR_END)
    jobs.stop()

    assert found is not None
    # The file ends within a few kilometres all round, and a hill may stand beyond.
    assert np.isnan(found.surely_deg).all()
    east = len(found.least_deg) // 4
    assert found.least_deg[east] > 1.0  # the ridge
    assert not np.isnan(found.least_deg).any()
