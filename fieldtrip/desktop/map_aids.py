"""Measuring, range rings and looking along: shown over the map, and never stored."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QObject, Signal

from fieldtrip.desktop.content import measuring
from fieldtrip.desktop.content.aids import (
    Look,
    TypedBearing,
    look_features,
    radius_text,
    read_bearing,
    read_radius,
    ring_features,
    ring_radii_m,
)
from fieldtrip.desktop.content.map_layers import NOTHING
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.map.map_view import MapView
from fieldtrip.desktop.map.tools import SNAPS
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.desktop.typed_bar import TypedBar
from fieldtrip.errors import UserError
from fieldtrip.geo import Line, Position
from fieldtrip.geomagnetic import declination, true_bearing_deg
from fieldtrip.places.records import VantagePoint


class MapAids(QObject):
    """Draws what helps to judge a place; all of it is gone with the window."""

    told = Signal(str)
    busy = Signal()  # measuring begins: what else was being drawn is left
    ringsTurned = Signal(bool)

    def __init__(
        self,
        library: Library,
        selection: Selection,
        preferences: Preferences,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._library = library
        self._selection = selection
        self._preferences = preferences
        self.bar = TypedBar()
        self._view: MapView | None = None
        self._zoom = 0.0
        self._has_rings = False
        self._radius_m: float | None = None  # typed; None: as the zoom has it
        self._looks: list[Look] = []
        self._measured: tuple[Line, bool, bool] | None = None
        for signal in (library.changed, selection.changed, preferences.changed):
            signal.connect(self._follow)

    def attach(self, view: MapView) -> None:
        """Draw on this view from now on."""
        self._view = view
        view.handwork.measured.connect(self._measure)
        view.handwork.measureEnded.connect(self._end_measure)
        view.bridge.viewMoved.connect(self._see)
        self._follow()

    # Measuring

    def measure(self) -> None:
        """Begin to measure, or end it."""
        view = self._needed()
        if view.handwork.is_measuring:
            self.stop_measuring()
            return
        self.busy.emit()
        view.setFocus()
        view.handwork.start_measuring(f"{measuring.HINT} {SNAPS}")
        self._measure((), False, False)

    def stop_measuring(self) -> None:
        """End it; nothing happens where it was not begun."""
        if self._view is not None and self._view.handwork.is_measuring:
            self._view.handwork.stop_measuring()
            self._end_measure()

    def _measure(self, line: Line, is_aimed: bool, is_closed: bool) -> None:
        view, settings = self._view, self._preferences.settings
        if view is None:
            return
        self._measured = (line, is_aimed, is_closed)
        view.handwork.show_readout(
            measuring.measured_text(
                line,
                is_aimed=is_aimed,
                is_closed=is_closed,
                day=self._selection.day,
                settings=settings,
            )
        )
        if not is_aimed:
            pieces = measuring.measured_features(
                line, is_closed=is_closed, settings=settings
            )
            view.show_layer("measure", pieces)

    def _end_measure(self) -> None:
        self._measured = None
        if self._view is not None:
            self._view.handwork.show_readout("")
            self._view.show_layer("measure", NOTHING)

    # Range rings

    def show_rings(self, is_wanted: bool) -> None:
        """Show rings round the chosen point, in steps as the zoom has them, or none."""
        self._has_rings, self._radius_m = is_wanted, None
        self._show_rings()

    def ask_radius(self) -> None:
        """Type the radius of a ring."""
        self._centre_needed()
        settings = self._preferences.settings

        def read(text: str) -> tuple[float, str]:
            radius_m = read_radius(text, settings)
            return radius_m, f"a ring of {radius_text(radius_m, settings)}"

        self.bar.ask("Ring of", "500 m, 1.5 km, 300 ft, 2 mi", read, self._ring)

    def _ring(self, radius_m: float) -> None:
        self.ringsTurned.emit(True)  # the switch in the menu follows
        self._has_rings, self._radius_m = True, radius_m
        self._show_rings()

    def _show_rings(self) -> None:
        if self._view is None:
            return
        centre = self._centre()
        features = NOTHING
        if self._has_rings and centre is not None:
            settings = self._preferences.settings
            radii_m = (
                ring_radii_m(centre.lat_deg, self._zoom, settings)
                if self._radius_m is None
                else [self._radius_m]
            )
            features = ring_features(centre, radii_m, settings)
        self._view.show_layer("rings", features)

    def _centre(self) -> Position | None:
        """The chosen record's place, or else the vantage point's, or the location's."""
        selection = self._selection
        kind = selection.record_kind
        record: Any = self._library.get(kind, selection.record_id) if kind else None
        position: Position | None = getattr(record, "position", None)
        if position is not None:
            return position
        vantage = self._library.get(VantagePoint, selection.vantage_point_id)
        if vantage is not None:
            return vantage.position
        dossier = self._library.dossier(selection.location_id)
        return dossier.location.position if dossier else None

    def _centre_needed(self) -> Position:
        centre = self._centre()
        if centre is None:
            raise UserError("Choose a point first: the rings go round it.")
        return centre

    # Looking along

    def ask_bearing(self) -> None:
        """Type a bearing to look along from the chosen vantage point."""
        vantage = self._vantage_needed()
        day = self._selection.day
        here = declination(vantage.position, day)

        def read(text: str) -> tuple[float, str]:
            typed: TypedBearing = read_bearing(text)
            true_deg = typed.degrees
            if typed.is_magnetic:
                if here is None or here.is_blind:
                    raise UserError(measuring.north_text(here, day))
                true_deg = true_bearing_deg(typed.degrees, here)
            return true_deg, measuring.compass_text(true_deg, here)

        self.bar.ask(
            f"From “{vantage.name}” along",
            "137, or 139 magnetic",
            read,
            lambda true_deg: self.look_along(vantage, true_deg),
        )

    def look_along(self, vantage: VantagePoint, true_deg: float) -> None:
        """Draw a ray along a true bearing, until `clear_looks`."""
        look = Look(vantage.id, true_deg)
        if look not in self._looks:
            self._looks.append(look)
        self._show_looks()

    def clear_looks(self) -> None:
        """Take all such rays away."""
        self._looks.clear()
        self._show_looks()

    def _show_looks(self) -> None:
        if self._view is None:
            return
        drawn = []
        for look in self._looks:
            vantage = self._library.get(VantagePoint, look.vantage_id)
            if vantage is None:
                continue  # gone; an undo brings both back
            here = declination(vantage.position, self._selection.day)
            words = measuring.compass_text(look.true_deg, here)
            is_chosen = vantage.id == self._selection.vantage_point_id
            name = "" if is_chosen else f"{vantage.name}: "
            drawn.append((vantage.position, look, f"{name}{words}"))
        self._view.show_layer("look", look_features(drawn))

    def _vantage_needed(self) -> VantagePoint:
        found = self._library.get(VantagePoint, self._selection.vantage_point_id)
        if found is None:
            raise UserError("Choose a vantage point first: one looks from there.")
        return found

    # Following

    def _needed(self) -> MapView:
        if self._view is None:
            raise UserError("The map is not ready yet. Try again in a moment.")
        return self._view

    def _see(self, _lat_deg: float, _lon_deg: float, zoom: float) -> None:
        if zoom != self._zoom:
            self._zoom = zoom
            if self._has_rings:
                self._show_rings()

    def _follow(self) -> None:
        self._show_rings()
        self._show_looks()
        if self._measured is not None:
            self._measure(*self._measured)
