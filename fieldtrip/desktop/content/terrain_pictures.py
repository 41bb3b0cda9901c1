"""Pictures of the ground for the map: tints of one ink, clear where nothing is said."""

from __future__ import annotations

import io
import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from PIL import Image

from fieldtrip.almanac.spots import Spot
from fieldtrip.material.box import Box
from fieldtrip.terrain.grid import ElevationGrid
from fieldtrip.terrain.shadow import lit, relief, steepness_deg
from fieldtrip.terrain.viewshed import viewshed

Levels = npt.NDArray[np.uint8]  # of ink, (rows, columns); 0 is clear
STEEP_DEG = (35.0, 45.0, 60.0)  # from where each tint stands
_STEEP_LEVELS = (0, 70, 140, 215)
_HIGHEST_LAT_DEG = 85.05  # of the map
_DEEPEST_SHADE, _BRIGHTEST = 0.62, 0.55  # of ink and of light in a hillshade


@dataclass(frozen=True, slots=True)
class Ink:
    """What a picture is drawn with."""

    colour: str  # "#rrggbb"
    strength: float  # 0..1, of the darkest tint


@dataclass(frozen=True, slots=True)
class GroundPicture:
    """A PNG, and the box of the map that it covers."""

    png: bytes
    box: Box
    number: int = 0  # of what it was drawn from; for the one who asked


def shade_picture(
    grid: ElevationGrid, sun_azimuth_deg: float, sun_altitude_deg: float, ink: Ink
) -> GroundPicture:
    """A tint over all ground and sea that the Sun does not reach.

    The altitude is apparent.  Voids stay clear: nothing is known of them.
    """
    is_lit = lit(grid, sun_azimuth_deg, sun_altitude_deg)
    is_shade = ~is_lit & ~np.isnan(grid.heights_m)
    return _picture(grid, is_shade.astype(np.uint8) * np.uint8(255), ink)


def seen_picture(
    grid: ElevationGrid, seen: npt.NDArray[np.bool_], ink: Ink
) -> GroundPicture:
    """A tint over all that is seen."""
    return _picture(grid, seen.astype(np.uint8) * np.uint8(255), ink)


def view_picture(
    grid: ElevationGrid,
    spot: Spot,
    target_m: float,
    ink: Ink,
    *,
    progress: Callable[[float], None] = lambda _: None,
) -> GroundPicture:
    """A tint over all from which a spot is seen, by eyes so far above the ground."""
    seen = viewshed(
        grid, spot.position, spot.eye_m, target_m, progress, ground_m=spot.ground_m
    )
    return seen_picture(grid, seen, ink)


def steep_picture(grid: ElevationGrid, ink: Ink) -> GroundPicture:
    """Three tints, darker as the ground grows steeper; see `STEEP_DEG`."""
    steep_deg = np.nan_to_num(steepness_deg(grid), nan=0.0)
    classes = np.digitize(steep_deg, STEEP_DEG)
    return _picture(grid, np.array(_STEEP_LEVELS, np.uint8)[classes], ink)


def relief_picture(grid: ElevationGrid, ink: Ink, light: Ink) -> GroundPicture:
    """The ground as lit from the north-west: darker and lighter than level ground.

    The sea, which lies level, stays clear.
    """
    level = math.sin(math.radians(45.0))
    bright = np.nan_to_num(relief(grid), nan=level)
    darker = np.clip((level - bright) / level / _DEEPEST_SHADE, 0.0, 1.0)
    lighter = np.clip((bright - level) / (1.0 - level) / _BRIGHTEST, 0.0, 1.0)
    # 0..127 of ink, 128..255 of light.
    index = np.where(bright <= level, darker * 127.0, 128.0 + lighter * 127.0)
    alphas = [round(255 * ink.strength * k / 127) for k in range(128)]
    alphas += [round(255 * light.strength * k / 127) for k in range(128)]
    colours = _channels(ink.colour) * 128 + _channels(light.colour) * 128
    return _encoded(grid, np.round(index).astype(np.uint8), colours, alphas)


def box_of(grid: ElevationGrid) -> Box:
    """From edge to edge of the outermost cells, as far as the map reaches."""
    south, west, north, east = grid.box
    half_row, half_column = 0.5 * grid.row_step_deg, 0.5 * grid.column_step_deg
    return Box(
        max(south - half_row, -_HIGHEST_LAT_DEG),
        west - half_column,
        min(north + half_row, _HIGHEST_LAT_DEG),
        east + half_column,
    )


def mercator_rows(grid: ElevationGrid) -> npt.NDArray[np.intp]:
    """The grid's row for each row of a picture that the map stretches evenly.

    The map is a Mercator projection: rows of equal latitude are farther apart on it
    the farther they lie from the equator.
    """
    box = box_of(grid)
    rows = grid.shape[0]
    top, foot = _mercator(box.north_deg), _mercator(box.south_deg)
    y = top + (foot - top) * (np.arange(rows) + 0.5) / rows
    lat_deg = np.degrees(2.0 * np.arctan(np.exp(y)) - math.pi / 2.0)
    row = np.round((grid.north_deg - lat_deg) / grid.row_step_deg)
    return np.asarray(np.clip(row, 0, rows - 1).astype(np.intp))


def _picture(grid: ElevationGrid, levels: Levels, ink: Ink) -> GroundPicture:
    alphas = [round(k * ink.strength) for k in range(256)]
    return _encoded(grid, levels, _channels(ink.colour) * 256, alphas)


def _encoded(
    grid: ElevationGrid, index: Levels, colours: list[int], alphas: list[int]
) -> GroundPicture:
    """A palette does: one byte a cell, and little work for every frame."""
    image = Image.fromarray(np.ascontiguousarray(index[mercator_rows(grid)]), "P")
    image.putpalette(colours)
    out = io.BytesIO()
    image.save(out, "PNG", compress_level=1, transparency=bytes(alphas))
    return GroundPicture(out.getvalue(), box_of(grid))


def _mercator(lat_deg: float) -> float:
    return math.log(math.tan(math.pi / 4.0 + math.radians(lat_deg) / 2.0))


def _channels(colour: str) -> list[int]:
    return [int(colour[i : i + 2], 16) for i in (1, 3, 5)]
