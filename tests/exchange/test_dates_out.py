"""Dates that were found, as a table and as entries of a calendar."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from uuid import uuid4

import pytest
from icalendar import Calendar

from fieldtrip.errors import UserError
from fieldtrip.exchange.dates_calendar import dates_calendar
from fieldtrip.exchange.dates_csv import HEADING, dates_csv
from fieldtrip.trips import wanted
from fieldtrip.trips.date_search import DatesFound, search_dates, search_span
from fieldtrip.trips.situation import Situation, situation_of
from fieldtrip.trips.wanted import Condition
from tests.trips.condition_story import TOWER, VANTAGE, ZONE, tidal_dossier

WRITTEN = datetime(2027, 2, 1, tzinfo=UTC)
CONDITIONS: tuple[Condition, ...] = (
    wanted.SunBand(low_deg=-4.0, high_deg=6.0),
    wanted.OnWeekdays(days=(6,)),
    wanted.Weather(wind_below_m_s=8.0),
)


def found_dates() -> tuple[DatesFound, Situation]:
    """Around the Sunday on which summer time begins."""
    situation = situation_of(
        tidal_dossier(),
        search_span(date(2027, 3, 20), date(2027, 3, 29), ZONE),
        vantage_point=VANTAGE,
        subject=TOWER,
    )
    return search_dates(CONDITIONS, situation), situation


def words(condition: Condition) -> str:
    """A condition in a word that a spreadsheet would take for a formula."""
    return f"=want({type(condition).__name__})"


def test_a_table_tells_each_window_by_the_clock_of_the_place_and_in_utc() -> None:
    found, _ = found_dates()

    heading, *rows = csv.reader(io.StringIO(dates_csv(found, ZONE, words), newline=""))

    assert tuple(heading) == HEADING
    assert len(rows) == len(found.windows) == 4
    for row, window in zip(rows, found.windows, strict=True):
        cells = dict(zip(heading, row, strict=True))
        start = datetime.fromisoformat(cells["start"])
        hour = 1 if window.span.start > datetime(2027, 3, 28, 1, tzinfo=UTC) else 0
        assert start.utcoffset() == timedelta(hours=hour)
        assert cells["date"] == start.date().isoformat()
        assert abs(start - window.span.start) < timedelta(seconds=1)
        assert cells["start_utc"].endswith("Z")
        assert float(cells["minutes"]) == pytest.approx(
            window.span.length / timedelta(minutes=1), abs=0.5
        )
        # Not a formula to whatever opens the table.
        assert cells["not_known"] == "'=want(Weather)"
        assert cells["tightest"] == "'=want(SunBand)"


def test_a_calendar_has_one_entry_a_window_and_says_what_is_not_known() -> None:
    found, _ = found_dates()

    text = dates_calendar(found.windows, VANTAGE, "Tower", words, WRITTEN)

    events = Calendar.from_ical(text).walk("VEVENT")
    assert len(events) == len(found.windows)
    starts = [event.decoded("dtstart") for event in events]
    assert starts == [w.span.start.replace(microsecond=0) for w in found.windows]
    for event in events:
        assert str(event["summary"]) == "Tower"
        assert "Not known: =want(Weather). There is no forecast." in str(
            event["description"]
        )
    assert len({str(event["uid"]) for event in events}) == len(events)


def test_the_same_dates_written_again_are_the_same_entries() -> None:
    found, _ = found_dates()
    later = WRITTEN + timedelta(days=3)

    # The same request read again makes the place anew, with another id.
    places = {WRITTEN: VANTAGE, later: replace(VANTAGE, id=uuid4())}
    first, again = (
        Calendar.from_ical(
            dates_calendar(found.windows, places[when], "T", words, when)
        )
        for when in (WRITTEN, later)
    )

    assert [str(e["uid"]) for e in first.walk("VEVENT")] == [
        str(e["uid"]) for e in again.walk("VEVENT")
    ]


def test_nothing_found_is_nothing_to_write_into_a_calendar() -> None:
    found, _ = found_dates()
    nothing = replace(found, windows=())

    with pytest.raises(UserError, match="nothing to write"):
        dates_calendar(nothing.windows, VANTAGE, "T", words, WRITTEN)
    assert dates_csv(nothing, ZONE, words).count("\r\n") == 1
