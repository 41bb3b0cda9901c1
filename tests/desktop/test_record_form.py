"""Tests for the form of one record."""

from __future__ import annotations

from dataclasses import replace
from datetime import time

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.fields import LongTextField, NumberField, TextField
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.record_form import (
    ZONE_QUESTION,
    CoastZoneField,
    PositionField,
    RecordForm,
)
from fieldtrip.geo import Position
from fieldtrip.places.land_zone import ZONE_NOT_CHOSEN
from fieldtrip.places.records import (
    Closure,
    ClosureKind,
    Hazard,
    HazardKind,
    Location,
    Shape,
    VantagePoint,
)
from fieldtrip.places.seasons import MonthDay, OpenHours, Season
from fieldtrip.settings import LengthUnit, Settings
from fieldtrip.store.store import Store

HERE = Position(49.6, -8.4)
BAY = Location(name="Bay", position=HERE, zone="Europe/Dublin")
LEDGE = VantagePoint(location_id=BAY.id, name="Ledge", position=HERE, ground_m=30.48)
HOSTILE = "<img src=x onerror=alert(1)> ${1+1} </script>"


@pytest.fixture
def library(store: Store, qtbot: QtBot) -> Library:
    library = Library(store)
    library.add("add", BAY, LEDGE)
    return library


@pytest.fixture
def preferences() -> Preferences:
    return Preferences(Settings())


@pytest.fixture
def form(library: Library, preferences: Preferences, qtbot: QtBot) -> RecordForm:
    form = RecordForm(VantagePoint, library, preferences)
    qtbot.addWidget(form)
    show(form, library)
    form.show()
    return form


def show(form: RecordForm, library: Library) -> None:
    dossier = library.dossier(BAY.id)
    assert dossier is not None
    form.show_record(dossier.vantage_points[0], dossier)


def stored(library: Library) -> VantagePoint:
    record = library.get(VantagePoint, LEDGE.id)
    assert record is not None
    return record


def text(form: RecordForm, name: str) -> TextField:
    field = form.fields[name]
    assert isinstance(field, TextField)
    return field


def type_over(qtbot: QtBot, field: TextField, words: str) -> None:
    field.line.selectAll()
    QTest.keyClicks(field.line, words)
    QTest.keyClick(field.line, Qt.Key.Key_Return)


def test_a_finished_edit_is_one_step(
    form: RecordForm, library: Library, qtbot: QtBot
) -> None:
    type_over(qtbot, text(form, "name"), HOSTILE)

    assert stored(library) == replace(LEDGE, name=HOSTILE)
    assert library.undo_stack.undoText() == "change “Name”"
    library.undo_stack.undo()
    assert stored(library) == LEDGE


def test_an_empty_name_is_refused_under_the_field(
    form: RecordForm, library: Library, qtbot: QtBot
) -> None:
    type_over(qtbot, text(form, "name"), " ")

    assert text(form, "name").fault.text() == "A vantage point needs a name."
    assert stored(library) == LEDGE


def test_coordinates_are_echoed_before_they_are_stored(
    form: RecordForm, library: Library, qtbot: QtBot
) -> None:
    field = form.fields["position"]
    assert isinstance(field, PositionField)
    echoes: list[object] = []
    form.echoed.connect(echoes.append)

    field.line.selectAll()
    QTest.keyClicks(field.line, "N49 36.205 W008 24.067")
    assert "read as 49° 36.205′ N, 8° 24.067′ W" in field.note.text()
    assert stored(library) == LEDGE
    assert isinstance(echoes[-1], Position)

    QTest.keyClick(field.line, Qt.Key.Key_Return)
    assert stored(library).position.lat_deg == pytest.approx(49.0 + 36.205 / 60.0)
    assert echoes[-1] is None


def test_latitude_91_is_refused_and_stays_typed(
    form: RecordForm, library: Library, qtbot: QtBot
) -> None:
    type_over(qtbot, text(form, "position"), "91 -8.4")

    assert text(form, "position").fault.text()
    assert text(form, "position").line.text() == "91 -8.4"
    assert stored(library) == LEDGE


def test_lengths_are_typed_in_the_users_unit(
    form: RecordForm, library: Library, preferences: Preferences, qtbot: QtBot
) -> None:
    preferences.settings = replace(preferences.settings, length_unit=LengthUnit.FOOT)
    field = form.fields["ground_m"]
    assert isinstance(field, NumberField)
    assert field.line.text() == "100"  # 30.48 m is exactly 100 ft

    type_over(qtbot, field, "200")
    assert stored(library).ground_m == pytest.approx(60.96)


def test_a_megabyte_of_notes_is_kept(
    form: RecordForm, library: Library, qtbot: QtBot
) -> None:
    notes = form.fields["notes"]
    assert isinstance(notes, LongTextField)

    notes.box.setPlainText("shingle " * 131_072)
    notes.finish()

    assert len(stored(library).notes) == 1_048_576


def test_what_is_being_typed_outlives_the_program(
    form: RecordForm,
    library: Library,
    preferences: Preferences,
    qtbot: QtBot,
) -> None:
    notes = form.fields["notes"]
    assert isinstance(notes, LongTextField)
    QTest.keyClicks(notes.box, "cracks behind the edge")
    qtbot.waitUntil(lambda: bool(library.store.drafts()))

    again = RecordForm(VantagePoint, library, preferences)  # as after a crash
    qtbot.addWidget(again)
    show(again, library)

    restored = again.fields["notes"]
    assert isinstance(restored, LongTextField)
    assert restored.box.toPlainText() == "cracks behind the edge"
    assert "Not stored yet" in restored.note.text()
    restored.finish()
    assert stored(library).notes == "cracks behind the edge"
    assert library.store.drafts() == {}


def test_at_sea_the_zone_is_asked_for_until_one_is_chosen(
    store: Store, preferences: Preferences, qtbot: QtBot
) -> None:
    at_sea = Location(name="Rock", position=HERE, zone=ZONE_NOT_CHOSEN)
    library = Library(store)
    library.add("add", at_sea)
    form = RecordForm(Location, library, preferences)
    qtbot.addWidget(form)

    def show_again() -> CoastZoneField:
        dossier = library.dossier(at_sea.id)
        assert dossier is not None
        form.show_record(dossier.location, dossier)
        field = form.fields["zone"]
        assert isinstance(field, CoastZoneField)
        return field

    library.changed.connect(lambda _: show_again())
    zone = show_again()
    form.show()
    assert zone.fault.text() == ZONE_QUESTION
    assert zone.combo.property("fault")
    assert zone.combo.currentText() == ""
    assert not zone.is_typing

    name = text(form, "name")  # another edit does not make it go away
    name.line.setText("Far Rock")
    name.line.textEdited.emit("Far Rock")
    assert name.finish()
    assert zone.fault.text() == ZONE_QUESTION
    form.finish()
    assert library.store.locations()[0].zone == ZONE_NOT_CHOSEN

    zone.combo.setEditText("UTC")
    zone.combo.textActivated.emit("UTC")
    assert library.store.locations()[0].zone == "UTC"
    assert zone.fault.isHidden()
    library.undo_stack.undo()
    assert zone.fault.text() == ZONE_QUESTION


def test_a_closure_is_typed_in(
    library: Library, preferences: Preferences, qtbot: QtBot
) -> None:
    gate = Closure(
        location_id=BAY.id, name="Gate", kind=ClosureKind.HOURS, shape=Shape.POINT
    )
    library.add("add", gate)
    form = RecordForm(Closure, library, preferences)
    qtbot.addWidget(form)
    dossier = library.dossier(BAY.id)
    assert dossier is not None
    form.show_record(gate, dossier)
    form.show()

    def type_in(name: str, typed: str) -> TextField:
        field = text(form, name)
        field.line.setText(typed)
        field.line.textEdited.emit(typed)
        field.finish()
        return field

    type_in("hours", "8:00 to 18:30")
    type_in("season", "1 Mar to 31 Jul")
    refused = type_in("first_day", "1 May 2027")

    stored = library.get(Closure, gate.id)
    assert stored is not None
    assert stored.hours == OpenHours(time(8), time(18, 30))
    assert stored.season == Season(MonthDay(3, 1), MonthDay(7, 31))
    assert stored.first_day is None
    assert "not both" in refused.fault.text()
    type_in("season", "")  # what stood in its way is gone: it is stored now
    stored = library.get(Closure, gate.id)
    assert stored is not None
    assert stored.season is None
    assert stored.first_day is not None


def test_what_does_not_apply_is_not_asked(
    library: Library, preferences: Preferences, qtbot: QtBot
) -> None:
    edge = Hazard(
        location_id=BAY.id,
        name="Edge",
        kind=HazardKind.CLIFF_EDGE,
        shape=Shape.LINE,
        line=(HERE, Position(49.601, -8.4)),
    )
    library.add("add", edge)
    form = RecordForm(Hazard, library, preferences)
    qtbot.addWidget(form)
    form.show()

    def asked(hazard: Hazard) -> bool:
        dossier = library.dossier(BAY.id)
        assert dossier is not None
        form.show_record(hazard, dossier)
        return form.fields["is_fenced"].isVisible()

    assert asked(edge)
    assert not asked(replace(edge, kind=HazardKind.TIDE))
    assert asked(edge)
