"""Paints the strip's Tide column."""

from __future__ import annotations

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen, QPolygonF, QTransform

from fieldtrip.desktop.charts.strip_layout import Box, Placer, inside_span
from fieldtrip.desktop.charts.strip_page import LEFT, RIGHT, StripPage, rect_of
from fieldtrip.desktop.content.strip_tide import TurnMark

_BAR = 3.0  # beside the spans of a vantage point
_EDGE = 7.0  # between the column's frame and the lowest and the highest water


def paint_tide(painter: QPainter, page: StripPage) -> None:
    """The curve on its side, low water on the left."""
    tide, column = page.content.tide, page.columns.tide
    if tide.message:
        page.message(painter, column, tide.message)
        return
    placer = Placer(column)
    painter.save()
    painter.setClipRect(rect_of(column))
    _paint_spans(painter, page)
    _paint_levels(painter, page)
    _paint_curve(painter, page, placer)
    _paint_open_words(painter, page, placer)
    _paint_doubtful_words(painter, page, placer)
    for turn in tide.turns:
        _paint_turn(painter, page, placer, turn)
    _write_levels(painter, page, placer)
    _paint_stands(painter, page, placer)
    _paint_gap_words(painter, page, placer)
    painter.restore()


def _paint_spans(painter: QPainter, page: StripPage) -> None:
    tide, column = page.content.tide, page.columns.tide
    for gap in tide.gaps:
        box = page.part(column, gap.span)
        page.fill(painter, box, page.theme.paper)
        page.explain(box, gap.text)
    for passage in tide.open:
        box = page.part(column, passage.span)
        page.fill(painter, box, page.theme.accent_wash)
        page.explain(box, passage.tip)
    brush = QBrush(QColor(page.theme.accent), Qt.BrushStyle.BDiagPattern)
    brush.setTransform(QTransform.fromScale(0.8, 0.8))
    for margin in (*tide.margins, *tide.doubtful):
        box = page.part(column, margin.span)
        painter.save()
        painter.setOpacity(0.5)
        painter.fillRect(rect_of(box), brush)
        painter.restore()
        page.explain(box, margin.tip)


def _paint_curve(painter: QPainter, page: StripPage, placer: Placer) -> None:
    pen = QPen(QColor(page.theme.ink), 1.6)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for part in page.content.tide.curve:
        is_dashed = part.is_dashed
        pen.setStyle(Qt.PenStyle.DashLine if is_dashed else Qt.PenStyle.SolidLine)
        painter.setPen(pen)
        points = [QPointF(_x(page, height), page.y(at)) for at, height in part.points]
        painter.drawPolyline(QPolygonF(points))
        for point in points[::3]:  # labels stay off the curve
            placer.take(Box(point.x() - 2.0, point.y() - 3.0, 4.0, 6.0))


def _paint_turn(
    painter: QPainter, page: StripPage, placer: Placer, turn: TurnMark
) -> None:
    column, x, y = page.columns.tide, _x(page, turn.height_m), page.y(turn.instant)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(page.theme.ink))
    painter.drawEllipse(QPointF(x, y), 2.2, 2.2)
    page.explain(
        Box(column.left, y - 6.0, column.width, 12.0), f"{turn.what}, {turn.height}"
    )
    clock, _, kind = turn.what.rpartition(" ")
    is_right = x > column.left + column.width / 2.0  # then its words stand left
    wordings = (
        [turn.what, turn.height],
        [clock, kind, turn.height],
        [turn.what],
        [clock, kind],
        [clock],
    )
    for lines in wordings:
        size = page.size(lines)
        box = placer.place(_beside_turn(page, x, y, size, is_right=is_right))
        if box is None:
            continue
        _ground(painter, page, box)
        for index, text in enumerate(lines):
            row = Box(box.left, box.top + index * page.line, box.width, page.line)
            ink = page.theme.soft_ink if text is turn.height else page.theme.ink
            page.write(painter, row, text, ink, align=RIGHT if is_right else LEFT)
        return


def _beside_turn(
    page: StripPage, x: float, y: float, size: tuple[float, float], *, is_right: bool
) -> list[Box]:
    """Places for the words of a turn: inwards of it, level with it or near."""
    column, (width, height) = page.columns.tide, size
    shifts = [0.0] + [s * n for n in (0.5, 1.0, 1.5, 2.0) for s in (-1.0, 1.0)]
    boxes = []
    for shift in shifts:
        top = y - height / 2.0 + shift * page.line
        top = min(max(top, column.top + 1.0), column.bottom - height - 1.0)
        for off in (6.0, 12.0):
            left = x - off - width if is_right else x + off
            left = min(max(left, column.left + 2.0), column.right - width - 2.0)
            boxes.append(Box(left, top, width, height))
    return boxes


def _paint_open_words(painter: QPainter, page: StripPage, placer: Placer) -> None:
    column = page.columns.tide
    for passage in page.content.tide.open:
        part = page.part(column, passage.span)
        width, height = page.size([passage.text], bold=True)
        middle = column.left + (column.width - width) / 2.0
        lefts = (middle, column.right - width - 4.0, column.left + 4.0)
        # At the end of the span first: its middle is wanted for the low water.
        count = int(max(part.height - height, 0.0) / 4.0) + 1
        places = [
            Box(left, part.bottom - height - 4.0 * n, width, height)
            for n in range(count if part.height >= height else 0)
            for left in lefts
        ]
        box = placer.place(places)
        if box is not None:
            _ground(painter, page, box)
            page.write(painter, box, passage.text, page.theme.accent, bold=True)


def _paint_doubtful_words(painter: QPainter, page: StripPage, placer: Placer) -> None:
    """Over the hatching, in the colour of what is not known: never "open" alone."""
    column = page.columns.tide
    for passage in page.content.tide.doubtful:
        part = page.part(column, passage.span)
        for text, share in ((passage.text, 1.0), (passage.text, 0.6), ("?", 1.0)):
            lines = page.wrapped(text, column.width * share - 6.0)
            size = page.size(lines)
            places = inside_span(column, part.top, part.bottom, size)
            lefts = (column.left + 3.0, column.right - size[0] - 3.0)
            box = placer.place(
                Box(left, place.top, *size) for place in places for left in lefts
            )
            if box is not None:
                page.fill(painter, box, page.theme.field)
                page.write(painter, box, "\n".join(lines), page.theme.unknown)
                break


def _paint_stands(painter: QPainter, page: StripPage, placer: Placer) -> None:
    """A bar at the column's edge for each span of a vantage point, with its words."""
    column = page.columns.tide
    for passage in page.content.tide.stands:
        part = page.part(column, passage.span)
        bar = Box(column.right - _BAR, part.top, _BAR, part.height)
        page.fill(painter, bar, page.theme.accent)
        page.explain(bar, passage.tip)
        for share in (1.0, 0.55):  # across, else on one side of the curve
            lines = page.wrapped(passage.text, column.width * share - _BAR - 8.0)
            size = page.size(lines)
            middles = inside_span(column, part.top, part.bottom, size)
            right = column.right - _BAR - 4.0 - size[0]
            lefts = (right, column.left + 4.0)
            box = placer.place(
                Box(left, place.top, *size) for place in middles for left in lefts
            )
            if box is not None:
                _ground(painter, page, box)
                page.write(painter, box, "\n".join(lines), page.theme.ink)
                break


def _paint_levels(painter: QPainter, page: StripPage) -> None:
    column = page.columns.tide
    painter.setPen(QPen(QColor(page.theme.soft_ink), 1.0, Qt.PenStyle.DashLine))
    for level in page.content.tide.levels:
        x = _x(page, level.height_m)
        painter.drawLine(QPointF(x, column.top), QPointF(x, column.bottom))
        page.explain(Box(x - 3.0, column.top, 6.0, column.height), level.tip)


def _write_levels(painter: QPainter, page: StripPage, placer: Placer) -> None:
    """The level on its line, apart from the words of the turns."""
    column = page.columns.tide
    for level in page.content.tide.levels:
        x = _x(page, level.height_m)
        width, height = page.size([level.text])
        left = min(max(x - width / 2.0, column.left + 2.0), column.right - width - 2.0)
        apart = page.line * 0.8
        step = page.line * 0.5
        tops = [column.top + step * n for n in range(int(column.height / step))]
        box = placer.place(Box(left, top, width, height + 2.0 * apart) for top in tops)
        if box is None:
            box = placer.place(Box(left, top, width, height) for top in tops)
        else:
            box = Box(left, box.top + apart, width, height)
        if box is not None:
            _ground(painter, page, box)
            page.write(painter, box, level.text, page.theme.soft_ink)


def _paint_gap_words(painter: QPainter, page: StripPage, placer: Placer) -> None:
    column = page.columns.tide
    tide = page.content.tide
    for gap in (*tide.gaps, *tide.unknown):
        part = page.part(column, gap.span)
        lines = page.wrapped(gap.text, column.width - 6.0)
        places = inside_span(column, part.top, part.bottom, page.size(lines))
        box = placer.place(places)
        if box is not None:
            if gap in tide.unknown:
                page.fill(painter, box, page.theme.field)
            ink = page.theme.unknown if gap in tide.unknown else page.theme.soft_ink
            page.write(painter, box, "\n".join(lines), ink)
        page.explain(box or part, gap.tip)


def _ground(painter: QPainter, page: StripPage, box: Box) -> None:
    """Keep the lines of the hours out of words; the hatching stays as it is."""
    tide, column = page.content.tide, page.columns.tide
    for passage in tide.open:
        if page.part(column, passage.span).holds(box):
            page.fill(painter, box, page.theme.accent_wash)
            return
    spans = [*tide.open, *tide.margins, *tide.doubtful, *tide.gaps]
    if not any(page.part(column, item.span).overlaps(box) for item in spans):
        page.fill(painter, box, page.theme.field)


def _x(page: StripPage, height_m: float) -> float:
    tide, column = page.content.tide, page.columns.tide
    room = max(1.0, column.width - 2.0 * _EDGE)
    reach = max(tide.most_m - tide.least_m, 0.01)
    return column.left + _EDGE + room * (height_m - tide.least_m) / reach
