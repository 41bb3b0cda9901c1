"""The page on which the day strip's columns are painted: type, inks and places."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter

from fieldtrip.desktop.charts.strip_ink import tints
from fieldtrip.desktop.charts.strip_layout import Box, TimeScale, columns
from fieldtrip.desktop.content.day_strip import StripContent
from fieldtrip.desktop.content.strip_plan import PlanBlock
from fieldtrip.desktop.theme import Theme
from fieldtrip.times import Span

CENTRED = int(Qt.AlignmentFlag.AlignCenter)
LEFT = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
RIGHT = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)


@dataclass(frozen=True, slots=True)
class Fonts:
    """The strip's type, all made from the widget's own font."""

    plain: QFont
    bold: QFont

    @classmethod
    def of(cls, base: QFont) -> Fonts:
        """A little smaller than the base, as in a diary."""
        plain = QFont(base)
        if base.pointSizeF() > 0:
            plain.setPointSizeF(base.pointSizeF() * 0.86)
        else:
            plain.setPixelSize(max(1, round(base.pixelSize() * 0.86)))
        bold = QFont(plain)
        bold.setBold(True)
        return cls(plain, bold)


class StripPage:
    """What the painters of all columns share, for one content at one size."""

    def __init__(
        self,
        content: StripContent,
        theme: Theme,
        base: QFont,
        width: float,
        height: float,
    ) -> None:
        self.content = content
        self.theme = theme
        self.tints = tints(theme)
        self.fonts = Fonts.of(base)
        self.plain = QFontMetricsF(self.fonts.plain)
        self.bold = QFontMetricsF(self.fonts.bold)
        self.line = self.plain.height()
        self.width, self.height = width, height
        margin = self.line / 2.0 + 3.0  # so that the first and last hour fit
        self.scale = TimeScale(content.span, margin, max(1.0, height - 2.0 * margin))
        self.columns = columns(
            width, margin, self.scale.height, self._edge_width(), self._wind_width()
        )
        self.shown: list[tuple[Box, str]] = []  # what stands where, for tool tips
        self.hour_labels: list[Box] = []
        self.stops: list[tuple[Box, PlanBlock]] = []  # where the stops stand

    def y(self, instant: datetime) -> float:
        """How far down an instant stands."""
        return self.scale.y(instant)

    def part(self, column: Box, span: Span) -> Box:
        """The part of a column that a span takes, within the day."""
        top = max(self.y(span.start), column.top)
        bottom = min(self.y(span.stop), column.bottom)
        return Box(column.left, top, column.width, max(bottom - top, 0.0))

    def fill(self, painter: QPainter, box: Box, colour: str) -> None:
        """Colour a part of a column, within its frame."""
        rect = QRectF(box.left + 0.5, box.top, max(box.width - 1.0, 0.0), box.height)
        painter.fillRect(rect, QColor(colour))

    def explain(self, box: Box, text: str) -> None:
        """Say in full what stands in a box, for its tool tip."""
        self.shown.append((box, text))

    def write(
        self,
        painter: QPainter,
        box: Box,
        text: str,
        colour: str,
        *,
        bold: bool = False,
        align: int = CENTRED,
    ) -> None:
        """Write a text of one or more lines into a box."""
        painter.setFont(self.fonts.bold if bold else self.fonts.plain)
        painter.setPen(QColor(colour))
        painter.drawText(rect_of(box), align, text)

    def size(self, lines: Sequence[str], *, bold: bool = False) -> tuple[float, float]:
        """How wide and how high some lines are."""
        metrics = self.bold if bold else self.plain
        widest = max((metrics.horizontalAdvance(line) for line in lines), default=0.0)
        return widest, self.line * len(lines)

    def wrapped(self, text: str, width: float, *, bold: bool = False) -> list[str]:
        """A text in lines that fit a width; a word too long ends in an ellipsis."""
        metrics = self.bold if bold else self.plain
        lines: list[str] = []
        for word in text[:2000].split():
            longer = f"{lines[-1]} {word}" if lines else word
            if lines and metrics.horizontalAdvance(longer) <= width:
                lines[-1] = longer
            else:
                lines.append(self.elided(word, width, bold=bold))
        return lines or [""]

    def elided(self, text: str, width: float, *, bold: bool = False) -> str:
        """A text cut to a width, with an ellipsis."""
        metrics = self.bold if bold else self.plain
        return metrics.elidedText(text, Qt.TextElideMode.ElideRight, max(width, 1.0))

    def message(self, painter: QPainter, column: Box, text: str) -> None:
        """Say in a column why nothing else stands in it."""
        top = column.top + min(column.height * 0.12, 60.0)
        for line in self.wrapped(text, column.width - 10.0):
            row = Box(column.left + 5.0, top, column.width - 10.0, self.line)
            self.write(painter, row, line, self.theme.soft_ink)
            top += self.line * 1.1
        self.explain(column, text)

    def _edge_width(self) -> float:
        texts = [mark.text for mark in self.content.hours] or ["00:00"]
        return max(self.bold.horizontalAdvance(text) for text in texts) + 14.0

    def _wind_width(self) -> float:
        wind = self.content.wind
        texts = [hour.text for hour in wind.hours] or ["type one:"]
        words = max(self.bold.horizontalAdvance(text) for text in texts)
        heading = self.bold.horizontalAdvance(f"Wind {wind.unit}")
        return max(words + self.line * 2.0 + 4.0, min(heading + 4.0, 90.0))


def rect_of(box: Box) -> QRectF:
    """A box as Qt takes it."""
    return QRectF(box.left, box.top, box.width, box.height)
