"""What is done by hand to what is on the map: points of lines, and measuring.

A second object on the page's channel, beside `MapBridge`; resources/map/handwork.js
obeys it.  Positions from the page may lie past the date line, as drawn.
"""

from __future__ import annotations

import json
from collections.abc import Sequence

from PySide6.QtCore import QObject, Signal, Slot

from fieldtrip.geo import Line, Position, normal_longitude_deg


class Handwork(QObject):
    """Registered with the page's QWebChannel as ``handwork``.

    Remembers what it was told to show, so that the page may be loaded anew.
    """

    # Python to page
    handlesShown = Signal(str)  # JSON: id, line, is_area, at (-1: none), is_walked
    handlesHidden = Signal()
    measureStarted = Signal(str)  # hint
    measureStopped = Signal()
    readoutShown = Signal(str)  # lines of text; empty: take it away

    # Page to Python, announced onwards
    pointChosen = Signal(object)  # index, or None
    pointWalked = Signal(int)  # 1 to the next, -1 to the one before
    pointNudged = Signal(int, int, bool)  # steps east, steps north, far
    pointMoved = Signal(int, object)  # index, Position
    pointAdded = Signal(int, object)  # index of the point before, Position
    pointInserted = Signal()  # after the one at work
    pointRemoved = Signal(int)
    measured = Signal(object, bool, bool)  # Line, last is the pointer, closed
    measureEnded = Signal()  # by Esc
    moreChosen = Signal(str)  # record id, chosen with Ctrl or Shift

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._handles: str | None = None
        self._hint: str | None = None
        self._readout = ""

    def show_handles(
        self,
        record_id: str,
        line: Sequence[Sequence[float]],
        *,
        is_area: bool,
        at: int | None,
        is_walked: bool = False,
    ) -> None:
        """Show the points of a line, [latitude, longitude] each; `at` is at work.

        `is_walked`: the point was come to by keyboard, so the map goes there.
        """
        shown = {
            "id": record_id,
            "line": line,
            "is_area": is_area,
            "at": -1 if at is None else at,
        }
        self._handles = json.dumps({**shown, "is_walked": False}, allow_nan=False)
        self.handlesShown.emit(
            json.dumps({**shown, "is_walked": is_walked}, allow_nan=False)
        )

    def hide_handles(self) -> None:
        """Take the points away; nothing happens where none are shown."""
        if self._handles is not None:
            self._handles = None
            self.handlesHidden.emit()

    @property
    def is_measuring(self) -> bool:
        """Whether one measures."""
        return self._hint is not None

    def start_measuring(self, hint: str) -> None:
        """Begin to measure; `hint` says how."""
        self._hint = hint
        self.measureStarted.emit(hint)

    def stop_measuring(self) -> None:
        """End it; nothing happens where it was not begun."""
        if self._hint is not None:
            self._hint = None
            self.measureStopped.emit()

    def show_readout(self, text: str) -> None:
        """Write lines over the map; an empty text takes them away."""
        self._readout = text
        self.readoutShown.emit(text)

    def send_all(self) -> None:
        """Tell a new page everything."""
        if self._handles is not None:
            self.handlesShown.emit(self._handles)
        if self._hint is not None:
            self.measureStarted.emit(self._hint)
        self.readoutShown.emit(self._readout)

    # What the page says

    @Slot(int)
    def reportHandleChosen(self, index: int) -> None:
        """Tell that a point is to be worked on; below 0: none."""
        self.pointChosen.emit(None if index < 0 else index)

    @Slot(int)
    def reportHandleWalked(self, by: int) -> None:
        """Tell that the keyboard goes on to another point."""
        self.pointWalked.emit(by)

    @Slot(int, int, bool)
    def reportHandleNudged(self, east: int, north: int, is_far: bool) -> None:
        """Tell that the point at work is to go a step."""
        self.pointNudged.emit(east, north, is_far)

    @Slot(int, float, float)
    def reportHandleMoved(self, index: int, lat_deg: float, lon_deg: float) -> None:
        """Tell where a dragged point was let go."""
        self.pointMoved.emit(index, _position(lat_deg, lon_deg))

    @Slot(int, float, float)
    def reportHandleAdded(self, after: int, lat_deg: float, lon_deg: float) -> None:
        """Tell of a click on the line after a point."""
        self.pointAdded.emit(after, _position(lat_deg, lon_deg))

    @Slot()
    def reportHandleInserted(self) -> None:
        """Tell that a point is wanted after the one at work."""
        self.pointInserted.emit()

    @Slot(int)
    def reportHandleRemoved(self, index: int) -> None:
        """Tell that a point is to go."""
        self.pointRemoved.emit(index)

    @Slot(str, bool, bool)
    def reportMeasured(self, pairs: str, is_aimed: bool, is_closed: bool) -> None:
        """Tell what is measured: JSON list of [latitude, longitude]."""
        if self.is_measuring:
            line: Line = tuple(_position(lat, lon) for lat, lon in json.loads(pairs))
            self.measured.emit(line, is_aimed, is_closed)

    @Slot()
    def reportMeasureEnded(self) -> None:
        """Tell that Esc ended it."""
        self._hint = None
        self.measureEnded.emit()

    @Slot(str)
    def reportMoreChosen(self, record_id: str) -> None:
        """Tell of a click with Ctrl or Shift on a feature."""
        self.moreChosen.emit(record_id)


def _position(lat_deg: float, lon_deg: float) -> Position:
    """What the page says; it may have gone past the date line, or a pole."""
    return Position(min(max(lat_deg, -90.0), 90.0), normal_longitude_deg(lon_deg))
