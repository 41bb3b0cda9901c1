"""What was found about the weather, access, calling for help and what is relied on.

A sentence that names a number which a finding has not is left out.
"""

from __future__ import annotations

from fieldtrip.safety.finding import Reason

_DECIDE = "Decide by {decide_by}; the plan comes to it at {planned}."
_START_HOURS = "It is open from {opens} to {shuts}; you come at {arrives}."
_RETURN = "You are back at {returns}."
_HOURS = "It is open from {opens} to {shuts}."
_WALK_OUT = (
    "The walk out starts at {walk_out}; {latest_start} is the latest for sunset."
)
_FOOT = "The foot of the cliff is {distance} away; keep {keep_off} off."
_FOOT_ERROR = "The position may be {position_error} out."
_RAIN_48H = "Rain of the 48 hours before: {rain_48h}."
_WAVES = "Waves of {wave_height} every {wave_period}."
_REACH = "On this beach one wave in fifty runs up {wave_reach} above the still water."
_SWELL_LIMITS = (
    "Caution from {swell_caution} or a period of {long_period}, stop from {swell_stop}."
)
_GUST = "Gusts up to {gust}."
_FORCE = "Mean wind up to force {force} on the Beaufort scale."
_GUST_LIMITS = "Caution from {walk_caution}, stop from {walk_stop}."
_CHILL = "With the wind it feels like {chill} in its coldest hour."
_CHILL_LIMITS = "Caution from {chill_caution}, stop below {chill_stop}."
_HEAT = "Up to {temperature}."
_THUNDER = "Thunder has a probability of up to {thunder}."
_THUNDER_LIMITS = "Caution from {thunder_caution}, stop from {thunder_stop}."
_THUNDER_OVER = "It counts until {thunder_over}, {after_thunder} after its last hour."
_RAIN = "Up to {rain} in an hour; {heavy_hour} is heavy."
_FALLEN = "{fallen} have fallen by then, 48 hours before the trip included."
_STREAM_LIMITS = "Caution from {stream_caution}, stop from {stream_stop}."
_SEEN = "Visibility down to {visibility}; below {fog} it is fog."
_REACHES = "It says the hours from {reaches_from} to {reaches_to}."

FOUND: dict[Reason, tuple[str, ...]] = {
    Reason.GATE_SET: (_DECIDE, "{basis}."),
    Reason.NO_GATES: (
        "No point is set at which you decide whether to go on or turn back.",
    ),
    Reason.NO_FALLBACK: ("Nobody has said what is done instead.", _DECIDE),
    Reason.NO_MUST_SEE: ("Nobody has said what must be seen to go on.", _DECIDE),
    Reason.NO_DECISION_TIME: (
        "By when it must be decided is not known.",
        "On what is known, decide by {decide_by}.",
    ),
    Reason.DECIDED_TOO_LATE: ("The plan comes to it too late.", _DECIDE),
    Reason.AWAKE_FINE: ("Awake for {awake} when home at {home}.",),
    Reason.AWAKE_LONG: (
        "Awake for {awake} when home at {home}; from {awake_limit} on nobody should "
        "drive.",
    ),
    Reason.AWAKE_NOT_SAID: ("Nobody has said when whoever drives gets up.",),
    Reason.DRIVE_NOT_SAID: ("Nobody has said how long the drive home takes.",),
    Reason.NOBODY_DRIVES: ("Nobody drives.",),
    Reason.START_STAYS_OPEN: ("Open all the while.", _START_HOURS, _RETURN),
    Reason.START_SHUTS_SOON: (
        "It shuts less than {reserve} after the plan's return or the latest one.",
        _START_HOURS,
        _RETURN,
    ),
    Reason.START_SHUTS: ("It shuts before you are back.", _START_HOURS, _RETURN),
    Reason.START_OPENS_LATE: ("It is not open yet when you come.", _START_HOURS),
    Reason.START_NOT_SAID: (
        "Nobody has said where the trip starts, so nobody knows if it stays open.",
    ),
    Reason.START_HOURS_NOT_SAID: ("Nobody has said when it is open.",),
    Reason.START_ARRIVAL_NOT_SAID: (
        "Nobody has said how long kitting up takes, so when you come is not known.",
        _HOURS,
    ),
    Reason.CLOSURE_CLEAR: ("Not in force on the trip's days.",),
    Reason.CLOSURE_ELSEWHERE: ("The plan does not go there.",),
    Reason.CLOSURE_IN_FORCE: ("Closed then: {basis}.",),
    Reason.CLOSURE_HOURS_KEPT: ("Open while you are there: {basis}.", _HOURS),
    Reason.CLOSURE_HOURS_BROKEN: ("Shut while you are there: {basis}.", _HOURS),
    Reason.CLOSURE_NOT_KNOWN: (
        "When it is closed is not known, so it may be: {basis}.",
    ),
    Reason.CLOSURE_OLD: (
        "By what is recorded it is open, but nobody has confirmed that within "
        "{confirmed_within} before the trip.",
        _HOURS,
    ),
    Reason.NO_CLOSURE_RECORDED: (
        "Nothing of the kind is recorded, which does not mean that nothing is closed.",
    ),
    Reason.PERMIT_HOLDS: ("It holds until {basis}.",),
    Reason.PERMIT_EXPIRED: ("It held until {basis}, which is before the trip.",),
    Reason.PERMIT_END_NOT_SAID: ("Nobody has said until when it holds.",),
    Reason.NO_PERMIT_RECORDED: (
        "No permit is recorded, which does not mean that none is needed.",
    ),
    Reason.OUT_IN_LIGHT: ("The walk out is over in daylight.", _WALK_OUT),
    Reason.OUT_LITTLE_RESERVE: (
        "The walk out starts less than {reserve} before its latest time.",
        _WALK_OUT,
    ),
    Reason.OUT_AFTER_SUNSET: (
        "The walk out ends after sunset on a leg that asks for daylight.",
        _WALK_OUT,
    ),
    Reason.OUT_IN_THE_DARK: (
        "The walk out ends in the dark on a leg that asks for daylight.",
        _WALK_OUT,
    ),
    Reason.OUT_LIGHT_NOT_NEEDED: ("No leg of the walk out asks for daylight.",),
    Reason.OUT_GROUND_NOT_SAID: (
        "Part of the walk out is after sunset, and nobody has said whether it is "
        "exposed or for daylight only.",
    ),
    Reason.OUT_TIME_NOT_KNOWN: (
        "How long the walk out takes is a guess, so when it must start is not known.",
        _WALK_OUT,
    ),
    Reason.NO_WALK_OUT: ("No walk is planned after the last stop.",),
    Reason.WIND_FROM_NOT_KNOWN: (
        "The forecast does not say where the wind comes from; towards the drop it "
        "would be worse.",
        _GUST,
    ),
    Reason.FOOT_CLEAR: (_FOOT, _FOOT_ERROR),
    Reason.FOOT_NEAR: ("Within reach of what falls.", _FOOT, _FOOT_ERROR),
    Reason.FOOT_NEAR_WET: (
        "Within reach of what falls, after heavy rain.",
        _FOOT,
        _FOOT_ERROR,
        _RAIN_48H,
    ),
    Reason.FOOT_NOT_LOOKED_FOR: (
        "No foot of a cliff is on the map within {foot_zone}, which does not mean that "
        "no cliff stands above.",
    ),
    Reason.FOOT_STALE: (
        "Nobody has confirmed its record within {confirmed_within} before the trip.",
        _FOOT,
        _FOOT_ERROR,
    ),
    Reason.FOOT_HEIGHT_NOT_KNOWN: (
        "The foot of a cliff is {distance} away, and nobody has said how high it is.",
    ),
    Reason.FOOT_POSITION_NOT_SAID: (
        "Nobody has said how exact the position is.",
        _FOOT,
    ),
    Reason.FOOT_RAIN_NOT_KNOWN: (
        "Within reach of what falls, and how much it has rained is not known.",
        _FOOT,
    ),
    Reason.SWELL_LOW: (_WAVES, _REACH, _SWELL_LIMITS),
    Reason.SWELL_AWAY: ("The waves come from the land's side.", _WAVES),
    Reason.SWELL_RAISED: (_WAVES, _REACH, _SWELL_LIMITS),
    Reason.SWELL_LONG: (
        "Long swell: single waves reach far above the others.",
        _WAVES,
        _REACH,
        _SWELL_LIMITS,
    ),
    Reason.SWELL_HIGH: (_WAVES, _REACH, _SWELL_LIMITS),
    Reason.SWELL_HEAVY: ("A heavy sea is expected.", _WAVES, _SWELL_LIMITS),
    Reason.SWELL_ON_ROCK: (
        "On a rock platform no figure tells how far waves reach.",
        _WAVES,
    ),
    Reason.SWELL_LONG_ON_ROCK: (
        "Long swell on a rock platform: single waves sweep it without warning.",
        _WAVES,
        _SWELL_LIMITS,
    ),
    Reason.SWELL_NOT_KNOWN: (
        "Nobody has said how high and how long the waves are for all of that time.",
    ),
    Reason.SWELL_SHORE_NOT_SAID: (
        "Nobody has said what waves meet there, or that it lies out of their reach.",
        _WAVES,
    ),
    Reason.WIND_LIGHT: (_GUST, _FORCE, _GUST_LIMITS),
    Reason.WIND_STRONG: (_GUST, _FORCE, _GUST_LIMITS),
    Reason.WIND_STOP: (_GUST, _FORCE, "From {walk_stop} walking is a struggle."),
    Reason.WIND_NOT_KNOWN: (
        "The forecast does not give the gusts for all of that time.",
    ),
    Reason.CHILL_MILD: (_CHILL, _CHILL_LIMITS),
    Reason.CHILL_CAUTION: (_CHILL, _CHILL_LIMITS),
    Reason.CHILL_STOP: (
        _CHILL,
        "Below {chill_stop} skin can freeze within 30 minutes.",
    ),
    Reason.CHILL_WIND_NOT_KNOWN: (
        "It is cold, and the forecast does not give the wind for all of the trip.",
    ),
    Reason.TEMPERATURE_NOT_KNOWN: (
        "The forecast does not give the temperature for all of the trip.",
    ),
    Reason.HEAT_MILD: (_HEAT, "Caution from {heat_caution}."),
    Reason.HEAT_CAUTION: (_HEAT, "Stop from {heat_stop}."),
    Reason.HEAT_HUMIDITY_NOT_KNOWN: (
        _HEAT,
        "From {heat_humid} on humid air makes it dangerous, and the forecast here "
        "holds no humidity.",
    ),
    Reason.HEAT_STOP: (_HEAT, "From {heat_stop} it is dangerous in almost any air."),
    Reason.THUNDER_UNLIKELY: (_THUNDER, _THUNDER_LIMITS),
    Reason.THUNDER_POSSIBLE: (_THUNDER, _THUNDER_LIMITS),
    Reason.THUNDER_LIKELY: (_THUNDER, _THUNDER_LIMITS, _THUNDER_OVER),
    Reason.THUNDER_FORECAST: ("Thunder is forecast.", _THUNDER, _THUNDER_OVER),
    Reason.THUNDER_NOT_KNOWN: (
        "The forecast does not say for all of the trip, and the {after_thunder} "
        "before it, whether there is thunder.",
    ),
    Reason.RAIN_LIGHT: (_RAIN,),
    Reason.RAIN_HEAVY: ("Heavy rain makes rock slippery.", _RAIN),
    Reason.RAIN_HOURS_NOT_KNOWN: (
        "The forecast does not give the rain for all of the trip.",
    ),
    Reason.STREAM_LOW: (_FALLEN, _STREAM_LIMITS),
    Reason.STREAM_RAISED: (
        "Rain raises the water that this leg crosses.",
        _FALLEN,
        _STREAM_LIMITS,
    ),
    Reason.STREAM_HIGH: (
        "Rain makes the water that this leg crosses too high.",
        _FALLEN,
        _STREAM_LIMITS,
    ),
    Reason.STREAM_NOT_SAID: (
        "Nobody has said whether this leg crosses a stream or river mouth.",
    ),
    Reason.STREAM_RAIN_NOT_KNOWN: (
        "This leg crosses a stream or river mouth, and the rain before and during the "
        "trip is not all known.",
    ),
    Reason.FOG_NONE: (_SEEN,),
    Reason.FOG_PATH: ("Fog.", _SEEN),
    Reason.FOG_THICK: (
        "Thick fog on a leg on which the way is easily lost.",
        _SEEN,
        "Below {thick_fog} it is thick.",
    ),
    Reason.FOG_GROUND_NOT_SAID: (
        "Thick fog, and nobody has said whether the leg is exposed or what its ground "
        "is.",
        _SEEN,
    ),
    Reason.VISIBILITY_NOT_KNOWN: (
        "The forecast does not give the visibility for all of that time.",
    ),
    Reason.COVERAGE_GOOD: ("A telephone works: {basis}.",),
    Reason.COVERAGE_POOR: ("A telephone may not work: {basis}.",),
    Reason.COVERAGE_NOT_SAID: ("Nobody has said whether a telephone works: {basis}.",),
    Reason.EMERGENCY_SAID: ("Call {basis}.",),
    Reason.EMERGENCY_NOT_SAID: ("Nobody has noted whom to call there.",),
    Reason.ROAD_NOT_SAID: (
        "Nobody has noted the nearest road for those who come to help: {basis}.",
    ),
    Reason.POSITIONS_GOOD: ("Every position is good to {largest_error}.",),
    Reason.POSITIONS_ROUGH: ("More than {error_limit} out, it may be: {basis}.",),
    Reason.POSITIONS_NOT_SAID: ("Nobody has said how exact the position is: {basis}.",),
    Reason.TIDE_SURE: ("Its curve can be relied on over the trip, without weather.",),
    Reason.SUN_AGREES: (
        "A second computation differs by up to {sun_difference}; {sun_limit} are "
        "allowed.",
    ),
    Reason.SUN_DIFFERS: (
        "A second computation does not agree.",
        "It differs by up to {sun_difference}; {sun_limit} are allowed.",
    ),
    Reason.SUN_NOT_COMPARED: (
        "The Sun neither rises nor sets that day, and there is no twilight to compare.",
    ),
    Reason.CLOCK_STEADY: ("The clock of {basis} does not change on the trip.",),
    Reason.CLOCK_CHANGES: (
        "The clock of {basis} is moved by {clock_step} between the start of the day "
        "and being home.",
    ),
    Reason.REACHES: ("It says every hour of the trip.", _REACHES),
    Reason.FORECAST_ELSEWHERE: (
        "There is a forecast, but for another place, so it does not count.",
    ),
    Reason.FORECAST_OTHER_DAY: (
        "The forecast says no hour of this trip.",
        _REACHES,
    ),
    Reason.DOES_NOT_REACH: (
        "The forecast does not cover the whole trip: {basis}.",
        _REACHES,
    ),
    Reason.FORECAST_GAP: ("Hours are missing in the forecast: {basis}.", _REACHES),
}
