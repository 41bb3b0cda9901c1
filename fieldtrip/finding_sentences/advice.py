"""What would make a finding clear, and remarks that do not change how bad it is."""

from __future__ import annotations

from fieldtrip.safety.finding import Note, Remedy

ADVICE = {
    Remedy.NOTHING: "",
    Remedy.CHANGE_TIMES: "Change the times, or do not go over it.",
    Remedy.RECORD_LEG: "Fill in what is missing about the leg.",
    Remedy.RECORD_PORT: "Fill in what is missing about the tide table's port.",
    Remedy.TYPE_TIDES: (
        "Type the authority's high and low waters for that time and datum."
    ),
    Remedy.RECORD_VANTAGE: "Fill in what is missing about the vantage point.",
    Remedy.CHANGE_STAY: "Change the times of the stay, or stand somewhere higher.",
    Remedy.SAY_FLOODING: (
        "Say on its card how high it lies or from which tide on it floods, or tick "
        "that the sea never reaches it."
    ),
    Remedy.SAY_SEA: "Look up the waves and give the trip its sea state.",
    Remedy.SAY_SHORE: "Say on its card what waves meet there.",
    Remedy.WATCH_SEA: (
        "Watch the sea for 20 to 30 minutes from above first, and keep off in swell."
    ),
    Remedy.NEARER_STATION: (
        "Take a nearer station, or keep more time and height in hand."
    ),
    Remedy.NAME_REFUGE: (
        "Name ground that stays above the highest tide and surge, or do not go."
    ),
    Remedy.VISIT_REFUGE: "Look at the refuge at high water and note the day.",
    Remedy.PLAN_WAY_BACK: "Plan the walk back, or tick that you return another way.",
    Remedy.PLAN_WALKS: "Plan every walk of the trip, there and back.",
    Remedy.PLAN_GAP: (
        "Plan the walk between them, or tick that you know the ground and the time it "
        "takes."
    ),
    Remedy.PLAN_TIMES: "Put the times of the plan right.",
    Remedy.SAY_LATEST_RETURN: "Give the trip a latest return.",
    Remedy.LEAVE_EARLIER: "Leave earlier, or drop the stop.",
    Remedy.KEEP_AWAY: "Keep well back from the edge, or do not go.",
    Remedy.LOOK_AT_EDGE: (
        "Draw the edge, or tick that you looked on the spot and there is none."
    ),
    Remedy.RECORD_EDGE: "Fill in what is missing about the edge or the position.",
    Remedy.CONFIRM_AGAIN: "Look at it again, or ask who knows, and note the day.",
    Remedy.TYPE_FORECAST: "Look up the forecast and type it in.",
    Remedy.WALK_BY_DAY: "Walk it by daylight.",
    Remedy.CARRY_LIGHTS: "Carry lights enough, with spare batteries.",
    Remedy.FILL_IN: "Fill it in, tell the contact, and tick it.",
    Remedy.TELL_SOMEONE: "Tell the contact where, when back and what then; tick it.",
    Remedy.PLAN_GATES: (
        "Set the points at which you decide, with what must be seen and what you do "
        "instead."
    ),
    Remedy.REST_OR_SHARE: "Sleep before the drive, share it, or stay the night.",
    Remedy.SAY_DRIVES: "Fill in when you get up, the drives and the time to kit up.",
    Remedy.PARK_ELSEWHERE: "Start elsewhere, or change the times.",
    Remedy.RECORD_START: "Say where the trip starts, and its hours.",
    Remedy.STAY_OUT: "Keep out, or go when it is open.",
    Remedy.RECORD_CLOSURE: "Ask who knows, and fill in its days or hours.",
    Remedy.ASK_CLOSURES: (
        "Ask what is closed there, record it, or tick that nothing is."
    ),
    Remedy.RENEW_PERMIT: "Ask the owner, and fill in the last day on which it holds.",
    Remedy.ASK_PERMIT: "Ask the owner, record the permit, or tick that none is needed.",
    Remedy.WALK_OUT_EARLIER: "Start the walk out earlier.",
    Remedy.KEEP_FROM_FOOT: (
        "Keep as far from the foot as the cliff is high, or stay away."
    ),
    Remedy.LOOK_ABOVE: (
        "Draw the foot of the cliff, or tick that you looked and none stands above."
    ),
    Remedy.RECORD_FOOT: (
        "Fill in the height of the cliff and how exact the position is."
    ),
    Remedy.SAY_RAIN: (
        "Look up the rain of the last 48 hours and type it on the trip's card."
    ),
    Remedy.TYPE_WAVES: "Look up the waves' height and period and type them.",
    Remedy.KEEP_OFF_SHORE: "Keep off the water's edge until the sea has gone down.",
    Remedy.WAIT_FOR_WIND: "Wait for less wind, or take a sheltered way.",
    Remedy.DRESS_WARM: "Cover all skin, shorten the stays, or wait for milder weather.",
    Remedy.MIND_HEAT: (
        "Look up the humidity, carry water, keep in the shade, or go at another hour."
    ),
    Remedy.KEEP_FROM_THUNDER: (
        "Do not be on open ground then; wait it out under a roof."
    ),
    Remedy.MIND_RAIN: "Mind slippery rock and loose edges, or wait until it is over.",
    Remedy.KEEP_FROM_WATER: "Take a way without the stream, or turn back at it.",
    Remedy.CARRY_MAP: (
        "Carry map, compass and the way on a device, or wait for it to lift."
    ),
    Remedy.SAY_COVERAGE: (
        "Say on the card of the spot or of the location what signal is there."
    ),
    Remedy.TELL_MORE: (
        "Carry a beacon or radio, and tell the contact that you cannot call."
    ),
    Remedy.SAY_EMERGENCY: (
        "Fill in the number to call there and the nearest road, on the location's card."
    ),
    Remedy.MEASURE_AGAIN: (
        "Measure the position again on the spot, and say how exact it is."
    ),
    Remedy.CHECK_SUN_TIMES: "Look the sun times up elsewhere before you rely on them.",
    Remedy.MIND_CLOCK: "Check which clock each time is told in.",
}
NOTES = {
    Note.LARGEST_WEATHER: "The largest weather margin was taken.",
    Note.PRESSURE_RAISED: "Low pressure, {pressure}, lifts the sea further.",
    Note.RUN_UP: "{run_up} more are kept clear for waves that run up.",
    Note.SHORE_NOT_SAID: (
        "Nobody has said what waves meet there; nothing is kept clear for run-up."
    ),
    Note.STATION: "The tide is that of a station {station_distance} away.",
    Note.LEVEL_LOWERED: "It was seen shut at this level, which is below the one typed.",
    Note.LEVEL_RAISED: "It was seen open on three days, so the level was raised.",
    Note.CLIMB_NOT_KNOWN: "The climb is not known and counts as none.",
    Note.GROUND_NOT_KNOWN: (
        "The ground is not known; twice the time on a path is taken."
    ),
    Note.RULE_IS_SLOWER: "The walking rule is slower than the plan and was used.",
    Note.HEADLAND: "On a headland wind counts half as much again.",
    Note.HEADLAND_NOT_SAID: (
        "Nobody has said whether it is on a headland, so wind counts half as much "
        "again."
    ),
    Note.RAIN_BEFORE_NOT_KNOWN: "The rain before is not known, so the edge may be wet.",
    Note.HEAVY_RAIN: "Heavy rain loosens edges.",
    Note.SOFT_ROCK: "The rock is soft.",
    Note.FENCE_OLD: "It is recorded as fenced, which may be so no longer.",
    Note.MODEL_SHOWS_NONE: (
        "The elevation model shows no drop there, but its cells miss edges."
    ),
    Note.FENCE_NOT_SAID: "A fence is not known, so none is counted on.",
    Note.ALONE: "You go alone.",
    Note.NO_CONTACT: "No contact is named.",
    Note.NO_LATEST_RETURN: "There is no latest return.",
    Note.NO_ALARM_TIME: "There is no time at which to raise the alarm.",
    Note.NO_EMERGENCY: "No emergency number and coverage is noted.",
    Note.NO_ALARM_WITH: "Nobody has said whom the contact calls then.",
    Note.WIND_TOWARDS_EDGE: "It blows towards the drop, so it counts a quarter more.",
    Note.MEAN_WIND_ONLY: "No gusts are known; this is the mean wind.",
    Note.WAVES_FROM_NOT_KNOWN: (
        "Which way they come in is not known, so they count as coming straight in."
    ),
    Note.WAVES_OF_TRIP: "The waves are those typed on the trip's card.",
    Note.HUMIDITY_NOT_KNOWN: (
        "The forecast here holds no humidity; humid air makes it worse."
    ),
    Note.CHILL_HEADLAND: "On a headland the wind counts half as much again.",
    Note.IN_DARKNESS: "It is dark as well.",
    Note.CLOSURE_OLD: "Nobody has confirmed it within {confirmed_within}.",
    Note.SUN_ARITHMETIC: (
        "That checks the arithmetic; it says nothing about hills on the horizon, nor "
        "whether the place's time zone is right."
    ),
    Note.TYPED_TOO_LATE: (
        "The time that was typed, {typed}, is later and does not count."
    ),
}
