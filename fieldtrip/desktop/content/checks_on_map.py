"""Which record on the map a finding speaks of."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from fieldtrip.trips.dossier import Dossier, by_id


def record_on_map(dossier: Dossier, about_id: UUID | None) -> UUID | None:
    """The place, leg or mark behind a finding; None where nothing of it is drawn.

    A stop stands for its vantage point, a walk for its leg, and a gate for the leg
    or the vantage point at which it is.
    """
    if about_id is None:
        return None
    stop = by_id(dossier.stops, about_id)
    walk = by_id(dossier.walks, about_id)
    gate = by_id(dossier.gates, about_id)
    if stop is not None:
        about_id = stop.vantage_point_id
    elif walk is not None:
        about_id = walk.leg_id
    elif gate is not None:
        about_id = gate.leg_id or gate.vantage_point_id
    drawn: tuple[Any, ...] = (
        *dossier.vantage_points,
        *dossier.subjects,
        *dossier.legs,
        *dossier.refuges,
        *dossier.start_places,
        *dossier.hazards,
        *(closure for closure in dossier.closures if closure.line),
    )
    known = {dossier.location.id, *(record.id for record in drawn)}
    return about_id if about_id in known else None
