"""A layout that sets widgets like words: line after line, as wide as there is room."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget


class FlowLayout(QLayout):
    """Places its widgets from left to right and begins a new line where one is full."""

    def __init__(self, parent: QWidget | None = None, gap: int = 6) -> None:
        super().__init__(parent)
        self.setContentsMargins(0, 0, 0, 0)
        self.setSpacing(gap)
        self._items: list[QLayoutItem] = []

    def addItem(self, item: QLayoutItem) -> None:
        """Take an item in at the end."""
        self._items.append(item)

    def count(self) -> int:
        """How many there are."""
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        """The item at a place, or None."""
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        """Take the item at a place out."""
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        """It takes no more room than it needs."""
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        """The height follows from the width."""
        return True

    def heightForWidth(self, width: int) -> int:
        """How high the lines stand at a width."""
        return self._arrange(QRect(0, 0, width, 0), is_trial=True)

    def setGeometry(self, rect: QRect) -> None:
        """Place every widget."""
        super().setGeometry(rect)
        self._arrange(rect, is_trial=False)

    def sizeHint(self) -> QSize:
        """As small as it can be: it grows with the width it is given."""
        return self.minimumSize()

    def minimumSize(self) -> QSize:
        """Room for the widest of its widgets."""
        size = QSize()
        for item in self._items:
            size = size.expandedTo(item.minimumSize())
        return size

    def _arrange(self, rect: QRect, *, is_trial: bool) -> int:
        x, y, line_height = rect.x(), rect.y(), 0
        for item in self._items:
            if item.isEmpty():
                continue
            size = item.sizeHint()
            if x > rect.x() and x + size.width() > rect.right() + 1:
                x, y, line_height = rect.x(), y + line_height + self.spacing(), 0
            if not is_trial:
                item.setGeometry(QRect(QPoint(x, y), size))
            x += size.width() + self.spacing()
            line_height = max(line_height, size.height())
        return y + line_height - rect.y()
