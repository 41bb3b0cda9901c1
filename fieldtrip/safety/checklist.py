"""Every rule, run over one trip's facts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum

from fieldtrip.safety.calling import coverage, emergency
from fieldtrip.safety.cliff_edge import cliff_edge, edge_looked_for
from fieldtrip.safety.cliff_foot import cliff_foot
from fieldtrip.safety.closed import access_closed, closed_season
from fieldtrip.safety.cold_and_heat import heat, wind_chill
from fieldtrip.safety.daylight import daylight, two_lights
from fieldtrip.safety.door_to_door_rules import awake, start_open
from fieldtrip.safety.finding import Finding, Reason, Remedy, Severity, worst
from fieldtrip.safety.forecast_age import forecast_age
from fieldtrip.safety.forecast_reach import forecast_reach
from fieldtrip.safety.gates import gates
from fieldtrip.safety.limit_specs import loosened_by_rule
from fieldtrip.safety.limits import Limits
from fieldtrip.safety.note_age import note_age
from fieldtrip.safety.permit import permit
from fieldtrip.safety.refuge import tide_refuge
from fieldtrip.safety.reliance import (
    clock_change,
    position_error,
    sun_times,
    tide_confidence,
)
from fieldtrip.safety.someone_told import someone_told
from fieldtrip.safety.swell import swell
from fieldtrip.safety.thunder import thunder
from fieldtrip.safety.tide_crossing import tide_crossing, tide_way_back
from fieldtrip.safety.tide_stand import tide_stand
from fieldtrip.safety.turn_back import turn_back
from fieldtrip.safety.walk_out import latest_walk_out
from fieldtrip.safety.water_and_fog import fog, rain, streams
from fieldtrip.safety.way_joined import way_joined
from fieldtrip.safety.wind import headland_wind, walking_wind
from fieldtrip.trips.plan import TripFacts
from fieldtrip.trips.records import Tick

RULES: tuple[Callable[[TripFacts, Limits], tuple[Finding, ...]], ...] = (
    gates,
    tide_crossing,
    tide_way_back,
    tide_refuge,
    tide_stand,
    swell,
    turn_back,
    latest_walk_out,
    way_joined,
    cliff_edge,
    edge_looked_for,
    cliff_foot,
    walking_wind,
    headland_wind,
    thunder,
    wind_chill,
    heat,
    rain,
    streams,
    fog,
    daylight,
    two_lights,
    someone_told,
    coverage,
    emergency,
    start_open,
    access_closed,
    closed_season,
    permit,
    awake,
    note_age,
    position_error,
    tide_confidence,
    forecast_age,
    forecast_reach,
    sun_times,
    clock_change,
)


class Caution(StrEnum):
    """What holds whatever the findings say."""

    PLANNING_AID = "planning_aid"
    NO_WEATHER_IN_TIDES = "no_weather_in_tides"
    OBEY = "obey"
    LOCAL_FIRST = "local_first"
    NOT_FOR_NAVIGATION = "not_for_navigation"


@dataclass(frozen=True, slots=True)
class Checklist:
    """What every rule says, worst first, and the worst of it."""

    findings: tuple[Finding, ...]
    overall: Severity
    cautions: tuple[Caution, ...] = tuple(Caution)


def check(facts: TripFacts, limits: Limits | None = None) -> Checklist:
    """Run every rule; equally bad findings stay in the order of the rules."""
    used = limits or Limits()
    found = [finding for rule in RULES for finding in rule(facts, used)]
    ticked = [with_ticks(finding, facts.ticks) for finding in found]
    loosened = loosened_by_rule(used)
    if loosened:
        ticked = [
            replace(finding, loosened=loosened.get(finding.rule, ()))
            for finding in ticked
        ]
    ordered = tuple(sorted(ticked, key=lambda finding: finding.severity.rank))
    return Checklist(ordered, worst(finding.severity for finding in ordered))


def with_ticks(finding: Finding, ticks: tuple[Tick, ...]) -> Finding:
    """A finding with what a person said about it.

    What only a person can know becomes clear by their tick, with its time.  A
    reason written against a finding is shown with it and changes nothing else:
    a stop cannot be ticked away.
    """
    mine = sorted((t for t in ticks if t.item == finding.key), key=lambda t: t.at)
    reasons = [tick for tick in mine if tick.reason.strip()]
    confirmed = [tick for tick in mine if not tick.reason.strip()]
    if reasons:
        finding = replace(
            finding, override=reasons[-1].reason, ticked_by=reasons[-1].by
        )
    if confirmed and finding.can_be_ticked and finding.severity is not Severity.STOP:
        return replace(
            finding,
            severity=Severity.CLEAR,
            reason=Reason.CONFIRMED,
            remedy=Remedy.NOTHING,
            ticked=confirmed[-1].at,
            ticked_by=confirmed[-1].by,
        )
    return finding
