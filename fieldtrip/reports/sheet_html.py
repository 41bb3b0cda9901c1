"""The trip sheet as one HTML file: no network, no script, a policy of its own.

The same file is the copy for the phone and what is printed to paper.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Iterable, Iterator, Sequence

from fieldtrip.reports.markup import Markup, element, joined
from fieldtrip.reports.sheet import (
    NOT_KNOWN,
    SIGNS,
    AgedLine,
    Fact,
    FindingLine,
    GateLine,
    Meeting,
    StepKind,
    StepLine,
    StopPart,
    TripSheet,
)
from fieldtrip.reports.sheet_style import style_sheet
from fieldtrip.reports.sheet_svg import code_svg, map_svg, tide_svg
from fieldtrip.safety.finding import Severity

_PARTS = (
    ("decide", "Decide"),
    ("plan", "Plan"),
    ("map", "Map"),
    ("stops", "Stops"),
    ("tide", "Tide"),
    ("weather", "Weather"),
    ("out", "Way out"),
    ("help", "Help"),
)
_NAMES = ("frame", "lens", "aperture", "time", "ISO", "filter", "focus", "remarks")
_ROWS = 2
_NO_PHOTO = element("span", " No reference photograph is kept of it.", class_="hint")
_LONGEST_FOOT = 36  # letters of a name at the foot of a page
_COORDINATE = re.compile("(\\d+° [\\d.]+′ [NSEW]|UTM \\d+[A-Z]|\\d{5,6} \\d{6,7})")
_LEGEND = (
    "Number in a disc: stop. Teal line: the ways of this trip; broken: others. "
    "P: start, M: meeting point. House: refuge. Cross: subject, with the line of "
    "sight. ! and hatching: hazard. Dots round an area: closure."
)


def sheet_html(sheet: TripSheet) -> bytes:
    """The whole file, in UTF-8."""
    title = sheet.title[:_LONGEST_FOOT]
    style = style_sheet(f"{title}, {sheet.day}, {sheet.place[:_LONGEST_FOOT]}")
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    policy = (
        f"default-src 'none'; style-src 'sha256-{digest}'; img-src data:; "
        "base-uri 'none'; form-action 'none'"
    )
    head = element(
        "head",
        element("meta", charset="utf-8"),
        element("meta", http_equiv="Content-Security-Policy", content=policy),
        element("meta", name="viewport", content="width=device-width, initial-scale=1"),
        element("meta", name="referrer", content="no-referrer"),
        element("title", f"{sheet.title}, {sheet.day}"),
        element("style", Markup(style)),
    )
    body = element("body", element("main", *_sections(sheet)), _nav())
    page = joined(
        Markup("<!doctype html>\n"), element("html", head, body, lang="en"), "\n"
    )
    return page.encode("utf-8", "replace")


def _nav() -> Markup:
    return element(
        "nav",
        [element("a", words, href=f"#{name}") for name, words in _PARTS],
        aria_label="Parts of the sheet",
    )


def _sections(sheet: TripSheet) -> Iterator[Markup]:
    yield element(
        "header",
        element("h1", sheet.title),
        element("p", f"{sheet.day} · {sheet.place} · all times {sheet.zone}"),
        element("p", sheet.made, class_="soft"),
    )
    yield _section("decide", "Gates and decision times", _decide(sheet))
    yield _section("checks", "Checks", _checks(sheet))
    yield _section("plan", "Door to door", _plan(sheet))
    yield _section("map", "Map", _map(sheet))
    yield _section("stops", "Stops", _stops(sheet))
    yield _section("tide", "Tide", _tide(sheet))
    yield _section("weather", "Forecast", _forecast(sheet))
    yield _section(
        "hazards", "Hazards", [_aged(sheet.hazards, "No hazard is recorded here, "
                                     "which does not mean that there is none.")]
    )  # fmt: skip
    yield _section(
        "access", "Access", [_aged(sheet.notes, "Nothing is recorded about access.")]
    )
    yield _section("out", "Way out and refuges", _out(sheet))
    yield _section("help", "In an emergency", _help(sheet))
    yield _section("contact", "Who knows, and until when", [_facts(sheet.contact)])
    yield _section("kit", "Kit", _kit(sheet))
    yield element("p", " ".join(sheet.cautions), class_="cautions")


def _section(name: str, heading: str, inside: Iterable[Markup]) -> Markup:
    return element("section", element("h2", heading), inside, id=name)


def _hint(text: str) -> Markup:
    return element("p", text, class_="hint") if text else Markup("")


def _decide(sheet: TripSheet) -> Iterator[Markup]:
    yield element("ol", [_gate(gate) for gate in sheet.gates], class_="two")
    yield _hint(sheet.gates_hint)


def _gate(gate: GateLine) -> Markup:
    late = " late" if gate.is_late else ""
    sign = f"{SIGNS[Severity.STOP]} " if gate.is_late else ""
    return element(
        "li",
        element(
            "div",
            element("span", f"{sign}{gate.by}", class_=f"time big{late}"),
            " ",
            element("b", gate.name),
            element("span", f" · {gate.where}", class_="soft"),
        ),
        element("div", "See: ", gate.must_see),
        element("div", "Else: ", element("b", gate.fallback)),
        element("div", gate.why, class_="soft"),
    )


def _checks(sheet: TripSheet) -> Iterator[Markup]:
    yield element(
        "p",
        f"{SIGNS[sheet.overall]} {sheet.overall_words}",
        class_=f"overall {_look(sheet.overall)}",
    )
    yield element("p", f"{sheet.overall_note}; the worst one decides.", class_="soft")
    yield element("ul", [_finding(line) for line in sheet.findings], class_="two")
    yield _hint(sheet.findings_hint)


def _finding(line: FindingLine) -> Markup:
    parts = [
        element("div", f"{SIGNS[line.severity]} {line.word}: {line.title}",
                class_="title"),
        element("div", line.found, class_="said"),
    ]  # fmt: skip
    if line.advice and line.severity is not Severity.CAUTION:
        parts.append(element("div", line.advice, class_="said soft"))
    if line.override:
        parts.append(
            element("div", f"Gone against: {line.override} It stays what it is.",
                    class_="said")
        )  # fmt: skip
    return element("li", parts, class_=f"finding {_look(line.severity)}")


def _look(severity: Severity) -> str:
    return str(severity).replace(" ", "-")


def _plan(sheet: TripSheet) -> Iterator[Markup]:
    steps = element("tbody", [_step(step) for step in sheet.timeline])
    yield element("div", element("table", steps), class_="two")
    yield _hint(sheet.timeline_hint)
    if sheet.trip_notes:
        yield element("p", sheet.trip_notes)


def _step(step: StepLine) -> Markup:
    what: str | Markup = step.what
    if step.kind is StepKind.STAY:
        what = element("b", step.what)
    sign = "◆ " if step.kind is StepKind.LIMIT else ""
    return element(
        "tr",
        element("td", sign, step.time, class_="time" if step.is_known else "loose"),
        element("td", what, element("span", f" · {step.detail}" if step.detail else "",
                                    class_="soft")),
        class_=str(step.kind),
    )  # fmt: skip


def _map(sheet: TripSheet) -> Iterator[Markup]:
    yield element(
        "figure",
        element("div", map_svg(sheet.map), class_="scroll"),
        element("figcaption", f"{_LEGEND} {' '.join(sheet.map.lines)}"),
    )
    yield element("div", [_meeting(place) for place in sheet.meetings], class_="two")
    yield _hint(sheet.meetings_hint)


def _meeting(place: Meeting) -> Markup:
    return element(
        "div",
        element("a", code_svg(place.uri, f"Code of {place.name}"), href=place.uri),
        element(
            "div",
            element("p", element("b", place.name)),
            element("p", place.what, class_="soft"),
            [element("p", _unbroken(text)) for text in place.texts],
            element("p", place.notes) if place.notes else "",
        ),
        class_="meeting",
    )


def _stops(sheet: TripSheet) -> Iterator[Markup]:
    if not sheet.stops:
        yield _hint("No stops are planned.")
    for stop in sheet.stops:
        yield element(
            "article",
            element("h3", f"{stop.number}. {stop.name} · {stop.time}"),
            element(
                "div",
                element("div", _facts(stop.facts, "")),
                element("div", _light(stop)),
                class_="columns",
            ),
            element(
                "div",
                element(
                    "p",
                    element("b", "Last time: "),
                    stop.notes,
                    "" if stop.photo else _NO_PHOTO,
                ),
                _photo(stop),
                class_="beside" if stop.photo else "",
            ),
            _room_for_settings(),
        )
    yield _hint(sheet.light_note)


def _light(stop: StopPart) -> Markup:
    table = _table(
        ("light", "almanac", "bearing", "on the spot"),
        [
            (line.name, line.almanac, line.azimuth, line.on_the_spot)
            for line in stop.light
        ],
    )
    look = "caution" if stop.is_opinion_caution else "soft"
    return joined(table, element("p", stop.opinion, class_=look))


def _photo(stop: StopPart) -> Markup:
    if stop.photo is None:
        return Markup("")
    data = base64.b64encode(stop.photo.jpeg).decode()
    return element(
        "figure",
        element(
            "img",
            class_="photo",
            alt=f"Taken before at {stop.name}",
            src=f"data:image/jpeg;base64,{data}",
        ),
        element("figcaption", stop.photo.caption),
    )


def _room_for_settings() -> Markup:
    """Blank cells to write in, on paper only."""
    empty = element("tr", [element("td") for _ in _NAMES])
    return element(
        "div",
        element(
            "table",
            element("thead", element("tr", [element("th", name) for name in _NAMES])),
            element("tbody", [empty] * _ROWS),
        ),
        class_="write keep",
    )


def _tide(sheet: TripSheet) -> Iterator[Markup]:
    tide = sheet.tide
    if tide.chart is not None:
        svg = tide_svg(tide.chart, tide.passages)
        chart = element("figure", element("div", svg, class_="scroll"))
        yield element("div", element("p", tide.heading), chart, class_="keep")
    else:
        yield element("p", tide.heading)
    if tide.chart is None and tide.turns:
        yield _hint(f"Between the turns the height is {NOT_KNOWN}.")
    turns = _table(("tide", "time", "height"), tide.turns) if tide.turns else ""
    passages = [
        joined(
            element("h3", passage.name),
            element("p", element("b", passage.state)),
            element("p", " ".join(passage.lines), class_="soft"),
        )
        for passage in tide.passages
    ] or [_hint("No leg and no stop of this trip is said to depend on the tide.")]
    if turns:
        yield element(
            "div", element("div", turns), element("div", passages), class_="columns"
        )
    else:
        yield from passages
    yield element("p", " ".join(tide.lines), class_="soft")


def _forecast(sheet: TripSheet) -> Iterator[Markup]:
    forecast = sheet.forecast
    yield element("p", forecast.age)
    if forecast.rows:
        yield element("div", _table(forecast.columns, forecast.rows), class_="wide")
    if forecast.lines:
        yield element("p", " ".join(forecast.lines), class_="hint")


def _aged(lines: Sequence[AgedLine], otherwise: str) -> Markup:
    if not lines:
        return _hint(otherwise)
    return element("ul", [_aged_line(line) for line in lines], class_="two")


def _aged_line(line: AgedLine) -> Markup:
    sign = f"{SIGNS[Severity.CAUTION]} " if line.is_old else ""
    age = f" ({line.age})" if line.age else ""
    look = "caution" if line.is_old else "soft"
    return element(
        "li",
        element("b", line.name),
        ": ",
        _unbroken(line.text),
        element("span", f"{' ' if sign else ''}{sign}{age}", class_=look),
    )


def _out(sheet: TripSheet) -> Iterator[Markup]:
    yield _facts(sheet.way_out)
    yield element("h3", "Refuges")
    yield _aged(sheet.refuges, "No refuge is recorded here.")


def _help(sheet: TripSheet) -> Iterator[Markup]:
    yield _facts(sheet.emergency)
    blanks = ("Time, and what happened", "Who, how many, how they are", "Where")
    yield element(
        "div",
        [joined(element("span", words), element("div")) for words in blanks],
        class_="write keep",
    )


def _kit(sheet: TripSheet) -> Iterator[Markup]:
    if sheet.kit:
        yield element("ul", [element("li", f"☐ {thing}") for thing in sheet.kit],
                      class_="two")  # fmt: skip
    yield _hint(sheet.kit_hint)


def _facts(facts: Sequence[Fact], look: str = "two") -> Markup:
    return element("dl", [_fact(fact) for fact in facts], class_=look)


def _unbroken(text: str) -> list[str | Markup]:
    """A text whose coordinates stay on one line each, to be read out as they are."""
    return [
        element("span", part, class_="whole") if index % 2 else part
        for index, part in enumerate(_COORDINATE.split(text))
    ]


def _fact(fact: Fact) -> Markup:
    look = "" if fact.is_known else "unknown-fact"
    sign = "" if fact.is_known else f"{SIGNS[Severity.UNKNOWN]} "
    return element(
        "div",
        element("dt", fact.name),
        element("dd", f"{sign}", _unbroken(fact.text), class_=look),
        class_="pair",
    )


def _table(headings: Sequence[str], rows: Sequence[Sequence[str]]) -> Markup:
    return element(
        "table",
        element("thead", element("tr", [element("th", name) for name in headings])),
        element(
            "tbody",
            [element("tr", [element("td", text) for text in row]) for row in rows],
        ),
    )
