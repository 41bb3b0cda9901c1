"""What a person notes of a crossing, with the water's level looked up for then."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from fieldtrip.places.records import CrossingObservation, Leg
from fieldtrip.safety.crossings import is_tidal
from fieldtrip.settings import Settings
from fieldtrip.tides.curve import Confidence
from fieldtrip.tides.sources import TideSource
from fieldtrip.times import Span, to_instant
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.tide_sources import sources_in_force, sources_of
from fieldtrip.wording import height_text


@dataclass(frozen=True, slots=True, kw_only=True)
class CrossingTyped:
    """What was typed; None: not said."""

    leg: Leg | None
    instant: datetime | None
    is_passable: bool | None
    pressure_hpa: float | None = None
    is_confirmed: bool = False
    remark: str = ""


@dataclass(frozen=True, slots=True)
class CrossingNote:
    """What follows from it: the record, or what keeps it from being one."""

    observation: CrossingObservation | None
    level_words: str
    fault: str = ""


def crossings_to_note(dossier: Dossier) -> tuple[Leg, ...]:
    """The legs that the sea shuts, or may."""
    return tuple(leg for leg in dossier.legs if is_tidal(leg))


def crossing_note(
    dossier: Dossier, typed: CrossingTyped, now: datetime, settings: Settings
) -> CrossingNote:
    """Look up the level for a moment, and make the record where all is said."""
    leg, instant = typed.leg, typed.instant
    if leg is None:
        return CrossingNote(None, "", "Say which crossing it was.")
    if instant is None:
        return CrossingNote(None, "", "Say when it was.")
    if instant > now + timedelta(minutes=1):
        return CrossingNote(None, "", "That is still to come.")
    moment = Span(instant, instant)
    sources = [
        source
        for source in sources_in_force(sources_of(dossier), moment, leg.shut_datum)
        if _is_known(source, moment)
    ]
    if not leg.shut_datum.strip():
        return CrossingNote(
            None, "", "First say from which datum the leg's closing level counts."
        )
    if not sources:
        return CrossingNote(
            None,
            "",
            "The water's height then is not known: no tide table or station above "
            f"“{leg.shut_datum}” reaches over that time.",
        )
    # Of several the lowest: it puts the level on the safe side either way.
    level_m = min(_height_m(source, instant) for source in sources)
    words = (
        f"The predicted tide stood at {height_text(level_m, settings, 2)} above "
        f"{leg.shut_datum} then."
    )
    if typed.is_passable is None:
        return CrossingNote(None, words, "Say whether it could be passed.")
    return CrossingNote(
        CrossingObservation(
            leg_id=leg.id,
            instant=instant,
            is_passable=typed.is_passable,
            level_m=round(level_m, 3),
            datum=leg.shut_datum,
            pressure_hpa=typed.pressure_hpa,
            is_confirmed=typed.is_confirmed,
            remark=typed.remark,
        ),
        words,
    )


def _is_known(source: TideSource, moment: Span) -> bool:
    is_reached = source.covers(moment)
    return is_reached and source.curve.confidence(moment) is not Confidence.UNKNOWN


def _height_m(source: TideSource, at: datetime) -> float:
    return float(source.curve.heights_m(np.array([to_instant(at)]))[0])
