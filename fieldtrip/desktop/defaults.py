"""What is chosen along with a place, so that the window has something to show."""

from __future__ import annotations

from datetime import date

from fieldtrip.desktop.selection import Selection
from fieldtrip.geo import distance_m
from fieldtrip.trips.dossier import Dossier, by_id


def choose_along(selection: Selection, dossier: Dossier, today: date) -> None:
    """Choose a vantage point, a subject and a trip where none is chosen yet.

    The trip is the next one from today on, or else the last; where one stands and
    what is photographed come from its first stop, or else are the first vantage
    point and the subject nearest to it.
    """
    trip = by_id(dossier.trips, selection.trip_id)
    if trip is None and dossier.trips:
        coming = [t for t in dossier.trips if t.day >= today]
        trip = coming[0] if coming else dossier.trips[-1]
    stops = dossier.stops_of(trip) if trip is not None else ()
    vantage = by_id(dossier.vantage_points, selection.vantage_point_id)
    if vantage is None and stops:
        vantage = by_id(dossier.vantage_points, stops[0].vantage_point_id)
    if vantage is None and dossier.vantage_points:
        vantage = dossier.vantage_points[0]
    subject = by_id(dossier.subjects, selection.subject_id)
    if subject is None and vantage is not None:
        here = [s for s in stops if s.vantage_point_id == vantage.id]
        subject = by_id(dossier.subjects, here[0].subject_id) if here else None
        if subject is None and dossier.subjects:
            at = vantage.position
            subject = min(dossier.subjects, key=lambda s: distance_m(at, s.position))
    selection.use(
        vantage_point_id=vantage.id if vantage else None,
        subject_id=subject.id if subject else None,
        trip_id=trip.id if trip else None,
    )
