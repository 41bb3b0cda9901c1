"""What Python and the page tell each other of the material below our own layers."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal, Slot


class GroundBridge(QObject):
    """Registered with the page's QWebChannel as ``ground``."""

    # Python to page
    sheetsShown = Signal(str)  # JSON: see `content.material.page_values`

    # Page to Python, announced onwards
    viewed = Signal(float, float, float, float, float)  # south, west, north, east, zoom
    linkAsked = Signal(str)  # address of a credit

    @Slot(float, float, float, float, float)
    def reportViewed(
        self,
        south_deg: float,
        west_deg: float,
        north_deg: float,
        east_deg: float,
        zoom: float,
    ) -> None:
        """Tell what the map now shows; longitudes count on past 180."""
        self.viewed.emit(south_deg, west_deg, north_deg, east_deg, zoom)

    @Slot(str)
    def reportLinkAsked(self, address: str) -> None:
        """Tell that the link of a credit was used."""
        self.linkAsked.emit(address)
