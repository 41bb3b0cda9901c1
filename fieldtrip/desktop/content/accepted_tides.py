"""Crossings and spots of whose tide nothing is known, accepted in writing.

What was written is a tick against what the checks say of the way back over the leg, or
of the stay: they go on calling it unknown, and the reason is shown and printed with it.
"""

from __future__ import annotations

from datetime import datetime
from uuid import UUID

from fieldtrip.errors import UserError
from fieldtrip.safety.finding import Rule
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Tick, Trip

# What was written against a tide that is known does not begin so, and counts for
# nothing once the tide is not.
BEGINNING = "Accepted although nothing is known of its tide: "


def acceptances(dossier: Dossier, trip: Trip) -> dict[UUID, Tick]:
    """The newest acceptance of each leg or stop, by its id."""
    found: dict[UUID, Tick] = {}
    for record_id, item in _items(dossier, trip).items():
        for tick in dossier.ticks_of(trip):
            if tick.item == item and written(tick):
                found[record_id] = tick
    return found


def accepted_reasons(dossier: Dossier, trip: Trip) -> dict[UUID, str]:
    """Why each leg is crossed, or vantage point stood on, by its id."""
    spots = {stop.id: stop.vantage_point_id for stop in dossier.stops_of(trip)}
    return {
        spots.get(record_id, record_id): written(tick)
        for record_id, tick in acceptances(dossier, trip).items()
    }


def written(tick: Tick) -> str:
    """What a person wrote; empty where it accepts nothing."""
    if not tick.reason.startswith(BEGINNING):
        return ""
    return tick.reason.removeprefix(BEGINNING).strip()


def acceptance(
    dossier: Dossier,
    trip: Trip,
    record_id: UUID,
    now: datetime,
    person: str,
    reason: str,
) -> Tick:
    """A new one, of a leg or a stop.

    Raises `UserError` without a reason or a name, or where the record is gone.
    """
    item = _items(dossier, trip).get(record_id)
    if item is None:
        raise UserError("What was to be accepted is no longer there.")
    if not reason.strip():
        raise UserError("Write why you accept it: the reason is kept and printed.")
    if not person.strip():
        raise UserError("Say who you are.")
    return Tick(
        trip_id=trip.id,
        item=item,
        at=now,
        by=person.strip(),
        reason=f"{BEGINNING}{reason.strip()}",
    )


def _items(dossier: Dossier, trip: Trip) -> dict[UUID, str]:
    """What a tick names, by the id of the leg or stop that it accepts."""
    legs = {leg.id: f"{Rule.TIDE_WAY_BACK}:{leg.id}" for leg in dossier.legs}
    stops = {stop.id: f"{Rule.TIDE_STAND}:{stop.id}" for stop in dossier.stops_of(trip)}
    return {**legs, **stops}
