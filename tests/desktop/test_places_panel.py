"""The list follows edits, choices and what is searched for."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest
from PySide6.QtWidgets import QTreeWidgetItem
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.content.places import NO_PLACES, NO_TRIPS
from fieldtrip.desktop.content.sieve import Sieve
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.places_panel import PlacesPanel
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.geo import Position
from fieldtrip.places.records import (
    AccessNote,
    AccessRoute,
    Hazard,
    HazardKind,
    Leg,
    Location,
    NoteKind,
    Refuge,
    Shape,
    VantagePoint,
)
from fieldtrip.settings import Settings
from fieldtrip.store.store import Change, Store
from fieldtrip.trips.records import Stop, Trip
from fieldtrip.weather.records import Forecast, ForecastHour

TODAY = date(2026, 11, 25)
NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)
HERE, THERE = Position(49.6, -8.4), Position(49.61, -8.4)
BAY = Location(name="Bay", position=HERE, zone="Europe/Dublin")
CAPE = Location(name="Cape", position=HERE, zone="Europe/Dublin")
LEDGE = VantagePoint(
    location_id=BAY.id, name="Ledge", position=HERE, notes="Kelp on the stile."
)
WAY = AccessRoute(location_id=BAY.id, name="Way")
BAR = Leg(route_id=WAY.id, number=1, name="Bar", line=(HERE, THERE), is_tidal=True)
LANE = Leg(route_id=WAY.id, number=2, name="Lane", line=(HERE, THERE), is_tidal=False)
EDGE = Hazard(
    location_id=CAPE.id,
    name="Edge",
    kind=HazardKind.CLIFF_EDGE,
    shape=Shape.LINE,
    line=(HERE, THERE),
    last_confirmed=date(2025, 11, 24),
)
ROCK = Refuge(location_id=CAPE.id, name="Rock", position=HERE)
NOTE = AccessNote(location_id=CAPE.id, day=TODAY, kind=NoteKind.WAY, text="Stile new.")
TRIP = Trip(location_id=BAY.id, name="Evening", day=TODAY)
STAY = Stop(
    trip_id=TRIP.id,
    number=1,
    vantage_point_id=LEDGE.id,
    arrive=NOON,
    leave=NOON,
    wanted="Glow behind the stile",
)
COAST = (BAY, CAPE, LEDGE, WAY, BAR, LANE, EDGE, ROCK, NOTE, TRIP, STAY)


@pytest.fixture
def library(store: Store, qtbot: QtBot) -> Library:
    return Library(store)


@pytest.fixture
def selection() -> Selection:
    return Selection(TODAY, NOON)


@pytest.fixture
def panel(library: Library, selection: Selection, qtbot: QtBot) -> PlacesPanel:
    panel = PlacesPanel(library, selection, Preferences(Settings()), lambda: TODAY)
    qtbot.addWidget(panel)
    panel.show()
    return panel


def texts(panel: PlacesPanel) -> list[str]:
    """The names on all lines."""
    return panel.tree.texts()


def line(panel: PlacesPanel, text: str) -> QTreeWidgetItem:
    """The line of a name."""
    return next(item for item in panel.tree.items() if item.text(0) == text)


def add(library: Library, *records: Any) -> None:
    library.change("add", [Change(None, record) for record in records])


def test_an_empty_list_says_what_to_do(panel: PlacesPanel) -> None:
    assert texts(panel) == []
    assert panel.hint.text() == f"{NO_PLACES}\n{NO_TRIPS}"


def test_all_is_listed_by_name_and_open(panel: PlacesPanel, library: Library) -> None:
    add(library, *COAST)

    assert texts(panel) == [
        "PLACES", "Bay", "Ledge", "Way", "Bar", "Lane", "Cape", "Rock", "Edge",
        "Stile new.", "TRIPS", "Evening",
    ]  # fmt: skip
    assert panel.hint.isHidden()


def test_an_edit_changes_its_own_lines_only(
    panel: PlacesPanel, library: Library
) -> None:
    add(library, *COAST)
    untouched = line(panel, "Cape")

    library.edit("rename", LEDGE, replace(LEDGE, name="Shelf"))
    library.add("add", VantagePoint(location_id=BAY.id, name="Apron", position=HERE))
    library.remove("remove", LANE)

    assert texts(panel)[1:6] == ["Bay", "Apron", "Shelf", "Way", "Bar"]
    assert line(panel, "Cape") is untouched
    for _ in range(3):
        library.undo_stack.undo()
    assert texts(panel)[1:6] == ["Bay", "Ledge", "Way", "Bar", "Lane"]
    assert line(panel, "Cape") is untouched


def test_a_renamed_location_moves_with_all_below_it(
    panel: PlacesPanel, library: Library, selection: Selection
) -> None:
    add(library, *COAST)
    selection.choose(LEDGE, BAY.id)

    library.edit("rename", BAY, replace(BAY, name="Zawn"))

    assert texts(panel)[:3] == ["PLACES", "Cape", "Rock"]
    assert texts(panel)[5:8] == ["Zawn", "Ledge", "Way"]
    assert line(panel, "Zawn").isExpanded()
    assert panel.tree.currentItem() is line(panel, "Ledge")
    assert "Zawn" in line(panel, "Evening").toolTip(0)


def test_locations_and_trips_come_and_go(panel: PlacesPanel, library: Library) -> None:
    add(library, BAY)
    assert panel.hint.text() == NO_TRIPS
    add(library, TRIP)
    assert panel.hint.isHidden()
    add(library, CAPE)
    assert texts(panel) == ["PLACES", "Bay", "Cape", "TRIPS", "Evening"]

    library.remove("remove", BAY)

    assert texts(panel) == ["PLACES", "Cape"]
    library.remove("remove", CAPE)
    assert texts(panel) == []
    assert NO_PLACES in panel.hint.text()
    for _ in range(2):
        library.undo_stack.undo()
    assert texts(panel) == ["PLACES", "Bay", "Cape", "TRIPS", "Evening"]


def test_what_was_folded_stays_folded(panel: PlacesPanel, library: Library) -> None:
    add(library, *COAST)
    panel.tree.collapseItem(line(panel, "Way"))
    panel.tree.collapseItem(line(panel, "Cape"))

    library.edit("rename", LEDGE, replace(LEDGE, name="Shelf"))
    library.edit("rename", CAPE, replace(CAPE, name="Ness"))
    panel.refresh()

    assert not line(panel, "Way").isExpanded()
    assert not line(panel, "Ness").isExpanded()
    assert line(panel, "Bay").isExpanded()


def test_a_choice_elsewhere_is_marked_and_one_in_the_list_is_told(
    panel: PlacesPanel, library: Library, selection: Selection
) -> None:
    add(library, *COAST)

    selection.choose(EDGE, CAPE.id)
    assert panel.tree.currentItem() is line(panel, "Edge")
    panel.tree.setCurrentItem(line(panel, "Ledge"))
    assert (selection.record_id, selection.location_id) == (LEDGE.id, BAY.id)
    selection.choose(None, None)
    assert panel.tree.currentItem() is None


def test_a_long_list_is_folded_and_filled_when_it_is_opened(
    panel: PlacesPanel, library: Library, selection: Selection
) -> None:
    many = [replace(BAY, id=type(BAY.id)(int=i), name=f"Cove {i}") for i in range(60)]
    add(library, *COAST, *many)

    assert "Ledge" not in texts(panel)
    panel.tree.expandItem(line(panel, "Bay"))
    assert texts(panel)[1:4] == ["Bay", "Ledge", "Way"]
    assert "Edge" not in texts(panel)
    selection.choose(EDGE, CAPE.id)
    assert panel.tree.currentItem() is line(panel, "Edge")
    library.edit("rename", LEDGE, replace(LEDGE, name="Shelf"))
    assert texts(panel)[1:4] == ["Bay", "Shelf", "Way"]


def test_words_in_notes_are_found_as_one_types(
    panel: PlacesPanel, library: Library, selection: Selection
) -> None:
    add(library, *COAST)

    panel.search.setText("sti")

    assert texts(panel) == [
        "PLACES", "Cape", "Stile new.", "Bay", "Ledge", "TRIPS", "Evening"
    ] or texts(panel) == [
        "PLACES", "Bay", "Ledge", "Cape", "Stile new.", "TRIPS", "Evening"
    ]  # fmt: skip
    assert "Kelp on the stile." in line(panel, "Ledge").toolTip(0)
    assert "what a stop is for" in line(panel, "Evening").toolTip(0)
    panel.tree.setCurrentItem(line(panel, "Ledge"))
    assert selection.record_id == LEDGE.id
    panel.search.setText("stile zzz")
    assert texts(panel) == []
    assert "Nothing has “stile zzz”" in panel.hint.text()
    panel.search.clear()
    assert texts(panel)[:3] == ["PLACES", "Bay", "Ledge"]
    assert panel.tree.currentItem() is line(panel, "Ledge")


def test_words_of_what_has_no_line_are_found_at_its_location(
    panel: PlacesPanel, library: Library, selection: Selection
) -> None:
    outlook = Forecast(
        location_id=BAY.id,
        issued=NOON,
        source="Harbour bulletin",
        hours=(ForecastHour(instant=NOON, wind_m_s=3.0),),
    )
    add(library, *COAST, outlook)

    panel.search.setText("bulletin")

    assert texts(panel) == ["PLACES", "Bay"]
    assert "a forecast: “Harbour bulletin”" in line(panel, "Bay").toolTip(0)
    panel.tree.setCurrentItem(line(panel, "Bay"))
    assert selection.record_id == BAY.id


def test_what_is_found_follows_edits(panel: PlacesPanel, library: Library) -> None:
    add(library, *COAST)
    panel.search.setText("kelp")
    assert "Ledge" in texts(panel)

    library.edit("note", LEDGE, replace(LEDGE, notes=""))

    assert texts(panel) == []
    library.undo_stack.undo()
    assert "Ledge" in texts(panel)


@pytest.mark.parametrize(
    ("sieve", "expected"),
    [
        (Sieve(kind=Leg), ["Bar", "Lane"]),
        (Sieve(tide_bound=True), ["Bar"]),
        (Sieve(exposed=True), ["Bar", "Lane", "Ledge"]),  # of none is it known
        (Sieve(unconfirmed_months=True), ["Edge", "Rock"]),
        (Sieve(never_confirmed=True), ["Rock"]),
        (Sieve(kind=Hazard, unconfirmed_months=True), ["Edge"]),
        (Sieve(kind=Hazard, never_confirmed=True), []),
        (Sieve(kind=Trip), ["Evening"]),
    ],
)
def test_the_list_can_be_narrowed_down_and_says_so(
    panel: PlacesPanel, library: Library, sieve: Sieve, expected: list[str]
) -> None:
    add(library, *COAST)

    panel.use_sieve(sieve)

    found = [t for t in texts(panel) if t not in ("PLACES", "TRIPS", "Bay", "Cape")]
    assert found == expected
    assert panel.state.text() == sieve.words()
    assert not panel.state.isHidden()
    panel.widen.click()
    assert panel.state.isHidden()
    assert "Ledge" in texts(panel)


def test_a_line_of_the_menu_narrows_the_list(
    panel: PlacesPanel, library: Library
) -> None:
    add(library, *COAST)
    menu = panel.narrow.menu()
    assert menu is not None
    lines = {action.text(): action for action in menu.actions()}

    lines["Never confirmed"].trigger()
    assert panel.state.text() == "Only never confirmed"
    lines["Refuges"].trigger()
    assert panel.state.text() == "Only refuges, never confirmed"
    lines["Never confirmed"].trigger()
    assert panel.state.text() == "Only refuges"
    lines["All kinds"].trigger()
    assert panel.state.isHidden()
    assert not lines["Never confirmed"].isChecked()


def test_a_hidden_list_catches_up(
    panel: PlacesPanel, library: Library, selection: Selection
) -> None:
    panel.hide()
    add(library, *COAST)
    selection.choose(EDGE, CAPE.id)
    assert texts(panel) == []

    panel.show()

    assert "Edge" in texts(panel)
    assert panel.tree.currentItem() is line(panel, "Edge")


def test_the_locations_of_another_library_are_not_kept(
    panel: PlacesPanel, library: Library
) -> None:
    add(library, *COAST)
    other = Store.in_memory()
    other.apply([Change(None, replace(CAPE, name="Elsewhere"))])

    library.replace_store(other)

    assert texts(panel) == ["PLACES", "Elsewhere"]
    assert [at.name for at in library.locations()] == ["Elsewhere"]
    other.close()
