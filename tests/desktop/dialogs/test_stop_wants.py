"""Saying what a stop is for."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.content.dates import search_for_stop
from fieldtrip.desktop.dialogs.stop_wants import StopWantsDialog
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.geo import Position
from fieldtrip.places.records import Location, Subject, VantagePoint
from fieldtrip.settings import Settings
from fieldtrip.store.store import Store
from fieldtrip.trips.records import Stop, Trip
from fieldtrip.trips.wanted import AroundTurn, LightFrom, LightSide, SunBand

NOON = datetime(2026, 11, 14, 12, tzinfo=UTC)
BAY = Location(name="Bay", position=Position(49.6, -8.4), zone="Europe/Dublin")
HEAD = VantagePoint(location_id=BAY.id, name="Head", position=BAY.position)
TOWER = Subject(location_id=BAY.id, name="Tower", position=BAY.position)
TRIP = Trip(location_id=BAY.id, name="Evening", day=date(2026, 11, 14))
BLUE = SunBand(low_deg=-6.0, high_deg=-4.0)
STOP = Stop(
    trip_id=TRIP.id,
    number=1,
    vantage_point_id=HEAD.id,
    arrive=NOON,
    leave=NOON + timedelta(hours=1),
    conditions=(BLUE,),
)


@pytest.fixture
def library(store: Store, qtbot: QtBot) -> Library:
    library = Library(store)
    library.add("begin", BAY, HEAD, TOWER, TRIP, STOP)
    library.undo_stack.clear()
    return library


@pytest.fixture
def dialog(qtbot: QtBot, library: Library) -> StopWantsDialog:
    dialog = StopWantsDialog(library, STOP, Preferences(Settings()))
    qtbot.addWidget(dialog)
    dialog.show()
    return dialog


def stop_of(library: Library) -> Stop:
    stop = library.get(Stop, STOP.id)
    assert stop is not None
    return stop


def test_it_shows_what_the_stop_wants_now(dialog: StopWantsDialog) -> None:
    assert dialog.heading.text() == "Stop 1, Head"
    assert dialog.form.conditions == (BLUE,)
    assert dialog.least.line.text() == "15"


def test_a_condition_more_is_one_step_of_undo(
    dialog: StopWantsDialog, library: Library
) -> None:
    dialog.form.add(AroundTurn(is_high=False))
    assert stop_of(library).conditions == (BLUE, AroundTurn(is_high=False))

    library.undo_stack.undo()

    assert stop_of(library) == STOP
    assert dialog.form.conditions == (BLUE,)


def test_how_long_is_kept_in_words_of_the_library(
    dialog: StopWantsDialog, library: Library
) -> None:
    dialog.wish.line.selectAll()
    QTest.keyClicks(dialog.wish.line, "10")
    QTest.keyClick(dialog.wish.line, Qt.Key.Key_Return)

    assert stop_of(library) == STOP
    assert "cannot be below its least time" in dialog.wish.fault.text()


def test_what_the_light_falls_on_needs_a_subject(
    dialog: StopWantsDialog, library: Library
) -> None:
    side = LightFrom(side=LightSide.SIDE)

    dialog.form.add(side)
    assert stop_of(library).conditions == (BLUE,)
    library.edit("choose", STOP, replace(STOP, subject_id=TOWER.id))
    dialog.form.add(side)

    assert stop_of(library).conditions == (BLUE, side)


def test_it_closes_with_its_stop(dialog: StopWantsDialog, library: Library) -> None:
    library.remove("remove stop", STOP)

    assert not dialog.isVisible()


def test_what_a_stop_needs_can_be_searched_for(
    dialog: StopWantsDialog, library: Library, qtbot: QtBot
) -> None:
    with qtbot.waitSignal(dialog.datesAsked) as asked:
        dialog.dates_button.click()

    assert asked.args == [STOP.id]
    dossier = library.dossier(BAY.id)
    assert dossier is not None
    search = search_for_stop(dossier, stop_of(library), date(2026, 11, 14))
    assert search.conditions == (BLUE,)
    assert (search.vantage_point_id, search.least_min) == (HEAD.id, STOP.least_min)
    assert search.faults() == []
