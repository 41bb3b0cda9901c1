"""What the map's layers show, and which of them still has to be sent."""

from __future__ import annotations

from collections.abc import Callable


class LayerQueue:
    """Remembers every layer; the latest wins, with one update of each under way.

    A dragged time slider makes more updates than the page can draw: those that
    were overtaken while one was under way are never sent.
    """

    def __init__(self, send: Callable[[str, str, int], None]) -> None:
        self._send = send
        self._is_open = False
        self._number = 0
        self._shown: dict[str, str] = {}
        self._under_way: dict[str, int] = {}
        self._waiting: set[str] = set()

    def show(self, name: str, geojson: str) -> None:
        """Show this, as soon as the page is there and done with the last."""
        self._shown[name] = geojson
        self._push(name)

    def hide(self, name: str) -> None:
        """Forget a layer."""
        self._shown.pop(name, None)
        self._waiting.discard(name)

    def open(self) -> None:
        """Send everything: the page is new."""
        self._is_open = True
        self._under_way.clear()
        self._waiting.clear()
        for name in self._shown:
            self._push(name)

    def close(self) -> None:
        """Keep everything back: the page is gone."""
        self._is_open = False

    def settle(self, name: str, number: int) -> bool:
        """Take note that an update was drawn; whether it was one under way."""
        if self._under_way.get(name) != number:
            return False
        del self._under_way[name]
        if name in self._waiting:
            self._waiting.remove(name)
            self._push(name)
        return True

    def _push(self, name: str) -> None:
        if not self._is_open:
            return
        if name in self._under_way:
            self._waiting.add(name)
            return
        self._number += 1
        self._under_way[name] = self._number
        self._send(name, self._shown[name], self._number)
