"""A profile of the ground along a line, engraved, with a line of sight over it."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
from PySide6.QtCore import QEvent, QLineF, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPen,
    QPixmap,
    QPolygonF,
    QResizeEvent,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from fieldtrip.arrays import Array
from fieldtrip.desktop.charts.strip_ink import mixed
from fieldtrip.desktop.content.profile import ProfileContent
from fieldtrip.desktop.theme import LIGHT, Theme

_STROKE_PX = 3.0
_LONGEST_PX = 26.0
_HALO = tuple((dx, dy) for dx in (-1.3, 0.0, 1.3) for dy in (-1.3, 0.0, 1.3))


class ProfileChart(QWidget):
    """Shows a profile; arrow keys and the pointer read it."""

    readAt = Signal(float)  # metres from the left end

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._content: ProfileContent | None = None
        self._theme = LIGHT
        self._cache: QPixmap | None = None
        self._read_m: float | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName(name)

    def show_content(self, content: ProfileContent | None) -> None:
        """Paint another profile, or none."""
        self._content = content
        self._read_m = None
        self._outdate()

    def set_theme(self, theme: Theme) -> None:
        """Paint on light or on dark paper."""
        if theme != self._theme:
            self._theme = theme
            self._outdate()

    @property
    def read_m(self) -> float | None:
        """Where it is read, in metres from the left end."""
        return self._read_m

    def read(self, at_m: float) -> None:
        """Read at a distance from the left end."""
        if self._content is None:
            return
        length_m = float(self._content.distances_m[-1])
        self._read_m = min(max(at_m, 0.0), length_m)
        self.readAt.emit(self._read_m)
        self.update()

    def sizeHint(self) -> QSize:
        """Wide and low."""
        return QSize(640, 136)

    def minimumSizeHint(self) -> QSize:
        """Below this nothing can be told apart."""
        return QSize(220, 90)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """What stays, from a picture of it; then the reading."""
        painter = QPainter(self)
        content = self._content
        if content is None:
            return
        if self._cache is None:
            self._cache = self._painted(content)
        painter.drawPixmap(0, 0, self._cache)
        if self._read_m is not None:
            box = self._box()
            x = self._x(content, box, self._read_m)
            painter.setPen(QPen(QColor(self._theme.accent), 1.0))
            painter.drawLine(QPointF(x, box.top()), QPointF(x, box.bottom()))
        if self.hasFocus():
            painter.setPen(QPen(QColor(self._theme.accent), 1.0, Qt.PenStyle.DotLine))
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Everything stands elsewhere."""
        super().resizeEvent(event)
        self._outdate()

    def changeEvent(self, event: QEvent) -> None:
        """Follow the application's type."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.PaletteChange):
            self._outdate()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Read under the pointer."""
        content, box = self._content, self._box()
        if content is not None and box.left() <= event.position().x() <= box.right():
            share = (event.position().x() - box.left()) / box.width()
            self.read(share * float(content.distances_m[-1]))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Read from the keyboard, by a hundredth or a tenth of the way."""
        content = self._content
        if content is None:
            super().keyPressEvent(event)
            return
        is_far = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        length_m = float(content.distances_m[-1])
        step_m = length_m * (0.1 if is_far else 0.01)
        at_m = self._read_m or 0.0
        match event.key():
            case Qt.Key.Key_Left:
                self.read(at_m - step_m)
            case Qt.Key.Key_Right:
                self.read(at_m + step_m)
            case Qt.Key.Key_Home:
                self.read(0.0)
            case Qt.Key.Key_End:
                self.read(length_m)
            case _:
                super().keyPressEvent(event)

    # Painting

    def _painted(self, content: ProfileContent) -> QPixmap:
        ratio = self.devicePixelRatioF()
        pixmap = QPixmap(self.size() * ratio)
        pixmap.setDevicePixelRatio(ratio)
        pixmap.fill(Qt.GlobalColor.transparent)
        painter = QPainter(pixmap)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(self._small())
        box = self._box()
        painter.fillRect(box, QColor(self._theme.field))
        self._paint_axes(painter, content, box)
        painter.setClipRect(box)
        self._paint_ground(painter, content, box)
        self._paint_ray(painter, content, box)
        self._paint_words(painter, content, box)
        painter.setClipping(False)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(QColor(self._theme.line), 1.0))
        painter.drawRect(box)
        painter.end()
        return pixmap

    def _paint_axes(
        self, painter: QPainter, content: ProfileContent, box: QRectF
    ) -> None:
        theme = self._theme
        metrics = QFontMetricsF(self._small())
        for tick in content.up:
            y = self._y(content, box, tick.at_m)
            painter.setPen(QPen(QColor(theme.line), 0.7))
            painter.drawLine(QPointF(box.left(), y), QPointF(box.right(), y))
            painter.setPen(QColor(theme.soft_ink))
            painter.drawText(
                QRectF(0.0, y - 9.0, box.left() - 5.0, 18.0),
                int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter),
                tick.text,
            )
        for tick in content.across:
            x = self._x(content, box, tick.at_m)
            width = metrics.horizontalAdvance(tick.text) + 4.0
            left = min(max(x - width / 2.0, box.left()), self.width() - width)
            painter.setPen(QPen(QColor(theme.line), 0.9))
            painter.drawLine(QPointF(x, box.bottom()), QPointF(x, box.bottom() + 4.0))
            painter.setPen(QColor(theme.soft_ink))
            painter.drawText(
                QPointF(left, box.bottom() + 5.0 + metrics.ascent()), tick.text
            )

    def _paint_ground(
        self, painter: QPainter, content: ProfileContent, box: QRectF
    ) -> None:
        theme = self._theme
        xs = self._xs(content, box)
        ys = self._ys(content, box, content.ground_m)
        is_known = np.isfinite(ys)
        edges = np.flatnonzero(np.diff(is_known.astype(np.int8))) + 1
        bounds = [0, *edges.tolist(), len(xs)]
        for start, stop in pairwise(bounds):
            if not is_known[start] or stop - start < 2:
                continue
            line = [
                QPointF(x, y)
                for x, y in zip(xs[start:stop], ys[start:stop], strict=True)
            ]
            body = QPainterPath(QPointF(line[0].x(), box.bottom()))
            for point in line:
                body.lineTo(point)
            body.lineTo(QPointF(line[-1].x(), box.bottom()))
            body.closeSubpath()
            painter.fillPath(body, QColor(theme.land))
            self._paint_strokes(painter, xs[start:stop], ys[start:stop], box)
            painter.setPen(QPen(QColor(theme.ink), 1.5))
            painter.drawPolyline(QPolygonF(line))

    def _paint_strokes(
        self, painter: QPainter, xs: Array, ys: Array, box: QRectF
    ) -> None:
        at = np.arange(xs[0] + 1.5, xs[-1], _STROKE_PX)
        heights = np.interp(at, xs, ys)
        uneven = 0.6 + 0.8 * ((at * 0.618034) % 1.0)
        length = np.minimum(
            _LONGEST_PX * uneven, np.maximum(0.0, box.bottom() - heights)
        )
        colour = mixed(self._theme.land, self._theme.ink, 0.4)
        painter.setPen(QPen(QColor(colour), 0.7))
        painter.drawLines(
            [
                QLineF(x, y + 1.0, x, y + long)
                for x, y, long in zip(at, heights, length, strict=True)
                if long > 1.0
            ]
        )

    def _paint_ray(
        self, painter: QPainter, content: ProfileContent, box: QRectF
    ) -> None:
        if content.ray_m is None:
            return
        xs, ys = self._xs(content, box), self._ys(content, box, content.ray_m)
        is_under = content.ray_m < content.ground_m  # nan: neither
        pen = QPen(QColor(self._theme.accent), 1.6)
        painter.setPen(pen)
        points = [QPointF(x, y) for x, y in zip(xs, ys, strict=True)]
        painter.drawPolyline(QPolygonF(points))
        if is_under.any():
            blocked = QPen(QColor(self._theme.stop), 2.4)
            painter.setPen(blocked)
            for k in np.flatnonzero(is_under[:-1]):
                painter.drawLine(points[k], points[k + 1])
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(self._theme.accent))
        for point in (points[0], points[-1]):
            painter.drawEllipse(point, 3.2, 3.2)

    def _paint_words(
        self, painter: QPainter, content: ProfileContent, box: QRectF
    ) -> None:
        theme = self._theme
        metrics = QFontMetricsF(self._small())
        taken: list[QRectF] = []
        for x, text in ((box.left(), content.start), (box.right(), content.end)):
            if text:
                self._word(painter, metrics, taken, box, x, box.top() + 3.0,
                           text, theme.accent, is_strong=False)  # fmt: skip
        for mark in content.marks:
            x = self._x(content, box, mark.at_m)
            k = int(np.argmin(np.abs(content.distances_m - mark.at_m)))
            ground_m = float(content.ground_m[k])
            if math.isnan(ground_m):
                continue
            y = self._y(content, box, ground_m)
            colour = theme.stop if mark.is_strong else theme.ink
            painter.setPen(QPen(QColor(colour), 1.4))
            painter.setBrush(QColor(theme.field))
            painter.drawEllipse(QPointF(x, y), 3.6, 3.6)
            self._word(painter, metrics, taken, box, x, y - metrics.height() - 6.0,
                       mark.text, colour, is_strong=mark.is_strong)  # fmt: skip

    def _word(
        self,
        painter: QPainter,
        metrics: QFontMetricsF,
        taken: list[QRectF],
        box: QRectF,
        x: float,
        top: float,
        text: str,
        colour: str,
        *,
        is_strong: bool,
    ) -> None:
        """Text near a place, within the frame, over what was written before."""
        width = metrics.horizontalAdvance(text) * (1.1 if is_strong else 1.0) + 6.0
        left = min(max(x - width / 2.0, box.left() + 2.0), box.right() - width)
        top = max(top, box.top() + 2.0)
        spot = QRectF(left, top, width, metrics.height())
        while any(spot.intersects(other) for other in taken):
            spot.translate(0.0, metrics.height())
            if spot.bottom() > box.bottom():
                return
        taken.append(spot)
        font = self._small()
        font.setBold(is_strong)
        painter.setFont(font)
        at = QPointF(spot.left() + 3.0, spot.top() + metrics.ascent())
        painter.setPen(QColor(self._theme.field))
        for dx, dy in _HALO:
            painter.drawText(at + QPointF(dx, dy), text)
        painter.setPen(QColor(colour))
        painter.drawText(at, text)

    # Where things stand

    def _box(self) -> QRectF:
        metrics = QFontMetricsF(self._small())
        ticks = self._content.up if self._content else ()
        widths = [metrics.horizontalAdvance(tick.text) for tick in ticks]
        left = max(widths, default=20.0) + 9.0
        below = metrics.height() + 8.0
        return QRectF(
            left,
            5.0,
            max(1.0, self.width() - left - 8.0),
            max(1.0, self.height() - 5.0 - below),
        )

    def _x(self, content: ProfileContent, box: QRectF, at_m: float) -> float:
        length_m = max(float(content.distances_m[-1]), 1e-6)
        return box.left() + at_m / length_m * box.width()

    def _y(self, content: ProfileContent, box: QRectF, height_m: float) -> float:
        share = (content.high_m - height_m) / (content.high_m - content.low_m)
        return box.top() + share * box.height()

    def _xs(self, content: ProfileContent, box: QRectF) -> Array:
        length_m = max(float(content.distances_m[-1]), 1e-6)
        return np.asarray(box.left() + content.distances_m / length_m * box.width())

    def _ys(self, content: ProfileContent, box: QRectF, heights_m: Array) -> Array:
        share = (content.high_m - heights_m) / (content.high_m - content.low_m)
        return np.asarray(box.top() + share * box.height())

    def _small(self) -> QFont:
        font = QFont(self.font())
        if font.pointSizeF() > 0:
            font.setPointSizeF(font.pointSizeF() * 0.86)
        return font

    def _outdate(self) -> None:
        self._cache = None
        self.update()
