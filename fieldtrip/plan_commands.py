"""The command that puts the stops of a trip in order, from a file."""

from __future__ import annotations

import argparse
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import UUID

from fieldtrip.exchange.request_file import request_text
from fieldtrip.exchange.schedule_request import ScheduleRequest, read_request
from fieldtrip.phrasing import CAUTIONS
from fieldtrip.plan_phrasing import (
    caution_text,
    limit_text,
    obstacle_text,
    relaxation_text,
)
from fieldtrip.settings import Settings
from fieldtrip.times import Span
from fieldtrip.trips.answer import (
    Alternative,
    Conflict,
    Limit,
    Plan,
    PlannedStop,
    PlannedWalk,
    Relaxation,
)
from fieldtrip.trips.schedule import schedule

Answer = dict[str, Any]
_MINUTE = timedelta(minutes=1)


def add_schedule(topics: Any) -> None:
    """Add ``compute schedule``."""
    parser = topics.add_parser(
        "schedule",
        help="the best order and times of some stops; exit status 1 if there is none",
        allow_abbrev=False,
    )
    parser.add_argument("--request", required=True, type=Path, metavar="FILE.json")
    parser.set_defaults(answer=compute_schedule, status=_status)


def compute_schedule(options: argparse.Namespace) -> Answer:
    """Answer ``compute schedule``: a plan, or what stands in the way."""
    request = read_request(request_text(options.request))
    found = schedule(request.question)
    if isinstance(found, Plan):
        return _plan(found, request)
    return _conflict(found, request)


def _status(answer: Answer) -> int:
    return 0 if answer["result"] == "plan" else 1


def _plan(plan: Plan, request: ScheduleRequest) -> Answer:
    critical = plan.critical
    return {
        "result": "plan",
        "zone": request.zone,
        "clock_min": plan.clock_min,
        "start": _iso(plan.start),
        "finish": _iso(plan.finish),
        "must_min": round(plan.must_min, 2),
        "may_min": round(plan.may_min, 2),
        "slack_min": _minutes(plan.slack),
        "stops": [_stop(stop) for stop in plan.stops],
        "walks": [_walk(walk, request) for walk in plan.walks],
        "left_out": [_name(request, stop_id) for stop_id in plan.left_out],
        "critical": critical and _limit(critical, request),
        "limits": [_limit(limit, request) for limit in plan.limits],
        "alternatives": [_alternative(each, request) for each in plan.alternatives],
        "cautions": [*(caution_text(each) for each in plan.cautions), *CAUTIONS],
    }


def _conflict(conflict: Conflict, request: ScheduleRequest) -> Answer:
    return {
        "result": "conflict",
        "zone": request.zone,
        "obstacles": [
            {"kind": str(each.kind), "name": each.name, "words": obstacle_text(each)}
            for each in conflict.obstacles
        ],
        "relaxations": [_relaxation(each) for each in conflict.relaxations],
        "cautions": list(CAUTIONS),
    }


def _stop(stop: PlannedStop) -> Answer:
    return {
        "name": stop.name,
        "arrive": _iso(stop.arrive),
        "leave": _iso(stop.leave),
        "light": [_ends(span) for span in stop.light],
        "wanted_min": round(stop.wanted_min, 2),
        "is_short": stop.is_short,
        "leave_by": _iso_or_none(stop.leave_by),
        "slack_min": _minutes(stop.slack),
        "turn_back": _iso_or_none(stop.turn_back),
    }


def _walk(walk: PlannedWalk, request: ScheduleRequest) -> Answer:
    return {
        "name": walk.name,
        "from": request.places[walk.place_from],
        "to": request.places[walk.place_to],
        "start": _iso(walk.start),
        "finish": _iso(walk.finish),
        "latest_start": _iso_or_none(walk.latest_start),
    }


def _limit(limit: Limit, request: ScheduleRequest) -> Answer:
    leave_name = "" if limit.leave_id is None else _name(request, limit.leave_id)
    return {
        "kind": str(limit.kind),
        "name": limit.name,
        "at": _iso(limit.at),
        "by": _iso(limit.by),
        "planned": _iso(limit.planned),
        "slack_min": _minutes(limit.slack),
        "leave": leave_name,
        "leave_by": _iso(limit.leave_by),
        "words": limit_text(limit, leave_name, request.zone, Settings()),
    }


def _alternative(other: Alternative, request: ScheduleRequest) -> Answer:
    return {
        "kind": str(other.kind),
        "order": [_name(request, stop_id) for stop_id in other.order],
        "dropped": other.dropped and _name(request, other.dropped),
        "must_min": other.must_min,
        "may_min": other.may_min,
        "start": _iso(other.start),
        "finish": _iso(other.finish),
    }


def _relaxation(relaxation: Relaxation) -> Answer:
    return {
        "steps": [
            {"step": str(step.kind), "name": step.name, "minutes": step.minutes}
            for step in relaxation.steps
        ],
        "words": relaxation_text(relaxation),
    }


def _name(request: ScheduleRequest, stop_id: UUID) -> str:
    return next(wish.name for wish in request.question.wishes if wish.id == stop_id)


def _minutes(length: timedelta | None) -> float | None:
    return None if length is None else round(length / _MINUTE, 2)


def _ends(span: Span) -> Answer:
    return {"start": _iso(span.start), "end": _iso(span.stop)}


def _iso_or_none(instant: datetime | None) -> str | None:
    return None if instant is None else _iso(instant)


def _iso(instant: datetime) -> str:
    text = instant.astimezone(UTC).isoformat(timespec="seconds")
    return text.replace("+00:00", "Z")
