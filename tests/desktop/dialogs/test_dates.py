"""Searching for dates in the window."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from uuid import uuid4

import numpy as np
import pytest
from icalendar import Calendar
from pytestqt.qtbot import QtBot

from fieldtrip.arrays import Array
from fieldtrip.desktop.content.dates import (
    LEVEL,
    Asked,
    DatesContent,
    KnownSkyline,
    find_dates,
    new_search,
    next_dates_words,
    trip_on,
)
from fieldtrip.desktop.dialogs.dates import DatesDialog
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.errors import UserError
from fieldtrip.geo import Position
from fieldtrip.places.records import Location, Subject, VantagePoint
from fieldtrip.places.seasons import OpenHours
from fieldtrip.settings import Settings
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.events import EventName
from fieldtrip.store.store import Store
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import DateSearch, Stop, Trip
from fieldtrip.trips.wanted import (
    Alignment,
    AroundEvent,
    ClockTime,
    OnWeekdays,
    SunBand,
    WaterLevel,
)

TODAY = date(2026, 11, 14)
BAY = Location(name="Bay", position=Position(49.6, -8.4), zone="Europe/Dublin")
HEAD = VantagePoint(location_id=BAY.id, name="Head", position=BAY.position)
TOWER = Subject(location_id=BAY.id, name="Tower", position=Position(49.61, -8.4))
SUNSETS = AroundEvent(event=EventName.SUNSET, before_min=30.0, after_min=10.0)
WEEKENDS = OnWeekdays(days=(5, 6))
SEARCH = DateSearch(
    location_id=BAY.id,
    name="Weekend sunsets",
    first_day=TODAY,
    last_day=date(2026, 12, 14),
    conditions=(SUNSETS, WEEKENDS),
    vantage_point_id=HEAD.id,
)
DOSSIER = Dossier(location=BAY, vantage_points=(HEAD,), subjects=(TOWER,))


def nobody(_share: float) -> None:
    """Nobody looks at the progress."""


def asked(search: DateSearch) -> Asked:
    return Asked(DOSSIER, search, Settings())


def test_every_weekend_sunset_is_found_with_its_day_and_length() -> None:
    content = find_dates(asked(SEARCH), nobody)

    # Saturdays and Sundays from 14 November to 13 December 2026: five of each.
    assert len(content.rows) == 10
    assert content.heading == (
        "10 windows on 10 days, best first. Times of Europe/Dublin."
    )
    assert {row.texts[2] for row in content.rows} == {"40 min"}
    assert {row.day.weekday() for row in content.rows} == {5, 6}


def test_what_is_not_known_is_said_and_kept() -> None:
    low = replace(SEARCH, conditions=(SUNSETS, WaterLevel(below_m=1.0)))

    content = find_dates(asked(low), nobody)

    assert content.rows
    assert all(row.texts[5] == "the tide below 1.0 m" for row in content.rows)
    assert any(
        words.startswith("Not known: the tide below 1.0 m.") for words in content.said
    )


def test_where_nothing_matches_the_nearest_misses_say_by_how_much() -> None:
    high = replace(SEARCH, conditions=(SUNSETS, SunBand(low_deg=8.0, high_deg=20.0)))

    content = find_dates(asked(high), nobody)

    assert content.rows == ()
    assert content.near
    by, what = content.near[0].texts[4:]
    assert by.endswith("°")
    assert what == "the Sun between 8° and 20°"
    assert content.heading.startswith("No day brings all of it together.")


def test_a_window_over_midnight_stands_on_the_day_on_which_it_begins() -> None:
    nights = ClockTime(hours=OpenHours(time(23, 0), time(3, 0)))
    content = find_dates(asked(replace(SEARCH, conditions=(nights, WEEKENDS))), nobody)

    late = next(row for row in content.rows if row.texts[1] == "23:00 to 03:00")

    assert late.texts[:4] == (
        "Sat 14 Nov 2026", "23:00 to 03:00", "4 h 00 min", "01:00 on Sun 15 Nov",
    )  # fmt: skip
    assert late.day == date(2026, 11, 15)


def test_whole_days_are_told_as_days() -> None:
    content = find_dates(asked(replace(SEARCH, conditions=(WEEKENDS,))), nobody)

    assert content.rows[0].texts[:3] == ("Sat 14 Nov 2026", "to Sun 15 Nov", "2 days")


def test_a_window_of_seconds_is_told_in_seconds() -> None:
    # The Sun takes seconds, not minutes, through a hundredth of a degree.
    noon = Alignment(
        body=Body.SUN, bearing_deg=180.0, tolerance_deg=0.01, altitude_max_deg=60.0
    )
    search = replace(SEARCH, conditions=(noon,), least_min=0.0)

    row = find_dates(asked(search), nobody).rows[0]

    assert row.texts[1] == f"about {row.texts[3]}"
    assert row.texts[2].endswith(" s")


def test_a_stop_in_a_window_of_days_takes_an_hour_of_it() -> None:
    content = find_dates(asked(replace(SEARCH, conditions=(WEEKENDS,))), nobody)

    made = trip_on(DOSSIER, SEARCH, content.rows[0])

    assert made is not None
    assert made[1].leave - made[1].arrive == timedelta(hours=1)
    assert content.rows[0].span.start <= made[1].arrive


def test_a_search_that_asks_for_too_long_a_time_says_by_how_much() -> None:
    long = replace(SEARCH, conditions=(SUNSETS,), least_min=60.0)

    content = find_dates(asked(long), nobody)

    assert content.rows == ()
    # 40 minutes about each sunset, and 60 are asked for.
    assert {row.texts[4] for row in content.near} == {"20 min"}
    assert {row.texts[5] for row in content.near} == {"it does not last long enough"}


def test_ground_that_is_not_known_makes_an_alignment_not_known() -> None:
    south = Alignment(body=Body.SUN, bearing_deg=200.0, altitude_max_deg=30.0)
    search = replace(SEARCH, conditions=(south,))
    nowhere = np.full(720, np.nan)
    hidden, open_sea = np.full(720, 40.0), np.full(720, -0.1)

    def found(least_deg: Array) -> DatesContent:
        skyline = KnownSkyline(nowhere, least_deg)
        return find_dates(replace(asked(search), skyline_of=lambda _: skyline), nobody)

    assert found(open_sea).rows
    assert all(row.texts[5] for row in found(open_sea).rows)
    assert "in none of them is everything known" in found(open_sea).heading
    # What is known of the ground already hides the Sun.
    assert found(hidden).rows == ()


def test_an_unsound_search_is_refused_in_a_sentence() -> None:
    backwards = replace(SEARCH, last_day=date(2026, 1, 1))

    with pytest.raises(UserError, match="last day of a search cannot come before"):
        find_dates(asked(backwards), nobody)


def test_without_heights_an_alignment_says_that_the_horizon_is_level() -> None:
    south = Alignment(body=Body.SUN, bearing_deg=200.0, altitude_max_deg=30.0)
    known = KnownSkyline(np.full(720, 1.0), np.full(720, 1.0))
    question = asked(replace(SEARCH, conditions=(south,)))

    assert LEVEL in find_dates(question, nobody).said
    here = replace(question, skyline_of=lambda _: known)
    assert LEVEL not in find_dates(here, nobody).said
    assert LEVEL not in find_dates(asked(SEARCH), nobody).said


def test_a_search_from_a_spot_that_is_gone_is_refused() -> None:
    gone = replace(SEARCH, vantage_point_id=uuid4())

    with pytest.raises(UserError, match="is not there any more"):
        find_dates(asked(gone), nobody)


def test_the_next_dates_are_told_in_one_line() -> None:
    content = find_dates(asked(SEARCH), nobody)
    assert content.found is not None
    now = datetime(2026, 11, 15, 20, tzinfo=UTC)

    words = next_dates_words(content.found, SEARCH, BAY.zone, now)

    assert words == "“Weekend sunsets”: Sat 21 Nov, Sun 22 Nov, Sat 28 Nov …"


def test_a_new_search_begins_today() -> None:
    search = new_search(DOSSIER, TODAY, HEAD.id, None)

    assert search.first_day == TODAY
    assert search.faults() == []


@pytest.fixture
def library(store: Store, qtbot: QtBot) -> Library:
    library = Library(store)
    library.add("begin", BAY, HEAD, TOWER)
    library.undo_stack.clear()
    return library


@pytest.fixture
def selection() -> Selection:
    selection = Selection(TODAY, datetime(2026, 11, 14, 12, tzinfo=UTC))
    selection.choose(HEAD, BAY.id)
    return selection


@pytest.fixture
def jobs(qtbot: QtBot) -> Iterator[Jobs]:
    jobs = Jobs()
    yield jobs
    jobs.stop()


def opened(
    qtbot: QtBot, library: Library, selection: Selection, jobs: Jobs
) -> DatesDialog:
    dialog = DatesDialog(
        library, selection, Preferences(Settings()), jobs, today=lambda: TODAY
    )
    qtbot.addWidget(dialog)
    dialog.show()
    return dialog


@pytest.fixture
def dialog(
    qtbot: QtBot, library: Library, selection: Selection, jobs: Jobs
) -> DatesDialog:
    return opened(qtbot, library, selection, jobs)


def ask(dialog: DatesDialog, qtbot: QtBot) -> None:
    dialog.search = replace(SEARCH, id=dialog.search.id)
    dialog._is_changed = True
    dialog.refresh()
    dialog.run()
    qtbot.waitUntil(lambda: dialog.content is not None)


def test_nothing_asked_says_what_to_do(dialog: DatesDialog) -> None:
    dialog.run()

    assert dialog.heading.text() == (
        "Add a condition first: say what the dates must bring."
    )
    assert not dialog.progress.isVisible()


def test_enter_goes_to_the_day(dialog: DatesDialog, qtbot: QtBot) -> None:
    ask(dialog, qtbot)

    with qtbot.waitSignal(dialog.dayAsked) as went:
        dialog.table.rowChosen.emit(0)

    assert dialog.content is not None
    assert went.args == [dialog.content.rows[0].day, dialog.content.rows[0].best]


def test_a_search_is_kept_changed_and_taken_back(
    dialog: DatesDialog, library: Library, qtbot: QtBot
) -> None:
    ask(dialog, qtbot)

    dialog.keep()
    assert [each.name for each in library.store.all(DateSearch)] == ["Weekend sunsets"]
    assert not dialog.keep_button.isEnabled()
    dialog.form.add(SunBand(low_deg=-2.0, high_deg=2.0))
    dialog.keep()
    (kept,) = library.store.all(DateSearch)
    assert len(kept.conditions) == 3
    library.undo_stack.undo()
    library.undo_stack.undo()

    assert library.store.all(DateSearch) == []


def test_what_was_asked_is_there_again(
    dialog: DatesDialog,
    library: Library,
    selection: Selection,
    jobs: Jobs,
    qtbot: QtBot,
) -> None:
    dialog.form.add(SUNSETS)
    dialog.close()

    again = opened(qtbot, library, selection, jobs)

    assert again.search.conditions == (SUNSETS,)


def test_a_trip_is_drafted_in_the_window(
    dialog: DatesDialog, library: Library, qtbot: QtBot
) -> None:
    ask(dialog, qtbot)

    dialog.make_trip()

    (trip,), (stop,) = library.store.all(Trip), library.store.all(Stop)
    assert dialog.content is not None
    assert trip.day == dialog.content.rows[0].day
    assert stop.conditions == SEARCH.conditions
    assert library.undo_stack.count() == 1


def test_the_dates_go_out_as_table_and_calendar(
    dialog: DatesDialog, tmp_path: Path, qtbot: QtBot
) -> None:
    ask(dialog, qtbot)
    table, calendar = tmp_path / "dates.csv", tmp_path / "dates.ics"

    dialog.save_csv(table)
    dialog.save_calendar(calendar)

    with table.open(newline="", encoding="utf-8") as file:
        assert len(list(csv.DictReader(file))) == 10
    events = Calendar.from_ical(calendar.read_bytes()).walk("VEVENT")
    assert len(events) == 10
    assert len({str(event["UID"]) for event in events}) == 10
    assert str(events[0]["SUMMARY"]) == "Weekend sunsets, Head"


def test_what_is_asked_anew_is_not_answered_yet(
    dialog: DatesDialog, library: Library, qtbot: QtBot
) -> None:
    ask(dialog, qtbot)

    dialog.form.add(SunBand(low_deg=8.0, high_deg=20.0))
    dialog.make_trip()
    (stop,) = library.store.all(Stop)
    dialog.form.add(SunBand(low_deg=9.0, high_deg=21.0))

    assert dialog.heading.text().startswith("Asked anew since: press Search.")
    assert stop.conditions == SEARCH.conditions  # of what the table answers


def test_how_each_condition_is_met_stands_below_the_table(
    dialog: DatesDialog, qtbot: QtBot
) -> None:
    ask(dialog, qtbot)

    assert dialog.detail.text().splitlines() == [
        "from 30 min before to 10 min after sunset: 20 min to spare",
        "on a Saturday or Sunday",
    ]


def test_escape_ends_a_search_and_then_closes(dialog: DatesDialog) -> None:
    dialog.search = replace(SEARCH, id=dialog.search.id, last_day=date(2036, 11, 13))
    dialog.refresh()
    dialog.run()

    dialog.reject()
    assert dialog.isVisible()
    assert dialog.heading.text() == "The search was ended."
    dialog.reject()

    assert not dialog.isVisible()


def test_an_unsound_condition_is_told_when_searching(dialog: DatesDialog) -> None:
    dialog.form.add(SunBand(low_deg=5.0, high_deg=2.0))

    dialog.run()

    assert "must lie below the upper one" in dialog.heading.text()


def test_a_folder_that_cannot_be_written_is_told(
    dialog: DatesDialog, tmp_path: Path, qtbot: QtBot
) -> None:
    ask(dialog, qtbot)

    dialog.save_csv(tmp_path / "nowhere" / "dates.csv")

    assert "could not be written" in dialog.heading.text()


def test_a_search_that_runs_can_be_ended(dialog: DatesDialog) -> None:
    dialog.search = replace(SEARCH, id=dialog.search.id, last_day=date(2036, 11, 14))
    dialog.refresh()

    dialog.run()
    assert dialog.cancel_button.isVisible()
    dialog.cancel()

    assert dialog.heading.text() == "The search was ended."
    assert not dialog.cancel_button.isVisible()


def test_a_search_that_is_handed_over_is_shown_and_not_kept(
    dialog: DatesDialog, library: Library, qtbot: QtBot
) -> None:
    ask(dialog, qtbot)
    other = replace(SEARCH, id=uuid4(), name="Light for Head", conditions=(SUNSETS,))

    dialog.take(other)

    assert dialog.form.conditions == (SUNSETS,)
    assert dialog.name.read() == "Light for Head"
    assert dialog.content is None
    assert library.store.all(DateSearch) == []
