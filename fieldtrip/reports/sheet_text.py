"""The trip sheet as plain text, short enough for a message."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from fieldtrip.reports.directions import directed
from fieldtrip.reports.sheet import (
    SIGNS,
    AgedLine,
    Fact,
    GateLine,
    StopPart,
    TripSheet,
)
from fieldtrip.safety.finding import Severity


def sheet_text(sheet: TripSheet) -> str:
    """Everything of the sheet that words can carry, in its order."""
    return directed("\n".join(_lines(sheet)).strip()) + "\n"


def _lines(sheet: TripSheet) -> Iterator[str]:
    yield sheet.title
    yield f"{sheet.day}, {sheet.place}"
    yield f"All times {sheet.zone}. {sheet.made}"
    yield from _part("Gates and decision times", [_gate(gate) for gate in sheet.gates])
    yield from _hint(sheet.gates_hint)
    yield from _part("Checks", [f"{SIGNS[sheet.overall]} {sheet.overall_words}"])
    yield f"{sheet.overall_note}; the worst one decides."
    for line in sheet.findings:
        yield f"{SIGNS[line.severity]} {line.word}: {line.title}. {line.found}"
        if line.override:
            yield f"  Gone against: {line.override} It stays what it is."
    yield from _hint(sheet.findings_hint)
    yield from _part(
        "Door to door",
        [
            f"{step.time}  {step.what}" + (f" ({step.detail})" if step.detail else "")
            for step in sheet.timeline
        ],
    )
    yield from _hint(sheet.timeline_hint)
    yield from _hint(sheet.trip_notes)
    yield from _part(
        "Where",
        [
            f"{place.name} ({place.what}): {' · '.join(place.texts)} {place.uri}"
            for place in sheet.meetings
        ],
    )
    yield from _hint(sheet.meetings_hint)
    for stop in sheet.stops:
        yield from _stop(stop)
    yield from _hint(sheet.light_note)
    yield from _tide(sheet)
    yield from _forecast(sheet)
    yield from _part("Hazards", _aged(sheet.hazards, "none is recorded"))
    yield from _part("Access", _aged(sheet.notes, "nothing is recorded"))
    yield from _part("Way out", _facts(sheet.way_out))
    yield from _part("Refuges", _aged(sheet.refuges, "none is recorded"))
    yield from _part("In an emergency", _facts(sheet.emergency))
    yield from _part("Who knows, and until when", _facts(sheet.contact))
    yield from _part("Kit", [f"- {thing}" for thing in sheet.kit])
    yield from _hint(sheet.kit_hint)
    yield ""
    yield from sheet.cautions


def _part(heading: str, lines: Sequence[str]) -> Iterator[str]:
    yield ""
    yield heading.upper()
    yield from lines


def _hint(text: str) -> Iterator[str]:
    if text:
        yield text


def _gate(gate: GateLine) -> str:
    sign = f"{SIGNS[Severity.STOP]} " if gate.is_late else ""
    return (
        f"{sign}{gate.by}: {gate.name} ({gate.where}). "
        f"See: {_ended(gate.must_see)} Else: {_ended(gate.fallback)} {gate.why}"
    )


def _ended(text: str) -> str:
    return text if text[-1:] in ".!?" else f"{text}."


def _stop(stop: StopPart) -> Iterator[str]:
    yield from _part(f"{stop.number}. {stop.name}, {stop.time}", _facts(stop.facts))
    for line in stop.light:
        yield (
            f"{line.almanac}  {line.name}, {line.azimuth}; "
            f"on the spot: {line.on_the_spot}"
        )
    yield stop.opinion
    yield f"Last time: {stop.notes}"


def _tide(sheet: TripSheet) -> Iterator[str]:
    tide = sheet.tide
    yield from _part("Tide", [tide.heading])
    yield from (f"{when}  {what}, {height}" for what, when, height in tide.turns)
    for passage in tide.passages:
        yield f"{passage.name}: {passage.state}"
        yield from passage.lines
    yield from tide.lines


def _forecast(sheet: TripSheet) -> Iterator[str]:
    forecast = sheet.forecast
    yield from _part("Forecast", [forecast.age])
    for row in forecast.rows:
        told = [
            f"{name} {cell}"
            for name, cell in zip(forecast.columns[1:], row[1:], strict=True)
        ]
        yield f"{row[0]}  {'; '.join(told)}"
    yield from forecast.lines


def _facts(facts: Sequence[Fact]) -> list[str]:
    return [f"{fact.name}: {fact.text}" for fact in facts]


def _aged(lines: Sequence[AgedLine], otherwise: str) -> list[str]:
    if not lines:
        return [f"{otherwise}, which does not mean that there is nothing."]
    return [
        f"- {line.name}: {line.text}" + (f" ({line.age})" if line.age else "")
        for line in lines
    ]
