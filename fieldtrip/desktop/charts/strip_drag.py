"""Moving a stop on the strip, and vantage points on their way to the plan."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from uuid import UUID

from PySide6.QtCore import QMimeData

from fieldtrip.desktop.content.strip_plan import PlanBlock
from fieldtrip.times import Span

SPOT_FORMAT = "application/x-fieldtrip-vantage-point"  # the id of one, as text
STEP = timedelta(minutes=5)
_LEAST_PX = 5.0  # below it a hand was only not quite still


@dataclass(frozen=True, slots=True)
class StopDrag:
    """A stop that was taken hold of at a minute, and how far it was moved."""

    block: PlanBlock
    pressed_y: float
    pressed_at: datetime
    shift: timedelta = timedelta()
    is_on_its_way: bool = False
    words: str = ""  # what the new time means
    fits: bool = True

    @property
    def start(self) -> datetime:
        """When the stop would be reached, on the five minutes once it is moved."""
        return self.block.span.start + self.shift

    @property
    def moved(self) -> PlanBlock:
        """The stop where it would go."""
        span = Span(self.start, self.start + self.block.span.length)
        return replace(self.block, span=span)

    def to(self, y: float, at: datetime) -> StopDrag:
        """The same drag with the hand elsewhere."""
        is_on_its_way = self.is_on_its_way or abs(y - self.pressed_y) >= _LEAST_PX
        wanted = self.block.span.start + (at - self.pressed_at)
        shift = on_step(wanted) - self.block.span.start
        if at == self.pressed_at:
            shift = timedelta()
        return replace(self, shift=shift, is_on_its_way=is_on_its_way)


def on_step(instant: datetime) -> datetime:
    """The nearest whole five minutes."""
    since = instant - datetime(2000, 1, 1, tzinfo=UTC)
    return instant - since % STEP + (STEP if since % STEP >= STEP / 2 else timedelta())


def spot_data(vantage_point_id: UUID) -> QMimeData:
    """What a vantage point is while it is dragged."""
    data = QMimeData()
    data.setData(SPOT_FORMAT, str(vantage_point_id).encode())
    return data


def spot_of(data: QMimeData) -> UUID | None:
    """The vantage point that is dragged, or None."""
    if not data.hasFormat(SPOT_FORMAT):
        return None
    try:
        return UUID(data.data(SPOT_FORMAT).toStdString())
    except ValueError:
        return None
