"""The Plan page as a widget."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.content.accepted_tides import accepted_reasons
from fieldtrip.desktop.plan_panel import PlanPanel
from fieldtrip.store.store import Store
from fieldtrip.trips.records import Trip, WalkingRule
from tests.desktop.plan_desk import Desk
from tests.desktop.plan_story import BEYOND, ON_LAND, OVER, TRIP
from tests.desktop.strip_story import BAR_END, KEEL, TABLE, at


@pytest.fixture
def desk(store: Store, qtbot: QtBot) -> Iterator[Desk]:
    made = Desk(store, qtbot)
    yield made
    made.jobs.stop()


@pytest.fixture
def panel(desk: Desk, qtbot: QtBot) -> PlanPanel:
    panel = PlanPanel(
        desk.library,
        desk.selection,
        desk.preferences,
        desk.jobs,
        desk.work,
        now=lambda: at(9),
    )
    qtbot.addWidget(panel)
    panel.resize(900, 500)
    panel.show()
    qtbot.waitUntil(lambda: panel.content.planned is not None)
    return panel


def button(panel: PlanPanel, name: str) -> QPushButton:
    return next(
        each
        for each in panel.findChildren(QPushButton)
        if each.accessibleName().startswith(name) and not each.isHidden()
    )


def test_it_shows_the_plan_and_writes_it_when_asked(
    desk: Desk, panel: PlanPanel, qtbot: QtBot
) -> None:
    assert panel.heading.text() == panel.content.heading
    assert panel.times.texts()[0][1] == "Set out from Field"
    assert panel.standing.text().startswith("The trip as it stands: ")

    panel.use.click()
    qtbot.waitUntil(lambda: panel.content.is_written)

    assert len(desk.dossier.walks) == 6
    assert panel.use.isHidden()
    desk.library.undo_stack.undo()
    qtbot.waitUntil(lambda: not panel.content.is_written and panel.use.isEnabled())
    assert desk.stop(ON_LAND) == ON_LAND


def test_another_plan_is_written_whole(
    desk: Desk, panel: PlanPanel, qtbot: QtBot
) -> None:
    button(panel, "Use: Without Gully head").click()
    desk.wait_for_words()

    assert [stop.vantage_point_id for stop in desk.dossier.stops] == [
        BEYOND.vantage_point_id
    ]
    assert "Left out: Gully head." in desk.told[-1]
    assert desk.library.undo_stack.count() == 1
    qtbot.waitUntil(lambda: len(panel.content.alternatives) == 0)


def test_what_the_plan_goes_by_is_edited_here(
    desk: Desk, panel: PlanPanel, qtbot: QtBot
) -> None:
    panel.breaks.line.selectAll()
    QTest.keyClicks(panel.breaks.line, "20")
    QTest.keyClick(panel.breaks.line, Qt.Key.Key_Return)
    panel.rule.combo.setCurrentIndex(2)
    panel.rule.combo.activated.emit(2)

    trip = desk.library.get(Trip, TRIP.id)
    assert trip is not None
    assert (trip.break_min, trip.walking_rule) == (20.0, WalkingRule.TOBLER)
    qtbot.waitUntil(lambda: panel.use.isEnabled())


def test_doing_what_would_help_is_one_step(
    desk: Desk, panel: PlanPanel, qtbot: QtBot
) -> None:
    early = replace(TRIP, latest_return=at(17))
    desk.library.edit("come back early", TRIP, early)
    qtbot.waitUntil(lambda: bool(panel.content.relaxations))
    assert panel.heading.text() == "No plan keeps all of this:"

    button(panel, "Do this: Come back ").click()
    qtbot.waitUntil(lambda: panel.content.plan is not None)

    later = desk.library.get(Trip, TRIP.id)
    assert later is not None
    assert later.latest_return is not None
    assert later.latest_return > at(17)
    assert desk.library.undo_stack.count() == 2


def test_an_unknown_tide_is_accepted_with_a_name_and_a_reason_only(
    desk: Desk, panel: PlanPanel, qtbot: QtBot
) -> None:
    desk.library.remove("remove table", TABLE)
    qtbot.waitUntil(lambda: OVER.id in panel.crossing_lines)
    line = panel.crossing_lines[OVER.id]
    line.ask.click()
    line.person.line.setText("Ann")

    line.do.click()
    assert "Write why" in line.fault.text()
    assert accepted_reasons(desk.dossier, TRIP) == {}
    line.reason.line.setText("I waded it last week")
    line.do.click()
    qtbot.waitUntil(lambda: panel.content.plan is not None)

    assert accepted_reasons(desk.dossier, TRIP) == {OVER.id: "I waded it last week"}
    assert desk.preferences.settings.person == "Ann"
    panel.crossing_lines[OVER.id].take_back.click()
    qtbot.waitUntil(lambda: panel.content.plan is None)
    assert accepted_reasons(desk.dossier, TRIP) == {}


def test_the_order_is_kept_by_a_switch(
    desk: Desk, panel: PlanPanel, qtbot: QtBot
) -> None:
    one, two = replace(BEYOND, number=1), replace(ON_LAND, number=2)
    desk.library.edit("turn", BEYOND, one)
    desk.library.edit("turn", ON_LAND, two)

    panel.keep_order.click()

    def names() -> list[str]:
        plan = panel.content.plan
        return [] if plan is None else [stop.name for stop in plan.stops]

    qtbot.waitUntil(lambda: names() == ["Bar end", "Gully head"])
    assert desk.work.keeps_order(TRIP.id)


def test_a_time_leads_to_its_minute(panel: PlanPanel, qtbot: QtBot) -> None:
    row = panel.content.rows[0]

    with qtbot.waitSignal(panel.minuteAsked) as asked:
        panel.times.minuteAsked.emit(row.at)

    assert asked.args == [row.at]


def test_choosing_something_else_plans_nothing_anew(
    desk: Desk, panel: PlanPanel
) -> None:
    before = panel.content

    desk.selection.choose(BAR_END, KEEL.id)

    assert panel.content is before
    assert panel.use.isEnabled()


def test_without_a_trip_it_says_what_to_do(desk: Desk, panel: PlanPanel) -> None:
    desk.selection.choose(None, None)
    desk.selection.choose(KEEL, KEEL.id)

    assert panel.message.text().startswith("Choose or draft a trip")
    assert panel.use.isHidden()
    assert panel.goes_by.isHidden()
