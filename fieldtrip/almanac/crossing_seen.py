"""What was seen of a crossing, and the level that follows from it, in words."""

from __future__ import annotations

from datetime import date

from fieldtrip.places.records import CrossingObservation, Leg
from fieldtrip.settings import Settings
from fieldtrip.times import local_date, local_day
from fieldtrip.trips.crossing_level import (
    NEEDED,
    LevelInForce,
    as_told_now,
    level_in_force,
)
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.tide_sources import sources_of
from fieldtrip.wording import clock_text, count_text, height_text, short_date_text

SEEN_COLUMNS = ("When", "How", "Tide then", "Pressure", "", "Remark")


def level_words(level: LevelInForce, datum: str, settings: Settings) -> str:
    """The level in force, as in ``It shuts above 1.40 m (MLLW).``."""
    if level.level_m is None:
        return "The level that shuts it is not known."
    text = f"It shuts above {height_text(level.level_m, settings, 2)} ({datum})"
    if level.typed_m is None or level.level_m == level.typed_m:
        return f"{text}."
    typed = height_text(level.typed_m, settings, 2)
    why = "it was seen shut" if level.is_lowered else "it was seen open on three days"
    return f"{text}, since {why}; typed: {typed}."


def seen_words(level: LevelInForce, settings: Settings) -> tuple[str, ...]:
    """What was seen, how far it contradicts itself, and what a rise would take."""
    count = len(level.passed_m) + len(level.refused_m)
    lines: list[str] = []
    if count:
        parts = []
        if level.passed_m:
            heights = _reach(level.passed_m, settings)
            parts.append(f"passed at {heights}")
        if level.refused_m:
            heights = _reach(level.refused_m, settings)
            parts.append(f"not passable at {heights}")
        lines.append(f"Seen {_times(count)}: {', '.join(parts)}.")
    scatter_m = level.scatter_m
    if scatter_m:
        lines.append(
            f"What was seen contradicts itself by {height_text(scatter_m, settings, 2)}"
            ": the ground or the waves were not the same. The lowest counts."
        )
    if level.passed_m and not level.is_raised and not level.refused_m:
        lines.append(
            f"To raise the level takes {NEEDED} confirmed crossings on different days "
            "with the pressure noted, within 12 months and since the last storm."
        )
    if level.other_datum:
        seen = count_text(level.other_datum, "observation")
        lines.append(f"Left out: {seen} above another datum.")
    return tuple(lines)


def leg_words(dossier: Dossier, leg: Leg, day: date, settings: Settings) -> str:
    """The level in force of a leg that was seen, for its card; empty otherwise."""
    if not dossier.observations_of(leg):
        return ""
    zone = dossier.location.zone
    at = local_day(day, zone).stop
    seen = as_told_now(dossier.observations, sources_of(dossier))
    level = level_in_force(leg, seen, at, zone)
    words = level_words(level, leg.shut_datum, settings)
    return " ".join((words, *seen_words(level, settings)))


def seen_row(
    seen: CrossingObservation, zone: str, settings: Settings
) -> tuple[str, ...]:
    """One observation as a row: when, how it was, the level, and what was noted."""
    day = short_date_text(local_date(seen.instant, zone))
    pressure = (
        "not noted" if seen.pressure_hpa is None else f"{seen.pressure_hpa:.0f} hPa"
    )
    return (
        f"{day} {clock_text(seen.instant, zone, settings)}",
        "passed" if seen.is_passable else "not passable",
        f"{height_text(seen.level_m, settings, 2)} above {seen.datum}",
        pressure,
        "confirmed" if seen.is_confirmed else "not confirmed",
        seen.remark,
    )


def _reach(heights_m: tuple[float, ...], settings: Settings) -> str:
    least = height_text(heights_m[0], settings, 2)
    most = height_text(heights_m[-1], settings, 2)
    return least if least == most else f"{least} to {most}"


def _times(count: int) -> str:
    return "once" if count == 1 else "twice" if count == 2 else f"{count} times"
