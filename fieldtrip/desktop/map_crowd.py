"""Keeps the marks of all other locations on the map, near what it shows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any
from uuid import UUID

from PySide6.QtCore import QObject, QTimer, Signal

from fieldtrip.desktop.content.crowd import Bystanders, Crowd, View
from fieldtrip.desktop.content.hover import add_cards
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.map.map_view import MapView
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.places.records import Location, VantagePoint
from fieldtrip.store.changes import Change


class MapCrowd(QObject):
    """Follows the view: after each move, what lies near it is drawn."""

    zoomed = Signal(float)

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
        self._view: MapView | None = None
        self._at: tuple[float, float, float] | None = None  # latitude, longitude, zoom
        self._left_out: UUID | None = None
        self._records: dict[type, dict[str, Any]] | None = None
        self._crowd: Crowd | None = None
        self._bystanders: Bystanders | None = None
        self._soon = QTimer(self)  # an edit does not wait for what lies around
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self.show)
        library.changed.connect(self._follow)
        selection.changed.connect(self._choose)

    def attach(self, view: MapView) -> None:
        """Draw on this view from now on."""
        self._view = view
        view.bridge.viewMoved.connect(self._see)

    @property
    def zoom(self) -> float | None:
        """The zoom of the view, once it has told."""
        return None if self._at is None else self._at[2]

    def locations(self) -> list[Location]:
        """All locations, as they are now."""
        return list(self._kept()[Location].values())

    def show(self) -> None:
        """Draw what lies near the view."""
        if self._view is None or self._at is None:
            return
        kept = self._kept()
        if self._crowd is None:
            self._crowd = Crowd(list(kept[Location].values()))
        if self._bystanders is None:
            self._bystanders = Bystanders(list(kept[VantagePoint].values()))
        size = self._view.size() / self._view.zoomFactor()
        view = View(*self._at, width_px=size.width(), height_px=size.height())
        self._left_out = self._selection.location_id
        features = self._crowd.features(view, self._left_out)
        features["features"] += self._bystanders.features(view, self._left_out)
        add_cards(features["features"], self._find, self._preferences.settings)
        self._view.show_layer("around", features)

    def _kept(self) -> dict[type, dict[str, Any]]:
        if self._records is None:
            store = self._library.store
            self._records = {
                kind: {str(record.id): record for record in store.all(kind)}
                for kind in (Location, VantagePoint)
            }
        return self._records

    def _find(self, record_id: str) -> Any:
        kept = self._kept()
        return kept[Location].get(record_id) or kept[VantagePoint].get(record_id)

    def _see(self, lat_deg: float, lon_deg: float, zoom: float) -> None:
        is_zoomed = self.zoom != zoom
        self._at = (lat_deg, lon_deg, zoom)
        self.show()
        if is_zoomed:
            self.zoomed.emit(zoom)

    def _choose(self) -> None:
        if self._selection.location_id != self._left_out:
            self.show()

    def _follow(self, changes: Sequence[Change]) -> None:
        """Take up what was edited; another file is read anew."""
        if not changes:
            self._records = self._crowd = self._bystanders = None
            self._soon.start()
            return
        touched = [c for c in changes if type(c.record) in (Location, VantagePoint)]
        if not touched:
            return
        if self._records is not None:
            for change in touched:
                kept = self._records[type(change.record)]
                if change.after is None:
                    kept.pop(str(change.record.id), None)
                else:
                    kept[str(change.record.id)] = change.after
        kinds = {type(change.record) for change in touched}
        if Location in kinds:
            self._crowd = None
        if VantagePoint in kinds:
            self._bystanders = None
        self._soon.start()
