"""Tests for drops as one works with them on the card."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.drop_work import DropWork
from fieldtrip.desktop.elevations import Elevations
from fieldtrip.desktop.ground_section import GroundSection
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.turned_down import read_marks
from fieldtrip.errors import UserError
from fieldtrip.geo import Position
from fieldtrip.places.records import Hazard, HazardKind, VantagePoint
from fieldtrip.settings import Settings
from fieldtrip.store.store import Store
from fieldtrip.terrain.records import ElevationFile
from tests.desktop.strip_story import BAR_END, DAY, KEEL, PATH, at, fill
from tests.terrain.elevation_story import write_tif


@pytest.fixture
def library(store: Store, tmp_path: Path) -> Library:
    """An edge 50 m high some steps north of where one stands."""
    fill(store)
    heights = np.full((300, 400), 50.0, np.float32)
    heights[:138] = 0.0
    file = write_tif(
        tmp_path / "cliff.tif", heights, north=49.62, west=-8.42, step=(1e-4, 1.5e-4)
    )
    library = Library(store)
    library.add("add", ElevationFile(name="cliff", path=str(file)))
    return library


@pytest.fixture
def selection() -> Selection:
    return Selection(DAY, at(12))


@pytest.fixture
def section(
    library: Library, selection: Selection, qtbot: QtBot, tmp_path: Path
) -> Iterator[GroundSection]:
    jobs = Jobs()
    elevations = Elevations(library, jobs)
    preferences = Preferences(Settings())
    drops = DropWork(
        library, selection, preferences, elevations, jobs, kept=tmp_path / "drops.json"
    )
    section = GroundSection(library, selection, preferences, jobs, elevations, drops)
    qtbot.addWidget(section)
    selection.choose(BAR_END, KEEL.id)
    section.show()
    qtbot.waitUntil(lambda: not elevations.ground.is_empty)
    yield section
    jobs.stop()


@pytest.fixture
def drops(section: GroundSection) -> DropWork:
    return section.drops


def edges(library: Library) -> list[Hazard]:
    return [h for h in library.store.all(Hazard) if h.kind is HazardKind.CLIFF_EDGE]


def test_a_drop_is_accepted_in_one_step_and_taken_back(
    section: GroundSection, library: Library, qtbot: QtBot
) -> None:
    section.look.click()
    qtbot.waitUntil(lambda: "1 drop" in section.summary.text())
    row = section.rows[0]
    assert row.accept.isVisible()
    steps = library.undo_stack.count()

    row.accept.click()

    (edge,) = edges(library)
    assert edge.height_m == 50.0
    assert library.undo_stack.count() == steps + 1
    assert row.words.text().endswith(f"recorded as “{edge.name}”")
    assert not row.accept.isVisible()
    library.undo_stack.undo()
    assert edges(library) == []
    assert row.accept.isVisible()


def test_a_drop_is_left_out_until_it_is_asked_for_again(
    section: GroundSection, library: Library, qtbot: QtBot, tmp_path: Path
) -> None:
    section.look.click()
    qtbot.waitUntil(lambda: "1 drop" in section.summary.text())

    section.rows[0].reject.click()

    assert not section.rows[0].isVisible()
    assert "turned down" in section.summary.text()
    assert edges(library) == []
    assert len(read_marks(tmp_path / "drops.json")) == 1

    section.again.click()

    assert section.rows[0].isVisible()
    assert not section.again.isVisible()
    assert read_marks(tmp_path / "drops.json") == set()


def test_what_was_turned_down_is_left_out_the_next_time(
    section: GroundSection, drops: DropWork, qtbot: QtBot, tmp_path: Path
) -> None:
    section.look.click()
    qtbot.waitUntil(lambda: "1 drop" in section.summary.text())
    section.rows[0].reject.click()

    drops.keep_in(None)  # as a window that keeps none
    assert len(drops.shown().rows) == 1
    drops.keep_in(tmp_path / "drops.json")  # as another that opens

    assert drops.shown().rows == ()
    assert drops.shown().left_out == 1


@pytest.mark.parametrize(
    "text", ["", "{}", "[1, [2], [true, 1], ['a']]", "[[1, null]]"]
)
def test_a_damaged_list_of_what_was_turned_down_is_none(
    tmp_path: Path, text: str
) -> None:
    file = tmp_path / "drops.json"
    file.write_text(text, "utf-8")

    assert read_marks(file) == set()


def test_what_was_found_holds_only_while_the_place_stays(
    section: GroundSection, library: Library, drops: DropWork, qtbot: QtBot
) -> None:
    section.look.click()
    qtbot.waitUntil(lambda: bool(drops.shown().rows))

    moved = replace(BAR_END, position=Position(49.6, -8.4))
    library.edit("move", BAR_END, moved)

    assert drops.shown().rows == ()
    assert section.summary.text() == ""


def test_it_asks_for_a_place_to_look_at(drops: DropWork, selection: Selection) -> None:
    selection.choose(KEEL, KEEL.id)

    with pytest.raises(UserError, match="Choose a vantage point or a leg"):
        drops.look()


def test_a_leg_shows_its_profile(
    section: GroundSection, selection: Selection, qtbot: QtBot
) -> None:
    assert not section.profile.isVisible()

    selection.choose(PATH, KEEL.id)

    qtbot.waitUntil(section.profile.isVisible)
    assert "What is typed above counts" in section.words.text()
    section.profile.read(100.0)
    assert "along · ground 50 m" in section.reading.text()


def test_a_vantage_point_has_no_profile(
    section: GroundSection, selection: Selection, library: Library
) -> None:
    spot = library.store.all(VantagePoint)[0]
    selection.choose(spot, KEEL.id)

    assert not section.profile.isVisible()
