"""Tests for the charts of the ground as hand and keyboard use them."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.charts.horizon_chart import HorizonChart
from fieldtrip.desktop.charts.profile_chart import ProfileChart
from fieldtrip.desktop.content.profile import profile_content
from fieldtrip.desktop.content.skyline import (
    Crest,
    InView,
    SkylineContent,
    SkylineMinute,
)
from fieldtrip.desktop.theme import DARK, LIGHT, Theme
from fieldtrip.desktop.work_bar import WorkBar
from fieldtrip.settings import Settings


def crest() -> Crest:
    """Hills in the east, open sea in the west."""
    azimuths = np.arange(720, dtype=np.float64) * 0.5
    is_sea = azimuths >= 180.0
    return Crest(
        azimuths,
        np.where(is_sea, -0.1, 6.0 + 2.0 * np.sin(np.radians(azimuths * 5.0))),
        np.full(720, 0.3),
        np.where(is_sea, 9_000.0, 700.0),
        azimuths > 20.0,
        azimuths < 60.0,
        is_sea,
    )


@pytest.fixture
def chart(qtbot: QtBot) -> HorizonChart:
    chart = HorizonChart()
    qtbot.addWidget(chart)
    chart.resize(800, 240)
    chart.show_content(
        SkylineContent(crest=crest(), subject=InView("Tower", 75.0, 2.0, 5.0))
    )
    chart.show()
    return chart


@pytest.mark.parametrize("theme", [LIGHT, DARK])
def test_the_ground_is_painted_on_either_paper(
    chart: HorizonChart, theme: Theme
) -> None:
    chart.set_theme(theme)
    chart.show_minute(SkylineMinute("12:00", (180.0, 10.0), (90.0, 3.0)))

    image = chart.grab().toImage()

    scale = chart.scale()
    sky = image.pixelColor(int(scale.x_of(280.0)), int(scale.y_of(7.3))).name()
    ground = image.pixelColor(int(scale.x_of(100.3)), int(scale.y_of(-3.5))).name()
    sun = image.pixelColor(int(scale.x_of(180.0)), int(scale.y_of(10.0))).name()
    assert sky == theme.field
    assert ground == theme.land
    assert sun == theme.accent


def test_the_keyboard_reads_zooms_and_finds_the_subject(chart: HorizonChart) -> None:
    QTest.keyClick(chart, Qt.Key.Key_Home)
    assert chart.read_deg == 75.0

    QTest.keyClick(chart, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    assert chart.read_deg == 85.0

    for _ in range(6):
        QTest.keyClick(chart, Qt.Key.Key_Plus)
    assert chart.scale().width_deg == pytest.approx(360.0 / 1.25**6)
    assert chart.scale().is_within(85.0)
    chart.read(300.0)  # what is read is brought into sight
    assert chart.scale().is_within(300.0)
    for _ in range(6):
        QTest.keyClick(chart, Qt.Key.Key_Minus)
    assert chart.scale().width_deg == 360.0


def test_the_pointer_reads_and_turns_round_when_near(
    chart: HorizonChart, qtbot: QtBot
) -> None:
    scale = chart.scale()
    at = QPoint(int(scale.x_of(120.0)), 100)
    with qtbot.waitSignal(chart.readAt) as read:
        QTest.mouseMove(chart, at)
    assert read.args[0] == pytest.approx(120.0, abs=0.6)

    for _ in range(8):
        QTest.keyClick(chart, Qt.Key.Key_Plus)
    left = chart.scale().left_deg
    QTest.mousePress(chart, Qt.MouseButton.LeftButton, pos=QPoint(400, 100))
    QTest.mouseMove(chart, QPoint(300, 100))
    QTest.mouseRelease(chart, Qt.MouseButton.LeftButton, pos=QPoint(300, 100))
    turned = (chart.scale().left_deg - left) % 360.0
    assert turned == pytest.approx(
        100 * scale.width_deg / 1.25**8 / scale.width, rel=0.1
    )


def test_a_chart_of_nothing_is_empty_and_takes_keys(qtbot: QtBot) -> None:
    chart, profile = HorizonChart(), ProfileChart("Profile")
    for widget in (chart, profile):
        qtbot.addWidget(widget)
        widget.show()
        QTest.keyClick(widget, Qt.Key.Key_Right)
        assert not widget.grab().isNull()
    assert profile.read_m is None


def test_a_profile_with_gaps_is_painted_and_read(qtbot: QtBot) -> None:
    heights = np.linspace(0.0, 80.0, 60)
    heights[20:30] = np.nan
    profile = ProfileChart("Profile")
    qtbot.addWidget(profile)
    profile.resize(600, 160)
    distances = np.linspace(0.0, 590.0, 60)
    profile.show_content(
        profile_content(distances, heights, Settings(), ray_m=np.full(60, 40.0))
    )
    profile.show()

    QTest.keyClick(profile, Qt.Key.Key_End)
    QTest.keyClick(profile, Qt.Key.Key_Left)

    assert profile.read_m == pytest.approx(590.0 * 0.99)
    image = profile.grab().toImage()
    colours = {
        image.pixelColor(x, y).name()
        for x in range(0, image.width(), 3)
        for y in range(image.height())
    }
    assert LIGHT.land in colours
    assert LIGHT.stop in colours  # where the ground stands into the line


def test_the_work_bar_shows_while_there_is_work(qtbot: QtBot) -> None:
    bar = WorkBar()
    qtbot.addWidget(bar)
    assert bar.isHidden()

    bar.show_work("seen from “Bar end”", 0.4)

    assert not bar.isHidden()
    assert bar.words.text() == "Seen from “Bar end”"
    assert bar.bar.value() == 40
    with qtbot.waitSignal(bar.cancelled):
        bar.cancel.click()
    bar.show_work("", 1.0)
    assert bar.isHidden()
