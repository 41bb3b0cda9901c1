"""Tests for the fields that are edited where they stand."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime

import pytest
from PySide6.QtCore import QDate, QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.fields import (
    RESTORED,
    ChoiceField,
    DateField,
    Field,
    LongTextField,
    MomentField,
    NumberField,
    TextField,
    TimeField,
    YesNoField,
    ZoneField,
)

Show = Callable[[Field], list[object]]


@pytest.fixture
def show(qtbot: QtBot) -> Show:
    """Put a field into a window beside another one, and collect what it emits."""
    windows: list[QWidget] = []  # held, or Python would take them away

    def show(field: Field) -> list[object]:
        window = QWidget()
        layout = QVBoxLayout(window)
        layout.addWidget(field)
        layout.addWidget(QLineEdit())
        qtbot.addWidget(window)
        windows.append(window)
        window.show()
        window.activateWindow()
        field.setFocus()
        qtbot.waitUntil(lambda: QApplication.focusWidget() is not None)
        edits: list[object] = []
        field.edited.connect(edits.append)
        return edits

    return show


def type_into(field: Field, text: str, *, end: bool = True) -> None:
    editor = field.focusProxy()
    assert editor is not None
    QTest.keyClick(editor, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    QTest.keyClick(editor, Qt.Key.Key_Delete)
    QTest.keyClicks(editor, text)
    if end:
        QTest.keyClick(editor, Qt.Key.Key_Return)


def test_a_finished_edit_is_told_once(show: Show) -> None:
    field = TextField("Name")
    edits = show(field)
    field.set_value("Bar end")

    type_into(field, "Bar head")
    QTest.keyClick(field.line, Qt.Key.Key_Tab)

    assert edits == ["Bar head"]


def test_typing_is_told_at_each_keystroke(show: Show) -> None:
    field = TextField("Name")
    edits = show(field)
    texts: list[str] = []
    field.typed.connect(texts.append)

    QTest.keyClicks(field.line, "Bar")

    assert texts == ["B", "Ba", "Bar"]
    assert edits == []


def test_an_edit_back_to_what_is_stored_is_none(show: Show) -> None:
    field = TextField("Name")
    edits = show(field)
    field.set_value("Bar end")
    dropped: list[bool] = []
    field.dropped.connect(lambda: dropped.append(True))

    type_into(field, "Bar end")

    assert edits == []
    assert dropped == [True]


def test_escape_restores_and_clears_the_fault(show: Show) -> None:
    field = NumberField("Height", "m")
    edits = show(field)
    field.set_value(12.0)
    type_into(field, "tall")
    assert "no number" in field.fault.text()

    QTest.keyClick(field.line, Qt.Key.Key_Escape)

    assert field.line.text() == "12"
    assert field.fault.isHidden()
    assert edits == []


def test_a_refused_text_stays_while_the_rest_is_refreshed(show: Show) -> None:
    field = NumberField("Height", "m")
    edits = show(field)
    field.set_value(12.0)
    type_into(field, "1,234")

    field.set_value(13.0, keep_typing=True)

    assert field.line.text() == "1,234"
    assert "two ways" in field.fault.text()
    assert edits == []


def test_what_the_listener_refuses_stays_too(show: Show) -> None:
    field = TextField("Name")
    show(field)
    field.set_value("Bar end")
    field.edited.connect(lambda _: field.show_fault("A stop needs a name."))

    type_into(field, "")
    field.set_value("Bar end", keep_typing=True)

    assert field.line.text() == ""
    assert field.fault.text() == "A stop needs a name."
    assert field.line.property("fault") is True


def test_a_number_in_feet_is_stored_in_metres(show: Show) -> None:
    field = NumberField("Height", "ft", factor=0.3048, decimals=1)
    edits = show(field)
    field.set_value(3.048)
    assert field.line.text() == "10"

    type_into(field, "20,5 ft")

    assert edits == [pytest.approx(20.5 * 0.3048)]


def test_an_emptied_number_is_not_known(show: Show) -> None:
    field = NumberField("Height", "m")
    edits = show(field)
    field.set_value(12.0)

    type_into(field, "")

    assert edits == [None]


def test_a_number_that_must_be_there_says_so(show: Show) -> None:
    field = NumberField("Party", allow_empty=False, whole=True)
    edits = show(field)
    field.set_value(1)

    type_into(field, "")
    assert field.fault.text() == "Party needs a number."
    type_into(field, "3")

    assert edits == [3]


def test_a_long_text_ends_with_control_enter_or_when_left(show: Show) -> None:
    field = LongTextField("Notes")
    edits = show(field)
    field.set_value("One.")
    control = Qt.KeyboardModifier.ControlModifier

    QTest.keyClick(field.box, Qt.Key.Key_End, control)
    QTest.keyClick(field.box, Qt.Key.Key_Return)
    QTest.keyClicks(field.box, "Two.")
    QTest.keyClick(field.box, Qt.Key.Key_Return, control)
    QTest.keyClicks(field.box, " Three.")
    QTest.keyClick(field.box, Qt.Key.Key_Tab)

    assert edits == ["One.\nTwo.", "One.\nTwo. Three."]


def test_yes_no_and_not_known_are_three(show: Show) -> None:
    field = YesNoField("Fenced")
    edits = show(field)
    field.set_value(None)
    assert field.combo.currentText() == "not known"

    for _ in range(2):
        QTest.keyClick(field.combo, Qt.Key.Key_Down)
    QTest.keyClick(field.combo, Qt.Key.Key_Return)

    assert edits == [False]


def test_the_wheel_changes_no_choice(show: Show) -> None:
    field = ChoiceField("Ground", [(1, "path"), (2, "boulders")])
    edits = show(field)
    field.set_value(1)

    QApplication.sendEvent(
        field.combo,
        QWheelEvent(
            QPointF(5, 5),
            QPointF(5, 5),
            QPoint(0, -120),
            QPoint(0, -120),
            Qt.MouseButton.NoButton,
            Qt.KeyboardModifier.NoModifier,
            Qt.ScrollPhase.NoScrollPhase,
            False,
        ),
    )

    assert field.combo.currentText() == "path"
    assert edits == []


def test_a_value_that_is_not_offered_is_shown_as_missing(show: Show) -> None:
    field = ChoiceField("Subject", [(1, "tower")], empty="(removed)")
    show(field)

    field.set_value(7)

    assert field.combo.currentIndex() == -1
    assert field.combo.placeholderText() == "(removed)"


def test_a_date_is_typed_or_taken_from_the_calendar(show: Show, qtbot: QtBot) -> None:
    field = DateField("Day")
    edits = show(field)
    field.set_value(date(2026, 11, 14))
    assert field.line.text() == "14 Nov 2026"

    type_into(field, "2026-11-15")
    field.set_value(date(2026, 11, 15))
    QTest.mouseClick(field.button, Qt.MouseButton.LeftButton)
    assert field.calendar is not None
    assert field.calendar.isVisible()
    field.calendar.clicked.emit(QDate(2026, 11, 20))

    assert edits == [date(2026, 11, 15), date(2026, 11, 20)]


def test_a_time_is_read_on_its_day_and_in_its_zone(show: Show) -> None:
    field = TimeField("Latest return", date(2026, 7, 1), "Europe/Dublin")
    edits = show(field)

    type_into(field, "00:40 +1")
    type_into(field, "25:00")

    assert edits == [datetime(2026, 7, 1, 23, 40, tzinfo=UTC)]
    assert field.fault.text() == "There is no time “25:00”."


def test_a_draft_is_offered_as_one(show: Show) -> None:
    field = LongTextField("Notes")
    edits = show(field)
    field.set_value("Old.")

    field.restore("Old. And new")
    assert field.note.text() == RESTORED
    assert not field.note.isHidden()
    assert edits == []
    assert field.finish()

    assert edits == ["Old. And new"]


def test_every_editor_has_a_name_for_those_who_do_not_see_it(show: Show) -> None:
    field = NumberField("Height", "m")
    show(field)

    assert field.line.accessibleName() == "Height"


def test_a_zone_is_typed_or_chosen_and_starts_empty(show: Show) -> None:
    field = ZoneField("Zone", ["Europe/Dublin", "UTC"])
    edits = show(field)
    line = field.combo.lineEdit()
    assert line is not None
    assert field.combo.currentText() == ""

    QTest.keyClicks(line, "Keel time")
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert "“Keel time” is no time zone" in field.fault.text()
    QTest.keyClick(line, Qt.Key.Key_Escape)
    assert field.combo.currentText() == ""
    QTest.keyClicks(line, "Europe/Dublin")
    QTest.keyClick(line, Qt.Key.Key_Return)

    assert edits == ["Europe/Dublin"]


def test_a_moment_is_a_day_and_a_time(show: Show) -> None:
    field = MomentField("Issued", "Europe/Dublin")
    edits = show(field)

    type_into(field, "yesterday")
    assert "Write it as 14 Nov 2026 06:00" in field.fault.text()
    type_into(field, "1 Jul 2026 06:00")
    field.set_value(edits[0])

    assert edits == [datetime(2026, 7, 1, 5, tzinfo=UTC)]
    assert field.line.text() == "1 Jul 2026 06:00"


def test_escape_in_a_long_text_can_be_taken_back(show: Show) -> None:
    field = LongTextField("Notes")
    show(field)
    field.set_value("Old.")
    QTest.keyClick(field.box, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    QTest.keyClicks(field.box, "Much work")

    QTest.keyClick(field.box, Qt.Key.Key_Escape)
    assert field.box.toPlainText() == "Old."
    QTest.keyClick(field.box, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)

    assert field.box.toPlainText() == "Much work"
