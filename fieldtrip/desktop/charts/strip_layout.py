"""Where things stand on the day strip.  No Qt here, so a test needs no window."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from fieldtrip.times import Span


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle in pixels, y downwards."""

    left: float
    top: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Its right edge."""
        return self.left + self.width

    @property
    def bottom(self) -> float:
        """Its lower edge."""
        return self.top + self.height

    @property
    def middle(self) -> float:
        """The height of its middle."""
        return self.top + self.height / 2.0

    def overlaps(self, other: Box) -> bool:
        """Whether the two share more than an edge."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def holds(self, other: Box) -> bool:
        """Whether another lies wholly in it, but for rounding."""
        return (
            self.left <= other.left + 0.01
            and self.top <= other.top + 0.01
            and other.right <= self.right + 0.01
            and other.bottom <= self.bottom + 0.01
        )


@dataclass(frozen=True, slots=True)
class TimeScale:
    """Instants down the page: `span` fills the pixels from `top` on."""

    span: Span
    top: float
    height: float

    def y(self, instant: datetime) -> float:
        """How far down an instant stands."""
        return self.top + self.height * ((instant - self.span.start) / self.span.length)

    def instant(self, y: float) -> datetime:
        """The whole minute nearest to a height; always one of the span."""
        minutes = self.span.length / timedelta(minutes=1)
        wanted = round(minutes * (y - self.top) / self.height) if self.height > 0 else 0
        minute = min(max(wanted, 0), int(minutes) - 1)
        return self.span.start + timedelta(minutes=minute)


@dataclass(frozen=True, slots=True)
class Columns:
    """The four columns and the edge with the hours, from left to right."""

    edge: Box
    light: Box
    tide: Box
    wind: Box
    plan: Box


def columns(
    width: float, top: float, height: float, edge_width: float, wind_width: float
) -> Columns:
    """Share a width among the columns; edge and wind take what their words need."""
    gap = 4.0
    rest = max(0.0, width - edge_width - wind_width - 4 * gap - 4.0)
    light_width, tide_width = rest * 0.345, rest * 0.31
    lefts = [edge_width + gap]
    for taken in (light_width, tide_width, wind_width):
        lefts.append(lefts[-1] + taken + gap)
    plan_width = max(0.0, width - lefts[3] - 4.0)
    return Columns(
        Box(0.0, top, edge_width, height),
        Box(lefts[0], top, light_width, height),
        Box(lefts[1], top, tide_width, height),
        Box(lefts[2], top, wind_width, height),
        Box(lefts[3], top, plan_width, height),
    )


class Placer:
    """Gives labels free places, first come, first served.

    Call it in the order of importance; what finds no place is not shown.
    """

    def __init__(self, bounds: Box) -> None:
        self._bounds = bounds
        self._taken: list[Box] = []

    def take(self, box: Box) -> None:
        """Keep labels off a box."""
        self._taken.append(box)

    def place(self, candidates: Iterable[Box], within: Box | None = None) -> Box | None:
        """The first candidate that is free and wholly within the bounds, now taken."""
        bounds = within or self._bounds
        for box in candidates:
            if bounds.holds(box) and not any(box.overlaps(t) for t in self._taken):
                self._taken.append(box)
                return box
        return None


def beside_line(
    column: Box, y: float, size: tuple[float, float], shifts: Sequence[float] = ()
) -> list[Box]:
    """Places for a label of a line at `y`: above it, below it, and a little further."""
    width, height = size
    left = column.left + (column.width - width) / 2.0
    tops = [y - height, y + 1.0]
    tops += [top for s in shifts for top in (y - height - s, y + 1.0 + s)]
    return [Box(left, top, width, height) for top in tops]


def inside_span(
    column: Box, top: float, bottom: float, size: tuple[float, float]
) -> list[Box]:
    """Places for a label in a part of a column: its middle, then ever further off."""
    width, height = size
    room = bottom - top - height
    if room < 0.0:
        return []
    left = column.left + (column.width - width) / 2.0
    middle = top + room / 2.0
    offsets = [0.0]
    step = max(height / 2.0, 3.0)
    while offsets[-1] + step <= room / 2.0 and len(offsets) < 120:
        offsets.append(offsets[-1] + step)
    tops = [t for offset in offsets for t in (middle - offset, middle + offset)]
    return [Box(left, t, width, height) for t in tops]


def hour_step(pixels_per_hour: float, text_height: float) -> int:
    """How many hours apart the labels stand so that they can be read."""
    for step in (1, 2, 3, 4, 6, 12):
        if pixels_per_hour * step >= text_height * 1.5:
            return step
    return 24
