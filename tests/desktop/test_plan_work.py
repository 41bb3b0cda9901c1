"""Making a plan by a key, dropping spots on the strip, and moving stops there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.charts.day_strip import DayStripChart
from fieldtrip.desktop.content.day_strip import Choice, strip_content
from fieldtrip.errors import UserError
from fieldtrip.settings import Settings
from fieldtrip.store.store import Store
from fieldtrip.trips.records import Trip
from tests.desktop.plan_desk import Desk
from tests.desktop.plan_story import (
    BEYOND,
    FAR,
    NOW,
    ON_LAND,
    TRIP,
)
from tests.desktop.strip_story import DAY, at

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def desk(store: Store, qtbot: QtBot) -> Iterator[Desk]:
    made = Desk(store, qtbot)
    yield made
    made.jobs.stop()


def test_the_plan_is_made_in_one_step_that_can_be_undone(desk: Desk) -> None:
    before = desk.dossier

    desk.work.make()
    said = desk.wait_for_words()

    assert said.startswith("The plan is made. Leave ")
    assert len(desk.dossier.walks) == 6
    assert desk.library.undo_stack.count() == 1
    desk.library.undo_stack.undo()
    assert desk.dossier == before


def test_a_plan_that_is_made_already_is_no_step(desk: Desk) -> None:
    desk.work.make()
    desk.wait_for_words()

    desk.work.make()

    assert desk.wait_for_words(2).startswith("The trip is planned so already.")
    assert desk.library.undo_stack.count() == 1


def test_without_a_plan_the_page_is_asked_to_say_why(desk: Desk) -> None:
    asked: list[bool] = []
    desk.work.pageAsked.connect(lambda: asked.append(True))
    trip = replace(TRIP, latest_return=at(13))
    desk.library.edit("come back early", TRIP, trip)

    desk.work.make()

    assert "the Plan page says why" in desk.wait_for_words()
    assert asked == [True]
    assert desk.library.undo_stack.count() == 1


def test_what_changes_while_it_is_planned_is_not_overwritten(desk: Desk) -> None:
    desk.work.make()
    desk.library.edit("rename", TRIP, replace(TRIP, name="Another evening"))

    said = desk.wait_for_words()

    assert said == "The trip was changed meanwhile. Try again."
    assert desk.dossier.walks == ()


def test_making_a_plan_without_a_trip_or_a_stop_says_what_to_do(desk: Desk) -> None:
    for stop in (ON_LAND, BEYOND):
        desk.library.remove("remove stop", stop)
    with pytest.raises(UserError, match="no stops yet"):
        desk.work.make()
    desk.library.remove("remove trip", TRIP)
    with pytest.raises(UserError, match="Choose or draft a trip"):
        desk.work.make()


def test_a_dropped_spot_is_a_stop_on_the_nearest_five_minutes(desk: Desk) -> None:
    desk.work.drop(FAR.id, at(15, 2))

    (made,) = [s for s in desk.dossier.stops if s.vantage_point_id == FAR.id]
    assert (made.number, made.arrive) == (2, at(15))
    assert desk.told == [
        "Far stack is a stop at 15:00. Say with “…” on its line what it needs; "
        "Trip ▸ Make the plan finds the best times."
    ]
    desk.library.undo_stack.undo()
    assert [stop.number for stop in desk.dossier.stops] == [1, 2]


def test_without_a_trip_a_dropped_spot_begins_one_in_one_step(desk: Desk) -> None:
    desk.library.remove("remove trip", TRIP)
    desk.library.undo_stack.clear()

    desk.work.drop(FAR.id, at(15))

    (trip,) = desk.library.store.all(Trip)
    assert (trip.day, desk.selection.trip_id) == (DAY, trip.id)
    desk.library.undo_stack.undo()
    assert desk.library.store.all(Trip) == []


def test_a_trip_of_another_day_takes_no_dropped_spot(desk: Desk) -> None:
    desk.selection.choose_time(DAY.replace(day=15), at(12, day=15))

    desk.work.drop(FAR.id, at(15, day=15))

    assert desk.told == [
        "“Evening on the holms” is planned for Sat 14 Nov: go to that day to drop "
        "stops on it, or draft another trip here: Trip ▸ New trip."
    ]


def test_a_moved_stop_is_pinned_and_the_rest_fitted_in_one_step(desk: Desk) -> None:
    desk.work.move(BEYOND.id, at(16, 20))

    said = desk.wait_for_words()

    assert said == "Bar end is pinned to 16:20; the rest was fitted to it."
    assert (desk.stop(BEYOND).arrive, desk.stop(BEYOND).is_pinned) == (at(16, 20), True)
    assert desk.stop(ON_LAND).leave < at(16, 20)
    desk.library.undo_stack.undo()
    assert desk.stop(BEYOND) == BEYOND
    assert desk.stop(ON_LAND) == ON_LAND
    assert desk.dossier.walks == ()


def test_a_stop_that_does_not_fit_stays_and_says_what_breaks(desk: Desk) -> None:
    desk.work.move(BEYOND.id, at(18, 30))

    said = desk.wait_for_words()

    assert said.startswith("Bar end stays where it was. At 18:30 breaks: ")
    assert desk.stop(BEYOND) == BEYOND
    assert desk.library.undo_stack.count() == 0


def test_where_nothing_fitted_before_the_stop_moves_alone(desk: Desk) -> None:
    trip = replace(TRIP, latest_return=at(13))
    desk.library.edit("come back early", TRIP, trip)

    desk.work.move(BEYOND.id, at(16, 20))
    said = desk.wait_for_words()

    assert said.startswith("Bar end is pinned to 16:20. No plan keeps all limits: ")
    assert desk.stop(BEYOND).arrive == at(16, 20)
    assert desk.stop(ON_LAND) == ON_LAND


def test_a_trip_that_cannot_be_planned_is_still_moved_by_hand(desk: Desk) -> None:
    trip = replace(TRIP, earliest_start=at(12), latest_return=at(12))
    desk.library.edit("no time", TRIP, trip)

    desk.work.move(BEYOND.id, at(16, 20))

    assert desk.wait_for_words() == (
        "Bar end is pinned to 16:20. The latest return must come after the earliest "
        "start."
    )
    assert desk.stop(BEYOND).arrive == at(16, 20)
    assert desk.stop(BEYOND).leave - desk.stop(BEYOND).arrive == (
        BEYOND.leave - BEYOND.arrive
    )


@pytest.fixture
def chart(desk: Desk, qtbot: QtBot) -> DayStripChart:
    chart = DayStripChart()
    qtbot.addWidget(chart)
    chart.resize(420, 1500)
    choice = Choice(DAY, None, TRIP.id)
    chart.show_content(strip_content(desk.dossier, choice, Settings(), NOW))
    chart.show()
    chart.grab()  # painted: now it is known where the stops stand
    desk.work.attach(chart)
    return chart


def drag(chart: DayStripChart, hour: int, minute: int) -> None:
    page = chart.page
    assert page is not None
    x = round(page.columns.plan.left + page.columns.plan.width / 2)
    ends = at(16, 30), at(hour, minute)
    press, release = (QPoint(x, round(page.y(instant))) for instant in ends)
    QTest.mousePress(chart, LEFT, pos=press)
    for pos in ((press + release) / 2, release):
        QTest.mouseMove(chart, pos)


def words_of(chart: DayStripChart) -> str:
    return "" if chart.drag is None else chart.drag.words


def test_a_drag_that_breaks_something_says_so_on_the_way(
    desk: Desk, chart: DayStripChart, qtbot: QtBot
) -> None:
    drag(chart, 19, 0)

    qtbot.waitUntil(lambda: bool(words_of(chart)))

    assert words_of(chart).startswith("Does not fit: ")
    assert chart.drag is not None
    assert not chart.drag.fits
    assert desk.stop(BEYOND) == BEYOND


def test_a_drag_that_fits_says_how_much_time_is_in_hand(
    desk: Desk, chart: DayStripChart, qtbot: QtBot
) -> None:
    drag(chart, 16, 45)
    qtbot.waitUntil(lambda: bool(words_of(chart)))
    assert words_of(chart).startswith("Fits, ")

    assert chart.page is not None
    x = round(chart.page.columns.plan.left + 20)
    QTest.mouseRelease(chart, LEFT, pos=QPoint(x, round(chart.page.y(at(16, 45)))))

    desk.wait_for_words()
    assert desk.stop(BEYOND).is_pinned
    assert desk.stop(BEYOND).arrive > BEYOND.arrive


def test_letting_the_order_go_is_told_to_whoever_shows_it(desk: Desk) -> None:
    told: list[bool] = []
    desk.work.orderChanged.connect(lambda: told.append(True))

    desk.work.keep_order(TRIP.id, True)
    desk.work.keep_order(TRIP.id, True)

    assert desk.work.keeps_order(TRIP.id)
    assert told == [True]
