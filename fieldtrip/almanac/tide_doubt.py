"""Whether an opening by the tide can be relied on: judged as the checks judge it.

Strip, map and Tide page ask the rule that the checks ask, so that none of them
calls a way open of which the checks say that it is not known.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

from fieldtrip.safety.finding import Reason, Severity
from fieldtrip.safety.levels import judge, level_tides
from fieldtrip.safety.limits import Limits
from fieldtrip.settings import Settings
from fieldtrip.tides.margins import Margins
from fieldtrip.tides.sources import TideSource
from fieldtrip.times import Span
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.plan import TripFacts
from fieldtrip.trips.records import Trip
from fieldtrip.trips.waves import WaveMargin
from fieldtrip.wording import distance_text

_INSET = timedelta(minutes=1)  # an edge found twice may differ by a moment
_NO_RESERVE = timedelta(seconds=1)  # a limit is never nought
_WORDS = {
    Reason.EXPOSURE_NOT_SAID: "exposure not said",
    Reason.SEA_NOT_SAID: "nobody said how the sea will be",
    Reason.SHORE_NOT_SAID: "nobody said what waves meet there",
    Reason.TIDAL_NOT_SAID: "nobody said whether the sea can shut it",
    Reason.ROCK_PLATFORM: "no figure tells how far waves reach on rock",
    Reason.PORT_DISTORTED: "the port is shallow or estuarine",
    Reason.PORT_NOT_SAID: "nobody said whether the port is shallow or estuarine",
    Reason.GAP_IN_TABLE: "a high or low water is missing in the table",
    Reason.OUTSIDE_TABLE: "the tide table does not reach so far",
    Reason.ROUGH_CURVE: "the station's curve is rough",
    Reason.ODD_TIDE: "a rise or fall does not last from 5 to 7 hours",
    Reason.STATION_PLACE_NOT_SAID: "nobody said where the station lies",
    Reason.STATION_BEYOND_HEADLAND: (
        "the station may lie round a headland or behind a bar"
    ),
    Reason.SHUT: "another tide table has it shut",
    Reason.NO_MARGIN: "another tide table leaves too little margin",
}


@dataclass(frozen=True, slots=True)
class Doubt:
    """Why an opening is to be taken with care, or is not known at all."""

    reason: Reason
    is_known: bool  # then it is open, with care
    station_m: float | None = None  # how far away the station is

    def words(self, settings: Settings) -> str:
        """The reason in a few words, without a full stop."""
        if self.reason is Reason.STATION_FAR and self.station_m is not None:
            return f"station {distance_text(self.station_m, settings)} away"
        return _WORDS.get(self.reason, "something it rests on is not known")


def doubt_about(
    level_m: float,
    datum: str,
    waves: WaveMargin,
    dossier: Dossier,
    trip: Trip | None,
    sources: Sequence[TideSource],
    opened: Sequence[Span],
    bare: Sequence[Span],
    margins: Margins,
    not_said: Reason | None = None,
) -> Doubt | None:
    """The worst that the checks would say of a level's openings; None if nothing.

    `opened` has all margins.  Where there is no such opening the bare ones are
    asked about, since smaller margins may hold where something was not said;
    one that is surely shut leaves no doubt.  `not_said` is what else is not known.
    """
    facts = _facts(dossier, trip, sources, [*opened, *bare])
    if facts is None:
        return None
    # How long before its end one must be off it is said beside the opening.
    limits = replace(Limits(), margins=margins, tide_reserve=_NO_RESERVE)
    worst: Doubt | None = None
    for span in [_inner(s) for s in opened] or [_middle(s) for s in bare]:
        tides, missing = level_tides(span, level_m, datum, waves, facts, limits)
        if missing is not None:
            return Doubt(missing, is_known=False)
        for tide in tides:
            severity, reason = judge(tide, limits, not_said)
            if severity is Severity.STOP and not opened:
                continue
            doubt = Doubt(reason, severity is Severity.CAUTION, tide.station_m)
            if severity is Severity.CAUTION:
                worst = worst or doubt
            elif severity is not Severity.CLEAR:
                return doubt
    return worst


def _facts(
    dossier: Dossier,
    trip: Trip | None,
    sources: Sequence[TideSource],
    spans: Sequence[Span],
) -> TripFacts | None:
    """What the rule is told; the sea to come is already in the waves' margin."""
    if not spans:
        return None
    location, start = dossier.location, spans[0].start
    return TripFacts(
        trip=trip or Trip(location_id=location.id, name="no trip", day=start.date()),
        location=location,
        now=start,
        stops=(),
        walks=(),
        hazards=(),
        notes=(),
        tide_sources=tuple(sources),
        observations=(),
        forecast=None,
        ticks=(),
        sun_events=(),
    )


def _inner(span: Span) -> Span:
    if span.length <= 3 * _INSET:
        return _middle(span)
    return Span(span.start + _INSET, span.stop - _INSET)


def _middle(span: Span) -> Span:
    middle = span.start + span.length / 2
    return Span(middle, middle)
