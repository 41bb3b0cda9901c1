"""Permits, closures and places found online, as the menus and the card have them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.dialogs.online_places import OnlinePlacesDialog
from fieldtrip.desktop.online_places import OnlinePlace
from fieldtrip.desktop.paths import Paths
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.window import Window
from fieldtrip.geo import Position
from fieldtrip.places.records import Closure, ClosureKind, Location, Permit
from fieldtrip.places.seasons import MonthDay, Season
from fieldtrip.settings import Settings
from fieldtrip.store.store import Change, Store

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
BAY = Location(name="Bay", position=Position(49.6, -8.4), zone="Europe/Dublin")
TERNS = Closure(
    location_id=BAY.id,
    name="Terns",
    kind=ClosureKind.NESTING,
    season=Season(MonthDay(3, 1), MonthDay(7, 31)),
)
TRIPOD = Permit(location_id=BAY.id, name="Tripod", expires=date(2026, 12, 31))


@pytest.fixture
def window(tmp_path: Path, qtbot: QtBot) -> Iterator[Window]:
    """A window that is never shown, so that no web engine is started."""
    store = Store.in_memory()
    store.apply(Change(None, record) for record in (BAY, TERNS, TRIPOD))
    window = Window(store, Preferences(Settings()), Paths.below(tmp_path), lambda: NOW)
    yield window
    window.close()
    window.deleteLater()


def test_the_card_of_a_location_speaks_of_the_chosen_day(window: Window) -> None:
    window.selection.choose(BAY, BAY.id)
    window.card.refresh()
    assert window.card.notes.standing.text() == ""

    noon = datetime(2027, 6, 12, 12, tzinfo=UTC)
    window.selection.choose_time(noon.date(), noon)
    window.card.refresh()

    assert window.card.notes.standing.text().splitlines() == [
        "On Saturday 12 June 2027:",
        "▲ “Terns” (nesting): closed until 31 July.",
        "▲ Permit “Tripod” expired on 31 December 2026.",
    ]
    window.selection.choose(TERNS, BAY.id)
    window.card.refresh()
    assert window.card.notes.standing.isHidden()
    assert window.card.title.text() == "Terns"


def test_permits_and_closures_are_added_from_the_menu(window: Window) -> None:
    window.selection.choose(BAY, BAY.id)

    window.scouting.add_permit()
    assert window.selection.record_kind is Permit
    verb = next(
        action
        for action in window.findChildren(type(window.menuBar().actions()[0]))
        if action.text() == "Not drawn on the map"
    )
    verb.trigger()

    kinds = [closure.kind for closure in window.library.store.all(Closure)]
    assert sorted(kinds) == [ClosureKind.NESTING, ClosureKind.OTHER]
    for _ in range(2):
        window.library.undo_stack.undo()
    assert window.library.store.all(Closure) == [TERNS]
    assert window.library.store.all(Permit) == [TRIPOD]


def test_a_place_found_online_becomes_a_location(window: Window) -> None:
    window.menus.find_online()
    (dialog,) = (
        found
        for found in QApplication.topLevelWidgets()
        if isinstance(found, OnlinePlacesDialog) and found.isVisible()
    )
    place = OnlinePlace("Merrow Cove, Far Isles", Position(37.80, -122.47))

    dialog.locationAsked.emit(place)

    found = next(
        at for at in window.library.locations() if at.position == place.position
    )
    assert (found.name, found.zone) == ("Merrow Cove", "America/Los_Angeles")
    assert window.selection.location_id == found.id
