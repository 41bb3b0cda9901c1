"""Tests for calendar files, by the standard's own rules and by its library."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

import pytest
from icalendar import Calendar

from fieldtrip.errors import UserError
from fieldtrip.exchange.calendar import CalendarAlarm, CalendarEvent, calendar_bytes
from fieldtrip.geo import Position

WRITTEN = datetime(2026, 11, 14, 12, tzinfo=UTC)
EVENT = CalendarEvent(
    uid="one@fieldtrip",
    start=datetime(2026, 11, 20, 18, 30, tzinfo=UTC),
    end=datetime(2026, 11, 20, 20, 0, tzinfo=UTC),
    title="Back at the slip",
    text="Route: Gully way",
    place="The slip",
    position=Position(49.6034, -8.4012),
    alarms=(CalendarAlarm(timedelta(minutes=45), "Are they back?"),),
)


def lines(event: CalendarEvent = EVENT) -> list[str]:
    """The file's lines, unfolded as RFC 5545 §3.1 asks."""
    text = calendar_bytes([event], WRITTEN).decode("utf-8")
    return text.replace("\r\n ", "").split("\r\n")


def test_the_file_holds_what_the_standard_requires() -> None:
    found = lines()

    # Source: RFC 5545, §3.6 (PRODID, VERSION), §3.6.1 (UID, DTSTAMP, DTSTART).
    assert found[0] == "BEGIN:VCALENDAR"
    assert "VERSION:2.0" in found
    assert any(line.startswith("PRODID:") for line in found)
    assert "UID:one@fieldtrip" in found
    assert "DTSTAMP:20261114T120000Z" in found
    assert "DTSTART:20261120T183000Z" in found
    assert "DTEND:20261120T200000Z" in found
    assert found[-2:] == ["END:VCALENDAR", ""]


def test_an_alarm_rings_before_the_event_by_itself() -> None:
    found = lines()

    # Source: RFC 5545, §3.6.6: an alarm that shows has an action, a trigger and a
    # description; §3.3.6: a negative duration is before.
    alarm = found[found.index("BEGIN:VALARM") : found.index("END:VALARM")]
    assert "ACTION:DISPLAY" in alarm
    assert "TRIGGER:-PT45M" in alarm
    assert "DESCRIPTION:Are they back?" in alarm


def test_an_alarm_at_the_start_has_no_length() -> None:
    at_start = replace(EVENT, alarms=(CalendarAlarm(timedelta(), "Now"),))

    # Source: RFC 5545, §3.3.6: a number of days may be any, also none.
    assert "TRIGGER:P0D" in lines(at_start)


def test_the_position_is_latitude_then_longitude() -> None:
    # Source: RFC 5545, §3.8.1.6.
    assert "GEO:49.6034;-8.4012" in lines()


def test_other_zones_are_turned_into_utc() -> None:
    there = timezone(timedelta(hours=1))
    summer = replace(
        EVENT,
        start=datetime(2026, 7, 1, 0, 30, tzinfo=there),
        end=datetime(2026, 7, 1, 1, 0, 0, 900_000, tzinfo=there),
    )

    found = lines(summer)

    assert "DTSTART:20260630T233000Z" in found
    assert "DTEND:20260701T000000Z" in found


def test_no_line_is_longer_than_75_bytes_and_all_of_a_long_text_comes_back() -> None:
    long = "Über den Steindamm, ".encode() * 40
    event = replace(EVENT, text=long.decode())

    data = calendar_bytes([event], WRITTEN)

    # Source: RFC 5545, §3.1.
    assert max(len(line) for line in data.split(b"\r\n")) <= 75
    assert back(data)["description"] == long.decode()


@pytest.mark.parametrize(
    "text",
    [
        "a; b, c\\d\nnext",
        "END:VEVENT\r\nBEGIN:VEVENT\r\nUID:evil",
        "<script>alert('x')</script> & “quotes”",
        "שלום עולם 🌊",
        "BEGIN:VALARM",
    ],
)
def test_hostile_text_stays_text(text: str) -> None:
    event = replace(EVENT, title=text, text=text, place=text)

    data = calendar_bytes([event], WRITTEN)

    again = back(data)
    assert again["description"] == text.replace("\r\n", "\n")
    assert again["location"] == text.replace("\r\n", "\n")
    calendar = Calendar.from_ical(data)
    assert len(calendar.walk("VEVENT")) == 1
    assert len(calendar.walk("VALARM")) == 1


def test_control_characters_are_left_out() -> None:
    event = replace(EVENT, title="bell\x07 and\x00 null")

    assert "SUMMARY:bell and null" in lines(event)


def test_an_event_without_length_has_no_end() -> None:
    moment = replace(EVENT, end=EVENT.start)

    assert not any(line.startswith("DTEND") for line in lines(moment))


def test_the_same_events_are_written_the_same() -> None:
    first, second = (calendar_bytes([EVENT, EVENT], WRITTEN) for _ in range(2))

    assert first == second


def test_nothing_to_write_and_an_end_before_the_start_are_refused() -> None:
    with pytest.raises(UserError, match="nothing to write"):
        calendar_bytes([], WRITTEN)
    with pytest.raises(ValueError, match="ends before"):
        calendar_bytes(
            [replace(EVENT, end=EVENT.start - timedelta(minutes=1))], WRITTEN
        )


def back(data: bytes) -> dict[str, str]:
    """The texts of the first event as another reader has them."""
    event = Calendar.from_ical(data).walk("VEVENT")[0]
    return {key.lower(): str(value) for key, value in event.items()}
