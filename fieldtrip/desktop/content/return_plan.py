"""The ways in which a return plan goes out: a message, and a calendar file."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from urllib.parse import quote

from fieldtrip.errors import UserError
from fieldtrip.exchange.calendar import (
    SUFFIX,
    CalendarAlarm,
    CalendarEvent,
    calendar_bytes,
)
from fieldtrip.reports.return_plan import ReturnPlan
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.records import Trip

_ADDRESS = re.compile(r"[\w.+-]+@[\w-]+(?:\.[\w-]+)+")
_LONGEST_LINK = 6_000  # of characters; some systems cut longer ones off
_LATER = timedelta(minutes=15)
_UNSAFE = re.compile(r"[^\w -]+")


def mail_link(plan: ReturnPlan, contact: str) -> str:
    """A ``mailto:`` link with the plan in it, to the contact's address if it has one.

    Raises `UserError` for a plan too long for a link.
    """
    found = _ADDRESS.search(contact)
    address = quote(found.group(), safe="@") if found else ""
    body = quote(plan.text.replace("\n", "\r\n"), safe="")
    link = f"mailto:{address}?subject={quote(plan.subject, safe='')}&body={body}"
    if len(link) > _LONGEST_LINK:
        raise UserError(
            "The plan is too long to be handed to a mail program. Copy it, and paste "
            "it into a message."
        )
    return link


def return_calendar(
    dossier: Dossier, trip: Trip, plan: ReturnPlan, written: datetime
) -> bytes:
    """A calendar file for the contact's own device, which rings at both times.

    Written again, it takes the place of its older self.  Raises `UserError` for a
    trip without a time at which the alarm is raised.
    """
    if trip.raise_alarm is None:
        raise UserError(
            f"“{trip.name}” does not say when to raise the alarm. Give it that time "
            "first."
        )
    place = by_id(dossier.start_places, trip.start_place_id)
    position = place.position if place is not None else dossier.location.position
    alarm = f"Raise the alarm unless they are back: {trip.name}"
    events = [
        CalendarEvent(
            uid=f"{trip.id}-alarm@fieldtrip",
            start=trip.raise_alarm,
            end=trip.raise_alarm + _LATER,
            title=alarm,
            text=plan.text,
            place=dossier.location.name,
            position=position,
            alarms=(CalendarAlarm(timedelta(), alarm),),
        )
    ]
    if trip.latest_return is not None:
        back = f"They should be back: {trip.name}"
        events.insert(
            0,
            CalendarEvent(
                uid=f"{trip.id}-back@fieldtrip",
                start=trip.latest_return,
                end=trip.latest_return + _LATER,
                title=back,
                text=plan.text,
                place=dossier.location.name,
                position=position,
                alarms=(CalendarAlarm(timedelta(), back),),
            ),
        )
    return calendar_bytes(events, written)


def calendar_name(trip: Trip) -> str:
    """A file name for it, as in ``return 2026-11-17 Evening.ics``."""
    name = " ".join(_UNSAFE.sub(" ", trip.name).split())[:60]
    return f"return {trip.day:%Y-%m-%d} {name}".strip() + SUFFIX
