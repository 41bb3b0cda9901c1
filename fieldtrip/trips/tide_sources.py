"""Which curve holds at a place: its station's, or the tables typed for it."""

from __future__ import annotations

from datetime import timedelta

from fieldtrip.geo import distance_m
from fieldtrip.places.records import Location
from fieldtrip.tides.sources import TideSource, source_of_station, source_of_table
from fieldtrip.tides.tide_curve import TideCurve
from fieldtrip.times import Span
from fieldtrip.trips.dossier import Dossier

FAR_M = 25_000.0  # common practice: from here on a station's tide is another one


def station_of(dossier: Dossier) -> TideSource | None:
    """The location's station as a source; None where none is chosen or it is lost."""
    if dossier.location.station_id is None or not dossier.stations:
        return None
    return source_of_station(dossier.stations[0], dossier.stations[1:])


def sources_of(dossier: Dossier) -> tuple[TideSource, ...]:
    """Every source a location has: its station first, then its tables in order."""
    station = station_of(dossier)
    tables = tuple(
        source_of_table(table) for table in dossier.tide_tables if len(table.turns) >= 2
    )
    return tables if station is None else (station, *tables)


def sources_in_force(
    sources: tuple[TideSource, ...], span: Span, datum: str = ""
) -> tuple[TideSource, ...]:
    """The sources to be heard about a span: the station where it knows all of it.

    Else the tables that have a part of it, and of several each is heard.  With a
    datum, only sources that count from it.
    """
    fitting = [s for s in sources if not datum or same_datum(s.datum, datum)]
    whole = tuple(s for s in fitting if s.is_station and s.covers(span))
    return whole or tuple(s for s in fitting if s.has_part(span) or s.covers(span))


def source_for(sources: tuple[TideSource, ...], span: Span) -> TideSource | None:
    """The source to show of a span: the station, else what covers most of it.

    Of two that cover as much, the later in the list.
    """
    best: TideSource | None = None
    longest = timedelta()
    for source in sources_in_force(sources, span):
        covered = source.part(span).length
        if covered >= longest:
            best, longest = source, covered
    return best


def curve_for(dossier: Dossier, span: Span) -> TideCurve | None:
    """The curve that holds at a location over a span; None where there is none."""
    found = source_for(sources_of(dossier), span)
    return None if found is None else found.curve


def distance_to_m(location: Location, source: TideSource) -> float | None:
    """How far a location lies from its station; None where nobody said where it is."""
    if source.position is None:
        return None
    return distance_m(location.position, source.position)


def same_datum(datum: str, other: str) -> bool:
    """Whether two datums have one name; a missing name is none."""
    return datum.split() != [] and _folded(datum) == _folded(other)


def _folded(name: str) -> str:
    return " ".join(name.split()).casefold()
