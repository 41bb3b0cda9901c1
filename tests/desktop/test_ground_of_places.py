"""Tests that checks and plans find the elevation model's word in the dossier."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.elevations import Elevations
from fieldtrip.desktop.ground_of_places import GroundOfPlaces
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.selection import Selection
from fieldtrip.geo import Position
from fieldtrip.store.store import Store
from fieldtrip.terrain.records import ElevationFile
from fieldtrip.trips.plan_ground import PlanGround
from tests.desktop.strip_story import BAR_END, DAY, KEEL, PATH, at, fill
from tests.terrain.elevation_story import write_tif


@pytest.fixture
def library(store: Store) -> Library:
    fill(store)
    return Library(store)


@pytest.fixture
def file(library: Library, tmp_path: Path) -> ElevationFile:
    """An edge 50 m high some steps north of Bar end."""
    heights = np.full((300, 400), 50.0, np.float32)
    heights[:138] = 0.0
    path = write_tif(
        tmp_path / "cliff.tif", heights, north=49.62, west=-8.42, step=(1e-4, 1.5e-4)
    )
    file = ElevationFile(name="cliff", path=str(path))
    library.add("add elevation file", file)
    return file


@pytest.fixture
def follower(library: Library, file: ElevationFile) -> Iterator[GroundOfPlaces]:
    jobs = Jobs()
    selection = Selection(DAY, at(12))
    elevations = Elevations(library, jobs)
    follower = GroundOfPlaces(library, selection, elevations, jobs)
    selection.choose(KEEL, KEEL.id)
    yield follower
    jobs.stop()


def ground_of(library: Library) -> PlanGround:
    dossier = library.dossier(KEEL.id)
    assert dossier is not None
    return dossier.ground


@pytest.mark.usefixtures("follower")
def test_drops_and_profiles_are_in_the_dossier(library: Library, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: BAR_END.id in ground_of(library).drops)

    (drop,) = ground_of(library).drops[BAR_END.id]
    assert drop.height_m == pytest.approx(50.0)
    assert drop.cell_m == pytest.approx(11.1, abs=0.2)
    assert float(ground_of(library).heights[PATH.id].heights_m[0]) == 50.0


@pytest.mark.usefixtures("follower")
def test_a_moved_spot_is_looked_at_again(library: Library, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: bool(ground_of(library).drops.get(BAR_END.id)))

    library.edit("move", BAR_END, replace(BAR_END, position=Position(49.6, -8.4)))

    qtbot.waitUntil(lambda: ground_of(library).drops.get(BAR_END.id) == ())


@pytest.mark.usefixtures("follower")
def test_a_removed_file_takes_its_word_away(
    library: Library, file: ElevationFile, qtbot: QtBot
) -> None:
    qtbot.waitUntil(lambda: BAR_END.id in ground_of(library).drops)
    steps = library.undo_stack.count()

    library.remove("remove", file)

    qtbot.waitUntil(lambda: BAR_END.id not in ground_of(library).drops)
    assert library.undo_stack.count() == steps + 1  # what is known is no edit
