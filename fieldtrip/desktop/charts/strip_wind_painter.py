"""Paints the strip's Wind column."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from fieldtrip.desktop.charts.strip_layout import Box, Placer
from fieldtrip.desktop.charts.strip_page import LEFT, StripPage
from fieldtrip.desktop.content.strip_wind import WindMark

_RANK = {"stop": 0, "caution": 1, "": 2}


def paint_wind(painter: QPainter, page: StripPage) -> None:
    """One row an hour; where there is not room for all, the strong ones stay."""
    wind, column = page.content.wind, page.columns.wind
    if wind.message:
        page.message(painter, column, wind.message)
        return
    placer = Placer(Box(column.left, -99.0, column.width, page.height + 198.0))
    for hour in sorted(wind.hours, key=lambda hour: _RANK[hour.severity]):
        middle = min(page.y(hour.instant) + page.line * 0.8, column.bottom - page.line)
        row = Box(column.left, middle - page.line / 2.0, column.width, page.line)
        if placer.place([row]) is not None:
            _paint_hour(painter, page, row, hour)
            page.explain(row, hour.tip)


def _paint_hour(painter: QPainter, page: StripPage, row: Box, hour: WindMark) -> None:
    colours = {"stop": page.theme.stop, "caution": page.theme.caution}
    colour = colours.get(hour.severity, page.theme.ink)
    size = page.line * 0.75
    if hour.toward_deg is not None:
        centre = QPointF(row.left + 4.0 + size / 2.0, row.middle)
        _paint_arrow(painter, centre, size / 2.0, hour.toward_deg, QColor(colour))
    left = row.left + 8.0 + size
    words = Box(left, row.top, row.right - left, row.height)
    page.write(painter, words, hour.text, colour, bold=bool(hour.severity), align=LEFT)
    if hour.severity:
        radius = size * 0.34
        at = QPointF(row.right - radius - 3.0, row.middle)
        _paint_shape(painter, hour.severity, at, radius, QColor(colour))


def _paint_arrow(
    painter: QPainter, centre: QPointF, half: float, toward_deg: float, colour: QColor
) -> None:
    painter.save()
    painter.translate(centre)
    painter.rotate(toward_deg)  # 0 is up, as north is on the map
    painter.setPen(QPen(colour, 1.3))
    painter.drawLine(QPointF(0.0, half), QPointF(0.0, -half + 2.0))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    tip, wing = -half - 1.0, -half + 4.5
    painter.drawPolygon(
        QPolygonF([QPointF(0.0, tip), QPointF(-2.8, wing), QPointF(2.8, wing)])
    )
    painter.restore()


def _paint_shape(
    painter: QPainter, severity: str, at: QPointF, radius: float, colour: QColor
) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    x, y = at.x(), at.y()
    if severity == "stop":
        painter.drawRect(QRectF(x - radius, y - radius, 2.0 * radius, 2.0 * radius))
        return
    corners = [(0.0, -1.0), (-1.1, 1.0), (1.1, 1.0)]
    painter.drawPolygon(
        QPolygonF([QPointF(x + radius * dx, y + radius * dy) for dx, dy in corners])
    )
