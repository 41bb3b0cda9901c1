"""What the window says in which a printed tide table is typed or pasted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import MAXYEAR, MINYEAR, UTC, date, datetime, timedelta
from uuid import UUID
from zoneinfo import available_timezones

from fieldtrip.errors import UserError
from fieldtrip.exchange.tide_text import read_turns, turns_text
from fieldtrip.tides.records import Exposure, TideTable, Turn
from fieldtrip.times import local_date, zone_of
from fieldtrip.wording import (
    METRES_PER_FOOT,
    count_text,
    number_text,
    short_date_text,
    zone_text,
)

METRES_PER_UNIT = {"m": 1.0, "cm": 0.01, "ft": METRES_PER_FOOT}
UNITS = (("m", "metres (m)"), ("cm", "centimetres (cm)"), ("ft", "feet (ft)"))
EXPOSURES: tuple[tuple[Exposure | None, str], ...] = (
    (None, "not known"),
    *((exposure, str(exposure)) for exposure in Exposure),
)
COLUMNS = ("", "In the table's zone", "UTC", "Height")


@dataclass(frozen=True, slots=True, kw_only=True)
class TideTyped:
    """What stands in the fields, sound or not."""

    port: str = ""
    zone: str = ""
    unit: str = ""
    year: int | None = None  # for lines that give none
    datum: str = ""
    source: str = ""
    exposure: Exposure | None = None
    is_distorted: bool | None = None
    text: str = ""


@dataclass(frozen=True, slots=True)
class TideTypingContent:
    """The preview, what is odd, what is wrong, and the table if nothing is."""

    rows: tuple[tuple[str, str, str, str], ...]
    summary: str
    notes: tuple[str, ...]
    faults: tuple[str, ...]
    table: TideTable | None


def tide_typing_content(
    typed: TideTyped, location_id: UUID, table: TideTable | None
) -> TideTypingContent:
    """Read what was typed; `table` is the one being edited, if any."""
    faults = [] if typed.port.strip() else ["Name the port."]
    turns: tuple[Turn, ...] = ()
    notes: tuple[str, ...] = ()
    if not typed.zone:
        faults.append("Choose the zone in which the table is printed.")
    if not typed.unit:
        faults.append("Choose the unit of the heights.")
    if not typed.text.strip():
        faults.append("Type or paste the high and low waters.")
    if typed.zone and typed.unit and typed.text.strip():
        try:
            read = read_turns(typed.text, typed.zone, typed.unit, _middle(typed.year))
        except UserError as error:
            faults.append(str(error))
        else:
            turns, notes = tuple(read.turns), tuple(read.notes)
    made = _made(typed, turns, location_id, table)
    # What is not there yet was said above, each in its own words.
    judged = replace(
        made,
        port=made.port or "unnamed",
        zone=made.zone or "UTC",
        turns=turns or _EXAMPLE,
    )
    faults += judged.faults()
    return TideTypingContent(
        rows=tuple(_row(turn, typed) for turn in turns),
        summary=_summary(turns, typed),
        notes=notes,
        faults=tuple(dict.fromkeys(faults)),
        table=None if faults else made,
    )


def typed_from(table: TideTable) -> TideTyped:
    """A kept table as it would be typed."""
    return TideTyped(
        port=table.port,
        zone=table.zone,
        unit=table.unit,
        datum=table.datum,
        source=table.source,
        exposure=table.exposure,
        is_distorted=table.is_distorted,
        text=turns_text(table.turns, table.zone, table.unit),
    )


def span_words(turns: Sequence[Turn], zone: str) -> str:
    """From which day to which a table reaches, and in which zone its days are.

    As in ``Wed 1 Jul 2026 to Thu 2 Jul 2026 in UTC``; the zone is that in which it
    is printed.
    """
    first, last = (local_date(turns[i].instant, zone) for i in (0, -1))
    days = f"{short_date_text(first)} {first:%Y}"
    if last != first:
        days += f" to {short_date_text(last)} {last:%Y}"
    clocks = dict.fromkeys(zone_text(turns[i].instant, zone) for i in (0, -1))
    return f"{days} in {' and '.join(clocks)}"


def zones_offered(first: str) -> tuple[str, ...]:
    """All zones by name, the place's own and UTC before them."""
    rest = sorted(available_timezones() - {first, "UTC"})
    return tuple(dict.fromkeys((first, "UTC", *rest)))


def example_text() -> str:
    """A short table of an invented port, as it may be typed."""
    return turns_text(_EXAMPLE, "UTC", "m")


def _made(
    typed: TideTyped,
    turns: tuple[Turn, ...],
    location_id: UUID,
    table: TideTable | None,
) -> TideTable:
    made = TideTable(
        location_id=location_id,
        port=typed.port.strip(),
        zone=typed.zone,
        datum=typed.datum.strip(),
        unit=typed.unit,
        source=typed.source.strip(),
        turns=turns,
        exposure=typed.exposure,
        is_distorted=typed.is_distorted,
    )
    return made if table is None else replace(made, id=table.id)


def _middle(year: int | None) -> date | None:
    """A day from which every day of the year is nearer than those of other years."""
    return date(year, 7, 2) if year and MINYEAR <= year <= MAXYEAR else None


def _row(turn: Turn, typed: TideTyped) -> tuple[str, str, str, str]:
    local = turn.instant.astimezone(zone_of(typed.zone))
    utc = turn.instant.astimezone(UTC)
    height = number_text(turn.height_m / METRES_PER_UNIT[typed.unit], _decimals(typed))
    shown = f"{height} {typed.unit}"
    if typed.unit != "m":
        shown += f" ({number_text(turn.height_m, 2)} m)"
    return (
        "high" if turn.is_high else "low",
        f"{short_date_text(local.date())} {local:%H:%M}",
        f"{utc:%H:%M}" if utc.date() == local.date() else f"{utc:%d %b %H:%M}",
        shown,
    )


def _decimals(typed: TideTyped) -> int:
    return 0 if typed.unit == "cm" else 2


def _summary(turns: tuple[Turn, ...], typed: TideTyped) -> str:
    if not turns:
        return "Nothing is read yet."
    return f"{count_text(len(turns), 'turn')}, {span_words(turns, typed.zone)}"


_NOON = datetime(2026, 11, 14, 12, tzinfo=UTC)
_EXAMPLE = tuple(
    Turn(_NOON + timedelta(minutes=minutes), height_m, is_high)
    for minutes, height_m, is_high in (
        (-483, 4.1, True),
        (-112, 0.9, False),
        (261, 4.3, True),
        (634, 0.7, False),
    )
)
