"""The same trip with the tide of a station in place of a typed table."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from fieldtrip.geo import Position
from fieldtrip.safety.checklist import check
from fieldtrip.safety.finding import Finding, Rule
from fieldtrip.tides.records import Exposure
from fieldtrip.tides.stations import Station, StationKind
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.plan import TripFacts, facts_of
from tests.safety.story import Story
from tests.tides.published import SAN_FRANCISCO, constants

_FOUND = constants(SAN_FRANCISCO)
# Source: NOAA CO-OPS, station 9414290: constants, datums and position.
GOLDEN = Station(
    name="San Francisco",
    kind=StationKind.CONSTANTS,
    position=Position(37.806305, -122.46589),
    datum="MLLW",
    z0_m=_FOUND.z0_m,
    constants=_FOUND.constants,
    exposure=Exposure.OPEN_COAST,
    is_distorted=False,
    source="NOAA CO-OPS",
    licence="Public domain",
)


def dossier_with(
    story: Story, *stations: Station, beyond: bool | None = False
) -> Dossier:
    """The story's records with a station in place of its tables."""
    dossier = story.dossier()
    location = replace(
        dossier.location,
        station_id=stations[0].id,
        is_station_beyond_headland=beyond,
    )
    return replace(dossier, location=location, tide_tables=(), stations=stations)


def facts_with(story: Story, *stations: Station, **changes: Any) -> TripFacts:
    """What the checks are given."""
    dossier = dossier_with(story, *stations, **changes)
    return facts_of(dossier, story.trip, story.now)


def found_with(story: Story, rule: Rule, *stations: Station, **changes: Any) -> Finding:
    """The worst finding of a rule."""
    findings = check(facts_with(story, *stations, **changes)).findings
    return next(finding for finding in findings if finding.rule is rule)
