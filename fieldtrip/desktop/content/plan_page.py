"""What the Plan page says: the best plan of a trip, or what stands in its way."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from fieldtrip.almanac.gates import gates_in_words
from fieldtrip.desktop.content.accepted_tides import (
    acceptances,
    accepted_reasons,
    written,
)
from fieldtrip.desktop.content.plan_rows import PlanRow, plan_rows
from fieldtrip.errors import UserError
from fieldtrip.phrasing import overall_words, words_of_all
from fieldtrip.places.records import Leg, VantagePoint
from fieldtrip.plan_phrasing import (
    NO_RETURN_WORDS,
    caution_text,
    critical_text,
    obstacle_text,
    relaxation_text,
)
from fieldtrip.planning.asking import Asked
from fieldtrip.planning.edits import stops_of_plan, walks_of_plan
from fieldtrip.planning.guard import facts_of_plan
from fieldtrip.planning.planned import Planned, planned
from fieldtrip.safety.checklist import check
from fieldtrip.safety.finding import Severity
from fieldtrip.safety.limit_specs import limits_from
from fieldtrip.settings import Settings
from fieldtrip.times import Span
from fieldtrip.trips.answer import (
    Alternative,
    AlternativeKind,
    Conflict,
    ObstacleKind,
    Plan,
    Relaxation,
)
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.plan import facts_of
from fieldtrip.trips.question import PlanNote
from fieldtrip.trips.records import Stop, Tick, Trip, Walk
from fieldtrip.trips.waves import wave_margin
from fieldtrip.wording import duration_text, when_text, zone_text

NO_TRIP = "Choose or draft a trip: Trip ▸ New trip."
NO_STOPS = (
    "“{name}” has no stops yet. Choose vantage points with “Add stops…”, or drop them "
    "from the list of places on the Plan column of the day strip; what each one needs "
    "of light and water is said behind “…” on the Notes page."
)
NO_START = (
    "Nobody said where the trip starts: choose it on the right, and the way there and "
    "back is planned too. Start places are added with Place ▸ Add start place…"
)
NO_PLAN = "No plan keeps all of this:"
SEA_NOT_SAID = (
    "{name}: nobody said how the sea will be, so it is shut as in a heavy sea. Say it "
    "on the Notes page of the trip (Sea at the shore), and it may be open for longer."
)
_MOST_DIFFERENCES = 4


@dataclass(frozen=True, slots=True)
class AlternativeRow:
    """Another plan, in short."""

    words: str
    alternative: Alternative


@dataclass(frozen=True, slots=True)
class RelaxationRow:
    """Something that would help."""

    words: str
    relaxation: Relaxation


@dataclass(frozen=True, slots=True)
class CrossingRow:
    """A leg or stop of whose tide nothing is known, and what was written about it."""

    record_id: UUID
    words: str
    tick: Tick | None  # None: it can be accepted


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanContent:
    """Every text of the page, and what its buttons use."""

    trip_id: UUID | None = None
    message: str = ""  # what to do next, where nothing can be planned
    severity: Severity = Severity.UNKNOWN  # of the plan's checks
    heading: str = ""  # what the plan hangs on, or that there is none
    note: str = ""  # what the checks say of it
    zone_words: str = ""
    rows: tuple[PlanRow, ...] = ()
    is_written: bool = False  # the trip stands in the library just so
    standing: tuple[str, ...] = ()  # how the trip as it stands differs
    cautions: tuple[str, ...] = ()
    left_out: str = ""
    alternatives: tuple[AlternativeRow, ...] = ()
    obstacles: tuple[str, ...] = ()
    relaxations: tuple[RelaxationRow, ...] = ()
    no_help: str = ""  # where nothing small helps
    crossings: tuple[CrossingRow, ...] = ()
    planned: Planned | None = None

    @property
    def plan(self) -> Plan | None:
        """The plan that can be used."""
        return None if self.planned is None else self.planned.plan


def asked_of(
    dossier: Dossier, trip: Trip, settings: Settings, *, keeps_order: bool
) -> Asked:
    """What is asked with a trip: a person's own limits, and what they accepted."""
    return Asked(
        limits=limits_from(settings.limits),
        accepted=accepted_reasons(dossier, trip),
        keeps_order=keeps_order,
    )


def empty_page(dossier: Dossier | None, trip: Trip | None) -> PlanContent | None:
    """The page where nothing needs to be computed; None where something does."""
    if dossier is None or trip is None:
        return PlanContent(message=NO_TRIP)
    if not dossier.stops_of(trip):
        return PlanContent(trip_id=trip.id, message=NO_STOPS.format(name=trip.name))
    return None


def plan_content(
    dossier: Dossier,
    trip: Trip,
    now: datetime,
    settings: Settings,
    *,
    keeps_order: bool = False,
) -> PlanContent:
    """Plan a trip, and say what came out; a trip that cannot be planned says why."""
    empty = empty_page(dossier, trip)
    if empty is not None:
        return empty
    asked = asked_of(dossier, trip, settings, keeps_order=keeps_order)
    try:
        found = planned(dossier, trip, now, asked)
    except UserError as error:
        return PlanContent(trip_id=trip.id, message=str(error))
    if isinstance(found.answer, Conflict):
        return _of_conflict(dossier, trip, found, found.answer, settings)
    return _of_plan(dossier, trip, now, found, found.answer, asked, settings)


# A plan


def _of_plan(
    dossier: Dossier,
    trip: Trip,
    now: datetime,
    found: Planned,
    plan: Plan,
    asked: Asked,
    settings: Settings,
) -> PlanContent:
    zone = dossier.location.zone
    facts = facts_of_plan(dossier, trip, plan, now)
    gates = gates_in_words(facts, settings, asked.limits)
    critical = critical_text(plan, zone, settings)
    checklist = found.checklist
    standing = differences(dossier, trip, plan, settings)
    if standing:
        kept = check(facts_of(dossier, trip, now), asked.limits)
        standing = (*standing, f"Its checks say now: {kept.overall}.")
    cautions = [
        NO_START if each.note is PlanNote.NO_START else caution_text(each)
        for each in plan.cautions
    ]
    if plan.clock_min == 1:
        cautions.insert(
            0,
            "It fits only by the minute: on a clock of five minutes there is no plan. "
            "Anything that takes longer than reckoned breaks it.",
        )
    return PlanContent(
        trip_id=trip.id,
        severity=Severity.UNKNOWN if checklist is None else checklist.overall,
        heading=critical or "Nothing presses: this plan hangs on no limit.",
        note=""
        if checklist is None
        else f"Checks of this plan · {overall_words(checklist)}",
        zone_words=_zone_words(Span(plan.start, plan.finish), zone),
        rows=plan_rows(dossier, trip, plan, gates, settings),
        is_written=not standing,
        standing=standing,
        cautions=tuple(cautions),
        left_out=_left_out(dossier, trip, plan),
        alternatives=tuple(
            AlternativeRow(
                _alternative_words(dossier, trip, plan, each, settings), each
            )
            for each in plan.alternatives
        ),
        crossings=_crossings(dossier, trip, ()),
        planned=found,
    )


def differences(
    dossier: Dossier, trip: Trip, plan: Plan, settings: Settings
) -> tuple[str, ...]:
    """How a trip as it stands differs from a plan; empty where it is the same."""
    zone, day = dossier.location.zone, trip.day
    now, then = dossier.stops_of(trip), stops_of_plan(dossier, trip, plan)
    names = _names(dossier, trip)

    def times(stop: Stop) -> str:
        start = when_text(stop.arrive, zone, settings, day)
        return f"{start} to {when_text(stop.leave, zone, settings, day)}"

    found = []
    order = [stop.id for stop in now]
    wanted = [stop.id for stop in then]
    if [each for each in order if each in wanted] != wanted:
        listed = ", ".join(names[each] for each in order)
        found.append(f"It goes to {listed}, in this order.")
    for stop in now:
        planned_stop = by_id(then, stop.id)
        if planned_stop is None:
            found.append(f"{names[stop.id]} is in it, {times(stop)}.")
        elif times(stop) != times(planned_stop):
            found.append(f"{names[stop.id]} is planned {times(stop)}.")
    if not found and _steps(dossier.walks_of(trip)) != _steps(
        walks_of_plan(trip, plan)
    ):
        found.append("Its walks are other ones, or at other times.")
    more = len(found) - _MOST_DIFFERENCES
    if more > 0:
        found = [*found[:_MOST_DIFFERENCES], f"And {more} more."]
    return tuple(found)


def _steps(walks: Sequence[Walk]) -> list[tuple[object, ...]]:
    return [
        (w.leg_id, w.start, w.finish, w.is_reversed, w.from_share, w.to_share)
        for w in walks
    ]


def _left_out(dossier: Dossier, trip: Trip, plan: Plan) -> str:
    names = _names(dossier, trip)
    left = [names[each] for each in plan.left_out if each in names]
    if not left:
        return ""
    return f"Left out, since it may be: {', '.join(left)}."


def _alternative_words(
    dossier: Dossier, trip: Trip, plan: Plan, other: Alternative, settings: Settings
) -> str:
    """Such as ``Without Gully head: out 14:35, back 16:45; 45 min less light``."""
    names, zone, day = _names(dossier, trip), dossier.location.zone, trip.day
    listed = [names[each] for each in other.order if each in names]
    if other.kind is AlternativeKind.DROPPED and other.dropped in names:
        what = f"Without {names[other.dropped]}"
    else:
        what = f"In another order: {', then '.join(listed)}"
    start = when_text(other.start, zone, settings, day)
    finish = when_text(other.finish, zone, settings, day)
    change = (other.must_min + other.may_min) - (plan.must_min + plan.may_min)
    light = "as much of the wanted light"
    if round(change):
        word = "more" if change > 0 else "less"
        light = f"{duration_text(timedelta(minutes=abs(change)))} {word} of that light"
    return f"{what}: out {start}, back {finish}, {light}."


# None


def _of_conflict(
    dossier: Dossier, trip: Trip, found: Planned, answer: Conflict, settings: Settings
) -> PlanContent:
    zone = dossier.location.zone
    obstacles = [_sentence(obstacle_text(each)) for each in answer.obstacles]
    cautions = [caution_text(each) for each in answer.cautions]
    cautions += _tide_cautions(dossier, trip, answer)
    if trip.latest_return is None:
        cautions.append(f"{NO_RETURN_WORDS}.")
    if found.stopped:
        words = words_of_all(found.stopped, zone, settings, trip.day)
        obstacles = [f"{one.title}: {one.found}" for one in words]
    unknown = tuple(
        each.record_id
        for each in answer.obstacles
        if each.kind is ObstacleKind.TIDE_UNKNOWN and each.record_id is not None
    )
    relaxations = tuple(
        RelaxationRow(relaxation_text(each), each) for each in answer.relaxations
    )
    no_help = ""
    if not relaxations:
        no_help = (
            "Nothing small helps: no stop left out, later return, earlier start or "
            "less light makes a plan. Try another day, or other stops."
        )
    times = [stop.arrive for stop in dossier.stops_of(trip)]
    return PlanContent(
        trip_id=trip.id,
        severity=Severity.STOP,
        heading=NO_PLAN,
        zone_words=_zone_words(Span(min(times), max(times)), zone),
        obstacles=tuple(dict.fromkeys(obstacles)),
        relaxations=relaxations,
        no_help=no_help,
        cautions=tuple(cautions),
        crossings=_crossings(dossier, trip, unknown),
        planned=found,
    )


def _tide_cautions(dossier: Dossier, trip: Trip, answer: Conflict) -> list[str]:
    """What is not known of the sea and shuts a leg or a stop for longer."""
    found: list[str] = []
    for each in answer.obstacles:
        place: Leg | VantagePoint | None = None
        if each.kind is ObstacleKind.TIDE:
            place = by_id(dossier.legs, each.record_id)
        elif each.kind is ObstacleKind.FLOODED:
            stop = by_id(dossier.stops, each.record_id)
            if stop is not None:
                place = by_id(dossier.vantage_points, stop.vantage_point_id)
        if place is None:
            continue
        if not wave_margin(place.shore, place.beach_slope, trip).is_sea_said:
            found.append(SEA_NOT_SAID.format(name=place.name))
    return found


def _crossings(
    dossier: Dossier, trip: Trip, unknown: Sequence[UUID]
) -> tuple[CrossingRow, ...]:
    """What was accepted in writing, and what could be."""
    names = _names(dossier, trip) | {leg.id: leg.name for leg in dossier.legs}
    found = [
        CrossingRow(
            record_id,
            f"{names[record_id]}: accepted by {tick.by}, although nothing is known of "
            f"its tide: “{written(tick)}”.",
            tick,
        )
        for record_id, tick in acceptances(dossier, trip).items()
    ]
    known = {row.record_id for row in found}
    found += [
        CrossingRow(
            record_id,
            f"{names[record_id]}: type a tide table (Trip ▸ Type tide table…) or "
            "choose a station (Place ▸ Tide station…), and say above which tide it is "
            "shut. Or take the risk on yourself, in writing.",
            None,
        )
        for record_id in unknown
        if record_id in names and record_id not in known
    ]
    return tuple(found)


def _names(dossier: Dossier, trip: Trip) -> dict[UUID | None, str]:
    found: dict[UUID | None, str] = {}
    for stop in dossier.stops_of(trip):
        spot = by_id(dossier.vantage_points, stop.vantage_point_id)
        found[stop.id] = f"stop {stop.number}" if spot is None else spot.name
    return found


def _zone_words(span: Span, zone: str) -> str:
    clocks = dict.fromkeys(zone_text(at, zone) for at in (span.start, span.stop))
    return f"Times are those of {zone}, {' and '.join(clocks)}."


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."
