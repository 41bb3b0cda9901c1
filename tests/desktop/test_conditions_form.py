"""Conditions written in the form."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.conditions_form import ConditionsForm, WeekdaysField
from fieldtrip.desktop.content.wanting import Called
from fieldtrip.desktop.fields import NumberField
from fieldtrip.settings import LengthUnit, Settings
from fieldtrip.trips.wanted import (
    Condition,
    LightFrom,
    LightSide,
    OnWeekdays,
    SunBand,
    WaterLevel,
)

BLUE = SunBand(low_deg=-6.0, high_deg=-4.0)
Said = list[tuple[Condition, ...]]


@pytest.fixture
def form(qtbot: QtBot) -> ConditionsForm:
    form = ConditionsForm(Settings())
    qtbot.addWidget(form)
    form.resize(700, 300)
    form.show()
    return form


@pytest.fixture
def said(form: ConditionsForm) -> Said:
    said: Said = []
    form.changed.connect(said.append)
    return said


def write(form: ConditionsForm, place: int, name: str, text: str) -> None:
    field = form.lines[place].fields[name]
    assert isinstance(field, NumberField)
    field.line.selectAll()
    QTest.keyClicks(field.line, text)
    QTest.keyClick(field.line, Qt.Key.Key_Return)


def test_an_empty_form_says_what_to_do(form: ConditionsForm, said: Said) -> None:
    form.show_conditions((), Called(), Settings())

    assert not form.empty.isHidden()
    assert len(form.add_menu.actions()) > 15
    assert said == []


def test_a_condition_is_added_from_the_menu(form: ConditionsForm, said: Said) -> None:
    form.show_conditions((), Called(), Settings())

    action = next(a for a in form.add_menu.actions() if "two altitudes" in a.text())
    action.trigger()

    assert said == [(BLUE,)]
    assert form.empty.isHidden()


def test_a_blank_that_is_filled_in_is_announced(
    form: ConditionsForm, said: Said
) -> None:
    form.show_conditions((BLUE, WaterLevel(below_m=1.0)), Called(), Settings())

    write(form, 1, "below_m", "2.5")

    assert said == [(BLUE, WaterLevel(below_m=2.5))]


def test_an_emptied_limit_is_no_limit(form: ConditionsForm, said: Said) -> None:
    form.show_conditions((WaterLevel(below_m=1.0),), Called(), Settings())
    field = form.lines[0].fields["below_m"]
    assert isinstance(field, NumberField)

    field.line.selectAll()
    QTest.keyClick(field.line, Qt.Key.Key_Delete)
    QTest.keyClick(field.line, Qt.Key.Key_Return)

    assert said == [(WaterLevel(),)]


def test_two_limits_may_move_past_each_other(form: ConditionsForm, said: Said) -> None:
    form.show_conditions((BLUE,), Called(), Settings())

    write(form, 0, "low_deg", "2")
    assert said == []
    assert not form.lines[0].fields["low_deg"].fault.isHidden()
    write(form, 0, "high_deg", "6")

    assert said == [(SunBand(low_deg=2.0, high_deg=6.0),)]
    assert form.lines[0].fields["low_deg"].fault.isHidden()


def test_a_condition_can_be_taken_away(form: ConditionsForm, said: Said) -> None:
    form.show_conditions((BLUE, WaterLevel()), Called(), Settings())

    form.lines[0].remove.click()

    assert said == [(WaterLevel(),)]
    assert len(form.lines) == 1


def test_what_needs_a_subject_is_not_announced_without_one(
    form: ConditionsForm, said: Said
) -> None:
    form.show_conditions((), Called(), Settings())

    form.add(LightFrom(side=LightSide.SIDE))

    assert said == []
    assert "needs a subject" in form.fault.text()
    assert not form.finish()


def test_numbers_are_in_the_users_unit(form: ConditionsForm, said: Said) -> None:
    feet = Settings(length_unit=LengthUnit.FOOT)
    form.show_conditions((WaterLevel(below_m=3.048),), Called(), feet)
    field = form.lines[0].fields["below_m"]
    assert isinstance(field, NumberField)
    assert field.line.text() == "10"

    write(form, 0, "below_m", "20")

    assert said == [(WaterLevel(below_m=6.096),)]


def test_the_last_day_of_the_week_cannot_be_taken_away(
    form: ConditionsForm, said: Said
) -> None:
    form.show_conditions((OnWeekdays(days=(5, 6)),), Called(), Settings())
    field = form.lines[0].fields["days"]
    assert isinstance(field, WeekdaysField)

    field.buttons[6].click()
    field.buttons[5].click()

    assert said == [(OnWeekdays(days=(5,)),)]
    assert "at least one day" in field.fault.text()
