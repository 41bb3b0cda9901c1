"""The tide below a level over a span: windows, margins, and what is not known.

Shared by crossings and by spots that the sea floods, so that they cannot differ.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

import numpy as np

from fieldtrip.safety.finding import Note, Number, Reason, Severity
from fieldtrip.safety.limits import Limits
from fieldtrip.tides.curve import Confidence
from fieldtrip.tides.harmonic import HarmonicCurve
from fieldtrip.tides.records import Exposure
from fieldtrip.tides.sources import TideSource, lacking_of
from fieldtrip.tides.windows import Window
from fieldtrip.times import Span, instants, to_instant
from fieldtrip.trips.plan import TripFacts
from fieldtrip.trips.tide_sources import (
    FAR_M,
    counts_from,
    distance_to_m,
    is_out_of_reach,
)
from fieldtrip.trips.waves import WaveMargin
from fieldtrip.weather.hours import smallest

_AROUND = timedelta(days=2)  # windows are not cut off near the span
_STEP = timedelta(minutes=5)


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelTide:
    """What one source says about the water and a level over a span.

    Every sort of window is in order of time; `safe` has all margins, `loosest`
    the smallest margins that what is not known leaves possible.
    """

    span: Span
    source: TideSource
    level_m: float
    waves: WaveMargin
    bare: tuple[Window, ...]
    safe: tuple[Window, ...]
    loosest: tuple[Window, ...]
    confidence: Confidence
    highest_m: float  # the tide at its highest in the span
    prediction_margin_m: float  # the largest that applies in the span
    weather_margin_m: float
    pressure_hpa: float | None  # where it made that margin larger
    station_m: float | None  # how far away the station is; None: not said, or a table
    is_beyond_headland: bool | None  # the station; None: not said

    def last_opened(self, windows: tuple[Window, ...]) -> Window | None:
        """The last window to open by the span's start; None if none has."""
        opened = [w for w in windows if w.start <= self.span.start]
        return opened[-1] if opened else None

    @property
    def is_known(self) -> bool:
        """Whether nothing that can make it worse is left unsaid."""
        return (
            self.confidence is not Confidence.UNKNOWN
            and self.source.exposure is not None
            and self.waves.is_shore_said
            and self.waves.is_sea_said
            and not self.waves.is_rock
            and not is_out_of_reach(self.source)
        )

    @property
    def is_odd(self) -> bool:
        """Whether it is known, and yet to be taken with care."""
        return self.confidence is Confidence.LOW or self.is_station_odd

    @property
    def is_station_odd(self) -> bool:
        """Whether its station is far, or round a headland for all that was said."""
        if not self.source.is_station:
            return False
        is_far = self.station_m is not None and self.station_m > FAR_M
        return is_far or self.is_beyond_headland is not False


def level_tides(
    span: Span,
    level_m: float,
    datum: str,
    waves: WaveMargin,
    facts: TripFacts,
    limits: Limits,
) -> tuple[tuple[LevelTide, ...], Reason | None]:
    """What every source in force says about a level, or why there is none.

    A source fits that counts its heights from the level's datum and reaches over
    the span; of several, a station among them, each is heard and the worst counts.
    """
    if not datum.strip():
        return (), Reason.DATUM_NOT_SAID
    if not facts.tide_sources:
        return (), Reason.NO_TABLE
    covering = tuple(s for s in facts.tide_sources if s.covers(span))
    if not covering:
        return (), Reason.OUTSIDE_TABLE
    fitting = tuple(s for s in covering if counts_from(s, datum))
    if not fitting:
        return (), Reason.DATUM_DIFFERS
    return tuple(_tide(span, level_m, waves, s, facts, limits) for s in fitting), None


def inside(windows: tuple[Window, ...], span: Span) -> Window | None:
    """The window in which a span lies whole, or None."""
    for window in windows:
        if window.start <= span.start and span.stop <= window.stop:
            return window
    return None


def judge(
    tide: LevelTide, limits: Limits, not_said: Reason | None = None
) -> tuple[Severity, Reason]:
    """A proven stop first, then what is not known, then what is merely odd.

    `not_said` is what else is not known, and keeps it from being clear.
    """
    span, windows = tide.span, tide.safe
    if inside(tide.bare, span) is None:
        return Severity.STOP, Reason.SHUT
    if inside(tide.loosest, span) is None:
        return Severity.STOP, Reason.NO_MARGIN
    window = inside(windows, span)
    if window is None:
        return Severity.UNKNOWN, _margin_not_said(tide)
    if span.stop + limits.tide_reserve > window.stop:
        if window.is_open_at_stop:
            return Severity.UNKNOWN, Reason.OUTSIDE_TABLE
        if _is_proven_late(tide, limits):
            return Severity.STOP, Reason.NO_RESERVE
        return Severity.UNKNOWN, _margin_not_said(tide)
    if not_said is not None:
        return Severity.UNKNOWN, not_said
    if tide.source.exposure is None or not tide.waves.is_sea_said:
        return Severity.UNKNOWN, _margin_not_said(tide)
    if not tide.waves.is_shore_said:
        return Severity.UNKNOWN, Reason.SHORE_NOT_SAID
    if tide.waves.is_rock:
        return Severity.UNKNOWN, Reason.ROCK_PLATFORM
    match tide.confidence:
        case Confidence.UNKNOWN:
            return Severity.UNKNOWN, no_curve_reason(tide.source)
        case Confidence.LOW if isinstance(tide.source.curve, HarmonicCurve):
            return Severity.CAUTION, Reason.ROUGH_CURVE
        case Confidence.LOW:
            return Severity.CAUTION, Reason.ODD_TIDE
    if tide.source.is_station and tide.station_m is None:
        return Severity.UNKNOWN, Reason.STATION_PLACE_NOT_SAID
    if is_out_of_reach(tide.source):
        return Severity.UNKNOWN, Reason.STATION_TOO_FAR
    if tide.is_station_odd:
        is_far = tide.station_m is not None and tide.station_m > FAR_M
        return Severity.CAUTION, (
            Reason.STATION_FAR if is_far else Reason.STATION_BEYOND_HEADLAND
        )
    return Severity.CLEAR, Reason.OPEN


def level_numbers(tide: LevelTide, limits: Limits) -> list[Number]:
    """The heights and margins that a finding about a level rests on."""
    numbers = [
        Number("shut_above", tide.level_m, "m", is_limit=True),
        Number("highest", tide.highest_m, "m"),
        Number("prediction_margin", tide.prediction_margin_m, "m", is_limit=True),
        Number("weather_margin", tide.weather_margin_m, "m", is_limit=True),
        Number("reserve", limits.tide_reserve.total_seconds() / 60, "min", True),
    ]
    if tide.waves.margin_m > 0.0:
        numbers.append(Number("run_up", tide.waves.margin_m, "m", is_limit=True))
    if tide.pressure_hpa is not None:
        numbers.append(Number("pressure", tide.pressure_hpa, "hPa"))
    if tide.station_m is not None:
        numbers.append(Number("station_distance", tide.station_m, "m"))
    return numbers


def level_notes(tide: LevelTide) -> tuple[Note, ...]:
    """Remarks on the margins."""
    notes: tuple[Note, ...] = ()
    if tide.source.exposure is None:
        notes += (Note.LARGEST_WEATHER,)
    if tide.pressure_hpa is not None:
        notes += (Note.PRESSURE_RAISED,)
    if tide.waves.margin_m > 0.0:
        notes += (Note.RUN_UP,)
    if not tide.waves.is_shore_said:
        notes += (Note.SHORE_NOT_SAID,)
    if tide.source.is_station:
        notes += (Note.STATION,)
    return notes


def basis_of(source: TideSource) -> str:
    """What a finding rests on, in a line."""
    origin = source.origin
    if source.is_station:
        origin = f"{origin}, {source.kind}"
    lacking = lacking_of(source.curve)
    if lacking:
        origin = f"{origin}, without {', '.join(lacking)}"
    return f"{source.name}, {source.datum} ({origin})"


def nearest_window(tide: LevelTide) -> Window | None:
    """The window with all margins that lies nearest to the span's start."""
    start = tide.span.start
    return min(
        tide.safe, key=lambda w: max(w.start - start, start - w.stop), default=None
    )


def _margin_not_said(tide: LevelTide) -> Reason:
    if tide.source.exposure is None:
        return Reason.EXPOSURE_NOT_SAID
    return Reason.SEA_NOT_SAID


def no_curve_reason(source: TideSource) -> Reason:
    """Why a curve whose confidence is not known tells nothing."""
    if lacking_of(source.curve):
        return Reason.CURVE_LACKS
    if isinstance(source.curve, HarmonicCurve):
        return Reason.ROUGH_CURVE
    if source.is_distorted:
        return Reason.PORT_DISTORTED
    if source.is_distorted is None:
        return Reason.PORT_NOT_SAID
    return Reason.GAP_IN_TABLE


def _is_proven_late(tide: LevelTide, limits: Limits) -> bool:
    """Whether the reserve is missing even with the smallest possible margins."""
    window = inside(tide.loosest, tide.span)
    return window is None or tide.span.stop + limits.tide_reserve > window.stop


def _tide(
    span: Span,
    level_m: float,
    waves: WaveMargin,
    source: TideSource,
    facts: TripFacts,
    limits: Limits,
) -> LevelTide:
    around = Span(span.start - _AROUND, span.stop + _AROUND)
    pressure_hpa = _pressure_hpa(facts, span)
    margins, curve = limits.margins, source.curve
    weather_m = margins.weather_m(source.exposure, pressure_hpa)
    least_m = weather_m
    if source.exposure is None:
        least_m = _calmest_m(limits, pressure_hpa)
    with_reserve = source.part(Span(span.start, span.stop + limits.tide_reserve))
    return LevelTide(
        span=span,
        source=source,
        level_m=level_m,
        waves=waves,
        bare=curve.windows_below(level_m, around),
        safe=curve.passable_windows(
            level_m - waves.margin_m, around, margins, weather_m
        ),
        loosest=curve.passable_windows(
            level_m - waves.least_m, around, margins, least_m
        ),
        confidence=curve.confidence(with_reserve),
        highest_m=_highest_m(source, span),
        prediction_margin_m=curve.prediction_margin_m(with_reserve, margins),
        weather_margin_m=weather_m,
        pressure_hpa=pressure_hpa
        if weather_m > margins.weather_m(source.exposure)
        else None,
        station_m=distance_to_m(facts.location, source),
        is_beyond_headland=facts.location.is_station_beyond_headland,
    )


def _calmest_m(limits: Limits, pressure_hpa: float | None) -> float:
    return min(limits.margins.weather_m(e, pressure_hpa) for e in Exposure)


def _highest_m(source: TideSource, span: Span) -> float:
    """The tide at its highest in a span that the source reaches over."""
    at = np.append(instants(span.start, span.stop, _STEP), to_instant(span.stop))
    turned = [turn.height_m for turn in source.curve.turns(span)]
    return max([*turned, float(np.max(source.curve.heights_m(at)))])


def _pressure_hpa(facts: TripFacts, span: Span) -> float | None:
    if facts.forecast is None:
        return None
    return smallest(facts.forecast.hours, span, lambda h: h.pressure_hpa).value
