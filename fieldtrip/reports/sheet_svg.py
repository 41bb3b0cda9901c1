"""The sheet's drawings as SVG: map, tide curve and codes.

Colours come from the page's style sheet by class, so that the drawings follow
paper, dark screens and printers; nothing is told by a colour alone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import datetime

import segno

from fieldtrip.reports.markup import Markup, element
from fieldtrip.reports.sheet import (
    AT_NO_TIME,
    NOT_KNOWN,
    Mark,
    MarkKind,
    SheetMap,
    Stroke,
    StrokeKind,
    TideChart,
    TidePassage,
)

Along = Callable[[datetime], float]
Up = Callable[[float], float]
_AREAS = (
    StrokeKind.LAND,
    StrokeKind.WATER,
    StrokeKind.SHINGLE,
    StrokeKind.HAZARD_AREA,
    StrokeKind.CLOSURE,
)
_QUIET_ZONE = 4  # modules round a code, as ISO/IEC 18004 asks
_TIDE_WIDTH, _TIDE_HEIGHT = 720.0, 190.0
_LEFT, _RIGHT, _TOP, _FOOT = 12.0, 12.0, 26.0, 22.0
_BAR = 25.0  # a line of words, and the bar below it
_LETTER = 6.4
_EDGE = 110.0  # of the map: room for the arrow and for words


def map_svg(drawn: SheetMap) -> Markup:
    """The map: ground, ways, hazards, marks with their names, grid, scale and north."""
    frame = element("rect", class_="frame", width=drawn.width, height=drawn.height)
    box = element("rect", width=drawn.width, height=drawn.height)
    clip = element("clipPath", box, id="map-edge")
    hatch = element(
        "pattern",
        element("path", class_="hatch", d="M0 6 L6 0"),
        id="map-hatch",
        width=6,
        height=6,
        patternUnits="userSpaceOnUse",
    )
    inside = element(
        "g",
        [_stroke(stroke) for stroke in drawn.strokes],
        _grid(drawn),
        [_symbol(mark) for mark in drawn.marks],
        [_name(mark) for mark in drawn.marks],
        clip_path="url(#map-edge)",
    )
    return element(
        "svg",
        element("title", drawn.words),
        element("defs", clip, hatch),
        element("rect", class_="sea", width=drawn.width, height=drawn.height),
        inside,
        frame,
        _scale(drawn),
        _north(drawn),
        class_="map",
        viewBox=f"0 0 {drawn.width:g} {drawn.height:g}",
        role="img",
        xmlns="http://www.w3.org/2000/svg",
    )


def tide_svg(chart: TideChart, passages: Sequence[TidePassage]) -> Markup:
    """The tide from left to right, stays above it, and below it when a way is open."""
    bars = passages
    height = _TIDE_HEIGHT + _BAR * len(bars)
    heights = [h for part in (*chart.parts, *chart.rough) for _, h in part]
    heights += [h for _, h, _ in chart.turns] + [h for h, _ in chart.levels]
    low, high = min(heights, default=0.0), max(heights, default=1.0)
    room = max(high - low, 0.5)
    wide = (chart.stop - chart.start).total_seconds() or 1.0

    def x(instant: datetime) -> float:
        share = (instant - chart.start).total_seconds() / wide
        inside = min(max(share, 0.0), 1.0)
        return round(_LEFT + inside * (_TIDE_WIDTH - _LEFT - _RIGHT), 1)

    def y(height_m: float) -> float:
        share = (height_m - low) / room
        free = _TIDE_HEIGHT - _TOP - _FOOT - 40.0
        return round(_TOP + 16.0 + (1.0 - share) * free, 1)

    base = _TIDE_HEIGHT - _FOOT
    drawn = [
        *_hours(chart, x, base),
        *_stays(chart, x, base),
        *_levels(chart, y),
        *(_curve(part, x, y, "curve") for part in chart.parts),
        *(_curve(part, x, y, "curve rough") for part in chart.rough),
        *_turns(chart, x, y, low + room / 2.0),
    ]
    for row, passage in enumerate(bars):
        drawn += _bar(passage, x, _TIDE_HEIGHT + row * _BAR, chart)
    return element(
        "svg",
        element("title", chart.words),
        drawn,
        class_="tide",
        viewBox=f"0 0 {_TIDE_WIDTH:g} {height:g}",
        role="img",
        xmlns="http://www.w3.org/2000/svg",
    )


def code_svg(text: str, words: str) -> Markup:
    """A QR code of a text, dark on white whatever the page's colours are.

    Source: ISO/IEC 18004, error correction of level M.
    """
    modules = segno.make(text, micro=False, error="m", boost_error=False).matrix
    size = len(modules) + 2 * _QUIET_ZONE
    return element(
        "svg",
        element("title", words),
        element("rect", width=size, height=size, fill="#ffffff"),
        element("path", d=_modules(modules), fill="#000000"),
        class_="code",
        viewBox=f"0 0 {size} {size}",
        role="img",
        shape_rendering="crispEdges",
        xmlns="http://www.w3.org/2000/svg",
    )


def _modules(rows: Sequence[Sequence[int]]) -> str:
    """Dark modules as runs, line by line."""
    runs = []
    for row, modules in enumerate(rows):
        column = 0
        while column < len(modules):
            run = 0
            while column + run < len(modules) and modules[column + run]:
                run += 1
            if run:
                left, top = column + _QUIET_ZONE, row + _QUIET_ZONE
                runs.append(f"M{left} {top}h{run}v1h-{run}z")
            column += max(run, 1)
    return "".join(runs)


def _path(rings: Sequence[Sequence[tuple[float, float]]], *, is_closed: bool) -> str:
    end = "Z" if is_closed else ""
    return "".join(
        "M" + "L".join(f"{px:g} {py:g}" for px, py in ring) + end for ring in rings
    )


def _stroke(stroke: Stroke) -> Markup:
    is_area = stroke.kind in _AREAS
    return element(
        "path",
        class_=str(stroke.kind).replace(" ", "-"),
        d=_path(stroke.rings, is_closed=is_area),
        fill_rule="evenodd" if is_area else "",
    )


def _symbol(mark: Mark) -> Markup:
    """Each kind by its own shape: number in a disc, cross, square, flag, triangle."""
    px, py = mark.x, mark.y
    match mark.kind:
        case MarkKind.STOP:
            shape = element("circle", class_="mark", cx=px, cy=py, r=9.5)
            return _with_sign(shape, mark, "sign")
        case MarkKind.START | MarkKind.MEETING:
            shape = element(
                "rect", class_="mark", x=px - 9, y=py - 9, width=18, height=18, rx=3
            )
            return _with_sign(shape, mark, "sign")
        case MarkKind.REFUGE:
            d = f"M{px - 8:g} {py + 7:g}V{py - 1:g}L{px:g} {py - 9:g}"
            d += f"L{px + 8:g} {py - 1:g}V{py + 7:g}Z"
            return element("path", class_="refuge", d=d)
        case MarkKind.SUBJECT:
            d = f"M{px - 6:g} {py:g}H{px + 6:g}M{px:g} {py - 6:g}V{py + 6:g}"
            return element("path", class_="subject", d=d)
        case MarkKind.HAZARD:
            d = f"M{px - 8:g} {py + 6:g}L{px:g} {py - 8:g}L{px + 8:g} {py + 6:g}Z"
            shape = element("path", class_="hazard", d=d)
            return _with_sign(shape, mark, "hazard-sign")


def _with_sign(shape: Markup, mark: Mark, look: str) -> Markup:
    """A shape with a letter or number in it."""
    text = element("text", mark.sign, class_=look, x=mark.x, y=mark.y + 4.2)
    return element("g", shape, text)


def _name(mark: Mark) -> Markup:
    return element(
        "text",
        mark.name,
        class_=f"name {mark.anchor}",
        x=mark.label_x,
        y=mark.label_y,
    )


def _grid(drawn: SheetMap) -> list[Markup]:
    found = []
    for line in drawn.grid:
        if line.is_meridian:
            d = f"M{line.at:g} 0V{drawn.height:g}"
            is_far = line.at > drawn.width - _EDGE  # keep clear of the arrow
            words = element(
                "text",
                line.text,
                class_="grid-text end" if is_far else "grid-text",
                x=min(line.at - 3, drawn.width - 44) if is_far else line.at + 3,
                y=11,
            )
        else:
            d = f"M0 {line.at:g}H{drawn.width:g}"
            words = element("text", line.text, class_="grid-text", x=3, y=line.at - 3)
        found += [element("path", class_="grid", d=d), words]
    return found


def _scale(drawn: SheetMap) -> Markup:
    left, base, long = 14.0, drawn.height - 14.0, drawn.scale_length
    back = element(
        "rect", class_="plate", x=left - 8, y=base - 24, width=long + 16, height=32
    )
    d = f"M{left:g} {base - 6:g}V{base:g}H{left + long:g}V{base - 6:g}"
    words = element(
        "text", drawn.scale_text, class_="plain middle", x=left + long / 2, y=base - 9
    )
    return element("g", back, element("path", class_="bar", d=d), words)


def _north(drawn: SheetMap) -> Markup:
    px, base = drawn.width - 24.0, 56.0
    back = element("rect", class_="plate", x=px - 16, y=8, width=32, height=54)
    d = f"M{px:g} {base:g}V{base - 26:g}M{px - 5:g} {base - 18:g}"
    d += f"L{px:g} {base - 28:g}L{px + 5:g} {base - 18:g}"
    words = element("text", "N", class_="plain middle", x=px, y=24)
    return element("g", back, element("path", class_="bar", d=d), words)


def _hours(chart: TideChart, x: Along, base: float) -> Iterator[Markup]:
    for instant, text in chart.hours:
        px = x(instant)
        yield element("path", class_="grid", d=f"M{px:g} {_TOP:g}V{base:g}")
        yield element("text", text, class_="plain middle", x=px, y=base + 15)
    d = f"M{_LEFT:g} {base:g}H{_TIDE_WIDTH - _RIGHT:g}"
    yield element("path", class_="bar", d=d)


def _stays(chart: TideChart, x: Along, base: float) -> Iterator[Markup]:
    for start, stop, number in chart.stays:
        left, right = x(start), x(stop)
        yield element(
            "rect",
            class_="stay",
            x=left,
            y=_TOP,
            width=max(right - left, 1.0),
            height=base - _TOP,
        )
        middle = (left + right) / 2.0
        yield element("circle", class_="mark", cx=middle, cy=_TOP - 11, r=9.5)
        yield element("text", number, class_="sign", x=middle, y=_TOP - 6.8)


def _levels(chart: TideChart, y: Up) -> Iterator[Markup]:
    for height_m, text in chart.levels:
        d = f"M{_LEFT:g} {y(height_m):g}H{_TIDE_WIDTH - _RIGHT:g}"
        yield element("path", class_="level", d=d)
        yield element("text", text, class_="level-text", x=_LEFT + 2, y=y(height_m) - 4)


def _curve(
    part: Sequence[tuple[datetime, float]], x: Along, y: Up, look: str
) -> Markup:
    points = tuple((x(instant), y(height)) for instant, height in part)
    return element("path", class_=look, d=_path([points], is_closed=False))


def _turns(chart: TideChart, x: Along, y: Up, middle_m: float) -> Iterator[Markup]:
    for instant, height_m, words in chart.turns:
        px, py = x(instant), y(height_m)
        half = len(words) * _LETTER / 2.0
        at = min(max(px, _LEFT + half), _TIDE_WIDTH - _RIGHT - half)
        above = height_m > middle_m
        yield element("circle", class_="turn", cx=px, cy=py, r=2.6)
        yield element(
            "text", words, class_="turn-text", x=at, y=py - 7 if above else py + 16
        )


def _bar(
    passage: TidePassage, x: Along, top: float, chart: TideChart
) -> Iterator[Markup]:
    for start, stop in passage.spans:
        if stop <= chart.start or start >= chart.stop:
            continue
        left, right = x(start), x(stop)
        yield element(
            "rect",
            class_="open",
            x=left,
            y=top + 12,
            width=max(right - left, 1.0),
            height=11,
        )
    words = passage.name
    if not passage.spans:
        words += f": {AT_NO_TIME if passage.is_known else NOT_KNOWN}"
    yield element("text", words, class_="bar-text", x=_LEFT + 2, y=top + 9)
