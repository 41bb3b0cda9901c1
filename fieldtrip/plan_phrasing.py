"""A plan's limits and cautions, and what stands in the way of one, in words."""

from __future__ import annotations

from datetime import timedelta

from fieldtrip.settings import Settings
from fieldtrip.trips.answer import (
    Caution,
    Limit,
    Obstacle,
    ObstacleKind,
    Plan,
    Relaxation,
    Step,
    StepKind,
)
from fieldtrip.trips.question import LimitKind, PlanNote
from fieldtrip.wording import clock_text, duration_text

NO_RETURN_WORDS = (
    "Nobody said when to be back at the latest: without it no plan goes on for long "
    "after midnight"
)
_NOTES = {
    PlanNote.NO_ROUTE: "{about}: no route is known to or from it; the straight line "
    "may not go, and its time is a guess.",
    PlanNote.NO_START: "Nobody said where the trip starts: the plan begins at the "
    "first stop.",
    PlanNote.NO_LATEST_RETURN: f"{NO_RETURN_WORDS}.",
    PlanNote.ACCEPTED_UNKNOWN: "{about}: nothing is known of its tide, and it is "
    "crossed because you accepted that in writing.",
    PlanNote.TIDAL_NOT_SAID: "{about}: nobody said whether the sea shuts it.",
    PlanNote.TIDE_UNSURE: "{about}: its tide rests on facts that are missing or rough; "
    "see the checks.",
    PlanNote.WALK_UNSURE: "{about}: its climb or ground is not known, so its time is a "
    "guess.",
    PlanNote.WANTED_NOT_KNOWN: "{about}: part of what is wanted cannot be known yet.",
    PlanNote.SHORT_OF_LIGHT: "{about}: its pinned times hold less of the wanted light "
    "than is worth it.",
    PlanNote.PARTS_OF_LEGS: "{about}: only a part of it is walked.",
    PlanNote.CLOSURE_NOT_KNOWN: "{about}: nobody knows when it is shut.",
}
_OBSTACLES = {
    ObstacleKind.STOP: "{name} with its least light",
    ObstacleKind.NO_LIGHT: "{name}: the wanted light does not come during the trip, or "
    "not for long enough",
    ObstacleKind.PINNED: "the pinned times of {name}",
    ObstacleKind.FLOODED: "{name}: the sea floods it",
    ObstacleKind.RETURN: "the latest return",
    ObstacleKind.START: "the earliest start",
    ObstacleKind.TIDE: "{name}: shut by the tide, with its margins and reserve",
    ObstacleKind.TIDE_UNKNOWN: "{name}: nothing is known of its tide, so nothing is "
    "planned across it",
    ObstacleKind.DAYLIGHT: "{name}: must not be walked in the dark",
    ObstacleKind.LIGHTS: "{name}: there are too few lights to walk in the dark",
    ObstacleKind.SHUT: "{name}: the checks stop it at other times",
    ObstacleKind.PARKING: "the hours of the place where the trip starts or ends",
    ObstacleKind.ORDER: "the order of the stops",
    ObstacleKind.NO_WAY: "no way leads there in any time",
    ObstacleKind.CHECKS: "{name}: the checks stop it whatever the times are",
}


def limit_text(limit: Limit, leave_name: str, zone: str, settings: Settings) -> str:
    """What a plan must be in time for, as a sentence.

    Such as ``Leave Bar end by 20:55: the tide shuts Shingle bar at 21:40.``
    `leave_name` is the stop to be left, empty for the start.
    """
    by = clock_text(limit.leave_by, zone, settings)
    at = clock_text(limit.at, zone, settings)
    leave = f"Leave {leave_name} by {by}" if leave_name else f"Set out by {by}"
    match limit.kind:
        case LimitKind.TIDE:
            return f"{leave}: the tide shuts {limit.name} at {at}."
        case LimitKind.FLOODED:
            return f"{leave}: the sea floods it from {at}."
        case LimitKind.DAYLIGHT | LimitKind.LIGHTS:
            where = limit.name
            if limit.record_id is None:
                where = f"ground without a route at {limit.name}"
            return f"{leave}: it is too dark for {where} from {at}."
        case LimitKind.SHUT:
            return f"{leave}: the checks stop {limit.name} from {at}."
        case LimitKind.PARKING:
            return f"{leave}: the place where the trip ends shuts at {at}."
        case LimitKind.RETURN:
            return f"{leave}: the latest return is {at}."
        case LimitKind.WANTED:
            return f"{leave}: the light wanted at {limit.name} ends at {at}."
        case LimitKind.PINNED:
            return f"{leave}: {limit.name} is pinned to {at}."


def critical_text(plan: Plan, zone: str, settings: Settings) -> str:
    """What a plan hangs on, and how much time is in hand; empty if on nothing."""
    limit = plan.critical
    if limit is None:
        return ""
    names = {stop.stop_id: stop.name for stop in plan.stops}
    leave_name = "" if limit.leave_id is None else names.get(limit.leave_id, "")
    told = limit_text(limit, leave_name, zone, settings)
    return f"{told} The plan has {spare_text(limit.slack)} in hand."


def spare_text(length: timedelta) -> str:
    """Time in hand, such as ``25 min``."""
    return "no time" if length < timedelta(minutes=1) else duration_text(length)


def caution_text(caution: Caution) -> str:
    """A caution as a sentence."""
    return _NOTES[caution.note].format(about=caution.about)


def obstacle_text(obstacle: Obstacle) -> str:
    """One of the limits that cannot all be kept, as part of a sentence."""
    if obstacle.kind is ObstacleKind.DAYLIGHT and obstacle.record_id is None:
        return (
            f"{obstacle.name}: no route to or from it is known, and unknown ground is "
            "planned by day only"
        )
    return _OBSTACLES[obstacle.kind].format(name=obstacle.name)


def relaxation_text(relaxation: Relaxation) -> str:
    """What would help, as a sentence."""
    text = " and ".join(_step_text(step) for step in relaxation.steps)
    return f"{text[:1].upper()}{text[1:]}."


def _step_text(step: Step) -> str:
    time = duration_text(timedelta(minutes=step.minutes))
    match step.kind:
        case StepKind.DROP:
            return f"leave out {step.name}"
        case StepKind.LATER_RETURN:
            return f"come back {time} later"
        case StepKind.EARLIER_START:
            return f"start {time} earlier"
        case StepKind.LESS_LIGHT:
            return f"be content with {time} less light at {step.name}"
        case StepKind.UNPIN:
            return f"unpin {step.name}"
        case StepKind.FREE_ORDER:
            return "let the stops come in another order"
