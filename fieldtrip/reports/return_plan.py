"""What somebody at home must know: where, until when, and what to do then.

Written for a person who reads it once and may have to read it out to strangers; so
nothing is left blank, and every time has its day and its zone.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from fieldtrip.almanac.gates import gates_in_words
from fieldtrip.coordinates import decimal_text, degrees_minutes_text
from fieldtrip.geo import Position
from fieldtrip.phrasing import CAUTIONS, overall_words, words_of_all
from fieldtrip.places.records import StartPlace
from fieldtrip.safety.checklist import check
from fieldtrip.safety.limit_specs import limits_from
from fieldtrip.settings import Settings
from fieldtrip.times import local_date
from fieldtrip.trips.door_to_door import door_to_door
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.plan import TripFacts, facts_of
from fieldtrip.trips.records import Trip
from fieldtrip.wording import (
    clock_text,
    count_text,
    date_text,
    short_date_text,
    start_place_text,
    zone_text,
)

UNKNOWN = "not known"
_MUST = ("Who", "Where", "Car", "Back at the latest", "Raise the alarm",
         "Alarm with", "Emergency number")  # fmt: skip


@dataclass(frozen=True, slots=True)
class ReturnPlan:
    """The plan as facts and as one text."""

    subject: str
    facts: tuple[tuple[str, str], ...]  # a name and what is so; never blank
    route: tuple[str, ...]  # what is done, a line each
    steps: tuple[str, ...]  # what the reader is asked to do
    missing: tuple[str, ...]  # names of facts that must be known and are not
    text: str


def return_plan(
    dossier: Dossier, trip: Trip, now: datetime, settings: Settings
) -> ReturnPlan:
    """What the contact of a trip is told.

    Raises `UserError` for a trip outside the years in which the Sun is known.
    """
    facts = facts_of(dossier, trip, now)
    say = _Sayer(facts, settings)
    told = tuple((name, text.strip() or UNKNOWN) for name, text in say.facts())
    known = dict(told)
    plan = ReturnPlan(
        subject=f"Return plan: {trip.name}, {date_text(trip.day)}",
        facts=told,
        route=say.route(),
        steps=say.steps(known),
        missing=tuple(name for name in _MUST if known[name] == UNKNOWN),
        text="",
    )
    return ReturnPlan(
        plan.subject, plan.facts, plan.route, plan.steps, plan.missing, _text(plan)
    )


def moment_text(instant: datetime, zone: str, settings: Settings) -> str:
    """A time with its day and zone, as in ``19:05 on Tue 17 Nov 2026, GMT``."""
    day = local_date(instant, zone)
    clock = clock_text(instant, zone, settings)
    return f"{clock} on {short_date_text(day)} {day.year}, {zone_text(instant, zone)}"


def emergency_number(facts: TripFacts) -> str:
    """The number to call: the trip's, or else that of the place."""
    return facts.trip.emergency.strip() or facts.location.emergency.strip()


@dataclass(frozen=True, slots=True)
class _Sayer:
    known: TripFacts
    settings: Settings

    def moment(self, instant: datetime | None) -> str:
        if instant is None:
            return ""
        return moment_text(instant, self.known.location.zone, self.settings)

    def facts(self) -> list[tuple[str, str]]:
        known, trip, place = self.known, self.known.trip, self.known.location
        day = door_to_door(known)
        has_plan = bool(known.walks or known.stops)
        person = self.settings.person.strip()
        party = count_text(trip.party, "person", "people")
        coverage = str(place.coverage) if place.coverage is not None else ""
        return [
            ("Who", f"{person}, {party}" if person else party),
            ("Where", f"{place.name}, {_where(place.position)}"),
            ("Nearest road", place.nearest_road),
            ("Starts from", self._place(known.start_place)),
            ("Ends at", self._place(known.end_place)),
            ("Help meets at", self._place(known.meeting_place)),
            ("Car", trip.car),
            ("Out from", self.moment(known.span.start if has_plan else None)),
            ("Back by plan", self.moment(known.span.stop if has_plan else None)),
            ("Back at the latest", self.moment(trip.latest_return)),
            ("Home by plan", self.moment(day.home)),
            ("Raise the alarm", self.moment(trip.raise_alarm)),
            ("Alarm with", trip.alarm_with),
            ("Emergency number", emergency_number(known)),
            ("Telephone coverage", coverage),
            ("Lights", "" if trip.lights is None else str(trip.lights)),
            ("Kit", ", ".join(filter(None, map(str.strip, trip.kit.split("\n"))))),
            ("Contact", trip.contact),
            ("Checks", self._checks()),
        ]

    def route(self) -> tuple[str, ...]:
        """Walks and stops in order, and where one turns to if a gate says no."""
        known, steps = self.known, []
        for walk in known.walks:
            ways = "back over" if walk.walk.is_reversed else "over"
            start, finish = walk.walk.start, walk.walk.finish
            steps.append((start, finish, f"walk {ways} {walk.name}"))
        for stop in known.stops:
            spot = stop.vantage_point
            where = "" if spot is None else f", {_where(spot.position)}"
            start, finish = stop.stop.arrive, stop.stop.leave
            steps.append((start, finish, f"at {stop.name}{where}"))
        lines = [
            f"{self._clock(start)} to {self._clock(finish)}: {what}"
            for start, finish, what in sorted(steps)
        ]
        lines += [
            f"If “{one.gate.name}” says no: {one.gate.fallback.strip()}"
            for one in gates_in_words(known, self.settings)
            if one.gate.fallback.strip()
        ]
        return tuple(lines) or (UNKNOWN,)

    def steps(self, known: dict[str, str]) -> tuple[str, ...]:
        """What the contact is asked to do."""
        latest, alarm = known["Back at the latest"], known["Raise the alarm"]
        whom, number = known["Alarm with"], known["Emergency number"]
        call = f"{whom} (emergency number: {number})"
        first = f"Expect word from us by {latest}. Without it, try to reach us."
        if latest == UNKNOWN:
            first = "We have not said by when to expect word: ask us before we leave."
        second = f"Still nothing at {alarm}: call {call} and read them this plan."
        if alarm == UNKNOWN:
            second = (
                "We have not said when to raise the alarm: ask us before we leave. "
                f"It goes to {call}."
            )
        third = "Do not come to look for us alone. Stay where you can be called."
        return first, second, third

    def _place(self, place: StartPlace | None) -> str:
        if place is None:
            return ""
        kind = start_place_text(place, self.settings)
        return f"{place.name}, {kind}, {_where(place.position)}"

    def _clock(self, instant: datetime) -> str:
        zone, day = self.known.location.zone, self.known.trip.day
        clock = clock_text(instant, zone, self.settings)
        there = local_date(instant, zone)
        return clock if there == day else f"{clock} on {short_date_text(there)}"

    def _checks(self) -> str:
        """The worst of the checks, and each finding that was gone against."""
        known, settings = self.known, self.settings
        checklist = check(known, limits_from(settings.limits))
        words = words_of_all(
            checklist.findings, known.location.zone, settings, known.trip.day
        )
        said = [
            f"{word.title} ({finding.severity}) overruled by {finding.ticked_by}: "
            f"“{finding.override}”."
            for word, finding in zip(words, checklist.findings, strict=True)
            if finding.override
        ]
        return " ".join((overall_words(checklist), *said))


def _where(position: Position) -> str:
    return f"{decimal_text(position)} ({degrees_minutes_text(position)})"


def _text(plan: ReturnPlan) -> str:
    lines = [plan.subject, "", "What you do:"]
    lines += [f"  {number}. {step}" for number, step in enumerate(plan.steps, 1)]
    lines += ["", *(f"{name}: {fact}" for name, fact in plan.facts)]
    lines += ["", "Route:", *(f"  {line}" for line in plan.route)]
    return "\n".join([*lines, "", *CAUTIONS, ""])
