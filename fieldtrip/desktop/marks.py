"""The shapes of severities, which say the same as their colours."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from fieldtrip.desktop.theme import LIGHT, Theme
from fieldtrip.safety.finding import Severity


def severity_colour(severity: Severity, theme: Theme) -> QColor:
    """The colour that goes with a severity."""
    return QColor(
        {
            Severity.STOP: theme.stop,
            Severity.UNKNOWN: theme.unknown,
            Severity.CAUTION: theme.caution,
            Severity.CLEAR: theme.clear,
        }.get(severity, theme.soft_ink)
    )


def wash(severity: Severity, theme: Theme) -> QColor:
    """A breath of that colour on the sheet, behind text in ink."""
    colour, sheet = severity_colour(severity, theme), QColor(theme.sheet)
    part = 0.14
    return QColor.fromRgbF(
        sheet.redF() + (colour.redF() - sheet.redF()) * part,
        sheet.greenF() + (colour.greenF() - sheet.greenF()) * part,
        sheet.blueF() + (colour.blueF() - sheet.blueF()) * part,
    )


def paint_mark(
    painter: QPainter, rect: QRectF, severity: Severity, theme: Theme
) -> None:
    """A square, a question mark in a ring, a triangle, a disc, or an empty ring."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    colour = severity_colour(severity, theme)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    side = min(rect.width(), rect.height())
    box = QRectF(0, 0, side, side)
    box.moveCenter(rect.center())
    match severity:
        case Severity.STOP:
            painter.drawRect(box.adjusted(1, 1, -1, -1))
        case Severity.CAUTION:
            foot = box.bottom() - side * 0.06
            painter.drawPolygon(
                QPolygonF(
                    [
                        QPointF(box.center().x(), box.top()),
                        QPointF(box.right(), foot),
                        QPointF(box.left(), foot),
                    ]
                )
            )
        case Severity.CLEAR:
            painter.drawEllipse(box.adjusted(1, 1, -1, -1))
        case _:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(colour, max(1.3, side / 10)))
            painter.drawEllipse(box.adjusted(1, 1, -1, -1))
            if severity is Severity.UNKNOWN:
                font = painter.font()
                font.setPixelSize(max(6, round(side * 0.7)))
                font.setBold(True)
                painter.setFont(font)
                painter.drawText(box, Qt.AlignmentFlag.AlignCenter, "?")
    painter.restore()


class Mark(QWidget):
    """One severity as its shape; the word stands beside it."""

    def __init__(self, severity: Severity = Severity.UNKNOWN) -> None:
        super().__init__()
        self._severity = severity
        self._theme = LIGHT
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(str(severity))

    @property
    def severity(self) -> Severity:
        """What is shown."""
        return self._severity

    def show_severity(self, severity: Severity, theme: Theme) -> None:
        """Show another severity, or the same in another theme."""
        self._severity, self._theme = severity, theme
        self.setAccessibleName(str(severity))
        self.update()

    def sizeHint(self) -> QSize:
        """As large as the letters beside it."""
        side = round(self.fontMetrics().ascent() * 1.1)
        return QSize(side, side)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the shape."""
        painter = QPainter(self)
        paint_mark(painter, QRectF(self.rect()), self._severity, self._theme)
        painter.end()
