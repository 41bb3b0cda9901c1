"""The skyline chart: the ground against the sky, with the minute's Sun and Moon."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPixmap,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from fieldtrip.desktop.charts.skyline_painter import SkylinePainter
from fieldtrip.desktop.charts.skyline_scale import SkyScale
from fieldtrip.desktop.content.skyline import SkylineContent, SkylineMinute
from fieldtrip.desktop.theme import LIGHT, Theme

_ZOOM_STEP = 1.25
_DISC_PX = 5.0
_WHOLE_DEG = 359.9  # but for rounding


class HorizonChart(QWidget):
    """Shows a content and a minute; tells which azimuth is read, and decides nothing.

    Arrow keys move the reading, plus and minus or the wheel zoom, dragging turns
    round, Home goes to the subject.
    """

    readAt = Signal(float)  # azimuth in degrees

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._content = SkylineContent()
        self._minute: SkylineMinute | None = None
        self._theme = LIGHT
        self._view: tuple[float, float] = (0.0, 360.0)  # left, width in degrees
        self._cache: QPixmap | None = None
        self._read_deg: float | None = None
        self._dragged: tuple[float, float] | None = None  # x, and left then
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("Skyline")

    def show_content(self, content: SkylineContent) -> None:
        """Paint another skyline; where one looks stays, unless the middle does not."""
        if content.middle_deg != self._content.middle_deg or self._view[1] >= 360.0:
            self._view = ((content.middle_deg - 180.0) % 360.0, 360.0)
        self._content = content
        self._outdate()

    def show_minute(self, minute: SkylineMinute | None) -> None:
        """Put Sun and Moon where they stand."""
        self._minute = minute
        self.update()

    def set_theme(self, theme: Theme) -> None:
        """Paint on light or on dark paper."""
        if theme != self._theme:
            self._theme = theme
            self._outdate()

    @property
    def read_deg(self) -> float | None:
        """The azimuth that is read, or None."""
        return self._read_deg

    def read(self, azimuth_deg: float) -> None:
        """Read in a direction, and turn round until it can be seen."""
        self._read_deg = azimuth_deg % 360.0
        scale = self.scale()
        if not scale.is_within(self._read_deg):
            self._view = ((self._read_deg - self._view[1] / 2.0) % 360.0, self._view[1])
            self._outdate()
        self.readAt.emit(self._read_deg)
        self.update()

    def scale(self) -> SkyScale:
        """Where everything stands at present."""
        metrics = QFontMetricsF(self._small())
        left = metrics.horizontalAdvance("−10°") + 8.0
        below = metrics.height() + 8.0
        left_deg, width_deg = self._view
        content = self._content
        # Altitudes grow with the azimuths, about the level line, until half of it.
        share = max(width_deg / 360.0, 0.35)
        return SkyScale(
            left_deg,
            width_deg,
            content.bottom_deg * max(share, 0.6),
            content.top_deg * share,
            left,
            6.0,
            max(1.0, self.width() - left - 8.0),
            max(1.0, self.height() - 6.0 - below),
        )

    def sizeHint(self) -> QSize:
        """Wide, and as low as a card on a small screen; it grows with its page."""
        return QSize(640, 136)

    def minimumSizeHint(self) -> QSize:
        """Below this nothing can be told apart."""
        return QSize(240, 110)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """What stays, from a picture of it; then the minute and the reading."""
        painter = QPainter(self)
        if self._content.crest is None:
            return
        scale = self.scale()
        if self._cache is None:
            self._cache = self._painted(scale)
        painter.drawPixmap(0, 0, self._cache)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(self._small())
        painter.setClipRect(QRectF(scale.x, scale.y, scale.width, scale.height))
        if self._minute is not None:
            self._paint_minute(painter, scale, self._minute)
        if self._read_deg is not None and scale.is_within(self._read_deg):
            self._paint_reading(painter, scale, self._read_deg)
        painter.setClipping(False)
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
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

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin to turn round."""
        if event.button() is Qt.MouseButton.LeftButton:
            self._dragged = (event.position().x(), self._view[0])

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Read under the pointer, or turn round with it."""
        scale = self.scale()
        x = event.position().x()
        if self._dragged is not None and self._view[1] < 360.0:
            start, left = self._dragged
            by = (start - x) * self._view[1] / scale.width
            self._view = ((left + by) % 360.0, self._view[1])
            self._outdate()
        elif scale.x <= x <= scale.x + scale.width:
            self._read_deg = scale.azimuth_at(x)
            self.readAt.emit(self._read_deg)
            self.update()

    def mouseReleaseEvent(self, _event: QMouseEvent) -> None:
        """End turning round."""
        self._dragged = None

    def wheelEvent(self, event: QWheelEvent) -> None:
        """With Ctrl nearer or farther; else the page scrolls."""
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            turns = event.angleDelta().y() / 120.0
            self._zoom(_ZOOM_STEP**turns, event.position().x())
            event.accept()
            return
        event.ignore()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Read and zoom from the keyboard."""
        is_far = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        step = 10.0 if is_far else 1.0
        at = self._read_deg
        if at is None:
            at = self._content.middle_deg
        match event.key():
            case Qt.Key.Key_Left:
                self.read(round(at) - step)
            case Qt.Key.Key_Right:
                self.read(round(at) + step)
            case Qt.Key.Key_Home if self._content.subject is not None:
                self.read(self._content.subject.azimuth_deg)
            case Qt.Key.Key_Plus | Qt.Key.Key_Equal:
                self._zoom(_ZOOM_STEP, self.scale().x_of(at))
            case Qt.Key.Key_Minus:
                self._zoom(1.0 / _ZOOM_STEP, self.scale().x_of(at))
            case _:
                super().keyPressEvent(event)

    def _zoom(self, factor: float, x: float) -> None:
        found = self.scale().zoomed(factor, x)
        left, width = found.left_deg, found.width_deg
        if width > _WHOLE_DEG:
            left, width = self._content.middle_deg - 180.0, 360.0
        self._view = (left % 360.0, width)
        self._outdate()

    def _paint_minute(
        self, painter: QPainter, scale: SkyScale, minute: SkylineMinute
    ) -> None:
        theme = self._theme
        for (azimuth, altitude), is_sun in (
            (minute.moon_deg, False),
            (minute.sun_deg, True),
        ):
            if altitude < scale.bottom_deg or not scale.is_within(azimuth):
                continue
            at = QPointF(scale.x_of(azimuth), scale.y_of(altitude))
            painter.setPen(QPen(QColor(theme.accent), 1.8))
            painter.setBrush(QColor(theme.accent if is_sun else theme.field))
            painter.drawEllipse(at, _DISC_PX, _DISC_PX)
            if is_sun and self._crest_above(azimuth, altitude):
                # Behind the ground: a ring that is not there to be seen.
                painter.setBrush(QColor(theme.land))
                painter.drawEllipse(at, _DISC_PX, _DISC_PX)

    def _crest_above(self, azimuth_deg: float, altitude_deg: float) -> bool:
        crest = self._content.crest
        if crest is None:
            return False
        count = len(crest.altitudes_deg)
        at = round(azimuth_deg * count / 360.0) % count
        return bool(crest.altitudes_deg[at] > altitude_deg)

    def _paint_reading(self, painter: QPainter, scale: SkyScale, at: float) -> None:
        x = scale.x_of(at)
        painter.setPen(QPen(QColor(self._theme.accent), 1.0))
        painter.drawLine(QPointF(x, scale.y), QPointF(x, scale.y + scale.height))

    def _painted(self, scale: SkyScale) -> QPixmap:
        ratio = self.devicePixelRatioF()
        pixmap = QPixmap(self.size() * ratio)
        pixmap.setDevicePixelRatio(ratio)
        pixmap.fill(Qt.GlobalColor.transparent)
        painter = QPainter(pixmap)
        SkylinePainter(self._content, self._theme, self._small(), scale).paint(painter)
        painter.end()
        return pixmap

    def _small(self) -> QFont:
        font = QFont(self.font())
        if font.pointSizeF() > 0:
            font.setPointSizeF(font.pointSizeF() * 0.86)
        return font

    def _outdate(self) -> None:
        self._cache = None
        self.update()
