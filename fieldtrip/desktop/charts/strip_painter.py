"""Paints a whole day strip but for its cursor."""

from __future__ import annotations

from PySide6.QtCore import QPointF
from PySide6.QtGui import QColor, QPainter, QPen

from fieldtrip.desktop.charts.strip_layout import Box, Placer, hour_step
from fieldtrip.desktop.charts.strip_light_painter import paint_bands, paint_light_words
from fieldtrip.desktop.charts.strip_page import RIGHT, StripPage, rect_of
from fieldtrip.desktop.charts.strip_plan_painter import paint_plan
from fieldtrip.desktop.charts.strip_tide_painter import paint_tide
from fieldtrip.desktop.charts.strip_wind_painter import paint_wind


def paint_strip(painter: QPainter, page: StripPage) -> None:
    """Paint the columns, and remember on the page what stands where."""
    page.shown.clear()
    page.hour_labels.clear()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    if page.content.message:
        whole = Box(0.0, 0.0, page.width, page.height)
        page.message(painter, whole, page.content.message)
        return
    _paint_grounds(painter, page)
    paint_bands(painter, page)
    _paint_hours(painter, page)
    paint_light_words(painter, page)
    paint_tide(painter, page)
    paint_wind(painter, page)
    paint_plan(painter, page)


def _paint_grounds(painter: QPainter, page: StripPage) -> None:
    painter.setPen(QPen(QColor(page.theme.line), 1.0))
    painter.setBrush(QColor(page.theme.field))
    for column in _four(page):
        painter.drawRect(rect_of(column))


def _paint_hours(painter: QPainter, page: StripPage) -> None:
    line, faint = QColor(page.theme.line), QColor(page.theme.line)
    line.setAlphaF(0.5)
    faint.setAlphaF(0.25)  # over the tints of the night
    hours = page.content.span.length.total_seconds() / 3600.0
    step = hour_step(page.scale.height / hours, page.line)
    edge = page.columns.edge
    placer = Placer(Box(-9.0, -9.0, edge.width + 18.0, page.height + 18.0))
    for number, mark in enumerate(page.content.hours):
        y = page.y(mark.instant)
        for column in _four(page):
            painter.setPen(QPen(faint if column is page.columns.light else line, 1.0))
            painter.drawLine(QPointF(column.left, y), QPointF(column.right, y))
        if number % step and not mark.note:
            continue
        lines = [mark.text, mark.note] if mark.note else [mark.text]
        top = y - page.line / 2.0
        box = Box(0.0, top, edge.width - 5.0, page.line * len(lines))
        if placer.place([box]) is None:
            continue
        page.hour_labels.append(box)
        for index, text in enumerate(lines):
            row = Box(box.left, box.top + index * page.line, box.width, page.line)
            page.write(painter, row, text, page.theme.soft_ink, align=RIGHT)


def _four(page: StripPage) -> tuple[Box, ...]:
    c = page.columns
    return c.light, c.tide, c.wind, c.plan
