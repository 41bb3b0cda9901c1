"""Which curves hold at a place: its station's, and those of the tables typed for it."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from fieldtrip.geo import distance_m
from fieldtrip.places.records import Location
from fieldtrip.tides.sources import TideSource, source_of_station, source_of_table
from fieldtrip.tides.tide_curve import TideCurve
from fieldtrip.times import Span
from fieldtrip.trips.dossier import Dossier

FAR_M = 25_000.0  # common practice: from here on a station's tide is another one
TOO_FAR_M = 100_000.0  # own judgement: from here on it tells nothing about the place

# Datums that a whole country is levelled to; every other one, such as chart datum,
# LAT or MLLW, lies at each port where the tide of that port puts it.
# Source: common practice, no source.
_LEVELLED = frozenset(
    ("navd88", "odn", "ordnancedatumnewlyn", "nap", "ahd", "evrf2007")
)


def station_of(dossier: Dossier) -> TideSource | None:
    """The location's station as a source; None where none is chosen or it is lost."""
    if dossier.location.station_id is None or not dossier.stations:
        return None
    found = source_of_station(dossier.stations[0], dossier.stations[1:])
    if found is None:
        return None
    return replace(found, away_m=distance_to_m(dossier.location, found))


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
    """The sources to be heard about a span: all that have a part of it.

    A station does not silence the place's own tables; of several each is heard, and
    the worst counts.  With a datum, only sources that count from it and that are not
    out of reach.
    """
    return tuple(
        s
        for s in sources
        if (s.has_part(span) or s.covers(span))
        and (not datum or (counts_from(s, datum) and not is_out_of_reach(s)))
    )


def source_for(sources: tuple[TideSource, ...], span: Span) -> TideSource | None:
    """The source to show of a span: a near station, else what covers most of it.

    Of two that cover as much, the later in the list: a table before a far station.
    """
    best: TideSource | None = None
    longest = timedelta()
    for source in sources_in_force(sources, span):
        if _is_near_station(source) and source.covers(span):
            return source
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


def is_out_of_reach(source: TideSource) -> bool:
    """Whether a station is so far away, or nobody knows how far, that it tells nothing.

    Never so for a table, which is typed for the place itself.
    """
    if not source.is_station:
        return False
    return source.away_m is None or source.away_m > TOO_FAR_M


def counts_from(source: TideSource, datum: str) -> bool:
    """Whether a source's heights can be held against a level above a datum.

    A datum of one port is no datum of another, though it has the same name: so a
    station must be near, or the datum one that the country is levelled to.  Where
    nobody said how far it is, the name decides, and `is_out_of_reach` tells the rest.
    """
    if not same_datum(source.datum, datum):
        return False
    if not source.is_station or source.away_m is None or source.away_m <= FAR_M:
        return True
    name = "".join(each for each in _folded(datum) if each.isalnum())
    return name in _LEVELLED


def same_datum(datum: str, other: str) -> bool:
    """Whether two datums have one name; a missing name is none."""
    return datum.split() != [] and _folded(datum) == _folded(other)


def _folded(name: str) -> str:
    return " ".join(name.split()).casefold()


def _is_near_station(source: TideSource) -> bool:
    return source.is_station and source.away_m is not None and source.away_m <= FAR_M
