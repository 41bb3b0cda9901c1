"""What the tide does on one day at one location, for the strip and the Tide page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from itertools import pairwise
from uuid import UUID

from fieldtrip.almanac.tide_doubt import Doubt, doubt_about
from fieldtrip.places.records import Leg, VantagePoint, WantedTurn
from fieldtrip.safety.crossings import is_tidal
from fieldtrip.safety.finding import Reason
from fieldtrip.tides.curve import Confidence
from fieldtrip.tides.harmonic import HarmonicCurve
from fieldtrip.tides.margins import Margins
from fieldtrip.tides.records import Turn
from fieldtrip.tides.sources import TideSource
from fieldtrip.times import Span, local_date
from fieldtrip.trips.crossing_level import (
    LevelInForce,
    as_told_now,
    level_in_force,
)
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Trip
from fieldtrip.trips.tide_sources import (
    same_datum,
    source_for,
    sources_in_force,
    sources_of,
)
from fieldtrip.trips.waves import WaveMargin, wave_margin
from fieldtrip.weather.records import Forecast

WEATHER = "Predictions exclude weather and sea state."
ROCK = (
    "On a rock platform no figure tells how far waves reach: watch the sea for 20 to "
    "30 minutes from above first."
)
_AROUND = timedelta(days=2)
_AROUND_IN_TABLE = timedelta(days=20)  # where turns are missing, the next are far


@dataclass(frozen=True, slots=True)
class TideFacts:
    """What the tide of one day at one location rests on."""

    dossier: Dossier
    day: Span
    sources: tuple[TideSource, ...]
    trip: Trip | None  # of that day: it says what the sea will be
    pressure_hpa: float | None
    margins: Margins

    @property
    def source(self) -> TideSource | None:
        """The source to show."""
        return source_for(self.sources, self.day)


@dataclass(frozen=True, slots=True)
class LegTide:
    """When the tide leaves one leg passable on a day, or why that is not known."""

    leg: Leg
    level: LevelInForce
    waves: WaveMargin
    sources: tuple[TideSource, ...] = ()  # it rests on
    windows: tuple[Span, ...] = ()  # with all margins
    bare: tuple[Span, ...] = ()  # by the predicted curve alone
    unknown: str = ""  # why nothing can be said; then there are no windows
    is_part: bool = False  # nothing is known for the hours outside the table
    doubt: Doubt | None = None  # what the checks hold against the windows

    @property
    def is_known(self) -> bool:
        """Whether it may be called open in its windows, if only with care."""
        return not self.unknown and (self.doubt is None or self.doubt.is_known)


@dataclass(frozen=True, slots=True)
class StandTide:
    """When a vantage point stays dry on a day, and when its picture has its water."""

    vantage: VantagePoint
    waves: WaveMargin
    sources: tuple[TideSource, ...] = ()
    dry: tuple[Span, ...] | None = None  # with all margins; None: no level given
    wanted: tuple[Span, ...] | None = None  # by the bare curve; None: nothing wanted
    unknown: str = ""
    is_part: bool = False
    doubt: Doubt | None = None  # what the checks hold against the dry hours

    @property
    def is_known(self) -> bool:
        """Whether the spans say anything."""
        return not self.unknown

    @property
    def is_dry_known(self) -> bool:
        """Whether it may be called dry in its dry hours, if only with care."""
        return self.is_known and (self.doubt is None or self.doubt.is_known)


def tide_facts(
    dossier: Dossier, day: Span, margins: Margins, trip: Trip | None = None
) -> TideFacts:
    """Look up what a day rests on; without a trip, the only one of that day.

    Of several, none is taken: each may say another sea.
    """
    civil_day = local_date(day.start, dossier.location.zone)
    if trip is None or trip.day != civil_day:
        on_day = [t for t in dossier.trips if t.day == civil_day]
        trip = on_day[0] if len(on_day) == 1 else None
    return TideFacts(
        dossier,
        day,
        sources_of(dossier),
        trip,
        lowest_pressure_hpa(dossier.forecasts, day),
        margins,
    )


def turn_pairs(source: TideSource, day: Span) -> list[tuple[Turn, Turn]]:
    """The rises and falls that have a part of a day, each as its two turns."""
    around = _AROUND if source.reach is None else _AROUND_IN_TABLE
    turns = source.curve.turns(Span(day.start - around, day.stop + around))
    return [
        (before, after)
        for before, after in pairwise(turns)
        if before.instant < day.stop and after.instant > day.start
    ]


def confidence_of(source: TideSource, pair: tuple[Turn, Turn]) -> Confidence:
    """How far the curve between two turns that follow each other can be relied on."""
    return source.curve.confidence(_middle(pair))


def prediction_margins_m(
    source: TideSource, day: Span, margins: Margins
) -> tuple[float, ...]:
    """The margins for the prediction of a day's rises and falls."""
    if isinstance(source.curve, HarmonicCurve):
        return (source.curve.prediction_margin_m(day, margins),)
    return tuple(
        source.curve.prediction_margin_m(_middle(pair), margins)
        for pair in turn_pairs(source, day)
    )


def worst_confidence(source: TideSource, day: Span) -> Confidence:
    """The least reliable part of a day's curve."""
    if isinstance(source.curve, HarmonicCurve):
        return source.curve.confidence(day)
    found = {confidence_of(source, pair) for pair in turn_pairs(source, day)}
    for confidence in (Confidence.UNKNOWN, Confidence.LOW):
        if confidence in found:
            return confidence
    return Confidence.GOOD if found else Confidence.UNKNOWN


def lowest_pressure_hpa(forecasts: Sequence[Forecast], day: Span) -> float | None:
    """The lowest pressure typed for a day; None where none was."""
    found = [
        hour.pressure_hpa
        for forecast in forecasts
        for hour in forecast.hours
        if hour.pressure_hpa is not None and day.contains(hour.instant)
    ]
    return min(found, default=None)


def legs_in_question(
    dossier: Dossier, trip: Trip | None, leg_id: UUID | None
) -> tuple[Leg, ...]:
    """The legs whose tide matters: the chosen one, the trip's, or all of the location.

    Legs that the sea surely never shuts are left out; of a trip, those of which
    nobody said so stay in.
    """
    chosen = tuple(leg for leg in dossier.legs if leg.id == leg_id and is_tidal(leg))
    if chosen:
        return chosen
    if trip is not None:
        walked = {walk.leg_id for walk in dossier.walks_of(trip)}
        crossed = tuple(leg for leg in dossier.legs if leg.id in walked)
        if any(_is_said_tidal(leg) for leg in crossed):
            return tuple(leg for leg in crossed if is_tidal(leg))
    return tuple(leg for leg in dossier.legs if _is_said_tidal(leg))


def stands_in_question(
    dossier: Dossier, trip: Trip | None, vantage_id: UUID | None
) -> tuple[VantagePoint, ...]:
    """The vantage points whose water matters: the chosen one, or those of the trip.

    Only those that have a level of some sort.
    """
    stops = () if trip is None else dossier.stops_of(trip)
    wanted = {vantage_id, *(stop.vantage_point_id for stop in stops)}
    return tuple(v for v in dossier.vantage_points if v.id in wanted and has_level(v))


def has_level(vantage: VantagePoint) -> bool:
    """Whether the tide is said to matter at a vantage point."""
    return any(
        level is not None
        for level in (
            vantage.flooded_above_m,
            vantage.wanted_above_m,
            vantage.wanted_below_m,
        )
    )


def leg_tide(leg: Leg, facts: TideFacts) -> LegTide:
    """When a leg is passable on a day, with all margins and without any.

    Where several tables of its datum have a part of the day, it is open only
    when it is by each of them.  What the checks would not call open is in doubt.
    """
    day, zone = facts.day, facts.dossier.location.zone
    seen = as_told_now(facts.dossier.observations, facts.sources)
    level = level_in_force(leg, seen, day.stop, zone)
    waves = wave_margin(leg.shore, leg.beach_slope, facts.trip)
    blank = LegTide(leg, level, waves)
    if not _is_said_tidal(leg):
        return _without(blank, "Nobody said whether the sea can shut it.")
    if level.level_m is None:
        return _without(blank, "The water level that shuts it is not written down.")
    fitting, unknown = _fitting(facts, leg.shut_datum, "closing")
    if waves.is_rock and not unknown:
        unknown = ROCK
    if unknown:
        return _without(blank, unknown)
    opened = _open(facts, fitting, level.level_m, waves)
    bare = common(
        [[w.span for w in s.curve.windows_below(level.level_m, day)] for s in fitting]
    )
    return LegTide(
        leg,
        level,
        waves,
        fitting,
        opened,
        bare,
        is_part=all(not source.covers(day) for source in fitting),
        doubt=doubt_about(
            level.level_m,
            leg.shut_datum,
            waves,
            facts.dossier,
            facts.trip,
            facts.sources,
            opened,
            bare,
            facts.margins,
            Reason.TIDAL_NOT_SAID if leg.is_tidal is None else None,
        ),
    )


def stand_tide(vantage: VantagePoint, facts: TideFacts) -> StandTide:
    """When a vantage point is dry with all margins, and when its water is wanted."""
    waves = wave_margin(vantage.shore, vantage.beach_slope, facts.trip)
    fitting, unknown = _fitting(facts, vantage.level_datum, "tide")
    flooded_m = vantage.flooded_above_m
    if waves.is_rock and flooded_m is not None and not unknown:
        unknown = ROCK
    if unknown:
        return StandTide(vantage, waves, unknown=unknown)
    dry = None if flooded_m is None else _open(facts, fitting, flooded_m, waves)
    doubt = None
    if flooded_m is not None and dry:
        doubt = doubt_about(
            flooded_m,
            vantage.level_datum,
            waves,
            facts.dossier,
            facts.trip,
            facts.sources,
            dry,
            (),
            facts.margins,
        )
    return StandTide(
        vantage,
        waves,
        fitting,
        dry,
        _wanted(vantage, fitting, facts.day),
        is_part=all(not source.covers(facts.day) for source in fitting),
        doubt=doubt,
    )


def common(spans: Sequence[Sequence[Span]]) -> tuple[Span, ...]:
    """The spans that lie in one span of each list."""
    if not spans:
        return ()
    found = list(spans[0])
    for others in spans[1:]:
        found = [
            Span(max(a.start, b.start), min(a.stop, b.stop))
            for a in found
            for b in others
            if a.overlaps(b)
        ]
    return tuple(found)


def without(spans: Sequence[Span], taken: Sequence[Span]) -> tuple[Span, ...]:
    """What is left of some spans when others are cut out of them."""
    left = list(spans)
    for cut in taken:
        left = [
            piece
            for span in left
            for piece in (
                Span(span.start, min(span.stop, cut.start)),
                Span(max(span.start, cut.stop), span.stop),
            )
            if piece.start < piece.stop
        ]
    return tuple(left)


def why_no_curve(source: TideSource, margins: Margins) -> str:
    """Why nothing is told between the turns of a source that is not relied on."""
    if isinstance(source.curve, HarmonicCurve):
        margin_m = source.curve.prediction_margin_m(None, margins)
        return f"The station's curve may be wrong by {margin_m:.2f} m."
    if source.is_distorted:
        return (
            "The port is shallow or estuarine: no curve between the turns "
            "can be relied on."
        )
    return "Nobody said whether the port is shallow or estuarine."


def _open(
    facts: TideFacts,
    sources: Sequence[TideSource],
    level_m: float,
    waves: WaveMargin,
) -> tuple[Span, ...]:
    """When the water stays below a level with all margins, by every source."""
    margins, kept_m = facts.margins, level_m - waves.margin_m
    return common(
        [
            [
                window.span
                for window in source.curve.passable_windows(
                    kept_m,
                    facts.day,
                    margins,
                    margins.weather_m(source.exposure, facts.pressure_hpa),
                )
            ]
            for source in sources
        ]
    )


def _wanted(
    vantage: VantagePoint, sources: Sequence[TideSource], day: Span
) -> tuple[Span, ...] | None:
    """When the bare curve has the water that a picture wants."""
    above_m, below_m = vantage.wanted_above_m, vantage.wanted_below_m
    if above_m is None and below_m is None:
        return None
    found: list[Sequence[Span]] = []
    for source in sources:
        found.append([source.part(day)])
        if above_m is not None:
            found.append([w.span for w in source.curve.windows_above(above_m, day)])
        if below_m is not None:
            found.append([w.span for w in source.curve.windows_below(below_m, day)])
        if vantage.wanted_turn is not WantedTurn.EITHER:
            is_rising = vantage.wanted_turn is WantedTurn.RISING
            found.append(
                [
                    Span(before.instant, after.instant)
                    for before, after in turn_pairs(source, day)
                    if after.is_high == is_rising
                ]
            )
    return common(found)


def _fitting(
    facts: TideFacts, datum: str, kind: str
) -> tuple[tuple[TideSource, ...], str]:
    """The sources that a level can be held against, or why there are none."""
    day, covering = facts.day, [s for s in facts.sources if s.has_part(facts.day)]
    if not covering:
        return (), "There is no tide table for this day."
    if not datum.strip():
        return (), f"The datum of its {kind} level is not written down."
    fitting = sources_in_force(tuple(covering), day, datum)
    if not fitting:
        if same_datum(covering[-1].datum, datum):
            return (), (
                "The tide station lies too far away, or nobody said where, so its "
                f"“{covering[-1].datum}” is not that of this place."
            )
        word = "tide station" if covering[-1].is_station else "tide table"
        return (), (
            f"Its {kind} level counts from “{datum}”, the {word} from "
            f"“{covering[-1].datum}”."
        )
    if len(fitting) > 1:
        fitting = tuple(s for s in fitting if s.covers(day)) or fitting
    for source in fitting:
        if worst_confidence(source, day) is Confidence.UNKNOWN:
            return (), why_no_curve(source, facts.margins)
    return fitting, ""


def _middle(pair: tuple[Turn, Turn]) -> Span:
    before, after = pair
    middle = before.instant + (after.instant - before.instant) / 2
    return Span(middle, middle)


def _without(blank: LegTide, unknown: str) -> LegTide:
    return LegTide(blank.leg, blank.level, blank.waves, unknown=unknown)


def _is_said_tidal(leg: Leg) -> bool:
    return leg.is_tidal is True or leg.shut_above_m is not None
