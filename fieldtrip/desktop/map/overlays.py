"""What Python and the page tell each other of pictures laid over the map."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QObject, Signal, Slot

from fieldtrip.desktop.map.overlay_desk import OverlayDesk
from fieldtrip.material.box import Box


class OverlayBridge(QObject):
    """Registered with the page's QWebChannel as ``overlays``.

    Remembers what it was told to show, so that the page may be loaded anew.
    """

    # Python to page
    pictureShown = Signal(str)  # JSON: name, address, number, order and box
    pictureHidden = Signal(str)
    keyShown = Signal(str)  # JSON: see `content.terrain_key`

    # Page to Python, announced onwards
    painted = Signal(str, int)  # name, and the number that `show` gave

    def __init__(self, desk: OverlayDesk, parent: QObject) -> None:
        super().__init__(parent)
        self._desk = desk
        self._shown: dict[str, str] = {}
        self._key = "[]"

    def show(self, name: str, picture: bytes, box: Box, order: int) -> int:
        """Lay a picture over a box of the map, in place of the last of its name.

        Those of a lower order lie below.  Gives a number that `painted` repeats.
        """
        address = self._desk.give(name, picture)
        number = int(address.rpartition("/")[2])
        self._shown[name] = json.dumps(
            {
                "name": name,
                "address": address,
                "number": number,
                "order": order,
                "box": [
                    [box.south_deg, box.west_deg],
                    [box.north_deg, box.east_deg],
                ],
            }
        )
        self.pictureShown.emit(self._shown[name])
        return number

    def hide(self, name: str) -> None:
        """Take a picture away; nothing happens where there is none."""
        if self._shown.pop(name, None) is not None:
            self._desk.withdraw(name)
            self.pictureHidden.emit(name)

    def show_key(self, parts: Sequence[Any]) -> None:
        """Write beside the map what its pictures mean; none: take the key away."""
        self._key = json.dumps(parts, allow_nan=False)
        self.keyShown.emit(self._key)

    def send_all(self) -> None:
        """Tell a new page everything."""
        for shown in self._shown.values():
            self.pictureShown.emit(shown)
        self.keyShown.emit(self._key)

    @Slot(str, int)
    def reportPicturePainted(self, name: str, number: int) -> None:
        """Tell that a picture is on the screen, or cannot be brought there."""
        self.painted.emit(name, number)
