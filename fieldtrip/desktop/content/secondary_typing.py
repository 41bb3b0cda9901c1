"""What the window says in which a secondary port's differences are typed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

from fieldtrip.desktop.content.secondary_forms import (
    Form,
    differences_typed,
    figure_notes,
    figures_of,
)
from fieldtrip.errors import UserError
from fieldtrip.geo import Position
from fieldtrip.places.records import Location
from fieldtrip.settings import Settings
from fieldtrip.tides.records import Exposure, Turn
from fieldtrip.tides.secondary import (
    HighAndLowOffsets,
    Offset,
    secondary_turns,
    without_stands,
)
from fieldtrip.tides.sources import TideSource, source_of_station
from fieldtrip.tides.stations import KnownDifferences, Station, StationKind
from fieldtrip.times import Span, local_date, local_day
from fieldtrip.wording import (
    clock_text,
    height_text,
    nearest_minute,
    short_date_text,
    zone_text,
)

COLUMNS = ("", "At the standard port", "Here", "UTC", "Height here")
NO_STANDARD = "Choose the standard port."
_AROUND = timedelta(days=2)  # turns that differences may move in
_NONE = HighAndLowOffsets(Offset(timedelta()), Offset(timedelta()))


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondaryTyped:
    """What stands in the fields; heights among the figures in `unit`."""

    standard_id: UUID | None = None
    name: str = ""
    position: Position | None = None
    datum: str = ""
    unit: str = ""
    exposure: Exposure | None = None
    is_distorted: bool | None = None
    source: str = ""
    form: Form | None = None
    figures: Mapping[str, float | None] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class SecondaryTypingContent:
    """A day's turns as they follow, what is odd or wrong, and the station if sound."""

    rows: tuple[tuple[str, str, str, str, str], ...]
    summary: str
    notes: tuple[str, ...]
    faults: tuple[str, ...]
    station: Station | None


def secondary_typing_content(
    typed: SecondaryTyped,
    location: Location,
    stations: Sequence[Station],
    today: date,
    settings: Settings,
    station: Station | None = None,
) -> SecondaryTypingContent:
    """Read what was typed, and show what it makes of a day.

    `station` is the one being edited, if any.

    The day is today; where the standard port's table does not reach it, the table's
    first day.
    """
    faults: list[str] = []
    # A port's tide cannot follow from its own, not even by way of another.
    others = [s for s in stations if station is None or s.id != station.id]
    standard = next((s for s in others if s.id == typed.standard_id), None)
    source = None if standard is None else source_of_station(standard, others)
    if standard is None:
        faults.append(NO_STANDARD)
    elif source is None:
        faults.append(
            f"The tide of {standard.name} is not known: its own standard port is "
            f"{'not in this library' if station is None else 'this port, or missing'}."
        )
    if typed.form is None:
        faults.append("Choose how the table gives the differences.")
    if not typed.unit:
        faults.append("Choose the unit of the heights.")
    differences: KnownDifferences | None = None
    if typed.form is not None and typed.unit:
        differences, wrong = differences_typed(typed.form, typed.figures, typed.unit)
        faults += wrong
    made = _made(typed, standard, differences or _NONE, station)
    faults += made.faults()
    rows: tuple[tuple[str, str, str, str, str], ...] = ()
    summary = "Nothing can be shown yet."
    if source is not None and differences is not None:
        day = _day_to_show(source, today, location.zone)
        try:
            rows = _rows(source, differences, day, location.zone, settings)
        except UserError as error:
            faults.append(str(error))
        else:
            summary = _summary(day, today, location.zone, is_known=bool(rows))
    return SecondaryTypingContent(
        rows=rows,
        summary=summary,
        notes=_notes(typed),
        faults=tuple(dict.fromkeys(faults)),
        station=None if faults else made,
    )


def typed_from(station: Station) -> SecondaryTyped:
    """A kept secondary port as it would be typed."""
    found = station.differences
    form, figures = (None, {}) if found is None else figures_of(found, station.unit)
    return SecondaryTyped(
        standard_id=station.standard_id,
        name=station.name,
        position=station.position,
        datum=station.datum,
        unit=station.unit,
        exposure=station.exposure,
        is_distorted=station.is_distorted,
        source=station.source,
        form=form,
        figures=figures,
    )


def _made(
    typed: SecondaryTyped,
    standard: Station | None,
    differences: KnownDifferences,
    station: Station | None,
) -> Station:
    made = Station(
        name=typed.name.strip(),
        kind=StationKind.SECONDARY,
        datum=typed.datum.strip(),
        position=typed.position,
        unit=typed.unit or "m",  # that none is chosen was said in words of its own
        zone="UTC" if standard is None else standard.zone,
        standard_id=typed.standard_id,
        differences=differences,
        exposure=typed.exposure,
        is_distorted=typed.is_distorted,
        source=typed.source.strip(),
    )
    if station is None:
        return made
    return replace(made, id=station.id, year=station.year, licence=station.licence)


def _day_to_show(source: TideSource, today: date, zone: str) -> date:
    if source.reach is None or source.has_part(local_day(today, zone)):
        return today
    return local_date(source.reach.start, zone)


def _rows(
    source: TideSource,
    differences: KnownDifferences,
    day: date,
    zone: str,
    settings: Settings,
) -> tuple[tuple[str, str, str, str, str], ...]:
    """The day's turns beside those they follow from.

    Raises `UserError` where they would not follow one another.
    """
    span = local_day(day, zone)
    standard = source.curve.turns(Span(span.start - _AROUND, span.stop + _AROUND))
    if not standard:
        return ()
    moved = secondary_turns(standard, differences)
    kept = without_stands(moved)
    return tuple(
        _row(before, turn, zone, settings)
        for before, turn in zip(standard, moved, strict=True)
        if turn in kept and span.start <= turn.instant < span.stop
    )


def _row(
    before: Turn, turn: Turn, zone: str, settings: Settings
) -> tuple[str, str, str, str, str]:
    theirs, here = nearest_minute(before.instant), nearest_minute(turn.instant)
    # A turn that comes from the day before or after has its date beside it.
    day, other = local_date(here, zone), local_date(theirs, zone)
    dated = "" if day == other else f"{short_date_text(other)} "
    utc = here.astimezone(UTC)
    return (
        "high" if turn.is_high else "low",
        f"{dated}{clock_text(theirs, zone, settings)}, "
        f"{height_text(before.height_m, settings, 2)}",
        clock_text(here, zone, settings),
        f"{utc:%H:%M}" if utc.date() == day else f"{utc:%d %b %H:%M}",
        height_text(turn.height_m, settings, 2),
    )


def _summary(day: date, today: date, zone: str, *, is_known: bool) -> str:
    words = f"{short_date_text(day)} {day:%Y}"
    if not is_known:
        return f"The tides of {words} are not known at the standard port."
    noon = datetime(day.year, day.month, day.day, 12, tzinfo=UTC)
    clock = zone_text(noon, zone)
    if day == today:
        return f"Today, {words}, in {clock}"
    return (
        f"The standard port's table does not reach today. Its first day, {words}, "
        f"in {clock}"
    )


def _notes(typed: SecondaryTyped) -> tuple[str, ...]:
    notes: list[str] = []
    if typed.is_distorted is None:
        notes.append(
            "Nobody said whether the port is shallow or in an estuary: until then "
            "no height between its turns is relied on."
        )
    elif typed.is_distorted:
        notes.append(
            "In a shallow or estuarine port no height between its turns is relied on."
        )
    if typed.exposure is None:
        notes.append(
            "Nobody said how open the port lies, so the most is kept for weather."
        )
    if typed.form is not None:
        notes += figure_notes(typed.form, typed.figures)
    return tuple(notes)
