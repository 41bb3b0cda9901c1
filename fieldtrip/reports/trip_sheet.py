"""Makes the trip sheet: what is known of a trip at a moment, in words, for the field.

In the order in which it is needed: when to decide, whether to go at all, what is
done when, where, at each stop, the tide, the weather, what can hurt, the way out,
whom to call.  What is not known says so.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from fieldtrip.almanac.day_plan import day_plan
from fieldtrip.almanac.second_opinion import PROVES
from fieldtrip.almanac.spots import Skyline
from fieldtrip.phrasing import CAUTIONS, FindingWords, overall_words, words_of_all
from fieldtrip.places.records import Subject, VantagePoint
from fieldtrip.reports.sheet import (
    NOT_KNOWN,
    SIGNALS,
    Fact,
    FindingLine,
    Photo,
    TripSheet,
)
from fieldtrip.reports.sheet_forecast import forecast_part
from fieldtrip.reports.sheet_ground import Ground
from fieldtrip.reports.sheet_map import sheet_map
from fieldtrip.reports.sheet_places import (
    hazard_lines,
    meetings,
    note_lines,
    refuge_lines,
    way_out,
)
from fieldtrip.reports.sheet_stops import position_texts, stop_parts
from fieldtrip.reports.sheet_tide import tide_part
from fieldtrip.reports.sheet_times import Teller, gate_lines, timeline
from fieldtrip.safety.checklist import Checklist, check
from fieldtrip.safety.finding import Finding, Severity
from fieldtrip.safety.limit_specs import limits_from
from fieldtrip.safety.limits import Limits
from fieldtrip.settings import Settings
from fieldtrip.times import local_date
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.plan import TripFacts, facts_of
from fieldtrip.trips.records import Trip
from fieldtrip.wording import (
    clock_line,
    clock_text,
    count_text,
    date_text,
    short_date_text,
    zone_text,
)

_MANY = {
    Severity.STOP: "stops",
    Severity.UNKNOWN: "unknown",
    Severity.CAUTION: "cautions",
    Severity.CLEAR: "clear",
}
_QUIET = (Severity.CLEAR, Severity.DOES_NOT_APPLY)
_NO_GATES = (
    "No gates were set for this trip, with what must be seen there and a fallback. "
    "Decide before leaving, at the car and before each crossing; in doubt, turn back."
)
_NO_PLACES = (
    f"Where to park and where to meet is {NOT_KNOWN}: "
    "no start was chosen for this trip."
)
_LIGHT_NOTE = (
    "On the spot, higher ground hides Sun and Moon earlier and shows them later; "
    f"where that is {NOT_KNOWN}, no heights of the ground were read. "
    "The almanac's times are for a level sea horizon. That a second computation agrees "
    f"proves the arithmetic: {PROVES[PROVES.index('it says') :]}"
)
_MOST_POSITIONS = 12


@dataclass(frozen=True, slots=True)
class Extras:
    """What a sheet may show besides the library's records."""

    ground: Ground | None = None
    photos: Mapping[UUID, Photo] | None = None  # by vantage point
    skylines: Mapping[UUID, Skyline] | None = None  # by vantage point and subject


def trip_sheet(
    dossier: Dossier,
    trip: Trip,
    settings: Settings,
    now: datetime,
    *,
    limits: Limits | None = None,
    extras: Extras | None = None,
) -> TripSheet:
    """Everything that goes along on a trip of a location, as known at a moment.

    Raises `UserError` for a trip outside the years in which the Sun is known.
    """
    used, more = limits or limits_from(settings.limits), extras or Extras()
    facts = facts_of(dossier, trip, now)
    checklist = check(facts, used)
    tell = Teller(facts, settings)
    found = tuple(_findings(facts, checklist, settings))
    places = meetings(facts, settings)
    zone = dossier.location.zone
    return TripSheet(
        title=trip.name,
        day=date_text(trip.day),
        place=dossier.location.name,
        zone=f"{clock_line(trip.day, zone)} ({zone})",
        made=_made(facts, settings),
        overall=checklist.overall,
        overall_words=overall_words(checklist),
        overall_note=_counted(checklist),
        gates=gate_lines(facts, checklist, used, tell),
        gates_hint="" if facts.gates else _NO_GATES,
        findings=found,
        findings_hint="" if found else "Nothing that was checked speaks against it.",
        timeline=timeline(facts, checklist, used, tell),
        timeline_hint=_timeline_hint(facts, settings),
        map=sheet_map(dossier, trip, facts, settings, more.ground),
        meetings=places,
        meetings_hint="" if facts.start_place is not None else _NO_PLACES,
        stops=stop_parts(
            dossier, facts, checklist, settings, more.photos or {}, more.skylines or {}
        ),
        light_note=_LIGHT_NOTE if facts.stops else "",
        tide=tide_part(dossier, trip, facts, settings, used),
        forecast=forecast_part(facts, tell),
        hazards=hazard_lines(facts, settings, used),
        notes=note_lines(dossier, facts, settings, used),
        way_out=way_out(facts, checklist, tell),
        refuges=refuge_lines(dossier, facts, used),
        emergency=tuple(_emergency(facts)),
        contact=tuple(_contact(facts, tell)),
        kit=tuple(line.strip() for line in trip.kit.splitlines() if line.strip()),
        kit_hint="" if trip.kit.strip() else f"{NOT_KNOWN}: no list was written.",
        trip_notes=trip.notes.strip(),
        cautions=CAUTIONS,
    )


def spots_of(dossier: Dossier, trip: Trip) -> tuple[VantagePoint | Subject, ...]:
    """The vantage points of a trip and their subjects, each once."""
    found: dict[UUID, VantagePoint | Subject] = {}
    for stop in dossier.stops_of(trip):
        for record in (
            by_id(dossier.vantage_points, stop.vantage_point_id),
            by_id(dossier.subjects, stop.subject_id),
        ):
            if record is not None:
                found.setdefault(record.id, record)
    return tuple(found.values())


def _made(facts: TripFacts, settings: Settings) -> str:
    zone, now = facts.location.zone, facts.now
    day = short_date_text(local_date(now, zone))
    clock = clock_text(now, zone, settings)
    return (
        f"Made {day} {clock} {zone_text(now, zone)}. "
        "What was learnt later is not in it."
    )


def _findings(
    facts: TripFacts, checklist: Checklist, settings: Settings
) -> Iterator[FindingLine]:
    """All but the clear ones; those that say the same of several things are one."""
    zone, day = facts.location.zone, facts.trip.day
    words = words_of_all(checklist.findings, zone, settings, day)
    groups: dict[tuple[object, ...], list[tuple[Finding, FindingWords]]] = {}
    for finding, said in zip(checklist.findings, words, strict=True):
        if finding.severity not in _QUIET:
            same = (finding.severity, finding.rule, said.found, said.advice,
                    finding.override, finding.ticked_by)  # fmt: skip
            groups.setdefault(same, []).append((finding, said))
    for group in groups.values():
        finding, said = group[0]
        by = f" ({finding.ticked_by})" if finding.ticked_by else ""
        yield FindingLine(
            severity=finding.severity,
            word=said.severity_word,
            title=_one_title([words.title for _, words in group]),
            found=said.found,
            advice=said.advice,
            override=f"{finding.override}{by}" if finding.override else "",
        )


def _one_title(titles: Sequence[str]) -> str:
    """Titles of one rule in one: its name once, then what each is about."""
    rule, colon, first = titles[0].partition(": ")
    rest = [title.removeprefix(f"{rule}{colon}") for title in titles[1:]]
    return f"{rule}{colon}{'; '.join(dict.fromkeys([first, *rest]))}"


def _counted(checklist: Checklist) -> str:
    counts = {
        severity: sum(f.severity is severity for f in checklist.findings)
        for severity in _MANY
    }
    return ", ".join(
        count_text(counts[severity], str(severity), many)
        for severity, many in _MANY.items()
        if counts[severity]
    )


def _timeline_hint(facts: TripFacts, settings: Settings) -> str:
    plan = day_plan(facts, settings)
    missing = ""
    if not facts.stops and not facts.walks:
        missing = "No stops and no walks are planned."
    elif not facts.walks:
        missing = "No walks are planned: how long the ways take is not known."
    elif not facts.stops:
        missing = "No stops are planned."
    return " ".join(text for text in (missing, plan.awake, plan.unsaid) if text)


def _emergency(facts: TripFacts) -> Iterator[Fact]:
    trip, location = facts.trip, facts.location
    number = " · ".join(
        dict.fromkeys(
            t.strip() for t in (trip.emergency, location.emergency) if t.strip()
        )
    )
    yield Fact(
        "Call",
        number
        or f"{NOT_KNOWN}: nobody wrote the number down; 112 works on most "
        "mobile networks",
        is_known=bool(number),
    )
    signal = location.coverage
    yield Fact("Telephone there", SIGNALS[signal], is_known=signal is not None)
    yield _known("Nearest road", location.nearest_road.strip())
    yield Fact("The place", " · ".join(position_texts(location.position)))
    shown: set[UUID] = set()
    for stop in facts.stops:
        vantage = stop.vantage_point
        if vantage is None or vantage.id in shown:
            continue
        shown.add(vantage.id)
        if len(shown) > _MOST_POSITIONS:
            yield Fact("Further stops", "their positions stand with each stop")
            return
        yield Fact(
            f"{stop.stop.number}. {vantage.name}",
            " · ".join(position_texts(vantage.position)),
        )


def _contact(facts: TripFacts, tell: Teller) -> Iterator[Fact]:
    trip = facts.trip
    yield _known("Who knows", trip.contact.strip())
    back, alarm = trip.latest_return, trip.raise_alarm
    yield _known("Latest return", tell.by(back) if back else "")
    yield _known("Raises the alarm", tell.at(alarm) if alarm else "")
    yield _known("Alarm goes to", trip.alarm_with.strip())
    yield Fact("Party", count_text(trip.party, "person", "people"))
    yield _known("Car", trip.car.strip())


def _known(name: str, text: str) -> Fact:
    return Fact(name, text or NOT_KNOWN, is_known=bool(text))
