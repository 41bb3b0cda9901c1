"""Crossings of whose tide nothing is known, and which a person accepts in writing.

What was written is a tick against the way back over the leg: the checks go on calling
it unknown, and the reason is shown with it and printed.
"""

from __future__ import annotations

from datetime import datetime
from uuid import UUID

from fieldtrip.errors import UserError
from fieldtrip.safety.finding import Rule
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.records import Tick, Trip

# What was written against a tide that is known does not begin so, and counts no more
# once the tide is not.
BEGINNING = "Crossed although nothing is known of its tide: "


def acceptances(dossier: Dossier, trip: Trip) -> dict[UUID, Tick]:
    """The newest acceptance of each leg, by the leg's id."""
    found: dict[UUID, Tick] = {}
    for leg in dossier.legs:
        for tick in dossier.ticks_of(trip):
            if tick.item == _item(leg.id) and written(tick):
                found[leg.id] = tick
    return found


def accepted_reasons(dossier: Dossier, trip: Trip) -> dict[UUID, str]:
    """Why each leg is crossed although nothing is known of its tide."""
    return {leg: written(tick) for leg, tick in acceptances(dossier, trip).items()}


def written(tick: Tick) -> str:
    """What a person wrote; empty where it accepts nothing."""
    if not tick.reason.startswith(BEGINNING):
        return ""
    return tick.reason.removeprefix(BEGINNING).strip()


def acceptance(
    dossier: Dossier, trip: Trip, leg_id: UUID, now: datetime, person: str, reason: str
) -> Tick:
    """A new one.  Raises `UserError` without a reason, a name or the leg."""
    if by_id(dossier.legs, leg_id) is None:
        raise UserError("That leg is no longer there.")
    if not reason.strip():
        raise UserError("Write why you accept it: the reason is kept and printed.")
    if not person.strip():
        raise UserError("Say who you are.")
    return Tick(
        trip_id=trip.id,
        item=_item(leg_id),
        at=now,
        by=person.strip(),
        reason=f"{BEGINNING}{reason.strip()}",
    )


def _item(leg_id: UUID) -> str:
    return f"{Rule.TIDE_WAY_BACK}:{leg_id}"
