"""The time zone of the nearest land."""

from __future__ import annotations

import tzfpy

from fieldtrip.geo import Position, destination

# Kept for a location whose zone nobody has chosen yet.  Whoever wants this very
# clock chooses UTC, which is the same by another name.
ZONE_NOT_CHOSEN = "Etc/UTC"
_REACH_M = (0.0, 2_000.0, 8_000.0, 20_000.0, 40_000.0)


def land_zone(position: Position) -> str | None:
    """The IANA zone at a position, or of land within 40 km; None on the open sea.

    The zone map knows the sea only as whole hours from Greenwich, which no clock
    ashore shows: an islet too small for it would get the wrong time.
    """
    for reach_m in _REACH_M:
        for bearing in range(0, 360, 30) if reach_m else (0,):
            near = destination(position, float(bearing), reach_m)
            name = tzfpy.get_tz(near.lon_deg, near.lat_deg)
            if name and not name.startswith("Etc/"):
                return str(name)
    return None
