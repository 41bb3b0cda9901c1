"""The best plan of a trip that the checklist does not stop, or why there is none."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from uuid import UUID

from fieldtrip.errors import UserError
from fieldtrip.planning.asking import Asked, Sought, question_of, walking_network
from fieldtrip.planning.guard import facts_of_plan, stopped_in, tightened, within
from fieldtrip.safety.checklist import Checklist, check
from fieldtrip.safety.decision_times import DecisionTime, decision_time
from fieldtrip.safety.finding import Finding, Severity
from fieldtrip.times import Span, local_date, zone_of
from fieldtrip.trips.answer import (
    Conflict,
    Limit,
    Obstacle,
    ObstacleKind,
    Plan,
)
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.network import Network
from fieldtrip.trips.question import OpenIn
from fieldtrip.trips.records import Trip
from fieldtrip.trips.schedule import has_plan, schedule
from fieldtrip.trips.situation import TripTest
from fieldtrip.trips.spans import Spans

MOST_ROUNDS = 12  # of planning anew around what the checklist stops
Progress = Callable[[float], None]  # a share done; ends the work by raising `Cancelled`


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """What came out of planning a trip."""

    answer: Plan | Conflict
    checklist: Checklist | None = None  # of the plan; None: there is none
    stopped: tuple[Finding, ...] = ()  # what the checks stop where there is no plan
    decisions: tuple[tuple[UUID, DecisionTime], ...] = ()  # of each gate, in the plan

    @property
    def plan(self) -> Plan | None:
        """The plan, if there is one."""
        return self.answer if isinstance(self.answer, Plan) else None


@dataclass(frozen=True, slots=True, kw_only=True)
class DayRow:
    """What a trip comes to on one day."""

    day: date
    planned: Planned | None  # None: it cannot be asked about
    refusal: str = ""  # why not, in a sentence

    @property
    def plan(self) -> Plan | None:
        """The plan of the day, if there is one."""
        return None if self.planned is None else self.planned.plan

    @property
    def critical(self) -> Limit | None:
        """What the day's plan hangs on."""
        return None if self.plan is None else self.plan.critical

    @property
    def worst(self) -> Finding | None:
        """The worst finding of the day's plan, or of why there is none."""
        if self.planned is None:
            return None
        if self.planned.checklist is not None:
            return next(iter(self.planned.checklist.findings), None)
        return next(iter(self.planned.stopped), None)

    @property
    def value(self) -> tuple[bool, float, float, timedelta]:
        """To sort by: a plan at all, light at musts, at others, and slack."""
        plan = self.plan
        if plan is None:
            return False, 0.0, 0.0, timedelta()
        return True, plan.must_min, plan.may_min, plan.slack or timedelta.max


def planned(
    dossier: Dossier,
    trip: Trip,
    now: datetime,
    asked: Asked | None = None,
    *,
    network: Network | None = None,
    in_full: bool = True,
) -> Planned:
    """The best plan of a trip, checked; what stands in the way where there is none.

    No plan carries a stop of the checklist's own rules.  Raises `UserError` for a
    trip that cannot be planned at all.
    """
    asked = asked or Asked()
    sought = question_of(dossier, trip, now, asked, network)
    first, *others = _openings(sought)
    found = _guarded(dossier, trip, now, asked, first, in_full)
    for opened in others:
        if found.plan is not None:
            break
        if has_plan(opened.question):
            again = _guarded(dossier, trip, now, asked, opened, in_full)
            found = found if again.plan is None else again
    return found


def after_drag(
    dossier: Dossier,
    trip: Trip,
    now: datetime,
    stop_id: UUID,
    span: Span,
    asked: Asked | None = None,
    *,
    network: Network | None = None,
) -> Planned:
    """The plan with one stop pinned from arriving to leaving, the rest fitted to it.

    Pinned stops stay pinned; where nothing fits, what breaks.  Raises `UserError`
    for a stop that is not in the trip, or one left before it is reached.
    """
    if span.length < timedelta():
        raise UserError("A stop must be left after it is reached.")
    if all(stop.id != stop_id for stop in dossier.stops_of(trip)):
        raise UserError("That stop is not in the trip any more.")
    stops = tuple(
        replace(stop, arrive=span.start, leave=span.stop, is_pinned=True)
        if stop.id == stop_id
        else stop
        for stop in dossier.stops
    )
    return planned(
        replace(dossier, stops=stops),
        trip,
        now,
        asked,
        network=network,
        in_full=False,
    )


def compare_days(
    dossier: Dossier,
    trip: Trip,
    first: date,
    last: date,
    now: datetime,
    asked: Asked | None = None,
    progress: Progress | None = None,
) -> tuple[DayRow, ...]:
    """The same trip on every day of a span, in order; pinned times go with the clock.

    `progress` may end it by raising.  Raises `UserError` for a span that ends before
    it begins or of more than a year.
    """
    days = (last - first).days + 1
    if not 1 <= days <= 366:
        raise UserError("Compare from one day to 366 days at once.")
    asked = asked or Asked()
    network = walking_network(dossier, trip, asked)
    rows = []
    for index in range(days):
        if progress is not None:
            progress(index / days)
        day = first + timedelta(days=index)
        rows.append(_day_row(dossier, trip, day, now, asked, network))
    return tuple(rows)


def trip_test(dossier: Dossier, now: datetime, asked: Asked | None = None) -> TripTest:
    """A test for the search for dates: can a trip of the location be planned on a day?

    Not known where the trip is gone or cannot be asked about, or where the tide of a
    leg is not known.
    """
    asked = asked or Asked()
    networks: dict[UUID, Network] = {}

    def possible(trip_id: UUID, day: date) -> bool | None:
        trip = by_id(dossier.trips, trip_id)
        if trip is None:
            return None
        if trip_id not in networks:
            networks[trip_id] = walking_network(dossier, trip, asked)
        row = _day_row(dossier, trip, day, now, asked, networks[trip_id])
        if row.planned is None:
            return None
        answer = row.planned.answer
        if isinstance(answer, Plan):
            return True
        unknown = ObstacleKind.TIDE_UNKNOWN
        return None if any(o.kind is unknown for o in answer.obstacles) else False

    return possible


def on_day(dossier: Dossier, trip: Trip, day: date) -> tuple[Dossier, Trip]:
    """The trip and its stops at the same times by the clock of another day."""
    zone = dossier.location.zone
    shift = (day - trip.day).days

    def moved(at: datetime | None) -> datetime | None:
        return None if at is None else _moved(at, shift, zone)

    other = replace(
        trip,
        day=day,
        earliest_start=moved(trip.earliest_start),
        latest_return=moved(trip.latest_return),
        raise_alarm=moved(trip.raise_alarm),
        wake=moved(trip.wake),
    )
    stops = tuple(
        replace(
            stop,
            arrive=_moved(stop.arrive, shift, zone),
            leave=_moved(stop.leave, shift, zone),
        )
        if stop.trip_id == trip.id
        else stop
        for stop in dossier.stops
    )
    gates = tuple(
        replace(gate, decide_by=moved(gate.decide_by))
        if gate.trip_id == trip.id
        else gate
        for gate in dossier.gates
    )
    trips = tuple(other if each.id == trip.id else each for each in dossier.trips)
    return replace(dossier, trips=trips, stops=stops, gates=gates), other


def _day_row(
    dossier: Dossier,
    trip: Trip,
    day: date,
    now: datetime,
    asked: Asked,
    network: Network,
) -> DayRow:
    moved, other = on_day(dossier, trip, day)
    try:
        found = planned(moved, other, now, asked, network=network, in_full=False)
    except UserError as error:
        return DayRow(day=day, planned=None, refusal=str(error))
    return DayRow(day=day, planned=found)


def _moved(at: datetime, days: int, zone: str) -> datetime:
    """The same time by the clock of a place, some days later.

    Where the clock skips it, as much later as the clock jumps.
    """
    local = at.astimezone(zone_of(zone))
    day = local_date(at, zone) + timedelta(days=days)
    return datetime.combine(day, local.time(), tzinfo=zone_of(zone)).astimezone(
        at.tzinfo
    )


def _openings(sought: Sought) -> list[Sought]:
    """One question for each time that the start and the end are open.

    Whoever parks comes back before the same gate shuts.
    """
    question = sought.question
    start, finish = question.start_open, question.finish_open
    # The start opens some minutes later, for there one must be before the first step.
    hours = finish or start
    spans = [
        span
        for span in (() if hours is None else hours.spans)
        if span.overlaps(question.span)
    ]
    if len(spans) < 2:
        return [sought]

    def only(limit: OpenIn | None, span: Span) -> OpenIn | None:
        if limit is None:
            return None
        fit = tuple(each for each in limit.spans if each.overlaps(span))
        return replace(limit, spans=fit)

    return [
        replace(
            sought,
            question=replace(
                question, start_open=only(start, span), finish_open=only(finish, span)
            ),
        )
        for span in sorted(
            spans, key=lambda each: (-_shared(each, question.span), each.start)
        )
    ]


def _shared(span: Span, other: Span) -> float:
    """How many seconds two spans have in common."""
    shared = min(span.stop, other.stop) - max(span.start, other.start)
    return shared.total_seconds()


def _guarded(
    dossier: Dossier,
    trip: Trip,
    now: datetime,
    asked: Asked,
    sought: Sought,
    in_full: bool,
    rounds: int = MOST_ROUNDS,
) -> Planned:
    """Plan, ask the checklist, and plan around what it stops."""
    findings: tuple[Finding, ...] = ()
    for _ in range(rounds):
        answer = schedule(sought.question, in_full=in_full)
        if isinstance(answer, Conflict):
            return Planned(answer=answer, stopped=findings)
        facts = facts_of_plan(dossier, trip, answer, now)
        checklist = check(facts, asked.limits)
        if checklist.overall is not Severity.STOP:
            gates = dossier.gates_of(trip) if in_full else ()
            decisions = tuple(
                (gate.id, decision_time(facts, gate, asked.limits)) for gate in gates
            )
            return Planned(answer=answer, checklist=checklist, decisions=decisions)
        stopped = stopped_in(facts, asked.limits, sought.question.reach)
        findings = stopped.findings
        narrower = tightened(sought, stopped)
        if narrower is None:
            break
        sought = narrower
    else:
        return Planned(answer=_refused(findings), stopped=findings)
    for run in _runs_of(stopped.whole, sought.question.span):
        inside = within(sought, run)
        if inside.question.span.length > timedelta() and has_plan(inside.question):
            again = _guarded(dossier, trip, now, asked, inside, in_full, rounds // 2)
            if again.plan is not None:
                return again
    return Planned(answer=_refused(findings), stopped=findings)


def _runs_of(spans: Spans | None, span: Span) -> list[Span]:
    """The spans in which a whole trip may lie, the longest first."""
    found = [each for each in spans or () if each.overlaps(span)]
    return sorted(found, key=lambda each: (-_shared(each, span), each.start))


def _refused(findings: tuple[Finding, ...]) -> Conflict:
    return Conflict(
        obstacles=tuple(
            Obstacle(ObstacleKind.CHECKS, finding.about, finding.about_id)
            for finding in findings
        ),
        relaxations=(),
    )
