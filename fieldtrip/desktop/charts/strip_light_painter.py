"""Paints the strip's Light column."""

from __future__ import annotations

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from fieldtrip.desktop.charts.strip_ink import Tint
from fieldtrip.desktop.charts.strip_layout import Box, Placer, beside_line, inside_span
from fieldtrip.desktop.charts.strip_page import StripPage
from fieldtrip.desktop.content.strip_light import LightMark


def paint_bands(painter: QPainter, page: StripPage) -> None:
    """The tints of one ink; below the hours' lines."""
    column = page.columns.light
    for band in page.content.light.bands:
        box = page.part(column, band.span)
        page.fill(painter, box, page.tints[band.depth].ground)
        page.explain(box, band.text)


def paint_light_words(painter: QPainter, page: StripPage) -> None:
    """Times on their lines and names in their bands; the important ones first."""
    light, column = page.content.light, page.columns.light
    if light.message:
        page.message(painter, column, light.message)
        return
    placer = Placer(column)
    strong = [m for m in light.marks if m.is_sun or m.is_moon or m.is_spot]
    for mark in strong:
        _paint_mark(painter, page, placer, mark)
    _paint_names(painter, page, placer)
    for mark in light.marks:
        if mark not in strong:
            _paint_mark(painter, page, placer, mark)


def _paint_names(painter: QPainter, page: StripPage, placer: Placer) -> None:
    column = page.columns.light
    for band in page.content.light.bands:
        part = page.part(column, band.span)
        for text in (band.text, band.short):
            size = page.size([text])
            if size[0] > column.width - 4.0:
                continue
            place = placer.place(inside_span(column, part.top, part.bottom, size))
            if place is not None:
                tint = page.tints[band.depth]
                page.fill(painter, place, tint.ground)  # no hour's line through it
                page.write(painter, place, text, tint.text)
                break


def _paint_mark(
    painter: QPainter, page: StripPage, placer: Placer, mark: LightMark
) -> None:
    column, y = page.columns.light, page.y(mark.instant)
    place, text = _place(page, placer, mark)
    ink = QColor(_tint_at(page, y).text)
    if mark.is_sun:
        painter.setPen(QPen(ink, 1.6))
        painter.drawLine(QPointF(column.left, y), QPointF(column.right, y))
        placer.take(Box(column.left, y - 1.0, column.width, 2.0))
    elif mark.is_moon or mark.is_spot:
        dash = Qt.PenStyle.DotLine if mark.is_moon else Qt.PenStyle.DashLine
        painter.setPen(QPen(ink, 1.4, dash))
        crosses = place is not None and place.top < y < place.bottom
        room = (column.width - place.width) / 2.0 if place and crosses else 12.0
        length = min(12.0, room - 3.0)
        if length > 1.0:
            right = column.right
            painter.drawLine(QPointF(column.left, y), QPointF(column.left + length, y))
            painter.drawLine(QPointF(right - length, y), QPointF(right, y))
    page.explain(Box(column.left, y - 4.0, column.width, 8.0), mark.texts[0])
    if place is not None:
        tint = _tint_at(page, place.middle)
        page.fill(painter, place, tint.ground)  # one, even across an edge of tints
        page.write(painter, place, text, tint.text, bold=mark.is_sun)


def _place(page: StripPage, placer: Placer, mark: LightMark) -> tuple[Box | None, str]:
    """The longest wording that finds room, and where."""
    column, y = page.columns.light, page.y(mark.instant)
    for text in mark.texts:
        lines = text.split("\n")
        size = page.size(lines, bold=mark.is_sun)
        if size[0] > column.width - 3.0:
            continue
        is_tick = mark.is_moon or mark.is_spot
        shifts = (page.line * 0.5, page.line, page.line * 1.5) if is_tick else ()
        candidates = beside_line(column, y, size, shifts)
        if is_tick:  # its ticks leave room between them
            left = column.left + (column.width - size[0]) / 2.0
            candidates.insert(0, Box(left, y - size[1] / 2.0, *size))
        place = placer.place(candidates)
        if place is not None:
            return place, text
    return None, ""


def _tint_at(page: StripPage, y: float) -> Tint:
    for band in page.content.light.bands:
        if page.y(band.span.start) <= y < page.y(band.span.stop):
            return page.tints[band.depth]
    return Tint(page.theme.field, page.theme.ink)
