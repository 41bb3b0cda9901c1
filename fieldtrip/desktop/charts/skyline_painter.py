"""Paints a skyline like an engraved profile, and the paths over it as plain lines."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
)

from fieldtrip.arrays import Array
from fieldtrip.desktop.charts.skyline_scale import (
    SkyScale,
    grid_step_deg,
    point_of_compass,
)
from fieldtrip.desktop.charts.strip_ink import mixed
from fieldtrip.desktop.content.skyline import (
    Crest,
    InView,
    SkylineContent,
    SkyMark,
    SkyPath,
)
from fieldtrip.desktop.theme import Theme

Order = npt.NDArray[np.intp]
_STROKE_PX = 3.0  # between the strokes of the engraving
_FAR_M, _NEAR_M = 20_000.0, 50.0  # strokes are shortest and longest there
_JUMP_DEG = 20.0  # between two points of a path that are not joined
_HALO = tuple((dx, dy) for dx in (-1.3, 0.0, 1.3) for dy in (-1.3, 0.0, 1.3))


class SkylinePainter:
    """Everything that stays while the minute moves."""

    def __init__(
        self, content: SkylineContent, theme: Theme, font: QFont, scale: SkyScale
    ) -> None:
        self._content = content
        self._theme = theme
        self._scale = scale
        self._font = font
        self._metrics = QFontMetricsF(font)
        self._taken: list[QRectF] = []

    def paint(self, painter: QPainter) -> None:
        """From the back to the front: sky, paths, ground, words."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(self._font)
        scale = self._scale
        box = QRectF(scale.x, scale.y, scale.width, scale.height)
        painter.fillRect(box, QColor(self._theme.field))
        self._paint_grid(painter)
        painter.save()
        painter.setClipRect(box)
        for path in self._content.paths:
            self._paint_path(painter, path)
        if self._content.crest is not None:
            self._paint_ground(painter, self._content.crest)
        if self._content.subject is not None:
            self._paint_subject(painter, self._content.subject)
        for mark in self._content.marks:
            self._paint_mark(painter, mark)
        for path in self._content.paths:
            self._paint_ticks(painter, path)
        painter.restore()
        painter.setPen(QPen(QColor(self._theme.line), 1.0))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(box)

    # Sky

    def _paint_grid(self, painter: QPainter) -> None:
        scale, theme = self._scale, self._theme
        line = QPen(QColor(theme.line), 0.8)
        step = grid_step_deg(scale.width_deg, scale.width, 42.0)
        for k in range(math.ceil(360.0 / step)):
            azimuth = k * step
            if not scale.is_within(azimuth):
                continue
            x = scale.x_of(azimuth)
            painter.setPen(line)
            painter.drawLine(
                QPointF(x, scale.y + scale.height),
                QPointF(x, scale.y + scale.height + 4),
            )
            compass = point_of_compass(azimuth)
            text = compass or f"{azimuth:.0f}°"
            painter.setPen(QColor(theme.ink if compass else theme.soft_ink))
            self._write(painter, text, x, scale.y + scale.height + 5.0)
        for altitude in self._altitudes():
            y = scale.y_of(altitude)
            is_level = altitude == 0.0
            painter.setPen(QPen(QColor(theme.line), 1.2 if is_level else 0.6))
            painter.drawLine(QPointF(scale.x, y), QPointF(scale.x + scale.width, y))
            painter.setPen(QColor(theme.soft_ink))
            text = f"{altitude:.0f}°".replace("-", "−")
            painter.drawText(
                QRectF(0.0, y - 9.0, scale.x - 5.0, 18.0),
                int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter),
                text,
            )

    def _altitudes(self) -> Iterator[float]:
        scale = self._scale
        span = scale.top_deg - scale.bottom_deg
        step = next(
            (s for s in (1.0, 2.0, 5.0, 10.0, 20.0) if s * scale.height / span >= 26.0),
            30.0,
        )
        k = math.ceil(scale.bottom_deg / step)
        while k * step <= scale.top_deg:
            yield k * step
            k += 1

    def _paint_path(self, painter: QPainter, path: SkyPath) -> None:
        pen = QPen(QColor(self._theme.ink), 1.4)
        if path.name == "Moon":
            pen.setWidthF(1.5)
            pen.setDashPattern([0.1, 2.8])
            pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for piece in self._pieces(path.azimuths_deg, path.altitudes_deg):
            painter.drawPolyline(QPolygonF(piece))

    def _pieces(
        self, azimuths_deg: Sequence[float], altitudes_deg: Sequence[float]
    ) -> Iterator[list[QPointF]]:
        """A line in pieces, broken where it leaves one side and enters the other."""
        scale = self._scale
        px = scale.width / scale.width_deg
        piece: list[QPointF] = []
        for azimuth, altitude in zip(azimuths_deg, altitudes_deg, strict=True):
            point = QPointF(scale.x_of(azimuth), scale.y_of(altitude))
            if piece and abs(point.x() - piece[-1].x()) > _JUMP_DEG * px:
                yield piece
                piece = []
            piece.append(point)
        if len(piece) > 1:
            yield piece

    def _paint_ticks(self, painter: QPainter, path: SkyPath) -> None:
        """Hours on the path, as far as they stand in the sky and find room."""
        scale, theme = self._scale, self._theme
        is_moon = path.name == "Moon"
        named = False
        for tick in path.ticks:
            if not scale.is_within(tick.azimuth_deg):
                continue
            if tick.altitude_deg < self._crest_at(tick.azimuth_deg):
                continue
            x, y = scale.x_of(tick.azimuth_deg), scale.y_of(tick.altitude_deg)
            if y < scale.y + 2.0:
                continue
            painter.setBrush(QColor(theme.field if is_moon else theme.ink))
            painter.setPen(QPen(QColor(theme.ink), 1.0))
            painter.drawEllipse(QPointF(x, y), 2.0, 2.0)
            text = tick.text if named else f"{path.name} {tick.text}"
            if self._say(painter, text, x, y, theme.soft_ink if is_moon else theme.ink):
                named = True

    def _crest_at(self, azimuth_deg: float) -> float:
        crest = self._content.crest
        if crest is None:
            return 0.0
        count = len(crest.altitudes_deg)
        return float(crest.altitudes_deg[round(azimuth_deg * count / 360.0) % count])

    # Ground

    def _paint_ground(self, painter: QPainter, crest: Crest) -> None:
        theme, scale = self._theme, self._scale
        xs, order = self._in_order(crest)
        ys = np.array([scale.y_of(a) for a in crest.altitudes_deg[order]])
        foot = scale.y + scale.height
        outline = [QPointF(x, y) for x, y in zip(xs, ys, strict=True)]
        body = QPainterPath(QPointF(xs[0], foot))
        for point in outline:
            body.lineTo(point)
        body.lineTo(QPointF(xs[-1], foot))
        body.closeSubpath()
        painter.fillPath(body, QColor(theme.land))

        self._paint_sea(painter, crest, xs, order, ys)
        self._paint_strokes(painter, crest, order, xs, ys)
        self._paint_doubt(painter, crest, order, xs)
        self._paint_outline(painter, crest, order, outline)

    def _in_order(self, crest: Crest) -> tuple[Array, Order]:
        """From left to right, with a point at or beyond each edge."""
        scale = self._scale
        turned = (crest.azimuths_deg - scale.left_deg) % 360.0
        order = np.argsort(turned, kind="stable")
        xs = scale.x + turned[order] * (scale.width / scale.width_deg)
        # The last one once more before the first, so that no gap is left there.
        step = 360.0 / len(turned) * scale.width / scale.width_deg
        order = np.concatenate([order[-1:], order, order[:1]])
        xs = np.concatenate([xs[:1] - step, xs, xs[-1:] + step])
        return xs, order

    def _paint_strokes(
        self, painter: QPainter, crest: Crest, order: Order, xs: Array, ys: Array
    ) -> None:
        """Strokes that hang from the crest: long where it is near, short far away."""
        theme, scale = self._theme, self._scale
        at = np.arange(scale.x + 1.5, scale.x + scale.width, _STROKE_PX)
        heights = np.interp(at, xs, ys)
        away_m = np.interp(at, xs, crest.distances_m[order])
        is_sea = np.interp(at, xs, crest.is_sea[order].astype(np.float64)) > 0.5
        slope = np.gradient(heights, at) if len(at) > 1 else np.zeros(len(at))
        nearness = np.log(_FAR_M / np.clip(away_m, _NEAR_M, _FAR_M)) / math.log(
            _FAR_M / _NEAR_M
        )
        # Uneven by the golden ratio, as a hand would be.
        uneven = 0.75 + 0.5 * ((at * 0.618034) % 1.0)
        length = (7.0 + 26.0 * nearness) * uneven
        # A stroke leans to the left; where the ground falls that way, it is shorter.
        room = np.interp(at - 0.25 * length, xs, ys)
        length = np.where(heights + length > room + 2.0, length, 0.0)
        # The side that falls to the right lies in the engraver's shade.
        shade = 0.34 + 0.16 * np.clip(slope, -1.0, 1.0) + 0.2 * nearness
        tones: dict[int, list[QLineF]] = {}
        for x, y, long, tone, sea in zip(
            at, heights, length, np.round(shade * 12.0), is_sea, strict=True
        ):
            if not sea and long > 0.0:
                stroke = QLineF(x, y + 1.0, x - 0.25 * long, y + long)
                tones.setdefault(int(tone), []).append(stroke)
        for tone, strokes in tones.items():
            colour = mixed(theme.land, theme.ink, tone / 12.0)
            painter.setPen(QPen(QColor(colour), 0.7))
            painter.drawLines(strokes)

    def _paint_sea(
        self, painter: QPainter, crest: Crest, xs: Array, order: Order, ys: Array
    ) -> None:
        """Level lines below the sea's horizon, farther apart the nearer they are."""
        theme, scale = self._theme, self._scale
        is_sea = crest.is_sea[order]
        if not is_sea.any():
            return
        edges = np.flatnonzero(np.diff(is_sea.astype(np.int8)))
        starts = [0, *(edges + 1).tolist()]
        stops = [*(edges + 1).tolist(), len(is_sea)]
        pen = QPen(QColor(mixed(theme.sea, theme.ink, 0.25)), 0.7)
        for start, stop in zip(starts, stops, strict=True):
            if not is_sea[start]:
                continue
            left, right = xs[max(0, start - 1)], xs[min(stop, len(xs) - 1)]
            top = float(ys[start])
            foot = scale.y + scale.height
            painter.fillRect(
                QRectF(left, top, right - left, foot - top), QColor(theme.sea)
            )
            painter.setPen(pen)
            y, gap = top + 3.0, 2.5
            while y < foot:
                painter.drawLine(QPointF(left, y), QPointF(right, y))
                gap *= 1.35
                y += gap

    def _paint_doubt(
        self, painter: QPainter, crest: Crest, order: Order, xs: Array
    ) -> None:
        """A band as wide as the error, where it can be seen."""
        scale = self._scale
        middle = crest.altitudes_deg[order]
        # Of what is near the dashes say enough: its error would cover the page.
        is_plain = crest.is_sea[order] | crest.is_near[order]
        error = np.where(is_plain, 0.0, crest.error_deg[order])
        px = scale.height / (scale.top_deg - scale.bottom_deg)
        if float(np.max(error)) * px < 1.5:
            return
        upper = [
            QPointF(x, scale.y_of(a)) for x, a in zip(xs, middle + error, strict=True)
        ]
        lower = [
            QPointF(x, scale.y_of(a))
            for x, a in zip(xs[::-1], (middle - error)[::-1], strict=True)
        ]
        colour = QColor(self._theme.ink)
        colour.setAlphaF(0.09)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colour)
        painter.drawPolygon(QPolygonF(upper + lower))

    def _paint_outline(
        self, painter: QPainter, crest: Crest, order: Order, outline: list[QPointF]
    ) -> None:
        is_near, is_known = crest.is_near[order], crest.is_known[order]
        if not is_known.any():
            is_known = ~is_known  # nothing to tell apart; the notes say it
        pens = {
            (False, True): QPen(QColor(self._theme.ink), 1.5),
            (True, True): QPen(QColor(self._theme.ink), 1.3),
            (False, False): QPen(QColor(self._theme.ink), 1.3),
        }
        pens[True, True].setDashPattern([4.0, 2.5])
        pens[False, False].setDashPattern([1.2, 2.2])
        piece: list[QPointF] = []
        kind = (False, True)
        for k, point in enumerate(outline):
            is_sure = bool(is_known[k]) or bool(crest.is_sea[order[k]])
            now = (bool(is_near[k]) and is_sure, is_sure)
            if now != kind and piece:
                painter.setPen(pens[kind])
                painter.drawPolyline(QPolygonF([*piece, point]))
                piece = []
            kind = now
            piece.append(point)
        if len(piece) > 1:
            painter.setPen(pens[kind])
            painter.drawPolyline(QPolygonF(piece))

    def _paint_subject(self, painter: QPainter, subject: InView) -> None:
        scale, theme = self._scale, self._theme
        if not scale.is_within(subject.azimuth_deg):
            return
        x = scale.x_of(subject.azimuth_deg)
        foot, top = scale.y_of(subject.foot_deg), scale.y_of(subject.top_deg)
        pen = QPen(QColor(theme.accent), 1.2)
        pen.setDashPattern([3.0, 3.0])
        painter.setPen(pen)
        painter.drawLine(QPointF(x, scale.y + 16.0), QPointF(x, min(top, foot)))
        painter.setPen(QPen(QColor(theme.accent), 3.0))
        painter.drawLine(QPointF(x, min(top, foot - 3.0)), QPointF(x, foot))
        width = self._metrics.horizontalAdvance(subject.name) + 6.0
        left = min(max(x - width / 2.0, scale.x + 2.0), scale.x + scale.width - width)
        self._word(painter, subject.name, left, scale.y + 2.0, theme.accent)

    # Words

    def _paint_mark(self, painter: QPainter, mark: SkyMark) -> None:
        scale, theme = self._scale, self._theme
        if not scale.is_within(mark.azimuth_deg):
            return
        x, y = scale.x_of(mark.azimuth_deg), scale.y_of(mark.altitude_deg)
        painter.setPen(QPen(QColor(theme.ink), 1.4))
        painter.setBrush(QColor(theme.field))
        painter.drawEllipse(QPointF(x, y), 3.6, 3.6)
        self._say(painter, mark.text, x, y, theme.ink, is_bold=True)

    def _say(
        self,
        painter: QPainter,
        text: str,
        x: float,
        y: float,
        colour: str,
        *,
        is_bold: bool = False,
    ) -> bool:
        """Write a word near a point if there is room; whether there was."""
        width = self._metrics.horizontalAdvance(text) * (1.08 if is_bold else 1.0) + 4.0
        height = self._metrics.height()
        for left, top in (
            (x - width / 2.0, y - height - 5.0),
            (x + 7.0, y - height / 2.0),
            (x - width - 7.0, y - height / 2.0),
            (x + 5.0, y - height - 4.0),
            (x - width - 5.0, y - height - 4.0),
            (x - width / 2.0, y - 2.0 * height - 5.0),
        ):
            spot = QRectF(left, top, width, height)
            is_inside = (
                left >= self._scale.x
                and left + width <= self._scale.x + self._scale.width
                and top >= self._scale.y
            )
            if is_inside and not any(spot.intersects(other) for other in self._taken):
                self._word(painter, text, left, top, colour, is_bold=is_bold)
                return True
        return False

    def _word(
        self,
        painter: QPainter,
        text: str,
        left: float,
        top: float,
        colour: str,
        *,
        is_bold: bool = False,
    ) -> None:
        """Letters with a halo of paper, so that lines may pass behind them."""
        font = QFont(self._font)
        font.setBold(is_bold)
        at = QPointF(left + 2.0, top + self._metrics.ascent())
        painter.setFont(font)
        painter.setPen(QColor(self._theme.field))
        for dx, dy in _HALO:  # far quicker than to stroke their outlines
            painter.drawText(at + QPointF(dx, dy), text)
        painter.setPen(QColor(colour))
        painter.drawText(at, text)
        width = self._metrics.horizontalAdvance(text) * (1.08 if is_bold else 1.0) + 4.0
        self._taken.append(QRectF(left, top, width, self._metrics.height()))

    def _write(self, painter: QPainter, text: str, x: float, top: float) -> None:
        width = 80.0
        painter.drawText(
            QRectF(x - width / 2.0, top, width, self._metrics.height()),
            int(Qt.AlignmentFlag.AlignCenter),
            text,
        )
