"""Carries gestures on the points of lines between the map and `LineWork`."""

from __future__ import annotations

import math
from collections.abc import Callable
from uuid import UUID

from PySide6.QtCore import QObject, Signal

from fieldtrip.desktop.line_work import EAST, NORTH, SOUTH, WEST, LineWork
from fieldtrip.desktop.map.map_view import MapView
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.together import Together
from fieldtrip.errors import UserError
from fieldtrip.geo import Line
from fieldtrip.places.records import Leg, Shape
from fieldtrip.settings import LengthUnit
from fieldtrip.wording import METRES_PER_FOOT

# How far an arrow key moves a point over the ground, alone and with Shift.
NUDGES_M = {
    LengthUnit.METRE: (1.0, 10.0),
    LengthUnit.FOOT: (3.0 * METRES_PER_FOOT, 30.0 * METRES_PER_FOOT),
}
_NUDGE_WORDS = {
    LengthUnit.METRE: "1 m, with Shift 10 m",
    LengthUnit.FOOT: "3 ft, with Shift 30 ft",
}


class MapWork(QObject):
    """Shows the points of the chosen line, and does what is done to them."""

    told = Signal(str)

    def __init__(
        self,
        lines: LineWork,
        together: Together,
        preferences: Preferences,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._lines = lines
        self._together = together
        self._preferences = preferences
        self._view: MapView | None = None
        self._is_walked = False
        self._has_hint = False
        lines.changed.connect(self.show)
        preferences.changed.connect(self.show)

    def attach(self, view: MapView) -> None:
        """Work on this view from now on."""
        self._view = view
        hand, lines = view.handwork, self._lines
        hand.pointChosen.connect(lines.use)
        hand.pointWalked.connect(self._walk)
        hand.pointNudged.connect(self._nudge)
        hand.pointMoved.connect(lambda i, at: self._try(lambda: lines.move(i, at)))
        hand.pointAdded.connect(lambda i, at: self._try(lambda: lines.add(i, at)))
        hand.pointInserted.connect(lambda: self._try(lines.add_after))
        hand.pointRemoved.connect(lambda i: self._try(lambda: lines.remove(i)))
        hand.moreChosen.connect(lambda text: self._together.pick(UUID(text)))
        self.show()

    def show(self) -> None:
        """Show the line as it is now, or none."""
        if self._view is None:
            return
        hand, record, index = self._view.handwork, self._lines.record, self._lines.index
        self._say(index, 0 if record is None else len(record.line))
        if record is None or not record.line:
            hand.hide_handles()
            return
        hand.show_handles(
            str(record.id),
            _unbroken(record.line),
            is_area=not isinstance(record, Leg) and record.shape is Shape.AREA,
            at=index,
            is_walked=self._is_walked,
        )

    def _say(self, index: int | None, count: int) -> None:
        """How the keys work, while a point is at work and nobody measures."""
        if self._view is None or self._view.handwork.is_measuring:
            return
        if index is None:
            if self._has_hint:
                self._view.handwork.show_readout("")
            self._has_hint = False
            return
        self._has_hint = True
        words = _NUDGE_WORDS[self._preferences.settings.length_unit]
        self._view.handwork.show_readout(
            f"Point {index + 1} of {count}. Arrows move it {words}; Insert adds one "
            "after it; Delete removes it; N and P go on to the next and back; "
            "Esc lets go."
        )

    def _walk(self, by: int) -> None:
        self._is_walked = True
        self._lines.walk(by)
        self._is_walked = False

    def _nudge(self, east: int, north: int, is_far: bool) -> None:
        near_m, far_m = NUDGES_M[self._preferences.settings.length_unit]
        bearing = (
            (EAST if east > 0 else WEST) if east else NORTH if north > 0 else SOUTH
        )
        by_m = far_m if is_far else near_m
        self._try(lambda: self._lines.nudge(bearing, by_m))

    def _try(self, action: Callable[[], None]) -> None:
        try:
            action()
        except UserError as error:
            self.told.emit(str(error))
            self.show()  # back to where it was


def _unbroken(line: Line) -> list[list[float]]:
    """Latitude and longitude, the longitudes going on past the date line."""
    pairs: list[list[float]] = []
    lon_deg = line[0].lon_deg
    for position in line:
        if abs(position.lon_deg - lon_deg) > 180.0:
            lon_deg += math.remainder(position.lon_deg - lon_deg, 360.0)
        else:
            lon_deg = position.lon_deg
        pairs.append([position.lat_deg, lon_deg])
    return pairs
