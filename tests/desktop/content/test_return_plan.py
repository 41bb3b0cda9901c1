"""Tests for the message and the calendar file of a return plan."""

from __future__ import annotations

from dataclasses import replace
from urllib.parse import parse_qs, unquote, urlsplit

import pytest
from icalendar import Calendar

from fieldtrip.desktop.content.return_plan import (
    calendar_name,
    mail_link,
    return_calendar,
)
from fieldtrip.errors import UserError
from fieldtrip.reports.return_plan import return_plan
from fieldtrip.settings import Settings
from fieldtrip.trips.records import Trip
from tests.safety.story import CLEAR, NOW, TRIP

DOSSIER = CLEAR.dossier()
PLAN = return_plan(DOSSIER, TRIP, NOW, Settings())


def test_a_message_holds_all_of_the_plan() -> None:
    link = mail_link(PLAN, "A. Friend, a.friend@example.org, by telephone too")

    parts = urlsplit(link)
    query = parse_qs(parts.query)
    assert parts.scheme == "mailto"
    assert unquote(parts.path) == "a.friend@example.org"
    assert query["subject"] == [PLAN.subject]
    # Source: RFC 6068, §5: lines of a body are parted by %0D%0A.
    assert "%0D%0A" in link
    assert query["body"][0].replace("\r\n", "\n") == PLAN.text


def test_a_contact_without_an_address_leaves_it_open() -> None:
    assert mail_link(PLAN, "A. Friend, by telephone").startswith("mailto:?subject=")


def test_what_is_typed_cannot_add_to_a_message() -> None:
    odd = replace(PLAN, text="x&bcc=evil@example.org\r\nBcc: y", subject="a&cc=b#c?d")

    query = parse_qs(urlsplit(mail_link(odd, "")).query)

    assert set(query) == {"subject", "body"}
    assert query["subject"] == ["a&cc=b#c?d"]


def test_a_plan_too_long_for_a_message_is_refused_in_words() -> None:
    with pytest.raises(UserError, match="Copy it"):
        mail_link(replace(PLAN, text="x" * 10_000), "")


def test_the_calendar_rings_when_they_should_be_back_and_at_the_alarm() -> None:
    data = return_calendar(DOSSIER, TRIP, PLAN, NOW)

    back, alarm = Calendar.from_ical(data).walk("VEVENT")
    assert back["dtstart"].to_ical() == b"20260815T160000Z"
    assert alarm["dtstart"].to_ical() == b"20260815T180000Z"
    for event in (back, alarm):
        (ring,) = event.walk("VALARM")
        assert ring["trigger"].to_ical() == b"P0D"
        assert str(event["description"]) == PLAN.text
    assert str(alarm["summary"]) == (
        "Raise the alarm unless they are back: Morning on the bar"
    )


def test_written_again_it_takes_the_place_of_the_older() -> None:
    later = replace(TRIP, name="Renamed", raise_alarm=TRIP.latest_return)

    def uids(trip: Trip) -> list[str]:
        data = return_calendar(DOSSIER, trip, PLAN, NOW)
        return [str(e["uid"]) for e in Calendar.from_ical(data).walk("VEVENT")]

    assert uids(TRIP) == uids(later)
    assert len(set(uids(TRIP))) == 2


def test_without_a_time_for_the_alarm_there_is_no_calendar() -> None:
    with pytest.raises(UserError, match="when to raise the alarm"):
        return_calendar(DOSSIER, replace(TRIP, raise_alarm=None), PLAN, NOW)


def test_without_a_latest_return_only_the_alarm_rings() -> None:
    data = return_calendar(DOSSIER, replace(TRIP, latest_return=None), PLAN, NOW)

    assert len(Calendar.from_ical(data).walk("VEVENT")) == 1


def test_the_file_is_named_after_the_day_and_the_trip() -> None:
    odd = replace(TRIP, name="../Morning: “bar”\n<x>")

    assert calendar_name(TRIP) == "return 2026-08-15 Morning on the bar.ics"
    assert calendar_name(odd) == "return 2026-08-15 Morning bar x.ics"
