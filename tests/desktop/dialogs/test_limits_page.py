"""Tests for the page on which the limits of the checks are set."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.content.limits_page import (
    limits_content,
    with_limit,
    with_usual_limits,
)
from fieldtrip.desktop.dialogs.settings import SettingsDialog
from fieldtrip.desktop.preferences import Preferences, read_settings
from fieldtrip.safety.limit_specs import SPECS, limits_from
from fieldtrip.settings import Settings


@pytest.fixture
def preferences(tmp_path: Path) -> Preferences:
    return Preferences(Settings(), file=tmp_path / "settings.json")


@pytest.fixture
def dialog(preferences: Preferences, qtbot: QtBot) -> SettingsDialog:
    dialog = SettingsDialog(preferences)
    qtbot.addWidget(dialog)
    return dialog


def type_in(dialog: SettingsDialog, name: str, text: str) -> None:
    field = dialog.limits.fields[name]
    field.line.selectAll()
    QTest.keyClicks(field.line, text)
    QTest.keyClick(field.line, Qt.Key.Key_Return)


def test_every_limit_is_there_with_its_usual_value() -> None:
    content = limits_content(Settings())

    assert [row.name for row in content.rows] == [spec.name for spec in SPECS]
    assert not content.can_reset
    assert content.summary == "All limits are as usual."
    stop = next(row for row in content.rows if row.name == "gust_stop_m_s")
    # RNLI: 40 mph, here 18 m/s.
    assert (stop.usual, stop.state) == ("usually 18 m/s", "as usual")


def test_looser_and_stricter_are_told_apart() -> None:
    settings = with_limit(with_limit(Settings(), "gust_stop_m_s", 20.0), "edge_m", 8.0)

    content = limits_content(settings)

    states = {row.name: row.state for row in content.rows}
    assert (states["gust_stop_m_s"], states["edge_m"]) == ("looser", "stricter")
    assert content.summary.startswith("1 limit is looser than usual")
    assert with_usual_limits(settings) == Settings()


def test_a_limit_that_is_typed_holds_and_is_kept(
    dialog: SettingsDialog, preferences: Preferences, tmp_path: Path
) -> None:
    type_in(dialog, "gust_stop_m_s", "20")

    assert limits_from(preferences.settings.limits).gust_stop_m_s == 20.0
    assert dialog.limits.states["gust_stop_m_s"].text() == "looser, usually 18 m/s"
    assert read_settings(tmp_path / "settings.json") == preferences.settings


@pytest.mark.parametrize("text", ["0", "-1", "nan", "1000"])
def test_a_limit_that_limits_nothing_is_refused_in_one_sentence(
    dialog: SettingsDialog, preferences: Preferences, text: str
) -> None:
    type_in(dialog, "gust_stop_m_s", text)

    said = dialog.limits.fields["gust_stop_m_s"].fault.text()
    assert said
    assert preferences.settings == Settings()
    assert dialog.limits.fields["gust_stop_m_s"].line.text() == text


def test_an_empty_limit_is_as_usual_again_and_so_are_all(
    dialog: SettingsDialog, preferences: Preferences
) -> None:
    type_in(dialog, "gust_stop_m_s", "20")
    type_in(dialog, "lights", "3")
    field = dialog.limits.fields["gust_stop_m_s"]
    field.line.selectAll()
    QTest.keyClick(field.line, Qt.Key.Key_Delete)
    QTest.keyClick(field.line, Qt.Key.Key_Return)

    assert limits_from(preferences.settings.limits).gust_stop_m_s == 18.0
    assert limits_from(preferences.settings.limits).lights == 3
    QTest.mouseClick(dialog.limits.usual, Qt.MouseButton.LeftButton)
    assert preferences.settings == Settings()
    assert dialog.limits.fields["lights"].line.text() == "2"


def test_a_broken_file_gives_the_usual_limits(tmp_path: Path) -> None:
    file = tmp_path / "settings.json"
    for kept in (
        '{"limits": 3}',
        '{"limits": [["gust_stop_m_s", 99], ["edge_m"], "x"]}',
        '{"limits": [["gust_stop_m_s", "nan"]]}',
    ):
        file.write_text(kept, "utf-8")
        assert limits_from(read_settings(file).limits) == limits_from(())
