"""What was found about the sea, edges, daylight, someone told and the forecast.

A sentence that names a number which a finding has not is left out.
"""

from __future__ import annotations

from fieldtrip.safety.finding import Reason

_WINDOW = "With all margins it is open from {opens} to {shuts}."
_STEP_ON = "Step on to it by {latest_start} at the latest."
_MARGINS = (
    "It shuts above {shut_above}; {prediction_margin} for the prediction and "
    "{weather_margin} for the weather are kept clear."
)
_STAND_MARGINS = (
    "It floods above {shut_above}; {prediction_margin} for the prediction and "
    "{weather_margin} for the weather are kept clear."
)
_DRY = "With all margins it is dry from {opens} to {shuts}."
_LEAVE = "Leave by {turn_back} at the latest; the plan leaves at {leave}."
_EDGE = "The edge is {distance} away."
_EDGE_ERROR = "The position may be {position_error} out."
_EDGE_LIMITS = (
    "Keep {edge} back at least, {soft_edge} on soft rock and after heavy rain."
)
_GUST = "Gusts up to {gust}."
_GUST_LIMIT = "From {gust_caution} they upset balance."
_SUN = "The Sun is lowest at {lowest_sun} the horizon."
_SUNSET = "Sunset is at {sunset_at}, civil dusk at {dusk_at}."
_ISSUED = (  # of these, the one whose numbers are there
    "It was issued at {issued}, {age} ago and {lead} before the trip starts.",
    "It was issued at {issued}, {age} ago; the trip began at {began}.",
    "It was issued at {issued}, {age} before the trip ended at {ended}.",
)
_ON_THE_DAY = "Look again on the day: it may be at most {on_the_day} old then."

FOUND: dict[Reason, tuple[str, ...]] = {
    Reason.CONFIRMED: ("Confirmed by {ticked_by} at {ticked}.",),
    Reason.RECORD_GONE: ("The plan points at a record that is no longer there.",),
    Reason.NO_WALKS: ("No walk is planned, so the way there is not checked.",),
    Reason.NO_FORECAST: ("There is no forecast.", _EDGE),
    Reason.NOT_CONCERNED: ("Nothing in this plan concerns it.",),
    Reason.OPEN: (
        "Open with all margins from {opens} to {shuts}.",
        "The tide reaches {highest} while you cross.",
        _MARGINS,
        _STEP_ON,
    ),
    Reason.ODD_TIDE: (
        "The tide rises or falls there for less than 5 or more than 7 hours, so its "
        "times are rough.",
        _WINDOW,
        _STEP_ON,
        _LEAVE,
    ),
    Reason.SHUT: (
        "The sea shuts it: the tide reaches {highest} while you cross, and it shuts "
        "above {shut_above}.",
        _WINDOW,
    ),
    Reason.NO_MARGIN: (
        "It would only just do: the tide reaches {highest} while you cross.",
        _MARGINS,
        _WINDOW,
    ),
    Reason.NO_RESERVE: (
        "You would be off it less than {reserve} before it shuts.",
        _WINDOW,
        "Crossing takes {crossing_time}.",
        _STEP_ON,
    ),
    Reason.TIDAL_NOT_SAID: ("Nobody has said whether the sea can shut this leg.",),
    Reason.TIME_NOT_KNOWN: (
        "Crossing may take longer than the {crossing_time} that were reckoned.",
        _WINDOW,
    ),
    Reason.LEVEL_NOT_KNOWN: ("The water level that shuts it is not known.",),
    Reason.DATUM_NOT_SAID: (
        "Its closing level does not say from which datum it counts.",
    ),
    Reason.DATUM_DIFFERS: (
        "Its closing level and the tide table count from different datums, or from "
        "the datum of another port, which is not the same level here.",
    ),
    Reason.NO_TABLE: ("There is no tide table.",),
    Reason.OUTSIDE_TABLE: ("The tide table does not reach over this walk.",),
    Reason.EXPOSURE_NOT_SAID: (
        "Nobody has said how far the weather can lift the sea at this port.",
        "The tide reaches {highest} while you cross.",
        _MARGINS,
    ),
    Reason.PORT_DISTORTED: (
        "The port is shallow or lies in an estuary: its tide between high and low "
        "water cannot be told from the table.",
    ),
    Reason.PORT_NOT_SAID: (
        "Nobody has said whether the port is shallow or lies in an estuary, where "
        "the tide between high and low water cannot be told from the table.",
    ),
    Reason.GAP_IN_TABLE: (
        "The table's high and low waters lie less than 3 or more than 16 hours apart "
        "there, so nothing can be told between them.",
    ),
    Reason.ROUGH_CURVE: (
        "The station's curve is rough: it may be wrong by {prediction_margin}.",
        _WINDOW,
        _STEP_ON,
    ),
    Reason.CURVE_LACKS: (
        "The station's curve is not to be relied on: not all of M2, S2, N2, K1 and O1 "
        "are among its constants.",
    ),
    Reason.SHORE_NOT_SAID: (
        "By the tide alone it would be open with all margins from {opens} to {shuts}.",
    ),
    Reason.SEA_NOT_SAID: (
        "Nobody has said how the sea will be, so {run_up} are kept clear for waves "
        "that run up.",
        "The tide reaches {highest} in that time.",
    ),
    Reason.ROCK_PLATFORM: (
        "On a rock platform no figure tells how far waves reach.",
        "The tide reaches {highest} in that time.",
    ),
    Reason.STATION_FAR: (
        "The tide station is {station_distance} away, so times and heights may differ "
        "at this place.",
        _WINDOW,
        _STEP_ON,
    ),
    Reason.STATION_TOO_FAR: (
        "The tide station is {station_distance} away: its tide tells nothing about "
        "this place.",
    ),
    Reason.STATION_BEYOND_HEADLAND: (
        "The tide station lies round a headland or behind a bar, or nobody has said "
        "that it does not.",
        _WINDOW,
        _STEP_ON,
    ),
    Reason.STATION_PLACE_NOT_SAID: (
        "Nobody has said where the tide station lies, so it may be far away.",
        _WINDOW,
    ),
    Reason.STAND_DRY: (
        "Dry with all margins from {opens} to {shuts}.",
        "The tide reaches {highest} while you stand there.",
        _STAND_MARGINS,
    ),
    Reason.STAND_FLOODED: (
        "The sea floods it: the tide reaches {highest} while you stand there, and it "
        "floods above {shut_above}.",
        _DRY,
    ),
    Reason.STAND_NO_MARGIN: (
        "It would only just do: the tide reaches {highest} while you stand there.",
        _STAND_MARGINS,
        _DRY,
    ),
    Reason.STAND_NO_RESERVE: (
        "You would be gone less than {reserve} before it floods.",
        _DRY,
    ),
    Reason.STAND_LEVEL_NOT_SAID: (
        "Nobody has said from which tide on the sea floods it.",
        "It lies {ground} above mean sea level.",
        "Only ground of {low_ground} and more is taken for dry.",
    ),
    Reason.BACK_PLANNED: ("It is walked back; the last walk starts at {last_walk}.",),
    Reason.BACK_CROSSING: (
        "A walk back starts at {last_walk}; it is no better than what “Tide crossing” "
        "says of that walk.",
    ),
    Reason.NO_WAY_BACK: (
        "You end up beyond the crossing, and no walk back over it is planned.",
    ),
    Reason.REFUGE_DRY: ("There is a refuge that stays dry: {basis}.",),
    Reason.REFUGE_STALE: (
        "The refuge was last confirmed more than {confirmed_within} before the "
        "trip: {basis}.",
    ),
    Reason.NO_REFUGE: ("The crossing names no refuge.",),
    Reason.REFUGE_NOT_SAID: ("Nobody has said whether {basis} stays dry.",),
    Reason.REFUGE_FLOODS: ("The refuge that is named does not stay dry: {basis}.",),
    Reason.REFUGE_NOT_CONFIRMED: ("Nobody has confirmed the refuge {basis}.",),
    Reason.WAY_WITHOUT_GAP: (
        "Every walk and stay begins where the one before it ends.",
    ),
    Reason.WAY_OVERLAPS: (
        "One begins at {begins}, before the other is over at {ends}.",
    ),
    Reason.WAY_OTHER_DAY: (
        "What is planned goes from {begins} to {ends}, which is not the trip's day.",
    ),
    Reason.WAY_GAP: (
        "The trip goes on {gap} away, and no walk is planned between; the checks know "
        "nothing of that ground.",
    ),
    Reason.IN_TIME: (_LEAVE,),
    Reason.TOO_LATE: ("The plan is too late to get back in time.", _LEAVE),
    Reason.WALK_TOO_LATE: (
        "A walk back starts at {late_walk}; {late_walk_by} is the latest.",
    ),
    Reason.BACK_SHUT: ("The way back is not open with all margins by then.",),
    Reason.NO_STOPS: ("No stop is planned, so there is no time to leave it by.",),
    Reason.NO_WALK_AFTER: ("No walk back is planned from here.",),
    Reason.NO_LATEST_RETURN: (
        "The trip has no latest return.",
        "The sea alone asks you to leave by {turn_back}.",
    ),
    Reason.BACK_ODD: (
        "A tide on the way back is to be taken with care; see “Tide crossing”.",
        _LEAVE,
    ),
    Reason.BACK_NOT_KNOWN: (
        "A leg on the way back is not known well enough to say when to leave.",
        "On what is known, leave by {turn_back}.",
    ),
    Reason.EDGE_CLEAR: (
        _EDGE,
        _EDGE_ERROR,
        _EDGE_LIMITS,
        _GUST,
        _GUST_LIMIT,
    ),
    Reason.EDGE_NEAR: (
        _EDGE,
        _EDGE_ERROR,
        "Keep {edge} back at least.",
        _GUST,
    ),
    Reason.EDGE_SOFT: (
        _EDGE,
        _EDGE_ERROR,
        "On soft rock and after heavy rain keep {soft_edge} back at least.",
        "Rain in the 24 hours before: {rain_before}.",
    ),
    Reason.GUST_CAUTION: (_GUST, _GUST_LIMIT, _EDGE),
    Reason.GUST_STOP: (_GUST, "From {gust_stop} nobody belongs near an edge.", _EDGE),
    Reason.GUST_NOT_KNOWN: (
        "The forecast does not give the gusts for all of that time.",
        _EDGE,
    ),
    Reason.RAIN_NOT_KNOWN: (
        "The forecast does not say how much rain there is, which loosens edges.",
        _EDGE,
    ),
    Reason.SOFT_NOT_SAID: ("Nobody has said whether the edge is soft.", _EDGE),
    Reason.POSITION_ERROR_NOT_SAID: (
        "Nobody has said how exact the vantage point's position is.",
        _EDGE,
    ),
    Reason.EDGE_FENCED: ("The edge is fenced.", _EDGE),
    Reason.EDGE_STALE: (
        "The record of the edge is old: last confirmed more than {confirmed_within} "
        "before the trip.",
        _EDGE,
        _EDGE_ERROR,
        _EDGE_LIMITS,
        _GUST,
        _GUST_LIMIT,
    ),
    Reason.EDGE_NEVER_CONFIRMED: (
        "Nobody has confirmed the record of the edge.",
        _EDGE,
        _EDGE_ERROR,
        _EDGE_LIMITS,
        _GUST,
        _GUST_LIMIT,
    ),
    Reason.EDGE_RECORD_OLD: (
        "A cliff edge within {edge_zone} is on the map, but nobody has confirmed it "
        "within {confirmed_within} before the trip.",
    ),
    Reason.EDGE_RECORDED: ("A cliff edge within {edge_zone} is on the map.",),
    Reason.NO_EDGE_RECORDED: (
        "No cliff edge within {edge_zone} is on the map, which does not mean that "
        "there is none.",
    ),
    Reason.EDGE_IN_MODEL_ONLY: (
        "The elevation model shows a drop of {drop}, and no cliff edge within "
        "{edge_zone} is on the map. Its cells may miss others.",
    ),
    Reason.BY_DAY: ("Walked by daylight.", _SUNSET),
    Reason.DARK_BUT_EASY: (
        "Walked after sunset, on a leg that is not exposed and known by daylight.",
        _SUNSET,
    ),
    Reason.AFTER_SUNSET: ("Walked after sunset, before civil dusk.", _SUN, _SUNSET),
    Reason.AFTER_SUNSET_OVERCAST: (
        "Walked after sunset under {cloud} of cloud, when dusk is as dark as night.",
        _SUNSET,
    ),
    Reason.AFTER_SUNSET_NO_FORECAST: (
        "Walked after sunset, and no forecast says how dark the cloud makes it.",
        _SUNSET,
    ),
    Reason.IN_THE_DARK: ("Walked in the dark.", _SUN, _SUNSET),
    Reason.NEVER_BY_DAY: (
        "Walked in the dark, and not known to have been walked by daylight.",
        _SUN,
        _SUNSET,
    ),
    Reason.EXPOSED_NOT_SAID: (
        "Walked after sunset, and nobody has said whether the leg is exposed or for "
        "daylight only.",
        _SUNSET,
    ),
    Reason.LIGHTS_ENOUGH: ("{lights} carried; {lights_needed} needed after sunset.",),
    Reason.LIGHTS_TOO_FEW: (
        "Only {lights} carried; {lights_needed} needed after sunset.",
    ),
    Reason.LIGHTS_NOT_SAID: (
        "Nobody has said how many lights are carried; {lights_needed} needed after "
        "sunset.",
    ),
    Reason.LIGHTS_NOT_NEEDED: ("No walk is planned after sunset.",),
    Reason.TOLD_INCOMPLETE: ("Not all is written down that a contact needs.",),
    Reason.NOT_TICKED: ("Nobody has ticked that the contact was told: {basis}.",),
    Reason.ALL_CONFIRMED: (
        "Every hazard and access note was confirmed within {confirmed_within} before "
        "the trip.",
    ),
    Reason.HAZARDS_OLD: (
        "Not confirmed within {confirmed_within} before the trip: {basis}.",
    ),
    Reason.NOTES_OLD: (
        "Older than {confirmed_within} on the day of the trip, or due to be looked at "
        "again: {basis}.",
    ),
    Reason.FRESH: (*_ISSUED, _ON_THE_DAY),
    Reason.OLD: (
        *_ISSUED,
        "After {age_limit} it should be looked up again.",
        _ON_THE_DAY,
    ),
    Reason.FROM_THE_FUTURE: (
        "The forecast is said to be issued at {issued}, which is later than now.",
    ),
}
