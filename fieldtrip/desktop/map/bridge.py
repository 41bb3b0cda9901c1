"""The one door between Python and the map page.

Python emits signals and `resources/map/bridge.js` obeys them; the page calls
slots, which become signals again for `MapView`.  Only JSON text and plain numbers
cross.  A test checks that both sides use the same names.
"""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal, Slot


class MapBridge(QObject):
    """Registered with the page's QWebChannel as ``bridge``."""

    # Python to page
    layerShown = Signal(str, str, int)  # name, GeoJSON, number of the update
    layerHidden = Signal(str)
    layerVisibilitySet = Signal(str, bool)
    darkSet = Signal(bool)
    lengthUnitSet = Signal(str)  # "m" or "ft"
    boundsFitted = Signal(float, float, float, float)  # south, west, north, east
    lookedAt = Signal(float, float, float)  # latitude, longitude, zoom; below 0: keep
    toolStarted = Signal(str, str)  # tool, hint
    toolCancelled = Signal()
    echoShown = Signal(float, float, str)  # latitude, longitude, words
    echoHidden = Signal()

    # Page to Python, announced onwards
    ready = Signal()
    drawn = Signal(str, int, bool)  # layer, number of the update, painted too
    viewMoved = Signal(float, float, float)  # latitude, longitude, zoom
    toolFinished = Signal(str, str)  # tool, JSON list of [latitude, longitude]
    toolAbandoned = Signal()
    featureChosen = Signal(str)
    featureDropped = Signal(str, float, float)
    contextAsked = Signal(float, float, str, int, int)
    pointerMoved = Signal(float, float)
    pointerLeft = Signal()

    @Slot()
    def reportReady(self) -> None:
        """Tell that the page has connected every signal."""
        self.ready.emit()

    @Slot(str, int, bool)
    def reportDrawn(self, layer: str, number: int, is_painted: bool) -> None:
        """Tell that an update of a layer has been drawn."""
        self.drawn.emit(layer, number, is_painted)

    @Slot(float, float, float)
    def reportViewMoved(self, lat_deg: float, lon_deg: float, zoom: float) -> None:
        """Tell what the map now shows."""
        self.viewMoved.emit(lat_deg, lon_deg, zoom)

    @Slot(str, str)
    def reportToolFinished(self, tool: str, positions: str) -> None:
        """Tell what was drawn with a tool."""
        self.toolFinished.emit(tool, positions)

    @Slot()
    def reportToolAbandoned(self) -> None:
        """Tell that Esc ended a tool."""
        self.toolAbandoned.emit()

    @Slot(str)
    def reportFeatureChosen(self, record_id: str) -> None:
        """Tell of a click on a feature."""
        self.featureChosen.emit(record_id)

    @Slot(str, float, float)
    def reportFeatureDropped(
        self, record_id: str, lat_deg: float, lon_deg: float
    ) -> None:
        """Tell where a dragged point was let go."""
        self.featureDropped.emit(record_id, lat_deg, lon_deg)

    @Slot(float, float, str, int, int)
    def reportContextAsked(
        self, lat_deg: float, lon_deg: float, record_id: str, x_px: int, y_px: int
    ) -> None:
        """Tell that a context menu is wanted, at a point of the page."""
        self.contextAsked.emit(lat_deg, lon_deg, record_id, x_px, y_px)

    @Slot(float, float)
    def reportPointerMoved(self, lat_deg: float, lon_deg: float) -> None:
        """Tell what lies under the pointer."""
        self.pointerMoved.emit(lat_deg, lon_deg)

    @Slot()
    def reportPointerLeft(self) -> None:
        """Tell that the pointer left the map."""
        self.pointerLeft.emit()
