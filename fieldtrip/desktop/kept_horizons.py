"""Horizons on the disk: what was worked out once need not be again."""

from __future__ import annotations

import hashlib
import logging
import zipfile
from pathlib import Path

import numpy as np

from fieldtrip.almanac.spots import SKYLINE_REACH_M, Spot
from fieldtrip.terrain.horizon import Horizon, horizon
from fieldtrip.terrain.known_ground import KnownGround

_FOLDER = "horizons"
_EDITION = 2  # counts up when the computation changes
_MOST_FILES = 500
_ARRAYS = (
    "azimuths_deg",
    "altitudes_deg",
    "distances_m",
    "error_deg",
    "is_complete",
)
log = logging.getLogger(__name__)


def horizon_at(ground: KnownGround, spot: Spot, cache_folder: Path) -> Horizon | None:
    """The horizon of a spot, kept or worked out now; None where no file has heights.

    Reads files: for a job.  Raises `UserError` where a file is gone or damaged, or has
    no height for the spot and none was typed.
    """
    if not ground.covers(spot.position):
        return None
    file = cache_folder / _FOLDER / f"{_key(ground, spot)}.npz"
    found = _read(file, spot)
    if found is not None:
        return found
    grids = ground.grids_for(spot.position, SKYLINE_REACH_M)
    if grids is None:
        return None
    grid, beyond = grids
    found = horizon(
        grid,
        spot.position,
        eye_m=spot.eye_m,
        ground_m=spot.ground_m,
        beyond=beyond,
        reach_m=SKYLINE_REACH_M,
    )
    _keep(file, found)
    return found


def _key(ground: KnownGround, spot: Spot) -> str:
    position = spot.position
    parts = (
        _EDITION,
        ground.fingerprint,
        position.lat_deg,
        position.lon_deg,
        spot.eye_m,
        spot.ground_m,
    )
    return hashlib.sha256(repr(parts).encode()).hexdigest()[:32]


def _read(file: Path, spot: Spot) -> Horizon | None:
    """What was kept, or None: not there, cut short, or not ours."""
    try:
        with file.open("rb") as source, np.load(source, allow_pickle=False) as kept:
            arrays = {name: kept[name] for name in _ARRAYS}
            ground_m = float(kept["ground_m"])
    except (OSError, ValueError, KeyError, EOFError, zipfile.BadZipFile):
        return None
    if len({values.shape for values in arrays.values()}) != 1:
        return None
    return Horizon(spot.position, ground_m, spot.eye_m, **arrays)


def _keep(file: Path, found: Horizon) -> None:
    """Write it beside and rename, so that a half-written file is never read."""
    beside = file.with_suffix(".new")
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        arrays = {name: getattr(found, name) for name in _ARRAYS}
        with beside.open("wb") as out:
            np.savez(out, ground_m=np.float64(found.ground_m), **arrays)
        beside.replace(file)
        _let_go(file.parent)
    except OSError as error:  # the next time takes longer, and that is all
        log.info("A horizon could not be kept in %s: %s", file.parent, error)


def _let_go(folder: Path) -> None:
    kept = sorted(folder.glob("*.npz"), key=lambda each: each.stat().st_mtime)
    for file in kept[:-_MOST_FILES]:
        file.unlink(missing_ok=True)
