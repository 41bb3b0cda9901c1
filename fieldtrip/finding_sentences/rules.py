"""Of each rule: where its thresholds come from, and what *unknown* means for it."""

from __future__ import annotations

from fieldtrip.safety import limits
from fieldtrip.safety.finding import Rule

SOURCES: dict[Rule, str] = {
    Rule.TIDE_CROSSING: limits.SOURCE_CROSSING,
    Rule.TIDE_WAY_BACK: limits.SOURCE_CROSSING,
    Rule.TIDE_REFUGE: limits.SOURCE_REFUGE,
    Rule.TIDE_STAND: limits.SOURCE_CROSSING,
    Rule.TURN_BACK: limits.SOURCE_TURN_BACK,
    Rule.WAY_JOINED: limits.SOURCE_JOINED,
    Rule.CLIFF_EDGE: limits.SOURCE_EDGE,
    Rule.EDGE_LOOKED_FOR: limits.SOURCE_EDGE,
    Rule.DAYLIGHT: limits.SOURCE_DAYLIGHT,
    Rule.TWO_LIGHTS: limits.SOURCE_DAYLIGHT,
    Rule.SOMEONE_TOLD: limits.SOURCE_TOLD,
    Rule.NOTE_AGE: limits.SOURCE_NOTE_AGE,
    Rule.FORECAST_AGE: limits.SOURCE_FORECAST,
    Rule.GATES: limits.SOURCE_GATES,
    Rule.AWAKE: limits.SOURCE_AWAKE,
    Rule.START_OPEN: limits.SOURCE_START,
    Rule.ACCESS_CLOSED: limits.SOURCE_CLOSURE,
    Rule.CLOSED_SEASON: limits.SOURCE_CLOSURE,
    Rule.PERMIT: limits.SOURCE_PERMIT,
    Rule.LATEST_WALK_OUT: limits.SOURCE_WALK_OUT,
    Rule.CLIFF_FOOT: limits.SOURCE_FOOT,
    Rule.SWELL: limits.SOURCE_SWELL,
    Rule.WALKING_WIND: limits.SOURCE_WIND,
    Rule.HEADLAND_WIND: limits.SOURCE_WIND,
    Rule.WIND_CHILL: limits.SOURCE_CHILL,
    Rule.HEAT: limits.SOURCE_HEAT,
    Rule.THUNDER: limits.SOURCE_THUNDER,
    Rule.RAIN: limits.SOURCE_RAIN,
    Rule.STREAMS: limits.SOURCE_STREAMS,
    Rule.FOG: limits.SOURCE_FOG,
    Rule.COVERAGE: limits.SOURCE_COVERAGE,
    Rule.EMERGENCY: limits.SOURCE_EMERGENCY,
    Rule.POSITION_ERROR: limits.SOURCE_POSITION,
    Rule.TIDE_CONFIDENCE: limits.SOURCE_TIDE_CONFIDENCE,
    Rule.FORECAST_REACH: limits.SOURCE_REACH,
    Rule.SUN_TIMES: limits.SOURCE_SUN,
    Rule.CLOCK_CHANGE: limits.SOURCE_CLOCK,
}
_TIDE = (
    "no table or station reaches over it or counts from its datum; the port or its "
    "exposure is not described; the shore or the sea is not said"
)
UNKNOWN: dict[Rule, str] = {
    Rule.TIDE_CROSSING: (
        "nobody said whether the sea shuts the leg or from which level on; its climb "
        f"or ground is not known; {_TIDE}"
    ),
    Rule.TIDE_WAY_BACK: "no walk back is planned, or its own crossing is unknown",
    Rule.TIDE_REFUGE: "no refuge is named, or nobody said and confirmed that it is dry",
    Rule.TIDE_STAND: (
        "nobody said from which tide on a low spot, or one of unknown height, floods, "
        f"nor ticked that the sea never reaches it; {_TIDE}"
    ),
    Rule.TURN_BACK: (
        "there is no stop, no walk after it or no latest return; or a leg on the way "
        "is not known well enough"
    ),
    Rule.WAY_JOINED: (
        "no walk is planned; or the trip goes on more than 60 m away from where it "
        "was, and nobody has ticked that they know the ground between; two parts of it "
        "overlap; or its times are not of its day"
    ),
    Rule.CLIFF_EDGE: (
        "the forecast lacks gusts, rain or, where it decides, where the wind comes "
        "from; nobody said whether the edge is soft or how exact the position is"
    ),
    Rule.EDGE_LOOKED_FOR: (
        "no edge is on the map and nobody has ticked that there is none"
    ),
    Rule.DAYLIGHT: (
        "nobody said whether a leg that is walked after sunset is exposed or for "
        "daylight only"
    ),
    Rule.TWO_LIGHTS: "nobody said how many lights are carried, or no walk is planned",
    Rule.SOMEONE_TOLD: (
        "contact, latest return, alarm, whom they call or the number is missing; or "
        "nobody has ticked that the contact was told of this very plan"
    ),
    Rule.NOTE_AGE: "never: what nobody has confirmed is a caution",
    Rule.FORECAST_AGE: "there is no forecast, or it claims to come from the future",
    Rule.GATES: (
        "no gate is set; one lacks what must be seen or what is done instead; or by "
        "when it must be decided cannot be told"
    ),
    Rule.AWAKE: "nobody said when the driver gets up or how long the drive home takes",
    Rule.START_OPEN: (
        "nobody said where the trip starts, when that is open or how long kitting up "
        "takes"
    ),
    Rule.ACCESS_CLOSED: (
        "nothing is recorded and nobody has ticked that they asked; or its days are "
        "not known"
    ),
    Rule.CLOSED_SEASON: (
        "nothing is recorded and nobody has ticked that they asked; or its days are "
        "not known"
    ),
    Rule.PERMIT: (
        "none is recorded and nobody has ticked that none is needed; or its last day "
        "is not known"
    ),
    Rule.LATEST_WALK_OUT: (
        "no walk follows the last stop; its time is a guess; or nobody said whether a "
        "leg after sunset asks for daylight"
    ),
    Rule.CLIFF_FOOT: (
        "nobody said how high the cliff is or how exact the position; or, within its "
        "reach, the rain is not known; or no foot is on the map by the sea and nobody "
        "has ticked that no cliff stands above"
    ),
    Rule.SWELL: (
        "nobody said what waves meet there, or how high and long they are; on a rock "
        "platform always"
    ),
    Rule.WALKING_WIND: "the forecast does not give the gusts for all of the walk",
    Rule.HEADLAND_WIND: "the forecast does not give the gusts for all of the stay",
    Rule.WIND_CHILL: (
        "the forecast lacks the temperature or, at 10 °C and below, the wind"
    ),
    Rule.HEAT: (
        "the forecast lacks the temperature; or it is so warm that humid air would be "
        "dangerous, which a forecast here does not tell"
    ),
    Rule.THUNDER: ("the forecast does not say for every hour whether there is thunder"),
    Rule.RAIN: "the forecast does not give the rain for all of the trip",
    Rule.STREAMS: (
        "nobody said whether the leg crosses water; or the rain before or during the "
        "trip is not all known"
    ),
    Rule.FOG: (
        "the forecast lacks the visibility; or in thick fog nobody said what the "
        "ground is like"
    ),
    Rule.COVERAGE: "nobody said what signal there is at a stop or its location",
    Rule.EMERGENCY: "the number to call or the nearest road is missing",
    Rule.POSITION_ERROR: "nobody said how exact a vantage point's position is",
    Rule.TIDE_CONFIDENCE: (
        "no table or station reaches over the trip; the port is shallow or estuarine "
        "or nobody said; the station is too far away or nobody said where it is"
    ),
    Rule.FORECAST_REACH: (
        "there is no forecast for this place and day, it ends before the trip does, or "
        "hours are missing"
    ),
    Rule.SUN_TIMES: "never: what does not agree is a caution",
    Rule.CLOCK_CHANGE: "never",
}
