"""The day strip: a hand-painted page of a diary, with one line for the minute."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from html import escape

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QDragEnterEvent,
    QDragLeaveEvent,
    QDragMoveEvent,
    QDropEvent,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPixmap,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from fieldtrip.desktop.charts.strip_drag import StopDrag, spot_of
from fieldtrip.desktop.charts.strip_layout import Box
from fieldtrip.desktop.charts.strip_page import StripPage, rect_of
from fieldtrip.desktop.charts.strip_painter import paint_strip
from fieldtrip.desktop.charts.strip_plan_painter import paint_moved
from fieldtrip.desktop.content.day_strip import StripContent
from fieldtrip.desktop.content.strip_plan import PlanBlock
from fieldtrip.desktop.theme import LIGHT, Theme

_ZOOM_STEP = 1.25
_STEPS = {
    Qt.KeyboardModifier.NoModifier: 1,
    Qt.KeyboardModifier.ShiftModifier: 10,
    Qt.KeyboardModifier.ControlModifier: 60,
}


class DayStripChart(QWidget):
    """Shows a content and a cursor; tells what the user asks for, and decides nothing.

    The columns are painted once into a pixmap, and again only when content,
    size, type or theme change: moving the cursor paints two thin stripes.
    """

    minuteChosen = Signal(object)  # datetime: a whole minute of the shown day
    minutesStepped = Signal(int)
    daysStepped = Signal(int)
    nowAsked = Signal()
    zoomAsked = Signal(float, float)  # factor, and the height that should stay
    laidOut = Signal()  # the columns stand elsewhere now
    stopDragged = Signal(object, object)  # id of a stop, and when it would be reached
    stopDropped = Signal(object, object)  # the same, where it was let go
    spotDropped = Signal(object, object)  # id of a vantage point, and a minute

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._content: StripContent | None = None
        self._theme = LIGHT
        self._page: StripPage | None = None
        self._cache: QPixmap | None = None
        self._cursor_at: datetime | None = None
        self._cursor_text = ""
        self._drag: StopDrag | None = None
        self._drop_y: float | None = None  # where a vantage point would be dropped
        self.setAcceptDrops(True)
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("Day strip")

    @property
    def page(self) -> StripPage | None:
        """Where the columns stand at present, or None without content."""
        if self._content is None:
            return None
        if self._page is None:
            self._page = StripPage(
                self._content, self._theme, self.font(), self.width(), self.height()
            )
        return self._page

    def show_content(self, content: StripContent) -> None:
        """Paint another day."""
        self._content = content
        self._outdate()

    def set_theme(self, theme: Theme) -> None:
        """Paint on light or on dark paper."""
        if theme != self._theme:
            self._theme = theme
            self._outdate()

    def set_cursor(self, instant: datetime, text: str, reading: str = "") -> None:
        """Put the line at a minute, with its time and what a screen reader says."""
        self._update_cursor_stripe()
        self._cursor_at, self._cursor_text = instant, text
        self._update_cursor_stripe()
        if reading:
            self.setAccessibleDescription(reading)

    def cursor_y(self) -> float | None:
        """How far down the line is, or None while its minute is not on this day."""
        page, at = self.page, self._cursor_at
        if page is None or at is None or (self._content and self._content.message):
            return None
        span = page.scale.span
        return page.scale.y(at) if span.start <= at < span.stop else None

    def sizeHint(self) -> QSize:
        """Wide enough for four columns and high enough for a day."""
        return QSize(360, 620)

    def minimumSizeHint(self) -> QSize:
        """Below this no column could be read."""
        return QSize(260, 200)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """The painted columns, then the line."""
        painter = QPainter(self)
        page = self.page
        if page is None:
            return
        if self._cache is None:
            self._cache = self._painted_columns(page)
        painter.drawPixmap(0, 0, self._cache)
        y = self.cursor_y()
        if y is not None:
            self._paint_cursor(painter, page, y)
        if self._drag is not None and self._drag.is_on_its_way:
            drag = self._drag
            paint_moved(painter, page, drag.moved, drag.words, fits=drag.fits)
        if self._drop_y is not None:
            self._paint_drop(painter, page, self._drop_y)
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)  # the cursor's tag was filled
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

    @property
    def drag(self) -> StopDrag | None:
        """The stop that is being moved, or None."""
        return self._drag if self._drag and self._drag.is_on_its_way else None

    def say_of_drag(self, stop_id: object, words: str, *, fits: bool) -> None:
        """Say beside the stop that is being moved what its new time means."""
        drag = self.drag
        if drag is not None and drag.block.record_id == stop_id:
            self._drag = replace(drag, words=words, fits=fits)
            self.update()

    def end_drag(self) -> None:
        """Leave the stop where it was."""
        if self._drag is not None:
            self._drag = None
            self.unsetCursor()
            self.update()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A click chooses its minute; on a stop it may become a drag."""
        if event.button() is not Qt.MouseButton.LeftButton:
            return
        point, page = event.position(), self.page
        block = self._stop_at(point)
        if block is not None and page is not None:
            self._drag = StopDrag(block, point.y(), page.scale.instant(point.y()))
        self._choose(point.y())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Dragging moves the line along, or the stop that was taken hold of."""
        point, page = event.position(), self.page
        if not event.buttons() & Qt.MouseButton.LeftButton:
            if self._stop_at(point) is not None:
                self.setCursor(Qt.CursorShape.OpenHandCursor)
            else:
                self.unsetCursor()
            return
        if self._drag is None or page is None:
            self._choose(point.y())
            return
        before = self._drag
        self._drag = before.to(point.y(), page.scale.instant(point.y()))
        if self._drag.is_on_its_way and self._drag.start != before.start:
            self.setCursor(Qt.CursorShape.ClosedHandCursor)
            self.stopDragged.emit(self._drag.block.record_id, self._drag.start)
        self.update()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let a moved stop go where it is."""
        drag = self.drag
        if event.button() is not Qt.MouseButton.LeftButton:
            return
        self.end_drag()
        if drag is not None and drag.start != drag.block.span.start:
            self.stopDropped.emit(drag.block.record_id, drag.start)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take a vantage point from the list of places."""
        if spot_of(event.mimeData()) is not None and self.page is not None:
            event.acceptProposedAction()

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        """Show at which minute it would be dropped; only on the plan."""
        if self._is_on_plan(event.position()):
            self._drop_y = event.position().y()
            event.acceptProposedAction()
        else:
            self._drop_y = None
            event.ignore()
        self.update()

    def dragLeaveEvent(self, event: QDragLeaveEvent) -> None:
        """Forget the place."""
        self._drop_y = None
        self.update()
        super().dragLeaveEvent(event)

    def dropEvent(self, event: QDropEvent) -> None:
        """A vantage point becomes a stop."""
        self._drop_y = None
        self.update()
        spot, page = spot_of(event.mimeData()), self.page
        if spot is None or page is None or not self._is_on_plan(event.position()):
            event.ignore()
            return
        event.acceptProposedAction()
        self.spotDropped.emit(spot, page.scale.instant(event.position().y()))

    def wheelEvent(self, event: QWheelEvent) -> None:
        """With Ctrl the hours grow or shrink; else the strip scrolls."""
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            turns = event.angleDelta().y() / 120.0
            self.zoomAsked.emit(_ZOOM_STEP**turns, event.position().y())
            event.accept()
            return
        event.ignore()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Minutes, days and hours from the keyboard."""
        keypad = Qt.KeyboardModifier.KeypadModifier
        step = _STEPS.get(event.modifiers() & ~keypad)
        match event.key():
            case Qt.Key.Key_Up if step:
                self.minutesStepped.emit(-step)
            case Qt.Key.Key_Down if step:
                self.minutesStepped.emit(step)
            case Qt.Key.Key_PageUp:
                self.daysStepped.emit(-1)
            case Qt.Key.Key_PageDown:
                self.daysStepped.emit(1)
            case Qt.Key.Key_Home:
                self.nowAsked.emit()
            case Qt.Key.Key_Plus | Qt.Key.Key_Equal:
                self.zoomAsked.emit(_ZOOM_STEP, self.cursor_y() or 0.0)
            case Qt.Key.Key_Escape if self._drag is not None:
                self.end_drag()
            case Qt.Key.Key_Minus:
                self.zoomAsked.emit(1.0 / _ZOOM_STEP, self.cursor_y() or 0.0)
            case _:
                super().keyPressEvent(event)

    def event(self, event: QEvent) -> bool:
        """Tool tips say in full what had to be written short."""
        if isinstance(event, QHelpEvent) and event.type() is QEvent.Type.ToolTip:
            text = self.text_at(QPointF(event.pos()))
            if text:
                lines = escape(text[:2000]).replace("\n", "<br>")
                QToolTip.showText(event.globalPos(), f"<qt>{lines}</qt>", self)
            else:
                QToolTip.hideText()
            return True
        return super().event(event)

    def text_at(self, point: QPointF) -> str:
        """What stands at a point, in full."""
        page = self.page
        for box, text in reversed(page.shown if page else []):
            is_inside = box.left <= point.x() <= box.right
            if is_inside and box.top <= point.y() <= box.bottom:
                return text
        return ""

    def _stop_at(self, point: QPointF) -> PlanBlock | None:
        page = self.page
        for box, block in reversed(page.stops if page else []):
            is_inside = box.left <= point.x() <= box.right
            if is_inside and box.top <= point.y() <= box.bottom:
                return block
        return None

    def _is_on_plan(self, point: QPointF) -> bool:
        page = self.page
        if page is None or (self._content and self._content.message):
            return False
        plan = page.columns.plan
        return plan.left <= point.x() and plan.top <= point.y() <= plan.bottom

    def _paint_drop(self, painter: QPainter, page: StripPage, y: float) -> None:
        plan = page.columns.plan
        painter.setPen(QPen(QColor(self._theme.accent), 2.0, Qt.PenStyle.DashLine))
        painter.drawLine(QPointF(plan.left, y), QPointF(plan.right, y))

    def _choose(self, y: float) -> None:
        page = self.page
        if page is not None and self._content and not self._content.message:
            self.minuteChosen.emit(page.scale.instant(y))

    def _outdate(self) -> None:
        self._page = self._cache = None
        self._drag = None
        self.update()
        self.laidOut.emit()

    def _update_cursor_stripe(self) -> None:
        y = self.cursor_y()
        if y is not None:
            half = 2 * self.fontMetrics().height()  # the hour it hides, too
            self.update(0, int(y) - half, self.width(), 2 * half)

    def _painted_columns(self, page: StripPage) -> QPixmap:
        ratio = self.devicePixelRatioF()
        pixmap = QPixmap(self.size() * ratio)
        pixmap.setDevicePixelRatio(ratio)
        pixmap.fill(QColor(self._theme.sheet))
        painter = QPainter(pixmap)
        paint_strip(painter, page)
        painter.end()
        return pixmap

    def _paint_cursor(self, painter: QPainter, page: StripPage, y: float) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        columns = page.columns
        accent = QColor(self._theme.accent)
        painter.setPen(QPen(accent, 2.0))
        painter.drawLine(QPointF(columns.edge.right, y), QPointF(columns.plan.right, y))
        height = self.fontMetrics().height()
        tag = Box(1.0, y - height / 2.0, columns.edge.width + 1.0, height)
        for label in page.hour_labels:
            if label.overlaps(tag):  # half an hour's figures would only confuse
                painter.fillRect(rect_of(label), QColor(self._theme.sheet))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(accent)
        painter.drawRoundedRect(rect_of(tag), 4.0, 4.0)
        painter.setFont(page.fonts.bold)
        painter.setPen(QColor(self._theme.field))
        painter.drawText(
            rect_of(tag), int(Qt.AlignmentFlag.AlignCenter), self._cursor_text
        )


class StripHeadings(QWidget):
    """The names of the columns, standing still above them while they scroll."""

    def __init__(self, chart: DayStripChart) -> None:
        super().__init__()
        self._chart = chart
        self._theme = LIGHT
        self._wind_unit = ""
        self.setFixedHeight(self.fontMetrics().height() + 6)
        chart.laidOut.connect(self.update)

    def set_theme(self, theme: Theme) -> None:
        """Write on light or on dark paper."""
        self._theme = theme
        self.update()

    def set_wind_unit(self, unit: str) -> None:
        """Name the unit of the wind's numbers."""
        self._wind_unit = unit
        self.update()

    def changeEvent(self, event: QEvent) -> None:
        """Follow the application's type."""
        super().changeEvent(event)
        if event.type() is QEvent.Type.FontChange:
            self.setFixedHeight(self.fontMetrics().height() + 6)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """One word above each column."""
        page = self._chart.page
        if page is None:
            return
        painter = QPainter(self)
        painter.setFont(page.fonts.bold)
        painter.setPen(QColor(self._theme.soft_ink))
        c = page.columns
        wind = f"Wind {self._wind_unit}".strip()
        for box, text in (
            (c.light, "Light"),
            (c.tide, "Tide"),
            (c.wind, wind),
            (c.plan, "Plan"),
        ):
            rect = QRectF(box.left + 1.0, 0.0, box.width + 3.0, self.height())
            painter.drawText(rect, int(Qt.AlignmentFlag.AlignVCenter), text)
