"""Paints the strip's Plan column."""

from __future__ import annotations

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from fieldtrip.desktop.charts.strip_ink import mixed
from fieldtrip.desktop.charts.strip_layout import Box, Placer, beside_line
from fieldtrip.desktop.charts.strip_page import CENTRED, LEFT, RIGHT, StripPage, rect_of
from fieldtrip.desktop.content.strip_plan import GateMark, PlanBlock, PlanLine


def paint_plan(painter: QPainter, page: StripPage) -> None:
    """Stops and walks as blocks; the times not to be passed as lines."""
    plan, column = page.content.plan, page.columns.plan
    if plan.message:
        page.message(painter, column, plan.message)
        return
    painter.save()
    painter.setClipRect(rect_of(column).adjusted(0.0, 0.0, 1.0, 1.0))
    for block in plan.blocks:
        _paint_block(painter, page, block)
    for late in plan.too_long:
        wash = mixed(page.theme.accent_wash, page.theme.stop, 0.28)
        box = page.part(column, late.span)
        inner = Box(box.left + 5.0, box.top, box.width - 8.0, box.height - 1.0)
        page.fill(painter, inner, wash)
        page.explain(box, late.text)
    placer = Placer(column)
    stops = [block for block in plan.blocks if block.is_stop]
    written = {id(block): _write_name(painter, page, placer, block) for block in stops}
    for line in plan.lines:
        _paint_line(painter, page, placer, line)
    for gate in plan.gates:
        _paint_gate(painter, page, placer, gate)
    for line in plan.lines:
        _write_line(painter, page, placer, line)
    for late in plan.too_long:
        box = page.part(column, late.span)
        _write_rows(painter, page, placer, box, [late.text], page.theme.stop, bold=True)
    for block in plan.blocks:
        if not block.is_stop:
            _write_name(painter, page, placer, block)
    for block in stops:
        if written[id(block)]:
            _write_details(painter, page, placer, block)
    for gate in plan.gates:
        _write_gate(painter, page, placer, gate)
    painter.restore()


def paint_moved(
    painter: QPainter, page: StripPage, block: PlanBlock, words: str, *, fits: bool
) -> None:
    """A stop where it would go, with what that means."""
    box = _block_box(page, block)
    ink = page.theme.accent if fits else page.theme.stop
    painter.setPen(QPen(QColor(ink), 1.6, Qt.PenStyle.DashLine))
    wash = QColor(page.theme.accent_wash if fits else page.theme.paper)
    wash.setAlpha(235)
    painter.setBrush(wash)
    painter.drawRoundedRect(rect_of(box), 3.0, 3.0)
    room, top = box.width - 8.0, box.top + 1.0
    for text in page.wrapped(block.title, room, bold=True)[:2]:
        row = Box(box.left + 6.0, top, room, page.line)
        page.write(painter, row, text, page.theme.ink, bold=True, align=LEFT)
        top += page.line
    if not words:
        return
    column = page.columns.plan
    lines = page.wrapped(words, column.width - 10.0)
    height = page.line * len(lines) + 6.0
    below = max(box.bottom, top) + 3.0
    if below + height > page.height:
        below = box.top - height - 3.0
    paper = Box(column.left + 1.0, below, column.width - 2.0, height)
    painter.setPen(QPen(QColor(page.theme.line), 1.0))
    painter.setBrush(QColor(page.theme.paper))
    painter.drawRoundedRect(rect_of(paper), 3.0, 3.0)
    for place, text in enumerate(lines):
        row = Box(
            paper.left + 5.0,
            paper.top + 3.0 + place * page.line,
            paper.width - 8.0,
            page.line,
        )
        page.write(painter, row, text, ink, align=LEFT)


def _block_box(page: StripPage, block: PlanBlock) -> Box:
    column = page.columns.plan
    part = page.part(column, block.span)
    lane = (column.width - 2.0) / block.lanes
    inset = 1.0 if block.is_stop else min(7.0, lane * 0.1)
    left = column.left + 1.0 + block.lane * lane + inset
    return Box(left, part.top, lane - inset - 1.0, max(part.height, 2.0))


def _paint_block(painter: QPainter, page: StripPage, block: PlanBlock) -> None:
    box = _block_box(page, block)
    ground = page.theme.accent_wash if block.is_stop else page.theme.paper
    painter.setPen(QPen(QColor(page.theme.line), 1.0))
    painter.setBrush(QColor(ground))
    painter.drawRoundedRect(rect_of(box), 3.0, 3.0)
    if block.is_stop:
        bar = Box(box.left, box.top + 1.0, 3.5, max(box.height - 2.0, 1.0))
        page.fill(painter, bar, page.theme.accent)
        page.stops.append((box, block))
    page.explain(box, "\n".join((block.title, *block.lines)))


def _write_name(
    painter: QPainter, page: StripPage, placer: Placer, block: PlanBlock
) -> bool:
    """The name of a block, in two lines where it needs them and finds room."""
    box = _block_box(page, block)
    ink = page.theme.ink if block.is_stop else page.theme.soft_ink
    room = box.width - 8.0
    whole = page.wrapped(block.title, room, bold=block.is_stop)
    cut = [page.elided(block.title, room, bold=block.is_stop)]
    choices = [whole, cut] if len(whole) <= 3 else [cut]
    return any(
        _write_rows(painter, page, placer, box, rows, ink, bold=block.is_stop)
        for rows in choices
    )


def _write_details(
    painter: QPainter, page: StripPage, placer: Placer, block: PlanBlock
) -> None:
    """What else is known of a stop, as far as there is room; whole lines only."""
    box = _block_box(page, block)
    for line in block.lines:
        rows = page.wrapped(line, box.width - 8.0)
        if not _write_rows(painter, page, placer, box, rows, page.theme.soft_ink):
            return


def _write_rows(
    painter: QPainter,
    page: StripPage,
    placer: Placer,
    box: Box,
    rows: list[str],
    ink: str,
    *,
    bold: bool = False,
) -> bool:
    """Rows into the highest free place of a box; False where there is none."""
    left, room = box.left + 6.0, box.width - 8.0
    height = page.line * len(rows)
    first, last = box.top + 1.0, box.bottom - height + 1.0
    if last < box.top - page.line * 0.2:
        return False
    count = int(max(last - first, 0.0) / 3.0) + 1
    tops = [min(first + 3.0 * n, max(last, box.top - 1.0)) for n in range(count)]
    place = placer.place(Box(left, top, room, height) for top in tops)
    if place is None:
        return False
    for index, text in enumerate(rows):
        row = Box(left, place.top + index * page.line, room, page.line)
        page.write(painter, row, text, ink, bold=bold, align=LEFT)
    return True


def _paint_line(
    painter: QPainter, page: StripPage, placer: Placer, line: PlanLine
) -> None:
    column, y = page.columns.plan, page.y(line.instant)
    if not column.top <= y <= column.bottom:
        return
    colour = page.theme.stop if line.is_stop else page.theme.soft_ink
    style = Qt.PenStyle.SolidLine if line.is_stop else Qt.PenStyle.DashLine
    painter.setPen(QPen(QColor(colour), 1.6 if line.is_stop else 1.0, style))
    painter.drawLine(QPointF(column.left, y), QPointF(column.right, y))
    placer.take(Box(column.left, y - 1.0, column.width, 2.0))
    page.explain(Box(column.left, y - 4.0, column.width, 8.0), line.text)


def _gate_box(page: StripPage, gate: GateMark) -> Box:
    """A small square on its corner, at the right edge."""
    column, size = page.columns.plan, page.line * 0.6
    y = page.y(gate.instant)
    return Box(column.right - size - 2.0, y - size / 2.0, size, size)


def _paint_gate(
    painter: QPainter, page: StripPage, placer: Placer, gate: GateMark
) -> None:
    column, box = page.columns.plan, _gate_box(page, gate)
    if not column.top <= box.top + box.height / 2.0 <= column.bottom:
        return
    middle = QPointF(box.left + box.width / 2.0, box.top + box.height / 2.0)
    half = box.width / 2.0
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    ink = QColor(page.theme.stop if gate.is_late else page.theme.ink)
    painter.setPen(QPen(ink, 1.2))
    painter.setBrush(ink if gate.is_late else QColor(page.theme.paper))
    painter.drawPolygon(
        QPolygonF(
            [
                middle + QPointF(0.0, -half),
                middle + QPointF(half, 0.0),
                middle + QPointF(0.0, half),
                middle + QPointF(-half, 0.0),
            ]
        )
    )
    painter.restore()
    placer.take(box)
    page.explain(box, gate.tip)


def _write_gate(
    painter: QPainter, page: StripPage, placer: Placer, gate: GateMark
) -> None:
    """The words beside the mark, where there is room; its tip has them anyway."""
    box, column = _gate_box(page, gate), page.columns.plan
    room = box.left - column.left - 8.0
    if not column.top <= box.top + box.height / 2.0 <= column.bottom:
        return
    if page.size([gate.text])[0] > room:
        return
    middle = box.top + box.height / 2.0
    tops = [middle - page.line / 2.0 + page.line * n / 4.0 for n in (0, 1, -1, 2, -2)]
    place = placer.place(Box(column.left + 4.0, top, room, page.line) for top in tops)
    if place is not None:
        ink = page.theme.stop if gate.is_late else page.theme.ink
        page.write(painter, place, gate.text, ink, align=RIGHT)


def _write_line(
    painter: QPainter, page: StripPage, placer: Placer, line: PlanLine
) -> None:
    """The words of a line beside it, or further off: they name their own time."""
    column, y = page.columns.plan, page.y(line.instant)
    colour = page.theme.stop if line.is_stop else page.theme.soft_ink
    rows = page.wrapped(line.text, column.width - 6.0, bold=line.is_stop)
    width, height = page.size(rows, bold=line.is_stop)
    shifts = [page.line * n / 2.0 for n in range(1, 9)]
    place = placer.place(beside_line(column, y, (width, height), shifts))
    if place is not None:
        text = "\n".join(rows)
        page.write(painter, place, text, colour, bold=line.is_stop, align=CENTRED)
