"""Qt's editors, made to say when they are left and to leave the wheel alone."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QWheelEvent
from PySide6.QtWidgets import QComboBox, QPlainTextEdit


class LongText(QPlainTextEdit):
    """Says when it is left."""

    left = Signal()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """End editing, but not for a context menu."""
        super().focusOutEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason:
            self.left.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """End editing with Ctrl+Enter."""
        control = Qt.KeyboardModifier.ControlModifier
        if (
            event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
            and event.modifiers() & control
        ):
            self.left.emit()
            return
        super().keyPressEvent(event)


class Choice(QComboBox):
    """Knows whether a choice was made by an arrow key, and ignores the wheel."""

    left = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.is_by_key = False
        self.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.setMinimumContentsLength(8)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Choose with the arrows, store with Enter."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.left.emit()
            return
        self.is_by_key = True
        super().keyPressEvent(event)
        self.is_by_key = False

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Store when left, but not for its own list."""
        super().focusOutEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason:
            self.left.emit()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Scroll the page, never the value."""
        event.ignore()
