"""Tests for binding fields to a record."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.editing import RecordEditor
from fieldtrip.desktop.fields import RESTORED, LongTextField, NumberField, TextField
from fieldtrip.desktop.library import Library
from fieldtrip.geo import Position
from fieldtrip.places.records import Location
from fieldtrip.store.store import Store
from fieldtrip.trips.records import Trip

PLACE = Location(name="Keel", position=Position(49.6, -8.4), zone="Europe/Dublin")
TRIP = Trip(location_id=PLACE.id, name="Evening", day=date(2026, 11, 14))
OTHER = Trip(location_id=PLACE.id, name="Dawn", day=date(2026, 11, 15))


class Form(QWidget):
    """Three fields of a trip, which follow the library as a panel does."""

    def __init__(self, library: Library) -> None:
        super().__init__()
        self.library = library
        self.name, self.party = TextField("Name"), NumberField("People", whole=True)
        self.notes = LongTextField("Notes")
        self.editor = RecordEditor(library, self, delay_ms=20)
        self.editor.bind("name", self.name, "rename the trip")
        self.editor.bind("party", self.party, "change the party")
        self.editor.bind("notes", self.notes, "change the notes")
        layout = QVBoxLayout(self)
        for field in (self.name, self.party, self.notes):
            layout.addWidget(field)
        library.changed.connect(
            lambda _: self.editor.show(library.get(Trip, self.editor.record.id))
        )


@pytest.fixture
def library(store: Store) -> Library:
    library = Library(store)
    library.add("set the scene", PLACE, TRIP, OTHER)
    library.undo_stack.clear()
    return library


@pytest.fixture
def form(library: Library, qtbot: QtBot) -> Iterator[Form]:
    form = Form(library)
    qtbot.addWidget(form)
    form.show()
    form.editor.show(TRIP)
    yield form
    form.editor.finish()
    form.editor.keep_drafts()
    form.hide()


def kept(library: Library) -> Trip:
    trip = library.get(Trip, TRIP.id)
    assert trip is not None
    return trip


def type_over(field: TextField, text: str) -> None:
    field.line.selectAll()
    QTest.keyClicks(field.line, text)


def test_a_finished_edit_is_one_step_with_a_plain_name(
    form: Form, library: Library
) -> None:
    type_over(form.name, "Spring low")
    QTest.keyClick(form.name.line, Qt.Key.Key_Return)

    assert kept(library).name == "Spring low"
    assert library.undo_stack.count() == 1
    assert library.undo_stack.undoText() == "rename the trip"


def test_undo_is_shown_in_the_field(form: Form, library: Library) -> None:
    type_over(form.name, "Spring low")
    QTest.keyClick(form.name.line, Qt.Key.Key_Return)

    library.undo_stack.undo()

    assert form.name.line.text() == "Evening"


def test_a_refused_edit_is_said_below_and_stays_typed(
    form: Form, library: Library
) -> None:
    type_over(form.party, "0")
    QTest.keyClick(form.party.line, Qt.Key.Key_Return)
    type_over(form.name, "Spring low")
    QTest.keyClick(form.name.line, Qt.Key.Key_Return)

    assert form.party.line.text() == "0"
    assert form.party.fault.text() == "A party has from 1 to 1000 people."
    assert kept(library).party == 1
    assert kept(library).name == "Spring low"


def test_what_is_typed_is_kept_as_a_draft_and_dropped_when_stored(
    form: Form, library: Library, qtbot: QtBot
) -> None:
    form.notes.setFocus()
    QTest.keyClicks(form.notes.box, "Bring ro")
    qtbot.waitUntil(lambda: library.store.drafts() == {(TRIP.id, "notes"): "Bring ro"})

    QTest.keyClicks(form.notes.box, "pe")
    assert form.editor.finish()

    assert library.store.drafts() == {}
    assert kept(library).notes == "Bring rope"


def test_a_draft_is_offered_when_the_record_is_shown_again(
    library: Library, qtbot: QtBot
) -> None:
    library.store.keep_draft(TRIP.id, "notes", "Bring ro")
    library.store.keep_draft(OTHER.id, "name", "Dawn, lag")

    form = Form(library)
    qtbot.addWidget(form)
    form.editor.show(TRIP)

    assert form.notes.box.toPlainText() == "Bring ro"
    assert form.notes.note.text() == RESTORED
    assert form.name.line.text() == "Evening"
    assert kept(library).notes == ""


def test_escape_gives_the_draft_up(form: Form, library: Library, qtbot: QtBot) -> None:
    type_over(form.name, "Spri")
    qtbot.waitUntil(lambda: library.store.drafts() != {})

    QTest.keyClick(form.name.line, Qt.Key.Key_Escape)

    assert library.store.drafts() == {}
    assert form.name.line.text() == "Evening"


def test_turning_to_another_record_keeps_what_could_not_be_stored(
    form: Form, library: Library
) -> None:
    type_over(form.party, "0")
    QTest.keyClick(form.party.line, Qt.Key.Key_Return)

    form.editor.show(OTHER)
    assert form.party.line.text() == "1"
    assert form.party.fault.text() == ""
    form.editor.show(TRIP)

    assert form.party.line.text() == "0"
    assert form.party.note.text() == RESTORED


def test_turning_the_page_saves_what_is_typed_at_once(
    form: Form, library: Library
) -> None:
    form.editor._timer.setInterval(60_000)
    form.party.setFocus()
    form.party.line.selectAll()
    QTest.keyClicks(form.party.line, "two")

    form.hide()

    assert library.store.drafts() == {(TRIP.id, "party"): "two"}
